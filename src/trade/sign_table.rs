//! The rows of the table of signs: faults of castings and worms, as the trade knows them.
//!
//! Marks of the sources: `[s]` read in a public source, `[p]` practice told by growers and sellers and weak for a number,
//! `[d]` worked out from the line's own figures. Where a source has words and no number ("days to weeks"), the days are
//! a reading of our own, and the row says so.

use super::signs::{Lag, Sign, Start};
use crate::farm::DeliveryKind::{Bedding, Feedstock, Grit, Manure, Packing, Worms};
use crate::farm::{BatchKind, Way};

const WEEK: i64 = 7;
/// Days in 4 and in 14 months of 30.44 days.
const FOUR_MONTHS: i64 = 121;
const FOURTEEN_MONTHS: i64 = 427;
/// "Days to weeks", read as at most so many days: six weeks, a reading of our own.
const SOME_WEEKS: i64 = 6 * WEEK;

/// The whole table.
pub const SIGNS: &[Sign] = &[
    Sign {
        name: "twisted-leaves",
        seen: "cupped, curled or twisted leaves of tomato, bean, pea or potato; grasses are fine",
        cause: "weedkiller carried over in manure, straw or green waste (aminopyralid, clopyralid)",
        lag: Some(Lag {
            least: FOUR_MONTHS,
            most: FOURTEEN_MONTHS,
        }),
        way: Way::Part,
        starts: &[
            Start::Came(Manure),
            Start::Came(Feedstock),
            Start::Came(Bedding),
        ],
        test: Some("bean"),
        next: &[
            "where the hay or straw behind the load grew, and what was sprayed on it",
            "a bean test of the kept sample: 3 to 6 pots of 2:1 sample to clean mix, controls beside them, read at 2 to 3 weeks",
            "whether plants in another compost beside it are fine, which speaks against drift and disease",
        ],
        source: "lag 4 to 14 months [d]; shows 3 to 4 weeks after planting [s, press and extension]; what carries it: NC State Extension, Herbicide Carryover [s]; bean test: Washington State extension [s]",
        words: &[
            "cup", "cups", "cupp*", "curl*", "twist*", "distort*", "fern*", "gnarl*", "clawed",
        ],
    },
    Sign {
        name: "poor-breeding",
        seen: "worms do not breed, few insects in the heap",
        cause: "wormer residue in manure (ivermectin)",
        lag: Some(Lag {
            least: 1,
            most: SOME_WEEKS,
        }),
        way: Way::Part,
        starts: &[Start::Came(Manure)],
        test: None,
        next: &["the wormer's date against the day the manure was collected"],
        source: "days to weeks in beds, read as 1 to 42 days; about 90 % is out of the horse in 4 days, traces to 40 [s, veterinary laboratory]",
        words: &[
            "breed*",
            "no cocoons",
            "few cocoons",
            "few insects",
            "wormer*",
        ],
    },
    Sign {
        name: "seedlings",
        seen: "weeds or tomato seedlings come up in pots",
        cause: "seed that no heat has killed",
        lag: None,
        way: Way::Part,
        starts: &[
            Start::Came(Manure),
            Start::Came(Feedstock),
            Start::Came(Bedding),
        ],
        test: None,
        next: &[
            "whether the feed was composted hot",
            "when the bag was used: seedlings show 1 to 3 weeks after that",
        ],
        source: "1 to 3 weeks after use, whenever that is [p]",
        words: &[
            "seedling*",
            "weed",
            "weeds",
            "sprout*",
            "tomato plants",
            "volunteer*",
        ],
    },
    Sign {
        name: "flies",
        seen: "small flies or mites in the house",
        cause: "fungus gnats or mites from a wet or overfed bed, or from storage",
        lag: Some(Lag {
            least: 1,
            most: SOME_WEEKS,
        }),
        way: Way::Part,
        starts: &[Start::Bed, Start::Batch],
        test: None,
        next: &[
            "moisture of the batch",
            "notes of feed left over, flies or mites in the beds",
            "where and how long the packs stood",
        ],
        source: "days to weeks, read as 1 to 42 days [p]",
        words: &["fly", "flies", "gnat*", "mite", "mites"],
    },
    Sign {
        name: "sharp-bits",
        seen: "glass, plastic or metal in it; a cut hand",
        cause: "something foreign in a load, or from the shed",
        lag: None,
        way: Way::Any,
        starts: &[
            Start::Came(Manure),
            Start::Came(Feedstock),
            Start::Came(Bedding),
            Start::Came(Grit),
            Start::Came(Packing),
            Start::Bed,
            Start::Batch,
        ],
        test: None,
        next: &[
            "loads of municipal or garden compost",
            "which mesh it was sieved through",
            "a photograph of the piece",
        ],
        source: "any time [p]",
        words: &[
            "glass",
            "plastic",
            "metal",
            "wire",
            "sharp",
            "cut",
            "splinter*",
        ],
    },
    Sign {
        name: "sour-smell",
        seen: "a sour or ammonia smell, a foul bag",
        cause: "packed too wet, or sealed too long",
        lag: Some(Lag {
            least: 2 * WEEK,
            most: 12 * WEEK,
        }),
        way: Way::Part,
        starts: &[Start::Batch, Start::Bed],
        test: Some("moisture"),
        next: &[
            "moisture at bagging",
            "the bag, and how long it was shut",
            "the smell noted in the beds",
        ],
        source: "2 to 12 weeks in a sealed bag [p]",
        words: &[
            "sour",
            "ammonia",
            "stink* bag",
            "smell* bag",
            "foul",
            "rotten",
        ],
    },
    Sign {
        name: "short-measure",
        seen: "the bag looks small",
        cause: "too little filled in, or settled since",
        lag: None,
        way: Way::Part,
        starts: &[Start::Batch],
        test: Some("density"),
        next: &[
            "the fill check of the run",
            "density and moisture of the batch",
        ],
        source: "at sale, or after settling [p]",
        words: &[
            "short measure",
            "half full",
            "half empty",
            "short weight",
            "underfilled",
            "too little",
            "looks small",
            "not full",
        ],
    },
    Sign {
        name: "dead-worms",
        seen: "dead or limp worms, a tub that stinks",
        cause: "heat, wet or age on the way, or a poor bed",
        lag: Some(Lag { least: 0, most: 10 }),
        way: Way::Live,
        starts: &[
            Start::Came(Worms),
            Start::Bed,
            Start::Only(BatchKind::Worms),
        ],
        test: None,
        next: &[
            "the day they were packed, and the bed",
            "moisture of the bedding in the tub",
            "how warm it was on the way",
        ],
        source: "hours to 10 days [p]",
        words: &["dead", "limp", "dying", "died", "stink* tub", "tub stink*"],
    },
    Sign {
        name: "wrong-species",
        seen: "thin, fast worms that are not what the tub says",
        cause: "other worms in the stock",
        lag: Some(Lag {
            least: 1,
            most: SOME_WEEKS,
        }),
        way: Way::Live,
        starts: &[Start::Came(Worms)],
        test: Some("species"),
        next: &[
            "the species of the beds",
            "where the stock came from, and what its paper says",
            "a look at worms kept of the same batch",
        ],
        source: "days to weeks, read as 1 to 42 days [p]",
        words: &[
            "species",
            "thin* worm*",
            "fast worm*",
            "thin* fast*",
            "wrong worm*",
            "other worms",
            "wriggl*",
        ],
    },
    Sign {
        name: "mass-crawl",
        seen: "worms on the floor, out of the bin or tub",
        cause: "a feed, new bedding or a temperature that drives them out",
        lag: Some(Lag { least: 0, most: 2 }),
        way: Way::Any,
        starts: &[
            Start::Came(Feedstock),
            Start::Came(Bedding),
            Start::Came(Packing),
            Start::Bed,
            Start::Only(BatchKind::Feed),
            Start::Only(BatchKind::Bedding),
        ],
        test: None,
        next: &["the last feed, new bedding, the temperature"],
        source: "hours to 2 days after the cause [p]",
        words: &["crawl*", "escap*", "worms floor", "climb*"],
    },
    Sign {
        name: "illness",
        seen: "somebody is ill, or a salad grower sends it back",
        cause: "germs from manure that was too young or never hot",
        lag: Some(Lag {
            least: 1,
            most: SOME_WEEKS,
        }),
        way: Way::Part,
        starts: &[Start::Came(Manure), Start::Came(Feedstock)],
        test: None,
        next: &[
            "the manure's age and its heat record",
            "days since raw feed went in",
        ],
        source: "days to weeks, read as 1 to 42 days [p]",
        words: &[
            "ill",
            "illness",
            "sick*",
            "fever*",
            "vomit*",
            "salmonella",
            "coli",
            "poison*",
        ],
    },
];
