//! What a label says: plain text by the name of its field.
//!
//! Nothing here knows where the text comes from, so that labels can be laid out and tested
//! without a farm.

use std::collections::BTreeMap;
use std::fmt;
use std::str::FromStr;

use super::said::Said;
use crate::farm::{Gtin, Settings};

macro_rules! fields {
    ($($(#[doc = $doc:literal])+ $variant:ident = $name:literal,)+) => {
        /// A named place in a template that a label's own words go into.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Field { $($(#[doc = $doc])+ $variant,)+ }

        impl Field {
            /// Every field there is, in the order of this file.
            pub const ALL: &[Self] = &[$(Self::$variant,)+];

            /// The name as templates write it.
            pub const fn name(self) -> &'static str {
                match self { $(Self::$variant => $name,)+ }
            }
        }
    };
}

fields! {
    /// A lot's code, such as `P26115-07-S`.
    Lot = "lot",
    /// The code in the clear: the lot with its serial, or the lot alone where there is none.
    Code = "code",
    /// The serial of one pack of a run.
    Serial = "serial",
    /// The grower's own mark of a lot.
    Ref = "ref",
    /// What is sold: the product's name.
    Product = "product",
    /// What the product is, in one line, such as "Soil improver" or "Live bait".
    Statement = "statement",
    /// Net quantity, such as "20 L".
    Net = "net",
    /// How many animals or pieces are in it.
    Count = "count",
    /// The day it was packed.
    Packed = "packed",
    /// The day it is best used by.
    BestBy = "best_by",
    /// The animals' name in plain words.
    Species = "species",
    /// The animals' Latin name.
    Latin = "latin",
    /// What it was made from, in falling order.
    MadeFrom = "made_from",
    /// How to use it; a new line for each sentence that stands alone.
    Use = "use",
    /// How to keep it; a new line for each sentence that stands alone.
    Store = "store",
    /// What to do when something is wrong with it.
    Trouble = "trouble",
    /// Cautions; a new line for each.
    Cautions = "cautions",
    /// The farm's name.
    Farm = "farm",
    /// The farm's postal address in one line.
    Address = "address",
    /// The farm's telephone number.
    Phone = "phone",
    /// A bin's code.
    Bin = "bin",
    /// A rack's code.
    Rack = "rack",
    /// Where a bin stands, such as `R2/S1/P3`, or where a rack's bins are.
    Place = "place",
    /// The day the bed in a bin was started.
    Bedded = "bedded",
    /// The kind of a delivery or batch, such as "manure" or "castings".
    Kind = "kind",
    /// What a delivery is called, without its supplier.
    Name = "name",
    /// How much there is or was of a lot.
    Amount = "amount",
    /// The day a delivery came in.
    Received = "received",
    /// The day a batch was sieved or blended.
    Made = "made",
    /// The beds or lots that a batch came from.
    From = "from",
    /// The animal a manure came from, with its bedding.
    Animal = "animal",
    /// Where the hay or forage came from.
    HayFrom = "hay_from",
    /// Whether the hay was sprayed, as it was said.
    HaySprayed = "hay_sprayed",
    /// The last wormer given, and its day.
    Wormer = "wormer",
    /// How old the manure was.
    Age = "age",
    /// Whether it was heat-treated or hot-composted.
    Heated = "heated",
    /// Who said so, and when.
    Said = "said",
    /// Where a sample of it is kept.
    Sample = "sample",
    /// Whether a lot is on hold, in one line; absent when it is not.
    Hold = "hold",
    /// Why a lot is on hold.
    HoldReason = "hold_reason",
    /// The day a hold began.
    HoldSince = "hold_since",
    /// What a hold tag hangs on, such as "Delivery, horse manure".
    HoldOn = "hold_on",
}

/// A name that is not a field's.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{name}` is not a field; there are {}", all_names())]
pub struct UnknownField {
    /// The name as written.
    pub name: String,
}

impl fmt::Display for Field {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

impl FromStr for Field {
    type Err = UnknownField;

    fn from_str(name: &str) -> Result<Self, UnknownField> {
        let found = Self::ALL.iter().copied().find(|field| field.name() == name);
        found.ok_or_else(|| UnknownField {
            name: name.to_owned(),
        })
    }
}

fn all_names() -> String {
    let names: Vec<_> = Field::ALL.iter().map(|field| field.name()).collect();
    names.join(", ")
}

/// What one label says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Content {
    /// What messages call this label: a code, as a person would say it.
    pub name: String,
    /// The words of each field that this label has.
    pub fields: BTreeMap<Field, String>,
    /// Fields that nobody has filled yet: where they stand beside a caption, there is a line to write on.
    pub blanks: Said,
    /// What the QR code holds, if there is one.
    pub qr: Option<String>,
    /// The number of the trade item, if it has one: for the bar code.
    pub gtin: Option<Gtin>,
}

impl Content {
    /// Says something in a field, where there is something to say.
    pub fn say(&mut self, field: Field, words: Option<impl fmt::Display>) {
        if let Some(words) = words {
            self.fields.insert(field, words.to_string());
        }
    }

    /// Says whose label it is.
    pub fn say_farm(&mut self, settings: &Settings) {
        self.say(Field::Farm, Some(&settings.name));
        let address = settings.address.join(", ");
        self.say(
            Field::Address,
            Some(address).filter(|text| !text.is_empty()),
        );
        self.say(Field::Phone, settings.phone.as_ref());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_field_is_found_by_its_own_name() {
        for field in Field::ALL {
            assert_eq!(field.name().parse(), Ok(*field));
        }
        let names: std::collections::BTreeSet<_> = Field::ALL.iter().map(|f| f.name()).collect();
        assert_eq!(names.len(), Field::ALL.len());
    }

    #[test]
    fn a_name_that_is_no_field_is_said_back_with_the_ones_there_are() {
        let error = "lott".parse::<Field>().unwrap_err().to_string();
        assert!(
            error.starts_with("`lott` is not a field; there are lot, code, "),
            "{error}"
        );
    }
}
