//! One page at a time, for a server: what all pages need is worked out once, each page when it is asked for.
//!
//! The same pages as `publish` makes, and beside them one for each pack, whatever form the farm's codes have.

use std::sync::Arc;

use crate::farm::{Farm, LotId, Serial, Settings};
use crate::trace::{Balances, Channels, balances};

use super::SiteError;
use super::engines;
use super::foot::Foot;
use super::press::Press;
use super::standing::{Standing, standings};

/// What all pages of a farm need.
#[derive(Clone)]
pub struct Counter(Arc<Ready>);

/// What was worked out.
pub struct Ready {
    /// How each lot stands.
    pub standings: Vec<Standing>,
    /// What each lot was made from.
    pub balances: Balances,
    /// The ways back, kept from one page to the next.
    pub ways_back: Channels,
}

/// A page that somebody may ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sought {
    /// The front page.
    Front,
    /// The page for an address that leads nowhere.
    Missing,
    /// What search engines may read.
    Robots,
    /// The list of pages for search engines.
    Sitemap,
    /// The page of a lot.
    Lot(LotId),
    /// The page of one pack of a run.
    Pack(LotId, Serial),
}

impl Sought {
    /// Finds what search engines ask for by the name of its file; the list only where the farm wants one.
    pub fn by_engines(name: &str, settings: &Settings) -> Option<Self> {
        match name {
            engines::ROBOTS => Some(Self::Robots),
            engines::SITEMAP => engines::sitemap_at(settings).map(|_| Self::Sitemap),
            _ => None,
        }
    }

    /// Returns what it is made of, as servers say it.
    pub fn media_type(self) -> &'static str {
        match self {
            Self::Front | Self::Missing | Self::Lot(_) | Self::Pack(..) => {
                "text/html; charset=utf-8"
            }
            Self::Robots => "text/plain; charset=utf-8",
            Self::Sitemap => "application/xml",
        }
    }
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
        Self(Arc::new(Ready {
            standings: standings(farm),
            balances: balances(farm),
            ways_back: Channels::back(farm),
        }))
    }

    /// Returns what was worked out.
    pub(super) fn ready(&self) -> &Ready {
        &self.0
    }

    /// Makes a page; `up` is the way from its address up to where the codes stand, ending in a slash.
    pub fn page(&self, stock: Stock<'_>, sought: Sought, up: &str) -> Result<Vec<u8>, SiteError> {
        let (farm, settings) = (stock.farm, stock.settings);
        let press = Press::with(farm, settings, self.clone());
        let page = press.page(sought, format!("{sought:?}"), up.to_owned())?;
        // A page that is made when it is asked for is of the diary as it is.
        let last = farm.entries().last().map_or(0, |entry| entry.number);
        let foot = Foot::of(farm, settings, last, stock.seal)?;
        Ok(page.with(&foot))
    }
}
