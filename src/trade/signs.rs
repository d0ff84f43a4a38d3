//! What goes wrong with castings and worms, how it is seen, how long it takes to show, and what to look at next.
//!
//! A sign leads to what may be behind it, never to a verdict. The rows stand in `sign_table`, each with its source.

use super::sign_table::SIGNS;
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
    pub(super) starts: &'static [Start],
    /// Which test of a sample tells, as tests are named in the diary.
    pub test: Option<&'static str>,
    /// What to look at next.
    pub next: &'static [&'static str],
    /// Where the row comes from.
    pub source: &'static str,
    /// Words that lead here: any line of them, every word of it; `*` ends the beginning of a word.
    pub(super) words: &'static [&'static str],
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
pub(super) enum Start {
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
