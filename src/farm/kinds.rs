//! The kinds and states that the sheets name by a word.

use std::fmt;

/// A word that is none of those a column takes.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{typed}` is not known here; write {}", one_of(.known))]
pub struct KindError {
    /// What was typed.
    pub typed: String,
    /// What would have been known.
    pub known: &'static [&'static str],
}

/// Writes "`a`, `b`, or `c`".
fn one_of(known: &[&str]) -> String {
    let quoted: Vec<String> = known.iter().map(|word| format!("`{word}`")).collect();
    match quoted.as_slice() {
        [] => String::new(),
        [only] => only.clone(),
        [first, last] => format!("{first} or {last}"),
        [most @ .., last] => format!("{}, or {last}", most.join(", ")),
    }
}

/// Makes an enum whose variants stand in the sheets as fixed words.
macro_rules! words {
    ($(#[$doc:meta])* $name:ident { $($(#[$variant_doc:meta])* $variant:ident = $text:literal,)+ }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum $name { $($(#[$variant_doc])* $variant,)+ }

        impl $name {
            /// All of them, in the order of the format's page.
            pub const ALL: &'static [Self] = &[$(Self::$variant,)+];
            /// Their words, in the same order.
            pub const WORDS: &'static [&'static str] = &[$($text,)+];

            /// Returns the word that stands for it in sheets and stored lines.
            pub fn word(self) -> &'static str {
                match self { $(Self::$variant => $text,)+ }
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.pad(self.word())
            }
        }

        impl std::str::FromStr for $name {
            type Err = KindError;

            fn from_str(text: &str) -> Result<Self, KindError> {
                let typed = text.trim();
                Self::ALL
                    .iter()
                    .copied()
                    .find(|kind| kind.word().eq_ignore_ascii_case(typed))
                    .ok_or_else(|| KindError { typed: typed.to_owned(), known: Self::WORDS })
            }
        }
    };
}

pub(super) use words;

words! {
    /// What a delivery is.
    DeliveryKind {
        /// Dung with its bedding.
        Manure = "manure",
        /// Scraps, grounds, ground grain and other feed.
        Feedstock = "feedstock",
        /// What a bed is made up with.
        Bedding = "bedding",
        /// Worm stock.
        Worms = "worms",
        /// Grit for the worms' gizzards.
        Grit = "grit",
        /// Packing bedding by weight; bags, tubs and lids by count.
        Packing = "packing",
    }
}

words! {
    /// What a batch is. A sieving yields the first five; a blend may be any.
    BatchKind {
        /// Sieved castings.
        Castings = "castings",
        /// Worms taken out.
        Worms = "worms",
        /// Cocoons, with the castings they lie in.
        Cocoons = "cocoons",
        /// What stayed on the sieve.
        Overs = "overs",
        /// What ran or was drawn off.
        Liquid = "liquid",
        /// A bucket mixed for feeding.
        Feed = "feed",
        /// A heap composted or soaked for bedding.
        Bedding = "bedding",
    }
}

impl BatchKind {
    /// Tells whether a sieving can yield it.
    pub fn is_sieved(self) -> bool {
        match self {
            Self::Castings | Self::Worms | Self::Cocoons | Self::Overs | Self::Liquid => true,
            Self::Feed | Self::Bedding => false,
        }
    }
}

words! {
    /// What kind of pack a product is.
    PackKind {
        /// A bag of castings.
        Bag = "bag",
        /// A tub of worms.
        Tub = "tub",
        /// A bottle of liquid.
        Bottle = "bottle",
    }
}

words! {
    /// How much of the last feed is left.
    FeedLeft {
        /// None.
        Nothing = "none",
        /// Some.
        Some = "some",
        /// Lots.
        Lots = "lots",
    }
}

words! {
    /// What a handful gives when squeezed.
    Squeeze {
        /// Nothing.
        Dry = "dry",
        /// A drop or two.
        Drops = "drops",
        /// A stream.
        Stream = "stream",
    }
}

words! {
    /// Whether a delivery was heat treated.
    HeatTreated {
        /// It was.
        Yes = "yes",
        /// It was not.
        No = "no",
        /// Nobody could say.
        NotKnown = "not known",
    }
}

words! {
    /// What was said of weedkiller on the hay behind a manure.
    HaySprayed {
        /// That it was not sprayed.
        SaidNo = "said no",
        /// That it was.
        SaidYes = "said yes",
        /// Nobody could say.
        NotKnown = "not known",
    }
}

words! {
    /// What is sold only after asking, and what a permission answers for.
    Material {
        /// Dung that was not heat treated, or of which nobody could say.
        Manure = "manure",
        /// Scraps of kitchens, canteens and eating houses.
        KitchenWaste = "kitchen waste",
    }
}

words! {
    /// In what state packs come back.
    ReturnState {
        /// Unsold: they go back on the shelf.
        Unsold = "unsold",
        /// Complained of.
        Complained = "complained",
    }
}

words! {
    /// How far a hold reaches.
    Reach {
        /// Everything it is a part of, or stock of.
        Parts = "parts",
        /// What it may have been carried to as well.
        All = "all",
    }
}

words! {
    /// A step of a recall.
    RecallStep {
        /// It is opened from these lots.
        Open = "open",
        /// A buyer has been told.
        Told = "told",
        /// Packs came back.
        Returned = "returned",
        /// It is closed.
        Close = "close",
    }
}

/// A lot is held, or let go.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HoldStep {
    /// Held, and what comes of it that far.
    Hold(Reach),
    /// Released.
    Release,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_word_reads_back_and_a_strange_one_is_told_what_is_known() {
        for kind in DeliveryKind::ALL {
            assert_eq!(kind.word().parse(), Ok(*kind));
        }
        let refused = "straw".parse::<FeedLeft>().map_err(|e| e.to_string());
        assert_eq!(
            refused,
            Err("`straw` is not known here; write `none`, `some`, or `lots`".to_owned())
        );
    }
}
