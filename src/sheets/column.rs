//! The columns of every sheet: one table for reading, writing, empty sheets and the flags of `record`.

use crate::farm::Noun;

/// A column of a sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Column {
    /// Its header.
    pub name: &'static str,
    /// Whether it has to be there, and every row has to say something in it.
    pub required: bool,
}

impl Column {
    /// Returns the flag of `castlot record` that fills it, without the two hyphens.
    pub fn flag(&self) -> String {
        self.name.replace('_', "-")
    }
}

/// A column that has to be there.
const fn must(name: &'static str) -> Column {
    Column {
        name,
        required: true,
    }
}

/// A column that may be left out, or empty.
const fn may(name: &'static str) -> Column {
    Column {
        name,
        required: false,
    }
}

const WHEN: Column = must("when");
const BIN: Column = must("bin");
const REF: Column = may("ref");
const CODE: Column = may("code");
const BY: Column = may("by");
const NOTE: Column = may("note");

const BINS: &[Column] = &[
    BIN,
    must("place"),
    may("when"),
    may("species"),
    may("length_mm"),
    may("width_mm"),
    may("depth_mm"),
    may("material"),
    BY,
    NOTE,
];
const DELIVERIES: &[Column] = &[
    WHEN,
    must("kind"),
    must("name"),
    must("supplier"),
    must("amount"),
    REF,
    CODE,
    may("supplier_lot"),
    may("species"),
    may("animal"),
    may("origin"),
    may("age_days"),
    may("heat_treated"),
    may("hay_from"),
    may("hay_sprayed"),
    may("wormer"),
    may("wormed_on"),
    may("said_by"),
    may("said_on"),
    may("kept_sample"),
    may("certificate"),
    BY,
    NOTE,
];
const BEDS: &[Column] = &[
    WHEN,
    BIN,
    must("takes"),
    may("species"),
    REF,
    CODE,
    BY,
    NOTE,
];
const FEEDS: &[Column] = &[WHEN, BIN, must("takes"), BY, NOTE];
const SKIPS: &[Column] = &[WHEN, BIN, must("why"), BY, NOTE];
const CHECKS: &[Column] = &[
    WHEN,
    BIN,
    may("feed_left"),
    may("squeeze"),
    may("moisture"),
    may("temperature_c"),
    may("ph"),
    may("worms"),
    may("cocoons"),
    may("smell"),
    may("pests"),
    BY,
    NOTE,
];
const SPLITS: &[Column] = &[
    WHEN,
    BIN,
    must("share"),
    must("to_bin"),
    REF,
    CODE,
    BY,
    NOTE,
];
const TIPS: &[Column] = &[WHEN, BIN, must("to_bin"), BY, NOTE];
const MOVES: &[Column] = &[WHEN, BIN, must("place"), BY, NOTE];
const SIEVINGS: &[Column] = &[
    WHEN,
    must("kind"),
    must("from"),
    may("amount"),
    may("clears"),
    REF,
    CODE,
    BY,
    NOTE,
];
const BLENDS: &[Column] = &[WHEN, must("kind"), must("from"), REF, CODE, BY, NOTE];
const TESTS: &[Column] = &[
    WHEN,
    must("lot"),
    must("test"),
    must("value"),
    may("unit"),
    may("method"),
    may("lab"),
    may("result"),
    BY,
    NOTE,
];
const PACKS: &[Column] = &[
    WHEN,
    must("product"),
    must("count"),
    must("from"),
    may("best_by"),
    may("despite"),
    REF,
    CODE,
    BY,
    NOTE,
];
const WEIGHINGS: &[Column] = &[WHEN, must("run"), must("values"), may("tare"), BY, NOTE];
const SALES: &[Column] = &[
    WHEN,
    must("packs"),
    may("buyer"),
    may("market"),
    may("contact"),
    may("document"),
    may("despite"),
    BY,
    NOTE,
];
const RETURNS: &[Column] = &[
    WHEN,
    must("packs"),
    must("state"),
    may("buyer"),
    may("market"),
    BY,
    NOTE,
];
const COUNTS: &[Column] = &[WHEN, must("lot"), must("found"), must("why"), BY, NOTE];
const THROWN: &[Column] = &[WHEN, must("what"), must("why"), BY, NOTE];
const COMPLAINTS: &[Column] = &[
    WHEN,
    must("sign"),
    may("pack"),
    may("heard"),
    may("product"),
    may("bought_at"),
    may("bought_about"),
    may("contact"),
    may("complaint"),
    BY,
    NOTE,
];
const SETTLEMENTS: &[Column] = &[WHEN, must("complaint"), must("why"), BY, NOTE];
const HOLDS: &[Column] = &[
    WHEN,
    must("lot"),
    must("state"),
    must("reason"),
    may("reach"),
    BY,
    NOTE,
];
const RECALLS: &[Column] = &[
    WHEN,
    must("recall"),
    must("step"),
    must("lots"),
    may("packs"),
    may("buyer"),
    may("why"),
    BY,
    NOTE,
];
const PRINTS: &[Column] = &[
    WHEN,
    must("packs"),
    must("template"),
    must("printer"),
    must("printed"),
    must("spoiled"),
    must("digest"),
    may("why"),
    BY,
    NOTE,
];

/// Returns the columns of a sheet, in the order of the format's page, `by` and `note` last.
pub fn columns(noun: Noun) -> &'static [Column] {
    match noun {
        Noun::Bin => BINS,
        Noun::Delivery => DELIVERIES,
        Noun::Bed => BEDS,
        Noun::Feed => FEEDS,
        Noun::Skip => SKIPS,
        Noun::Check => CHECKS,
        Noun::Split => SPLITS,
        Noun::Tip => TIPS,
        Noun::Move => MOVES,
        Noun::Sieving => SIEVINGS,
        Noun::Blend => BLENDS,
        Noun::Test => TESTS,
        Noun::Pack => PACKS,
        Noun::Weighing => WEIGHINGS,
        Noun::Sale => SALES,
        Noun::Return => RETURNS,
        Noun::Count => COUNTS,
        Noun::Thrown => THROWN,
        Noun::Complaint => COMPLAINTS,
        Noun::Settlement => SETTLEMENTS,
        Noun::Hold => HOLDS,
        Noun::Recall => RECALLS,
        Noun::Print => PRINTS,
    }
}

/// Returns the place of a column in its sheet, by its header in any case, or by its flag.
pub(super) fn place(noun: Noun, name: &str) -> Option<usize> {
    let name = name.trim();
    let same = |column: &Column| {
        column.name.len() == name.len()
            && column.name.bytes().zip(name.bytes()).all(|(own, typed)| {
                own == typed.to_ascii_lowercase() || (own == b'_' && typed == b'-')
            })
    };
    columns(noun).iter().position(same)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_sheet_names_a_column_once_and_ends_in_by_and_note() {
        for noun in Noun::ALL {
            let names: Vec<&str> = columns(noun).iter().map(|column| column.name).collect();
            let mut once = names.clone();
            once.sort_unstable();
            once.dedup();
            assert_eq!(once.len(), names.len(), "{}", noun.sheet());
            assert!(names.ends_with(&["by", "note"]), "{}", noun.sheet());
        }
    }

    #[test]
    fn a_column_is_found_by_its_header_in_any_case_and_by_its_flag() {
        assert_eq!(place(Noun::Check, " Feed_Left "), Some(2));
        assert_eq!(place(Noun::Check, "feed-left"), Some(2));
        assert_eq!(place(Noun::Check, "feedleft"), None);
        assert_eq!(columns(Noun::Check)[2].flag(), "feed-left");
    }
}
