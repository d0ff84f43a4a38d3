//! From cocoon to breeding worm: what published tables give, by species, each with its source; sources differ by a factor
//! of two and more, so none is left out and no middle is made of them.

use super::species::Species;

/// Days, from and to.
pub type Days = (i32, i32);

/// What one source gives.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LifeCycle {
    /// From laying to hatching.
    pub hatch: Days,
    /// From hatching to breeding; `None` where the source does not say.
    pub breed: Option<Days>,
    /// Who says so, short.
    pub source: &'static str,
    /// At what heat, where the source says.
    pub heat: Option<&'static str>,
    /// How it is known, where it was not read in the source itself.
    pub known: Option<&'static str>,
}

const EDWARDS_88: &str = "Edwards 1988";
const QUOTED: Option<&str> = Some("as quoted by a gardening page");
const DOMINGUEZ: LifeCycle = LifeCycle {
    hatch: (18, 26),
    breed: Some((21, 30)),
    source: "Domínguez and Edwards 2011",
    heat: Some("at about 25 °C"),
    known: Some("from memory"),
};

const EISENIA: [LifeCycle; 2] = [
    LifeCycle {
        hatch: (32, 73),
        breed: Some((53, 76)),
        source: EDWARDS_88,
        heat: None,
        known: QUOTED,
    },
    DOMINGUEZ,
];

const VENETA: [LifeCycle; 3] = [
    LifeCycle {
        hatch: (40, 128),
        breed: Some((57, 86)),
        source: EDWARDS_88,
        heat: None,
        known: QUOTED,
    },
    // A mean of 42.1 days, which is given as the days around it.
    LifeCycle {
        hatch: (42, 43),
        breed: Some((20, 130)),
        source: "Viljoen and others 1991",
        heat: Some("at 25 °C, means"),
        known: None,
    },
    LifeCycle {
        hatch: (42, 42),
        breed: Some((65, 65)),
        source: "Edwards (ed.) 2004",
        heat: Some("means"),
        known: None,
    },
];

/// In a warm box cocoons have mostly hatched after so many days: common practice, no source.
pub const PRACTICE_HATCHED: i32 = 42;
/// Young worms breed so many days after that, in cool rooms (three to four months): common practice, no source.
pub const PRACTICE_BREED: Days = (91, 122);

/// Returns what sources give of a species; nothing where none does.
pub fn life_cycles(species: &Species) -> &'static [LifeCycle] {
    match species.latin {
        "Eisenia fetida" | "Eisenia andrei" => &EISENIA,
        "Dendrobaena veneta" => &VENETA,
        _ => &[],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &str = include_str!("../../tests/reference/worm_life_cycle.csv");

    /// Tells whether the reference has the row: species, what, value, and a source that contains a text.
    fn has(species: &str, what: &str, value: &str, source: &str) -> bool {
        let beginning = format!("{species},{what},{value},");
        let quoted = format!("{species},{what},\"{value}\",");
        TABLE.lines().any(|line| {
            (line.starts_with(&beginning) || line.starts_with(&quoted)) && line.contains(source)
        })
    }

    #[test]
    fn every_range_is_a_row_of_the_reference() {
        let range = |(low, high): Days| format!("{low}-{high}");
        let (both, veneta) = ("Eisenia fetida / andrei", "Dendrobaena veneta");
        for (species, cycle) in [(both, EISENIA[0]), (veneta, VENETA[0])] {
            let breed = cycle.breed.expect("the table has it");
            assert!(has(
                species,
                "cocoon incubation",
                &range(cycle.hatch),
                EDWARDS_88
            ));
            assert!(has(species, "hatch to maturity", &range(breed), EDWARDS_88));
        }
        for species in ["Eisenia fetida", "Eisenia andrei"] {
            let breed = DOMINGUEZ.breed.expect("the table has it");
            let source = "Dominguez & Edwards 2011";
            assert!(has(
                species,
                "cocoon incubation",
                &range(DOMINGUEZ.hatch),
                source
            ));
            assert!(has(species, "days to maturity", &range(breed), source));
        }
        assert!(has(veneta, "cocoon incubation", "42.1", "Viljoen"));
        assert!(has(
            veneta,
            "days to maturity",
            "20-35, some to 130",
            "Viljoen"
        ));
        assert!(has(
            veneta,
            "cocoon incubation",
            "42",
            "Edwards (ed.) Earthworm Ecology"
        ));
        assert!(has(
            veneta,
            "days to maturity",
            "65",
            "Edwards (ed.) Earthworm Ecology"
        ));
    }

    #[test]
    fn a_species_that_no_source_tells_of_has_none() {
        let named = |name| Species::named(name).map(life_cycles).map(<[_]>::len);
        assert_eq!(named("Eisenia andrei"), Some(2));
        assert_eq!(named("Eisenia hortensis"), Some(3));
    }
}
