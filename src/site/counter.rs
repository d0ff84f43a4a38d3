//! One page at a time, for a server: what all pages need is worked out once, each page when it is asked for.
//!
//! The same pages as `publish` makes, and beside them one for each pack, whatever form the farm's codes have.

use askama::Template;

use crate::farm::{Farm, LotId, Serial, Settings};
use crate::trace::{Balances, balances};

use super::SiteError;
use super::door_page::DoorPage;
use super::frame::{Frame, Frames};
use super::lot_page::{LotPage, Subject};
use super::pack_page::Packs;
use super::policy::policy;
use super::standing::{Standing, standings};
use super::wording;

/// What all pages of a farm need.
pub struct Counter {
    standings: Vec<Standing>,
    balances: Balances,
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
        }
    }

    /// Makes a page; `up` is the way from its address up to where the codes stand, ending in a slash.
    pub fn page(&self, stock: Stock<'_>, sought: Sought, up: &str) -> Result<Vec<u8>, SiteError> {
        let (farm, settings) = (stock.farm, stock.settings);
        let last = farm.entries().last();
        let written = last.map(|entry| {
            let day = settings.zone.to_datetime(entry.written).date();
            (entry.number, wording::date(day))
        });
        let frames = Frames {
            settings,
            policy: policy(),
            seal: stock.seal,
            written,
        };
        let frame = |title: &str| {
            let title = format!("{title} – {}", settings.name);
            frames.frame(title, up.to_owned())
        };
        match sought {
            Sought::Front => {
                let frame = frame("Find a pack");
                rendered(&DoorPage::front(farm, &self.standings, frame), sought)
            }
            Sought::Missing => rendered(&DoorPage::missing(farm, frame("No such page")), sought),
            Sought::Lot(lot) => {
                let code = farm.lot(lot).code;
                let title = format!("{}, {code}", wording::what(farm, lot));
                rendered(&self.lot(farm, lot, frame(&title)), sought)
            }
            Sought::Pack(run, serial) => {
                let code = farm.lot(run).code;
                let title = format!("{}, {code}/{serial}", wording::what(farm, run));
                let standing = &self.standings[run.index()];
                let packs = Packs::of(farm, run, standing, &self.balances.of(farm, run));
                rendered(&packs.page(serial, frame(&title)), sought)
            }
        }
    }

    fn lot<'a>(&'a self, farm: &'a Farm, lot: LotId, frame: Frame<'a>) -> LotPage<'a> {
        let subject = Subject {
            farm,
            lot,
            standing: &self.standings[lot.index()],
            balance: self.balances.of(farm, lot),
        };
        LotPage::of(subject, frame)
    }
}

fn rendered(page: &impl Template, sought: Sought) -> Result<Vec<u8>, SiteError> {
    match page.render() {
        Ok(text) => Ok(text.into_bytes()),
        Err(source) => Err(SiteError::Template {
            path: format!("{sought:?}"),
            source,
        }),
    }
}
