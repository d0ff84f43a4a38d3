//! Prints the pages: which there are, and each of them.

use std::collections::{BTreeMap, BTreeSet};

use askama::Template;

use crate::farm::{BinCode, Farm, LotId, LotSort, Serial, Settings};
use crate::trace::{Balances, balances};

use super::SiteError;
use super::door_page::DoorPage;
use super::frame::{Frame, Frames};
use super::lot_page::{LotPage, Subject};
use super::pack_page::Packs;
use super::policy::policy;
use super::shed_page::{BinPage, RackPage};
use super::standing::{Standing, standings};
use super::{path, wording};

/// Makes all pages of a farm: path to bytes.
///
/// `seal` is the diary's seal, as it stands on every page.
pub fn publish(
    farm: &Farm,
    settings: &Settings,
    seal: &str,
) -> Result<BTreeMap<String, Vec<u8>>, SiteError> {
    let press = Press::of(farm, settings, seal);
    let mut jobs = press.jobs();
    // Two halves at once; what each page is does not depend on the other half.
    let second = jobs.split_off(jobs.len() / 2);
    let print = |jobs: Vec<Job>| -> Result<Pages, SiteError> {
        let mut pages = Vec::new();
        for job in jobs {
            pages.extend(press.print(job)?);
        }
        Ok(pages)
    };
    let (first, second) = std::thread::scope(|scope| {
        let second = scope.spawn(|| print(second));
        let first = print(jobs);
        (first, second.join().expect("a page never panics"))
    });
    Ok(first?.into_iter().chain(second?).collect())
}

type Pages = Vec<(String, Vec<u8>)>;

/// A farm ready to be printed: what all pages need is worked out once.
pub struct Press<'a> {
    farm: &'a Farm,
    frames: Frames<'a>,
    standings: Vec<Standing>,
    balances: Balances,
}

/// A page to print, or all the pages of one run's packs.
#[derive(Clone, Debug, PartialEq)]
pub enum Job {
    /// The front page.
    Front,
    /// The page for an address that leads nowhere.
    Missing,
    /// A lot, and the same by its trade item number where it has one.
    Lot(LotId),
    /// The packs of a run by its trade item number.
    Packs(LotId),
    /// A bin.
    Bin(BinCode),
    /// A rack.
    Rack(String),
}

impl<'a> Press<'a> {
    /// Gets a farm ready.
    pub fn of(farm: &'a Farm, settings: &'a Settings, seal: &'a str) -> Self {
        let last = farm.entries().last();
        let written = last.map(|entry| {
            let day = settings.zone.to_datetime(entry.written).date();
            (entry.number, wording::date(day))
        });
        Self {
            farm,
            frames: Frames {
                settings,
                policy: policy(),
                seal,
                written,
            },
            standings: standings(farm),
            balances: balances(farm),
        }
    }

    /// Returns what there is to print.
    pub fn jobs(&self) -> Vec<Job> {
        let mut jobs = vec![Job::Front, Job::Missing];
        for (id, lot) in self.farm.lots() {
            jobs.push(Job::Lot(id));
            let is_run = matches!(lot.sort, LotSort::Run(_));
            if is_run && path::linked(self.farm, self.frames.settings, id).is_some() {
                jobs.push(Job::Packs(id));
            }
        }
        // With a server in the shed, bins and racks carry its address instead.
        if self.frames.settings.shed.is_none() {
            jobs.extend(self.farm.bins().keys().copied().map(Job::Bin));
            let places = self
                .farm
                .bins()
                .values()
                .filter_map(|bin| bin.standing.as_ref());
            let racks: BTreeSet<&str> = places.map(|standing| standing.place.rack()).collect();
            jobs.extend(racks.into_iter().map(|rack| Job::Rack(rack.to_owned())));
        }
        jobs
    }

    /// Prints a job: its pages with their paths.
    pub fn print(&self, job: Job) -> Result<Pages, SiteError> {
        let (farm, standings) = (self.farm, &self.standings);
        let page = match job {
            Job::Lot(lot) => return self.lot(lot),
            Job::Packs(run) => return self.packs(run),
            Job::Front => {
                let path = "index.html".to_owned();
                let frame = self.frame(&path, "Find a pack");
                rendered(path, &DoorPage::front(farm, standings, frame))
            }
            Job::Missing => {
                let path = "404.html".to_owned();
                let frame = self.frame(&path, "No such page");
                rendered(path, &DoorPage::missing(farm, frame))
            }
            Job::Bin(bin) => {
                let path = path::bin(bin);
                let frame = self.frame(&path, &format!("Bin {bin}"));
                rendered(path, &BinPage::of(farm, standings, bin, frame))
            }
            Job::Rack(rack) => {
                let path = path::rack(&rack);
                let frame = self.frame(&path, &format!("Rack {rack}"));
                rendered(path, &RackPage::of(farm, standings, &rack, frame))
            }
        };
        Ok(vec![page?])
    }

    /// Prints the page of a lot, at each path that leads to it.
    fn lot(&self, id: LotId) -> Result<Pages, SiteError> {
        let title = self.title(id, &self.farm.lot(id).code.to_string());
        let subject = Subject {
            farm: self.farm,
            lot: id,
            standing: &self.standings[id.index()],
            balance: self.balances.of(self.farm, id),
        };
        let path = path::lot(self.farm, id);
        let mut page = LotPage::of(subject, self.frame(&path, &title));
        let mut pages = vec![rendered(path, &page)?];
        if let Some(gtin) = path::linked(self.farm, self.frames.settings, id) {
            let path = path::linked_run(self.farm, gtin, id);
            page.frame = self.frame(&path, &title);
            pages.push(rendered(path, &page)?);
        }
        Ok(pages)
    }

    /// Prints the page of each pack of a run.
    fn packs(&self, run: LotId) -> Result<Pages, SiteError> {
        let Some(gtin) = path::linked(self.farm, self.frames.settings, run) else {
            return Ok(Vec::new());
        };
        let lot = self.farm.lot(run);
        let made = lot.shelf.as_ref().map_or(0, |shelf| shelf.made());
        let standing = &self.standings[run.index()];
        let packs = Packs::of(self.farm, run, standing, &self.balances.of(self.farm, run));
        let mut pages = Vec::new();
        for serial in (1..=made).filter_map(Serial::new) {
            let path = path::linked_pack(self.farm, gtin, run, serial);
            let title = self.title(run, &format!("{}/{serial}", lot.code));
            let frame = self.frame(&path, &title);
            pages.push(rendered(path, &packs.page(serial, frame))?);
        }
        Ok(pages)
    }

    fn title(&self, lot: LotId, code: &str) -> String {
        format!("{}, {code}", wording::what(self.farm, lot))
    }

    fn frame(&self, path: &str, title: &str) -> Frame<'_> {
        let title = format!("{title} – {}", self.frames.settings.name);
        self.frames.frame(title, path::up_from(path))
    }
}

fn rendered(path: String, page: &impl Template) -> Result<(String, Vec<u8>), SiteError> {
    match page.render() {
        Ok(text) => Ok((path, text.into_bytes())),
        Err(source) => Err(SiteError::Template { path, source }),
    }
}
