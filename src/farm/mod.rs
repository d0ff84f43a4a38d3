//! The farm: its words, its codes and amounts, the entries of its diary, and the state they add up to.
//!
//! Promises to stay pure: no files, no clock, no database, no terminal. What it adds up is a function of the entries.
//!
//! # Words
//! - **bin**: a box with a code of the farm's own. **place**: where it stands, `RACK/SHELF/PLACE`.
//! - **bed**: what lives in a bin between two clearings. **delivery**: goods in. **batch**: harvested or blended.
//!   **pack run**: packs filled at one time. These four are **lots**; each has a code, and may have a **mark** (`ref`).
//! - **draw**: some of a lot taken into another. **flow**: a draw, a split, a tip or a sieving, as material that moved.
//! - **moment**: a minute, or a day whose hour nobody noted. **entry**: one line of the diary.
//! - **strike**: a line drawn through an entry, in the open. **word**: a name or remark that can be forgotten.

mod allot;
mod amount;
mod apply;
mod as_of;
mod bed_found;
mod beds;
mod bin_code;
mod check_character;
mod code;
mod complaints;
mod day;
mod draws;
mod entry;
mod facts;
#[expect(
    clippy::module_inception,
    reason = "the farm is what this folder is about"
)]
mod farm;
mod fill;
#[cfg(test)]
mod fill_test;
mod flow;
mod fold;
mod holding;
#[cfg(test)]
mod holds_test;
mod kinds;
mod labelled;
mod lot;
mod meaning;
mod moment;
mod naming;
mod nearest;
mod noun;
mod packs;
mod permission;
pub mod phrase;
mod portion;
mod printer;
mod product;
mod public;
mod rated;
mod reading;
mod ready;
mod record;
mod refusal;
mod relation;
mod round;
#[cfg(test)]
mod rules_test;
#[cfg(test)]
pub(crate) mod scenario;
mod settings;
mod shelf;
mod shelf_moves;
mod shop;
mod spans;
mod tenths;
mod visits;
mod warning;
mod word;
mod wording;

pub use amount::{Amount, AmountError, Measure, Measures, Quantity, Unit};
pub use bin_code::{BinCode, Mark, Place, is_place_part};
pub use check_character::check_character;
pub use code::{CodeError, LotCode, LotLetter, PackCode, Serial};
pub use complaints::Complaint;
pub use entry::{
    Clears, Draft, Draw, Entry, EntryNumber, Event, Found, NewLot, SaleTo, Sieved, Strike, Thrown,
};
pub use facts::{
    BinFacts, BinStanding, CheckFacts, ComplaintFacts, DeliveryFacts, PrintFacts, Rate, Reading,
    TestFacts,
};
pub use farm::{Bin, Farm, Fault};
pub use fill::{Fills, SHORT_FILLS};
pub use flow::{Basis, Class, Flow, FlowId, Much, Passage, Recount};
pub use holding::Holding;
pub use kinds::{
    BatchKind, DeliveryKind, FeedLeft, HaySprayed, HeatTreated, HoldStep, KindError, Material,
    PackKind, Reach, RecallStep, ReturnState, Squeeze,
};
pub use lot::{Ending, Hold, Lot, LotId, LotSort, Stay, Stock};
pub use moment::{DateOrder, Moment, MomentError};
pub use naming::{BedName, LotName, Meant, Naming, TipTo, Typed};
pub use noun::Noun;
pub use packs::{PackName, PackPick, SerialRange, Which};
pub use permission::{KitchenNames, Permission};
pub use portion::{Portion, PortionError};
pub use printer::{Dpi, Method, Printer};
pub use product::{Gtin, GtinError, Product};
pub use public::{Public, PublicFact};
pub use rated::RateTest;
pub use reading::Named;
pub use record::{Problem, Recording, Stamp};
pub use refusal::Refusal;
pub use relation::{Relation, Ways};
pub use round::{FeedingSetting, FirstShelf, RoundSetting};
pub use settings::{FillSetting, HoldSetting, ProductSetting, QrForm, Settings, TonnageLimit};
pub use shelf::{Fate, Shelf, ShelfLine};
pub use spans::Spans;
pub use tenths::Tenths;
pub use visits::Visits;
pub use warning::Warning;
pub use word::Word;
pub use wording::{OwnClaim, Wording};
