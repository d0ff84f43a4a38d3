//! What castlot.toml says of the feeding round: in whole days and thousandths, and nothing where castlot's own is meant.

/// How the farm walks its round.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RoundSetting {
    /// A bed with food left is looked at again after so many days.
    pub look_days: u32,
    /// A new bed gets its first feed after so many days.
    pub settle_days: u32,
    /// Where the first shelf of a rack is.
    pub first_shelf: FirstShelf,
}

/// Where shelves are counted from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum FirstShelf {
    /// The first is at the top.
    #[default]
    Top,
    /// The first is at the bottom.
    Bottom,
}

impl Default for RoundSetting {
    /// Two days each: common practice, no source.
    fn default() -> Self {
        Self {
            look_days: 2,
            settle_days: 2,
            first_shelf: FirstShelf::default(),
        }
    }
}

/// How the farm feeds a species; castlot's own figure where it does not say.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct FeedingSetting {
    /// Days from one feed to the next.
    pub every_days: Option<u32>,
    /// Thousandths of a kilogram of feed to a kilogram of worms and day.
    pub rate: Option<u32>,
}
