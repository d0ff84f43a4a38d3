//! What castlot.toml says of the farm, as values. The file itself is read in `cli`.

use std::collections::BTreeMap;

use jiff::tz::TimeZone;

use super::amount::Measures;
use super::kinds::DeliveryKind;
use super::moment::DateOrder;
use super::permission::{KitchenNames, Permission};
use super::portion::Portion;
use super::printer::Printer;
use super::product::Product;
use super::public::Public;
use super::round::{FeedingSetting, RoundSetting};
use super::wording::{OwnClaim, Wording};

/// The farm's own settings.
#[derive(Clone, Debug)]
pub struct Settings {
    /// The farm's name, as labels give it.
    pub name: String,
    /// Its postal address, a line each.
    pub address: Vec<String>,
    /// Its country, ISO 3166 alpha-2: picks cautions and packing rules.
    pub country: String,
    /// Its time zone.
    pub zone: TimeZone,
    /// Its telephone number.
    pub phone: Option<String>,
    /// How its sheets write dates.
    pub dates: DateOrder,
    /// What its QR codes hold.
    pub form: QrForm,
    /// The address of its public pages, without a slash at the end.
    pub base: Option<String>,
    /// The address of the shed's own server, for bins and racks.
    pub shed: Option<String>,
    /// Addresses that codes printed before carry.
    pub old_bases: Vec<String>,
    /// Its own measures.
    pub measures: Measures,
    /// What it sells, by key.
    pub products: BTreeMap<String, ProductSetting>,
    /// Its printers, by name.
    pub printers: BTreeMap<String, Printer>,
    /// Its words in place of castlot's, on the labels of all products.
    pub wording: Wording,
    /// Claims it has ground for, or looks for beside castlot's own, by name.
    pub claims: BTreeMap<String, OwnClaim>,
    /// The share of a product up to which a constituent is folded into the small amounts, where the farm sets one.
    pub small_share: Option<Portion>,
    /// How it judges fills.
    pub fills: FillSetting,
    /// What it holds when it comes in.
    pub hold: HoldSetting,
    /// Its limits on deliveries in twelve months, by heading.
    pub tonnage: BTreeMap<String, TonnageLimit>,
    /// Its permissions, by name.
    pub permissions: BTreeMap<String, Permission>,
    /// What it calls kitchen waste.
    pub kitchen: KitchenNames,
    /// How it walks its round.
    pub round: RoundSetting,
    /// How it feeds, by species.
    pub feeding: BTreeMap<String, FeedingSetting>,
    /// What its public pages show.
    pub public: Public,
}

/// When the weight of a litre is no longer to be gone by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FillSetting {
    /// After so many days it is old.
    pub density_days: u32,
    /// With more than so many per cent of water the batch is wet.
    pub wet_over: u32,
}

impl Default for FillSetting {
    /// The usual limits: common practice, no source.
    fn default() -> Self {
        Self {
            density_days: 30,
            wet_over: 60,
        }
    }
}

/// What a farm holds when it comes in, and until when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HoldSetting {
    /// The kinds of deliveries; none where nothing is held.
    pub incoming: Vec<DeliveryKind>,
    /// The test that it waits for.
    pub until: Box<str>,
    /// In how many days that should have been read.
    pub due_days: u32,
}

impl Default for HoldSetting {
    /// Nothing is held; a bean test is read at two to three weeks (Washington State University Extension).
    fn default() -> Self {
        Self {
            incoming: Vec::new(),
            until: "bean".into(),
            due_days: 21,
        }
    }
}

/// A limit on deliveries in twelve months, as the farm has set it. A list without words leaves everything in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TonnageLimit {
    /// The kinds that count.
    pub kinds: Vec<DeliveryKind>,
    /// Words, one of which stands in the name.
    pub names: Vec<String>,
    /// Words, one of which stands in the animal.
    pub animals: Vec<String>,
    /// The limit in grams.
    pub grams: u64,
}

/// Which of the three forms a QR code has.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum QrForm {
    /// A line of text, the code first.
    #[default]
    Text,
    /// The address of the lot's page.
    Web,
    /// A GS1 Digital Link.
    Gs1,
}

/// A product, and how its packs are labelled.
#[derive(Clone, Debug, PartialEq)]
pub struct ProductSetting {
    /// The product.
    pub product: Product,
    /// The templates of its labels.
    pub labels: Vec<String>,
    /// The sheet they are printed on.
    pub sheet: Option<String>,
    /// How wide the pack is across where the label goes round it, in micrometres.
    pub across_um: Option<u32>,
    /// The farm's words on its labels.
    pub wording: Wording,
}

impl ProductSetting {
    /// Makes the setting of a product whose labels are the usual ones.
    pub fn of(product: Product) -> Self {
        Self {
            product,
            labels: Vec::new(),
            sheet: None,
            across_um: None,
            wording: Wording::default(),
        }
    }
}

impl Settings {
    /// Makes the settings of a farm of which only name, country and time zone are known.
    pub fn of(name: &str, country: &str, zone: TimeZone) -> Self {
        Self {
            name: name.to_owned(),
            address: Vec::new(),
            country: country.to_owned(),
            zone,
            phone: None,
            dates: DateOrder::default(),
            form: QrForm::default(),
            base: None,
            shed: None,
            old_bases: Vec::new(),
            measures: Measures::new(),
            products: BTreeMap::new(),
            printers: BTreeMap::new(),
            wording: Wording::default(),
            claims: BTreeMap::new(),
            small_share: None,
            fills: FillSetting::default(),
            hold: HoldSetting::default(),
            tonnage: BTreeMap::new(),
            permissions: BTreeMap::new(),
            kitchen: KitchenNames::default(),
            round: RoundSetting::default(),
            feeding: BTreeMap::new(),
            public: Public::default(),
        }
    }

    /// Returns the farm's words on the labels of a product: the product's own before those of all.
    pub fn wording_of(&self, product: &str) -> Wording {
        match self.products.get(product) {
            Some(setting) => setting.wording.or(&self.wording),
            None => self.wording.clone(),
        }
    }

    /// Returns every address that the farm's codes carry or have carried.
    pub fn bases(&self) -> Vec<String> {
        let now = self.base.iter().chain(&self.shed);
        now.chain(&self.old_bases).cloned().collect()
    }
}
