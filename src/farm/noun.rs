//! The nouns of the diary: one a sheet, one a kind of entry.

use super::entry::Event;
use super::naming::Naming;

/// A kind of row, by the singular of its sheet's name.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Noun {
    /// bins.csv
    Bin,
    /// deliveries.csv
    Delivery,
    /// beds.csv
    Bed,
    /// feeds.csv
    Feed,
    /// skips.csv
    Skip,
    /// checks.csv
    Check,
    /// splits.csv
    Split,
    /// tips.csv
    Tip,
    /// moves.csv
    Move,
    /// sievings.csv
    Sieving,
    /// blends.csv
    Blend,
    /// tests.csv
    Test,
    /// packs.csv
    Pack,
    /// weighings.csv
    Weighing,
    /// sales.csv
    Sale,
    /// returns.csv
    Return,
    /// counts.csv
    Count,
    /// thrown.csv
    Thrown,
    /// complaints.csv
    Complaint,
    /// settlements.csv
    Settlement,
    /// holds.csv
    Hold,
    /// recalls.csv
    Recall,
    /// prints.csv
    Print,
}

impl Noun {
    /// All of them, in the order of the format's page.
    pub const ALL: [Self; 23] = [
        Self::Bin,
        Self::Delivery,
        Self::Bed,
        Self::Feed,
        Self::Skip,
        Self::Check,
        Self::Split,
        Self::Tip,
        Self::Move,
        Self::Sieving,
        Self::Blend,
        Self::Test,
        Self::Pack,
        Self::Weighing,
        Self::Sale,
        Self::Return,
        Self::Count,
        Self::Thrown,
        Self::Complaint,
        Self::Settlement,
        Self::Hold,
        Self::Recall,
        Self::Print,
    ];

    /// Returns the singular, as in `castlot record NOUN` and in stored lines.
    pub fn word(self) -> &'static str {
        self.words().0
    }

    /// Returns the name of its sheet without the ending.
    pub fn sheet(self) -> &'static str {
        self.words().1
    }

    /// Returns its place in the natural order of a day: what can feed what comes first.
    pub fn rank(self) -> u8 {
        match self {
            Self::Delivery => 0,
            Self::Bed => 1,
            Self::Feed => 2,
            Self::Split => 3,
            Self::Tip => 4,
            Self::Sieving => 5,
            Self::Blend => 6,
            Self::Pack => 7,
            Self::Sale => 8,
            Self::Bin
            | Self::Skip
            | Self::Check
            | Self::Move
            | Self::Test
            | Self::Weighing
            | Self::Return
            | Self::Count
            | Self::Thrown
            | Self::Complaint
            | Self::Settlement
            | Self::Hold
            | Self::Recall
            | Self::Print => 9,
        }
    }

    fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Bin => ("bin", "bins"),
            Self::Delivery => ("delivery", "deliveries"),
            Self::Bed => ("bed", "beds"),
            Self::Feed => ("feed", "feeds"),
            Self::Skip => ("skip", "skips"),
            Self::Check => ("check", "checks"),
            Self::Split => ("split", "splits"),
            Self::Tip => ("tip", "tips"),
            Self::Move => ("move", "moves"),
            Self::Sieving => ("sieving", "sievings"),
            Self::Blend => ("blend", "blends"),
            Self::Test => ("test", "tests"),
            Self::Pack => ("pack", "packs"),
            Self::Weighing => ("weighing", "weighings"),
            Self::Sale => ("sale", "sales"),
            Self::Return => ("return", "returns"),
            Self::Count => ("count", "counts"),
            Self::Thrown => ("thrown", "thrown"),
            Self::Complaint => ("complaint", "complaints"),
            Self::Settlement => ("settlement", "settlements"),
            Self::Hold => ("hold", "holds"),
            Self::Recall => ("recall", "recalls"),
            Self::Print => ("print", "prints"),
        }
    }
}

impl<N: Naming> Event<N> {
    /// Returns the kind of row it is.
    pub fn noun(&self) -> Noun {
        match self {
            Self::Bin { .. } => Noun::Bin,
            Self::Delivery { .. } => Noun::Delivery,
            Self::Bed { .. } => Noun::Bed,
            Self::Feed { .. } => Noun::Feed,
            Self::Skip { .. } => Noun::Skip,
            Self::Check { .. } => Noun::Check,
            Self::Split { .. } => Noun::Split,
            Self::Tip { .. } => Noun::Tip,
            Self::Move { .. } => Noun::Move,
            Self::Sieving { .. } => Noun::Sieving,
            Self::Blend { .. } => Noun::Blend,
            Self::Test { .. } => Noun::Test,
            Self::Pack { .. } => Noun::Pack,
            Self::Weighing { .. } => Noun::Weighing,
            Self::Sale { .. } => Noun::Sale,
            Self::Return { .. } => Noun::Return,
            Self::Count { .. } => Noun::Count,
            Self::Thrown { .. } => Noun::Thrown,
            Self::Complaint { .. } => Noun::Complaint,
            Self::Settlement { .. } => Noun::Settlement,
            Self::Hold { .. } => Noun::Hold,
            Self::Recall { .. } => Noun::Recall,
            Self::Print { .. } => Noun::Print,
        }
    }
}
