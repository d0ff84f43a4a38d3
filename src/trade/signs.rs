//! What goes wrong with castings and worms, how it is seen, how long it takes to show, and what to look at next.
//!
//! A sign leads to what may be behind it, never to a verdict. Each row has its source: `[s]` read in a public source,
//! `[p]` practice told by growers and sellers and weak for a number, `[d]` worked out from the line's own figures.
//! Where a source has words and no number ("days to weeks"), the days are a reading of our own, and say so.

use crate::farm::{BatchKind, DeliveryKind, LotSort, Way};

/// A row of the table: a fault, and how somebody who bought something sees it.
#[derive(Debug, PartialEq)]
pub struct Sign {
    /// Its name, as it is typed.
    pub name: &'static str,
    /// What is seen.
    pub seen: &'static str,
    /// What is likely behind it.
    pub cause: &'static str,
    /// Days from the cause to the complaint, least and most; `None` where any time will do.
    pub lag: Option<Lag>,
    /// By which flows the cause travels.
    pub way: Way,
    /// What it can have started with.
    starts: &'static [Start],
    /// Which test of a sample tells, as tests are named in the diary.
    pub test: Option<&'static str>,
    /// What to look at next.
    pub next: &'static [&'static str],
    /// Where the row comes from.
    pub source: &'static str,
    /// Words that lead here: any line of them, every word of it; `*` ends the beginning of a word.
    words: &'static [&'static str],
}

/// Days from the cause to the complaint.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Lag {
    /// The least.
    pub least: i64,
    /// The most.
    pub most: i64,
}

/// What a cause can have started with.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Start {
    Came(DeliveryKind),
    Bed,
    Batch,
    Only(BatchKind),
}

impl Sign {
    /// Tells whether the cause can have started with a lot of that sort; else the lot can only have passed it on.
    pub fn can_start(&self, sort: LotSort) -> bool {
        self.starts.iter().any(|start| match (start, sort) {
            (Start::Came(kind), LotSort::Delivery(of)) => *kind == of,
            (Start::Bed, LotSort::Bed) | (Start::Batch, LotSort::Batch(_)) => true,
            (Start::Only(kind), LotSort::Batch(of)) => *kind == of,
            _ => false,
        })
    }

    /// Returns the row of that name.
    pub fn named(name: &str) -> Option<&'static Self> {
        SIGNS
            .iter()
            .find(|sign| sign.name.eq_ignore_ascii_case(name.trim()))
    }

    /// Returns every row that a description leads to, in the order of the table; none where no word of it is known.
    pub fn all_in(text: &str) -> Vec<&'static Self> {
        let lower = text.to_lowercase();
        let said: Vec<&str> = lower
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .collect();
        let has = |wanted: &str| match wanted.strip_suffix('*') {
            Some(start) => said.iter().any(|word| word.starts_with(start)),
            None => said.contains(&wanted),
        };
        let fits = |sign: &&Self| {
            let mut lines = sign.words.iter();
            lines.any(|line| line.split(' ').all(has))
        };
        SIGNS.iter().filter(fits).collect()
    }
}

const WEEK: i64 = 7;
/// Days in 4 and in 14 months of 30.44 days.
const FOUR_MONTHS: i64 = 121;
const FOURTEEN_MONTHS: i64 = 427;
/// "Days to weeks", read as at most so many days: six weeks, a reading of our own.
const SOME_WEEKS: i64 = 6 * WEEK;

use DeliveryKind::{Bedding, Feedstock, Grit, Manure, Packing, Worms};

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

#[cfg(test)]
mod tests {
    use super::*;

    fn names(text: &str) -> Vec<&'static str> {
        Sign::all_in(text).iter().map(|sign| sign.name).collect()
    }

    /// The calls as they stand in the demo farm's sheet, and the faults as the trade's table sees them.
    #[test]
    fn a_description_leads_to_its_rows() {
        for (text, wanted) in [
            (
                "tomato tops curled and cupped like a fist, stems twisted",
                &["twisted-leaves"][..],
            ),
            (
                "runner beans cupped and twisted, grass in the same pot fine",
                &["twisted-leaves"],
            ),
            (
                "sour smell, small black flies in the kitchen",
                &["flies", "sour-smell"],
            ),
            ("Thin, fast worms!", &["wrong-species"]),
            ("bit of GLASS, cut hand", &["sharp-bits"]),
            ("all dead on the second day", &["dead-worms"]),
            ("worms on the floor", &["mass-crawl"]),
            ("weeds and tomato seedlings in pots", &["seedlings"]),
            ("bag looks small", &["short-measure"]),
            ("a cupboard full of it", &[]),
            ("it is the wrong colour", &[]),
        ] {
            assert_eq!(names(text), wanted, "{text}");
        }
    }

    #[test]
    fn every_row_is_found_by_its_name_and_by_what_is_seen_and_says_where_it_comes_from() {
        for sign in SIGNS {
            assert_eq!(Sign::named(sign.name), Some(sign));
            assert!(names(sign.seen).contains(&sign.name), "{}", sign.name);
            assert!(sign.source.contains('['), "{}", sign.name);
            assert!(!sign.next.is_empty() && !sign.starts.is_empty());
            assert!(sign.lag.is_none_or(|lag| lag.least <= lag.most));
        }
    }

    #[test]
    fn weedkiller_comes_with_a_load_and_other_worms_with_worms() {
        let leaves = Sign::named("twisted-leaves").expect("a row");
        assert!(leaves.can_start(LotSort::Delivery(DeliveryKind::Manure)));
        assert!(!leaves.can_start(LotSort::Delivery(DeliveryKind::Worms)));
        assert!(!leaves.can_start(LotSort::Bed));
        let species = Sign::named("wrong-species").expect("a row");
        assert!(species.can_start(LotSort::Delivery(DeliveryKind::Worms)));
        assert!(!species.can_start(LotSort::Delivery(DeliveryKind::Manure)));
    }
}
