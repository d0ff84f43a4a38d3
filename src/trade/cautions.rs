//! What a label and a page warn of, in castlot's own words, by kind of product and by country.
//!
//! One table. A row's source is one of `tests/reference/handling_warnings.csv`, or says that it has none.
//! These are reminders between growers; no row says that anything is allowed, or forbidden, or harmless.

use crate::farm::PackKind::{Bag, Bottle, Tub};
use crate::farm::{BatchKind, LotSort, PackKind};

use super::place::Place;

/// A short warning.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// What it is about, in one word that never changes.
    pub key: &'static str,
    /// The words for a label.
    pub short: &'static str,
    /// The words for a page, which has room to say why.
    pub long: &'static str,
    /// Who says so.
    pub source: &'static str,
}

/// The source of a row that everybody in the trade would sign and nobody has written down.
pub const COMMON: &str = "common practice, no source";

/// Said once, wherever cautions stand.
pub const NO_SUBSTITUTE: &str = "These are short reminders from a grower. castlot is no substitute for local codes and licensed practice.";

/// Returns the cautions for a kind of product in a country (ISO 3166, two letters), the weightiest first.
pub fn cautions(kind: PackKind, country: &str) -> Vec<&'static Caution> {
    let place = Place::of(country);
    let fits = |row: &&Row| row.kinds.contains(&kind) && row.places.contains(&place);
    ROWS.iter().filter(fits).map(|row| &row.caution).collect()
}

/// Returns the kind of pack whose cautions suit a lot that is not packed: castings like a bag, worms like a tub.
pub fn handled_like(sort: LotSort) -> PackKind {
    match sort {
        LotSort::Run(kind) => kind,
        LotSort::Batch(BatchKind::Worms) => PackKind::Tub,
        LotSort::Batch(BatchKind::Liquid) => PackKind::Bottle,
        LotSort::Batch(
            BatchKind::Castings
            | BatchKind::Cocoons
            | BatchKind::Overs
            | BatchKind::Feed
            | BatchKind::Bedding,
        )
        | LotSort::Delivery(_)
        | LotSort::Bed => PackKind::Bag,
    }
}

struct Row {
    kinds: &'static [PackKind],
    places: &'static [Place],
    caution: Caution,
}

const EVERYWHERE: &[Place] = &[
    Place::Britain,
    Place::Europe,
    Place::States,
    Place::NewZealand,
    Place::Australia,
    Place::Elsewhere,
];
/// Where the trade prints the name of the illness on the bag.
const SOUTH: &[Place] = &[Place::NewZealand, Place::Australia];
const NOT_SOUTH: &[Place] = &[
    Place::Britain,
    Place::Europe,
    Place::States,
    Place::Elsewhere,
];
/// Where woods had no earthworms, and new ones do harm.
const WORM_FREE_WOODS: &[Place] = &[Place::States, Place::Elsewhere];
const NO_WORM_FREE_WOODS: &[Place] = &[
    Place::Britain,
    Place::Europe,
    Place::NewZealand,
    Place::Australia,
];

const PHS: &str = "Public Health Scotland 2024; Southern NZ six points";
const BAG_TEXT: &str = "Southern NZ; Australian bag text";
const SOUTHERN: &str = "Southern NZ";
const QUEENSLAND: &str = "Workplace Health and Safety Queensland";
const RHS: &str = "RHS";
const ALBERTA: &str = "Alberta Worm Invasion Project";
const MINNESOTA: &str = "Minnesota DNR";

