//! Prints the pages: which there are, and each of them.

use std::collections::BTreeSet;

use crate::farm::{BinCode, Farm, Gtin, LotId, LotSort, Serial, SerialRange, Settings};

use super::SiteError;
use super::counter::{Counter, Sought};
use super::door_page::DoorPage;
use super::engines;
use super::foot::Page;
use super::frame::{Frame, Frames};
use super::lot_page::{LotPage, Subject};
use super::pack_page::Packs;
use super::path;
use super::policy::policy;
use super::shed_page::{BinPage, RackPage};
use super::shown::Shown;

/// How many packs of a run are printed at a time: enough that tracing the run for them costs little beside them, few enough
/// to be held.
const PACKS_AT_ONCE: u32 = 200;

/// A farm ready to be printed: what all pages need is worked out once.
pub struct Press<'a> {
    farm: &'a Farm,
    frames: Frames<'a>,
    counter: Counter,
}

/// A page to print, or a few that have much in common.
#[derive(Clone, Debug, PartialEq)]
pub enum Job {
    /// The front page.
    Front,
    /// The page for an address that leads nowhere.
    Missing,
    /// What search engines may read.
    Robots,
    /// The list of pages for search engines.
    Sitemap,
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
        Self::with(farm, settings, Counter::of(farm))
    }

    /// Takes what was worked out of a farm.
    pub(super) fn with(farm: &'a Farm, settings: &'a Settings, counter: Counter) -> Self {
        Self {
            farm,
            frames: Frames {
                settings,
                policy: policy(),
            },
            counter,
        }
    }

    /// Returns what there is to print.
    pub fn jobs(&self) -> Vec<Job> {
        let mut jobs = vec![Job::Front, Job::Missing, Job::Robots];
        jobs.extend(self.has_sitemap().then_some(Job::Sitemap));
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
            Job::Robots => vec![engines::ROBOTS.to_owned()],
            Job::Sitemap => vec![engines::SITEMAP.to_owned()],
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
        let each = |print: &dyn Fn(String) -> Result<Page, SiteError>| {
            paths.iter().cloned().map(print).collect()
        };
        let one = |sought| each(&|path| self.page(sought, path, String::new()));
        match job {
            Job::Front => one(Sought::Front),
            Job::Missing => one(Sought::Missing),
            Job::Robots => one(Sought::Robots),
            Job::Sitemap => one(Sought::Sitemap),
            Job::Bin(bin) => each(&|path| self.bin(*bin, path)),
            Job::Rack(rack) => each(&|path| self.rack(rack, path)),
            Job::Lot(lot) => self.lot(*lot, paths),
            Job::Packs(run, some) => self.packs(*run, *some, paths),
        }
    }

    /// Prints a page that somebody may ask for; `up` is the way up from it to where the codes stand.
    pub(super) fn page(&self, sought: Sought, path: String, up: String) -> Result<Page, SiteError> {
        let (farm, settings) = (self.farm, self.frames.settings);
        let frame = self.frame(sought, up);
        match sought {
            Sought::Front => {
                let page = DoorPage::front(farm, &self.counter.ready().standings, frame);
                Page::of(path, &page).map(Page::with_newest_seal)
            }
            Sought::Missing => Page::of(path, &DoorPage::missing(farm, frame)),
            Sought::Robots => Ok(Page::without_foot(path, engines::robots(settings))),
            Sought::Sitemap => match engines::sitemap(farm, settings) {
                Some(list) => Ok(Page::without_foot(path, list)),
                None => Page::of(path, &DoorPage::missing(farm, frame)),
            },
            Sought::Lot(lot) => Page::of(path, &LotPage::of(self.subject(lot), frame)),
            Sought::Pack(run, serial) => Page::of(path, &self.packs_page(run).page(serial, frame)),
        }
    }

    /// Prints the page of a lot, at each path that leads to it.
    fn lot(&self, id: LotId, paths: Vec<String>) -> Result<Vec<Page>, SiteError> {
        let frame = |path: &str| self.frame(Sought::Lot(id), path::up_from(path));
        let mut page = LotPage::of(self.subject(id), frame(path::FRONT));
        let print = |path: String| {
            page.frame = frame(&path);
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
        let packs = self.packs_page(run);
        let print = |(serial, path): (Serial, String)| {
            let frame = self.frame(Sought::Pack(run, serial), path::up_from(&path));
            Page::of(path, &packs.page(serial, frame))
        };
        some.serials().zip(paths).map(print).collect()
    }

    fn bin(&self, bin: BinCode, path: String) -> Result<Page, SiteError> {
        let frame = self.titled(&format!("Bin {bin}"), path::up_from(&path));
        let standings = &self.counter.ready().standings;
        Page::of(path, &BinPage::of(self.farm, standings, bin, frame))
    }

    fn rack(&self, rack: &str, path: String) -> Result<Page, SiteError> {
        let frame = self.titled(&format!("Rack {rack}"), path::up_from(&path));
        let standings = &self.counter.ready().standings;
        Page::of(path, &RackPage::of(self.farm, standings, rack, frame))
    }

    fn subject(&self, lot: LotId) -> Subject<'_> {
        let ready = self.counter.ready();
        Subject {
            farm: self.farm,
            lot,
            standing: &ready.standings[lot.index()],
            balance: ready.balances.of(self.farm, lot),
            ways_back: &ready.ways_back,
        }
    }

    fn packs_page(&self, run: LotId) -> Packs<'_> {
        Packs::of(self.shown(), self.subject(run))
    }

    /// Returns the trade item number by which the codes of a run lead to it.
    fn gtin(&self, lot: LotId) -> Option<&Gtin> {
        path::linked(self.farm, self.frames.settings, lot)
    }

    fn has_sitemap(&self) -> bool {
        engines::sitemap_at(self.frames.settings).is_some()
    }

    fn shown(&self) -> Shown<'_> {
        Shown::of(self.farm, self.frames.settings)
    }

    /// Makes the frame of a page that is so far below where the codes stand.
    fn frame(&self, sought: Sought, up: String) -> Frame<'_> {
        let what = |lot| self.shown().what(lot);
        let code = |lot: LotId| self.farm.lot(lot).code;
        let title = match sought {
            Sought::Front => "Find a pack".to_owned(),
            Sought::Missing | Sought::Robots | Sought::Sitemap => "No such page".to_owned(),
            Sought::Lot(lot) => format!("{}, {}", what(lot), code(lot)),
            Sought::Pack(run, serial) => format!("{}, {}/{serial}", what(run), code(run)),
        };
        let is_listed = self.has_sitemap() && self.may_be_listed(sought, &up);
        Frame {
            is_listed,
            ..self.titled(&title, up)
        }
    }

    /// Tells whether a page is one for search engines, which is a run's under its code alone: by its trade item number,
    /// further down, it stands a second time.
    fn may_be_listed(&self, sought: Sought, up: &str) -> bool {
        match sought {
            Sought::Front => true,
            Sought::Lot(lot) => {
                let is_run = matches!(self.farm.lot(lot).sort, LotSort::Run(_));
                is_run && up.matches('/').count() <= 1
            }
            Sought::Missing | Sought::Robots | Sought::Sitemap | Sought::Pack(..) => false,
        }
    }

    fn titled(&self, title: &str, up: String) -> Frame<'_> {
        let title = format!("{title} – {}", self.frames.settings.name);
        self.frames.frame(title, up)
    }
}
