//! One page at a time, for a server: what all pages need is worked out once, each page when it is asked for.
//!
//! The same pages as `publish` makes, and beside them one for each pack, whatever form the farm's codes have.

use askama::Template;

use crate::farm::{Farm, LotId, Serial, Settings};
use crate::trace::{Balances, Channels, balances};

use super::SiteError;
use super::door_page::DoorPage;
use super::foot::{Foot, Page};
use super::frame::Frames;
use super::lot_page::{LotPage, Subject};
use super::pack_page::Packs;
use super::policy::policy;
use super::standing::{Standing, standings};
use super::wording;

/// What all pages of a farm need.
pub struct Counter {
    standings: Vec<Standing>,
    balances: Balances,
    ways_back: Channels,
}

/// A page that somebody may ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sought {
    /// The front page.
    Front,
    /// The page for an address that leads nowhere.
    Missing,
    /// The page of a lot.
    Lot(LotId),
    /// The page of one pack of a run.
    Pack(LotId, Serial),
}

/// The farm a page is of, as it was when its counter was made.
#[derive(Clone, Copy)]
pub struct Stock<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// The diary's seal.
    pub seal: &'a str,
}

impl Counter {
    /// Works out what the pages of a farm need.
    pub fn of(farm: &Farm) -> Self {
        Self {
            standings: standings(farm),
            balances: balances(farm),
            ways_back: Channels::back(farm),
        }
    }

    /// Makes a page; `up` is the way from its address up to where the codes stand, ending in a slash.
    pub fn page(&self, stock: Stock<'_>, sought: Sought, up: &str) -> Result<Vec<u8>, SiteError> {
        let (farm, settings) = (stock.farm, stock.settings);
        let frames = Frames {
            settings,
            policy: policy(),
        };
        let frame = |title: &str| {
            let title = format!("{title} – {}", settings.name);
            frames.frame(title, up.to_owned())
        };
        let page = match sought {
            Sought::Front => {
                let frame = frame("Find a pack");
                rendered(&DoorPage::front(farm, &self.standings, frame), sought)
            }
            Sought::Missing => rendered(&DoorPage::missing(farm, frame("No such page")), sought),
            Sought::Lot(lot) => {
                let code = farm.lot(lot).code;
                let title = format!("{}, {code}", wording::what(farm, lot));
                rendered(&LotPage::of(self.subject(farm, lot), frame(&title)), sought)
            }
            Sought::Pack(run, serial) => {
                let code = farm.lot(run).code;
                let title = format!("{}, {code}/{serial}", wording::what(farm, run));
                let packs = Packs::of(self.subject(farm, run));
                rendered(&packs.page(serial, frame(&title)), sought)
            }
        };
        // A page that is made when it is asked for is of the diary as it is.
        let last = farm.entries().last().map_or(0, |entry| entry.number);
        let foot = Foot::of(farm, settings, last, stock.seal)?;
        Ok(page?.with(&foot))
    }

    fn subject<'a>(&'a self, farm: &'a Farm, lot: LotId) -> Subject<'a> {
        Subject {
            farm,
            lot,
            standing: &self.standings[lot.index()],
            balance: self.balances.of(farm, lot),
            ways_back: &self.ways_back,
        }
    }
}

fn rendered(page: &impl Template, sought: Sought) -> Result<Page, SiteError> {
    Page::of(format!("{sought:?}"), page)
}
