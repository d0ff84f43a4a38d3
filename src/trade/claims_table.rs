//! The table of claims: what growers' labels say that needs ground, and the ways in which it is said.

use super::claims::{About, Constituent};
use super::phrase::Phrase;

/// Kinds of pattern in the table.
pub enum Way {
    /// A phrase, a word after the other; `a|b` is either, `*` any ending.
    Says(&'static str),
    /// That it is free of something; `/` stands between several.
    FreeOf(&'static str),
    /// A word of the first, and up to so many words on one of the second.
    Near(&'static str, &'static str),
}

use Way::{FreeOf, Near, Says};

pub const PEAT: &str = "peat|peats";
pub const MANURE: &str = "manure|manures|dung|muck";
pub const WEEDKILLER: &str = "herbicide*|weedkiller*|aminopyralid|clopyralid/weed killer*";
pub const CHEMICAL: &str = "chemical|chemicals|pesticide*|additive*";
/// What pest controls are sold against. Not `mould`: leaf mould is a feedstock.
const PESTS: &str = "pest|pests|disease*|slug|slugs|snail*|aphid*|greenfly|blackfly|whitefly|fung*|gnat|gnats|fly|flies|mite|mites|blight|mildew|insect*|bug|bugs|nematode*|rot|pathogen*|weed|weeds";
const CONTROLS: &str = "control*|repel*|kill*|deter|deters|deterring|prevent*|fight*|suppress*|cure*|banish*|stop|stops|protect*";
const PLANTS: &str = "plant|plants|soil|soils|lawn*|rose*|tomato*|garden*|root|roots|crop*|flower*|vegetable*|houseplant*|seedling*|tree*";

/// Name, what it is about, and how it is said.
pub const TABLE: &[(&str, About, &[Way])] = &[
    (
        "organic",
        About::Other,
        &[Says("organic|organics|organically")],
    ),
    (
        "peat-free",
        About::Constituent(Constituent::Peat),
        &[FreeOf(PEAT)],
    ),
    (
        "manure-free",
        About::Constituent(Constituent::Manure),
        &[FreeOf(MANURE)],
    ),
    (
        "pathogen-free",
        About::Other,
        &[FreeOf(
            "pathogen*|germ|germs|bacteria*|salmonella|legionella|disease*",
        )],
    ),
    (
        "pest-free",
        About::Other,
        &[FreeOf(
            "pest|pests|insect*|mite|mites|gnat|gnats|slug|slugs|flies",
        )],
    ),
    ("sterile", About::Other, &[Says("steril*")]),
    ("safe", About::Other, &[Says("safe|safely|safer|safest")]),
    (
        "sanitised",
        About::Other,
        &[Says("sanitis*|sanitiz*|pasteuris*|pasteuriz*|disinfect*")],
    ),
    (
        "approved",
        About::Other,
        &[Says("approv*|endors*|accredit*")],
    ),
    ("certified", About::Other, &[Says("certif*")]),
    ("tested", About::Other, &[Says("tested")]),
    (
        "compostable",
        About::Other,
        &[Says("compostable|biodegradable")],
    ),
    (
        "weed-free",
        About::Other,
        &[FreeOf("weed|weeds|weedseed*/weed seed*/seed|seeds")],
    ),
    (
        "herbicide-free",
        About::Constituent(Constituent::Weedkiller),
        &[
            FreeOf(WEEDKILLER),
            Says("spray|sprays free"),
            Says("unsprayed"),
        ],
    ),
    (
        "chemical-free",
        About::Constituent(Constituent::Chemical),
        &[FreeOf(CHEMICAL)],
    ),
    ("fertiliser", About::Other, &[Says("fertilis*|fertiliz*")]),
    (
        "plant food",
        About::Other,
        &[
            Says(
                "plant|plants|rose|tomato|lawn|garden|soil|root|flower|liquid|houseplant food*|feed|feeds|feeding",
            ),
            Near("feed|feeds|feeding|nourish*", PLANTS),
            Says("feeds"),
            Says("food|feed for your|plant|plants|the"),
        ],
    ),
    (
        "NPK",
        About::Other,
        &[
            Says("npk"),
            Says("n p k"),
            Says("nitrogen|phosphorus|phosphate|potassium|potash"),
        ],
    ),
    (
        "pest control",
        About::Other,
        &[
            Near(CONTROLS, PESTS),
            Says(
                "pest|pests|slug|disease|weed|insect|aphid|fungus control*|killer*|repellent*|deterrent*|resistan*|suppress*",
            ),
            Says("pesticid*|insecticid*|fungicid*|repellent*"),
        ],
    ),
];

impl Way {
    /// Returns the phrases that it stands for.
    pub fn phrases(&self) -> Vec<Phrase> {
        match self {
            Says(text) => vec![Phrase::of(text)],
            FreeOf(things) => things.split('/').flat_map(Phrase::free_of).collect(),
            Near(first, then) => Phrase::near(first, then),
        }
    }
}
