//! The worms a farm sells, by their Latin and plain names.
//!
//! Plain names: Wikipedia, "Eisenia fetida" and "Dendrobaena hortensis"; that of *E. andrei* is common practice, no source.

/// A species, as a label names it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Species {
    /// The plain name, as the beginning of a line.
    pub plain: &'static str,
    /// The Latin name.
    pub latin: &'static str,
    /// Other Latin names that growers write.
    others: &'static [&'static str],
}

const ALL: &[Species] = &[
    Species {
        plain: "Tiger worms",
        latin: "Eisenia fetida",
        others: &["Eisenia foetida", "E. fetida"],
    },
    Species {
        plain: "Red tiger worms",
        latin: "Eisenia andrei",
        others: &["Eisenia fetida andrei", "E. andrei"],
    },
    // American sellers write E. hortensis, European ones D. veneta; the trade does not tell the two apart.
    Species {
        plain: "Dendrobaena worms",
        latin: "Dendrobaena veneta",
        others: &[
            "Eisenia hortensis",
            "Dendrobaena hortensis",
            "E. hortensis",
            "D. veneta",
        ],
    },
];

impl Species {
    /// Finds the species that a text names, in Latin or in plain words.
    pub fn named(text: &str) -> Option<&'static Self> {
        let text = text.trim();
        let same = |name: &str| name.eq_ignore_ascii_case(text);
        ALL.iter().find(|species| {
            same(species.latin) || same(species.plain) || species.others.iter().any(|o| same(o))
        })
    }
}

/// Writes `E. fetida` for `Eisenia fetida`; a name of other shape as it is.
pub fn short_species(name: &str) -> String {
    match name.split_once(' ') {
        Some((genus, rest)) if !rest.contains(' ') && genus.is_ascii() && genus.len() > 2 => {
            format!("{}. {rest}", &genus[..1])
        }
        _ => name.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_species_is_found_by_any_of_its_names() {
        for name in [
            "Eisenia hortensis",
            "dendrobaena veneta",
            "Dendrobaena worms",
        ] {
            assert_eq!(
                Species::named(name).map(|s| s.latin),
                Some("Dendrobaena veneta")
            );
        }
        assert_eq!(
            Species::named("Eisenia fetida").map(|s| s.plain),
            Some("Tiger worms")
        );
        assert_eq!(Species::named("Lumbricus terrestris"), None);
    }
}
