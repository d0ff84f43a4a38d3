//! Prints the pages: which there are, and each of them.

use std::collections::BTreeSet;

use crate::farm::{BinCode, Farm, Gtin, LotId, LotSort, Serial, SerialRange, Settings};
use crate::trace::{Balances, Channels, balances};

use super::SiteError;
use super::door_page::DoorPage;
use super::foot::Page;
use super::frame::{Frame, Frames};
use super::lot_page::{LotPage, Subject};
use super::pack_page::Packs;
use super::policy::policy;
use super::shed_page::{BinPage, RackPage};
use super::standing::{Standing, standings};
use super::{path, wording};

/// How many packs of a run are printed at a time: enough that tracing the run for them costs little beside them, few enough
/// to be held.
const PACKS_AT_ONCE: u32 = 200;

/// A farm ready to be printed: what all pages need is worked out once.
pub struct Press<'a> {
    farm: &'a Farm,
    frames: Frames<'a>,
    standings: Vec<Standing>,
    balances: Balances,
    ways_back: Channels,
}

/// A page to print, or a few that have much in common.
#[derive(Clone, Debug, PartialEq)]
pub enum Job {
    /// The front page.
    Front,
    /// The page for an address that leads nowhere.
    Missing,
    /// A lot, and the same by its trade item number where it has one.
    Lot(LotId),
    /// Some packs of a run by its trade item number; none where it has none.
    Packs(LotId, SerialRange),
    /// A bin.
    Bin(BinCode),
    /// A rack.
    Rack(String),
}

impl<'a> Press<'a> {
    /// Gets a farm ready.
    pub fn of(farm: &'a Farm, settings: &'a Settings) -> Self {
        Self {
            farm,
            frames: Frames {
                settings,
                policy: policy(),
            },
            standings: standings(farm),
            balances: balances(farm),
            ways_back: Channels::back(farm),
        }
    }

    /// Returns what there is to print.
    pub fn jobs(&self) -> Vec<Job> {
        let mut jobs = vec![Job::Front, Job::Missing];
        for (id, lot) in self.farm.lots() {
            jobs.push(Job::Lot(id));
            if matches!(lot.sort, LotSort::Run(_)) && self.gtin(id).is_some() {
                jobs.extend(self.packs_of(id));
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

    /// Returns the packs of a run, a few at a time.
    fn packs_of(&self, run: LotId) -> impl Iterator<Item = Job> {
        let shelf = self.farm.lot(run).shelf.as_ref();
        let made = shelf.map_or(0, |shelf| shelf.made());
        let step = usize::try_from(PACKS_AT_ONCE).expect("a few hundred");
        let firsts = (1..=made).step_by(step);
        firsts.filter_map(move |first| {
            let last = made.min(first.saturating_add(PACKS_AT_ONCE - 1));
            let some = SerialRange::new(Serial::new(first)?, Serial::new(last)?)?;
            Some(Job::Packs(run, some))
        })
    }

    /// Returns the paths of a job's pages, in the order in which they are printed.
    pub fn paths(&self, job: &Job) -> Vec<String> {
        let farm = self.farm;
        match job {
            Job::Front => vec![path::FRONT.to_owned()],
            Job::Missing => vec![path::MISSING.to_owned()],
            Job::Bin(bin) => vec![path::bin(*bin)],
            Job::Rack(rack) => vec![path::rack(rack)],
            Job::Lot(lot) => {
                let linked = self.gtin(*lot);
                let linked = linked.map(|gtin| path::linked_run(farm, gtin, *lot));
                std::iter::once(path::lot(farm, *lot))
                    .chain(linked)
                    .collect()
            }
            Job::Packs(run, some) => {
                let Some(gtin) = self.gtin(*run) else {
                    return Vec::new();
                };
                let path = |serial| path::linked_pack(farm, gtin, *run, serial);
                some.serials().map(path).collect()
            }
        }
    }

    /// Prints the pages of a job.
    pub fn print(&self, job: &Job) -> Result<Vec<Page>, SiteError> {
        let paths = self.paths(job);
        match job {
            Job::Lot(lot) => self.lot(*lot, paths),
            Job::Packs(run, some) => self.packs(*run, *some, paths),
            Job::Front | Job::Missing | Job::Bin(_) | Job::Rack(_) => {
                let pages = paths.into_iter().map(|path| self.one(job, path));
                pages.collect()
            }
        }
    }

    /// Prints a job that is a single page.
    fn one(&self, job: &Job, path: String) -> Result<Page, SiteError> {
        let (farm, standings) = (self.farm, &self.standings);
        let frame = |title: &str| self.frame(&path, title);
        match job {
            Job::Front => {
                let page = DoorPage::front(farm, standings, frame("Find a pack"));
                Page::of(path, &page).map(Page::with_newest_seal)
            }
            Job::Bin(bin) => {
                let frame = frame(&format!("Bin {bin}"));
                Page::of(path, &BinPage::of(farm, standings, *bin, frame))
            }
            Job::Rack(rack) => {
                let frame = frame(&format!("Rack {rack}"));
                Page::of(path, &RackPage::of(farm, standings, rack, frame))
            }
            Job::Missing | Job::Lot(_) | Job::Packs(..) => {
                let page = DoorPage::missing(farm, frame("No such page"));
                Page::of(path, &page)
            }
        }
    }

    /// Prints the page of a lot, at each path that leads to it.
    fn lot(&self, id: LotId, paths: Vec<String>) -> Result<Vec<Page>, SiteError> {
        let title = self.title(id, &self.farm.lot(id).code.to_string());
        let mut page = LotPage::of(self.subject(id), self.frame(path::FRONT, &title));
        let print = |path: String| {
            page.frame = self.frame(&path, &title);
            Page::of(path, &page)
        };
        paths.into_iter().map(print).collect()
    }

    /// Prints the pages of some packs of a run.
    fn packs(
        &self,
        run: LotId,
        some: SerialRange,
        paths: Vec<String>,
    ) -> Result<Vec<Page>, SiteError> {
        let code = self.farm.lot(run).code;
        let packs = Packs::of(self.subject(run));
        let print = |(serial, path): (Serial, String)| {
            let title = self.title(run, &format!("{code}/{serial}"));
            let frame = self.frame(&path, &title);
            Page::of(path, &packs.page(serial, frame))
        };
        some.serials().zip(paths).map(print).collect()
    }

    fn subject(&self, lot: LotId) -> Subject<'_> {
        Subject {
            farm: self.farm,
            lot,
            standing: &self.standings[lot.index()],
            balance: self.balances.of(self.farm, lot),
            ways_back: &self.ways_back,
        }
    }

    /// Returns the trade item number by which the codes of a run lead to it.
    fn gtin(&self, lot: LotId) -> Option<&Gtin> {
        path::linked(self.farm, self.frames.settings, lot)
    }

    fn title(&self, lot: LotId, code: &str) -> String {
        format!("{}, {code}", wording::what(self.farm, lot))
    }

    fn frame(&self, path: &str, title: &str) -> Frame<'_> {
        let title = format!("{title} – {}", self.frames.settings.name);
        self.frames.frame(title, path::up_from(path))
    }
}