const fn row(
    kinds: &'static [PackKind],
    places: &'static [Place],
    source: &'static str,
    words: [&'static str; 3],
) -> Row {
    let [key, short, long] = words;
    Row {
        kinds,
        places,
        caution: Caution {
            key,
            short,
            long,
            source,
        },
    }
}

#[rustfmt::skip]
static ROWS: &[Row] = &[
    row(&[Bottle], EVERYWHERE, COMMON, ["drink", "Not a drink.",
        "Not a drink, for people or animals. Keep it in its own bottle, never in one that held food."]),
    row(&[Tub], EVERYWHERE, COMMON, ["feed", "Live bait: not food or feed.",
        "Live bait and stock. Not food for people, and not feed for pets, poultry or farm animals."]),
    row(&[Bag], NOT_SOUTH, BAG_TEXT, ["open", "Open away from your face.",
        "Slit the bag with a blade and hold it away from your face. Dust and fine drops from any compost can carry germs that make lungs ill."]),
    row(&[Bag], SOUTH, BAG_TEXT, ["open", "Legionella risk: open away from your face.",
        "Slit the bag with a blade and hold it away from your face. Dust and fine drops from any compost can carry Legionella, which causes a serious illness of the lungs."]),
    row(&[Bag], NOT_SOUTH, SOUTHERN, ["dust", "Keep dust down.",
        "Work gently and damp it down, so that it gives off neither dust nor spray. Keep a door or window open."]),
    row(&[Bag], SOUTH, SOUTHERN, ["dust", "Damp down dust; mask if dusty.",
        "Work gently and damp it down, so that it gives off neither dust nor spray. Wear a well-fitting mask where it is dusty, and keep a door or window open."]),
    row(&[Bag], SOUTH, QUEENSLAND, ["frail", "Frail lungs, over 50, smokers: extra care.",
        "People over 50, smokers, and those with weak defences or a long illness have more to fear from it: let somebody else open the bag. See a doctor about a fever or cough that follows, and say what you handled."]),
    row(&[Bag, Bottle], EVERYWHERE, PHS, ["gloves", "Wear gloves.",
        "Wear gloves, and do not eat, drink or smoke while you handle it."]),
    row(&[Bottle], EVERYWHERE, SOUTHERN, ["spray", "Pour, do not spray.",
        "Pour it on the soil. Do not spray or mist it: fine drops are breathed in."]),
    row(&[Bottle], EVERYWHERE, COMMON, ["raw", "Not on what is eaten raw.",
        "Keep it off leaves, fruit and roots that will be eaten raw."]),
    row(&[Bag, Tub, Bottle], EVERYWHERE, RHS, ["cuts", "Cover cuts (tetanus).",
        "Cover cuts and scratches: tetanus lives in soil and manure. Ask whether your tetanus protection is up to date."]),
    row(&[Bag, Tub, Bottle], EVERYWHERE, PHS, ["hands", "Wash hands after.",
        "Wash your hands with soap afterwards, and always before you eat."]),
    row(&[Bag, Tub, Bottle], EVERYWHERE, COMMON, ["children", "Keep from children and animals.",
        "Keep it out of reach of small children and animals."]),
    row(&[Tub], NO_WORM_FREE_WOODS, ALBERTA, ["release", "Release none: take leftovers home.",
        "Let none go, on land or in water. Take what is left over home for the next trip, or put it in the bin: worms from elsewhere can harm the ground they are tipped on."]),
    row(&[Tub], WORM_FREE_WOODS, MINNESOTA, ["release", "Release none: take leftovers home.",
        "Let none go, on land or in water. Take what is left over home, or put it in the trash: worms from elsewhere strip the floor of woods that had none."]),
    row(&[Bag], WORM_FREE_WOODS, ALBERTA, ["woods", "May hold worm eggs: not for wild land.",
        "It may hold worm cocoons. Keep it off woodland and wild ground; freeze it for a week or longer before using it near either."]),
    row(&[Bottle], EVERYWHERE, COMMON, ["soon", "Use soon after opening.",
        "Use it soon, and all of an opened bottle at once. Throw it on the compost heap if it smells foul."]),
];

#[cfg(test)]
mod tests {
    use super::*;

    const COUNTRIES: &[&str] = &["GB", "IE", "DE", "US", "NZ", "AU", "CA"];

    /// The sources are the project's reference list of handling advice, which names where each was read.
    #[test]
    fn every_row_names_a_source_of_the_reference_list_or_says_it_has_none() {
        let list = include_str!("../../tests/reference/handling_warnings.csv");
        assert!(list.lines().count() > 15, "the list was read");
        for row in ROWS {
            let source = row.caution.source;
            let is_column = list.contains(&format!(",{source},"));
            assert!(
                source == COMMON || is_column,
                "`{source}` stands in no row of the list"
            );
        }
    }

    #[test]
    fn each_kind_has_its_own_cautions_in_every_country_and_no_key_twice() {
        for country in COUNTRIES {
            for kind in PackKind::ALL {
                let keys: Vec<&str> = cautions(*kind, country).iter().map(|c| c.key).collect();
                let mut once = keys.clone();
                once.sort_unstable();
                once.dedup();
                assert_eq!(once.len(), keys.len(), "{kind} in {country}: {keys:?}");
                assert!(keys.contains(&"hands") && keys.contains(&"children"));
                let own: &[&str] = match kind {
                    PackKind::Bag => &["open", "dust", "gloves", "cuts"],
                    PackKind::Tub => &["feed", "release"],
                    PackKind::Bottle => &["drink", "raw", "spray", "soon"],
                };
                assert!(own.iter().all(|key| keys.contains(key)), "{kind} {country}");
            }
        }
    }

    #[test]
    fn the_illness_is_named_where_the_trade_names_it() {
        let names = |country| {
            cautions(PackKind::Bag, country)
                .iter()
                .any(|c| c.short.contains("Legionella"))
        };
        assert!(names("NZ") && names("AU"));
        assert!(!names("GB") && !names("US"));
    }

    #[test]
    fn nothing_reads_as_law_or_as_a_clearance() {
        let banned = [
            "required",
            "legal",
            "approved",
            "safe",
            "must",
            "certified",
            "guarantee",
            "law",
        ];
        for row in ROWS {
            for text in [row.caution.short, row.caution.long] {
                let words = text.to_lowercase();
                let words: Vec<&str> = words.split(|c: char| !c.is_alphabetic()).collect();
                assert!(banned.iter().all(|b| !words.contains(b)), "{text}");
            }
        }
    }

    #[test]
    fn a_short_caution_fits_a_narrow_label() {
        for row in ROWS {
            assert!(
                row.caution.short.chars().count() <= 44,
                "{}",
                row.caution.short
            );
        }
    }
}
