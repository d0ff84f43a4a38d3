//! The boxes of the round sheet, as the phone shows them: the same words, and so the same rows.

/// A row of boxes of which one is circled.
pub struct Boxes {
    /// What it asks.
    pub name: &'static str,
    /// The column of checks that it fills.
    pub column: &'static str,
    /// The words to choose from.
    pub words: &'static [&'static str],
}

/// The rows of boxes, in the order of their worth.
pub const BOXES: [Boxes; 4] = [
    Boxes {
        name: "Food left",
        column: "feed_left",
        words: &["none", "some", "lots"],
    },
    Boxes {
        name: "A handful squeezed",
        column: "squeeze",
        words: &["dry", "drops", "stream"],
    },
    Boxes {
        name: "Smell",
        column: "smell",
        words: &["earth", "sour", "ammonia"],
    },
    Boxes {
        name: "Worms up the side",
        column: "worms",
        words: &["yes", "no"],
    },
];

/// Why beds are usually passed over: common practice, no source. `food left` is what a round goes by.
pub const WHYS: [&str; 5] = [
    "food left",
    "too wet",
    "too dry",
    "mites or flies",
    "sieved soon",
];
