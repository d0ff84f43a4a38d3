//! Heat and moisture that beds are checked for, by species: the range worms do best in, and the limits.
//!
//! *Eisenia fetida*: Edwards (ed.), Earthworm Ecology, 2nd ed. 2004, Table 18.3. *Eisenia andrei*: heat as the Edwards 1988
//! table for both species gives it (quoted by a gardening page), moisture as for *E. fetida*. *Dendrobaena veneta*: best heat
//! Edwards 2004, species section; its limits Edwards 1988, quoted; moisture Domínguez and Edwards 2011, from memory.

use super::species::Species;

/// A best range, and the limits around it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Worms do best from here
    pub best: (f64, f64),
    /// Nothing good is told of a bed beyond these; `None` where no source gives any.
    pub limits: Option<(f64, f64)>,
}

/// What a species likes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Climate {
    /// Degrees Celsius in the bed.
    pub heat: Range,
    /// Moisture in per cent.
    pub moisture: Range,
    /// Where that is from.
    pub source: &'static str,
}

/// How a reading stands to a range.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Standing {
    /// Below the limits.
    FarBelow,
    /// Below what is best.
    Below,
    /// As is best.
    Best,
    /// Above what is best.
    Above,
    /// Above the limits.
    FarAbove,
}

impl Range {
    /// Tells how a reading stands to it.
    pub fn standing(&self, reading: f64) -> Standing {
        match self.limits {
            Some((low, _)) if reading < low => Standing::FarBelow,
            Some((_, high)) if reading > high => Standing::FarAbove,
            _ if reading < self.best.0 => Standing::Below,
            _ if reading > self.best.1 => Standing::Above,
            _ => Standing::Best,
        }
    }
}

const FETIDA: Climate = Climate {
    heat: Range {
        best: (15.0, 20.0),
        limits: Some((4.0, 30.0)),
    },
    moisture: Range {
        best: (80.0, 90.0),
        limits: Some((60.0, 90.0)),
    },
    source: "Edwards (ed.), Earthworm Ecology, 2004, Table 18.3",
};

const ANDREI: Climate = Climate {
    heat: Range {
        best: (21.0, 27.0),
        limits: Some((3.0, 35.0)),
    },
    moisture: FETIDA.moisture,
    source: "Edwards 1988, as quoted; moisture as for E. fetida",
};

const VENETA: Climate = Climate {
    heat: Range {
        best: (15.0, 25.0),
        limits: Some((3.0, 32.0)),
    },
    moisture: Range {
        best: (65.0, 85.0),
        limits: None,
    },
    source: "Edwards (ed.), Earthworm Ecology, 2004; limits Edwards 1988, as quoted; moisture from memory",
};

/// Returns what a species likes, where a source tells.
pub fn climate(species: &Species) -> Option<&'static Climate> {
    match species.latin {
        "Eisenia fetida" => Some(&FETIDA),
        "Eisenia andrei" => Some(&ANDREI),
        "Dendrobaena veneta" => Some(&VENETA),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TABLE: &str = include_str!("../../tests/reference/worm_life_cycle.csv");

    /// Returns the range in the reference row that begins so.
    fn read(row: &str) -> (f64, f64) {
        let line = TABLE.lines().find_map(|line| line.strip_prefix(row));
        let line = line.unwrap_or_else(|| panic!("no row `{row}`"));
        let text = line.split(',').next().unwrap_or_default();
        let (low, high) = text.split_once('-').expect("a range");
        (low.parse().expect("a low"), high.parse().expect("a high"))
    }

    fn one(row: &str) -> f64 {
        let line = TABLE.lines().find_map(|line| line.strip_prefix(row));
        let text = line.and_then(|line| line.split(',').next());
        text.and_then(|text| text.parse().ok()).expect("a number")
    }

    #[test]
    fn ranges_are_those_of_the_reference() {
        let fetida = "Eisenia fetida,";
        assert_eq!(
            FETIDA.heat.best,
            read(&format!("{fetida}temperature for breeding,"))
        );
        assert_eq!(
            FETIDA.heat.limits,
            Some(read(&format!("{fetida}temperature limits,")))
        );
        assert_eq!(FETIDA.moisture.best, read(&format!("{fetida}moisture,")));
        assert_eq!(
            FETIDA.moisture.limits,
            Some(read(&format!("{fetida}moisture limits,")))
        );
        let both = "Eisenia fetida / andrei,temperature ";
        assert_eq!(ANDREI.heat.best, read(&format!("{both}ideal,")));
        let limits = (
            one(&format!("{both}minimum,")),
            one(&format!("{both}maximum,")),
        );
        assert_eq!(ANDREI.heat.limits, Some(limits));
        let veneta = "Dendrobaena veneta,temperature ";
        assert_eq!(VENETA.heat.best, read(&format!("{veneta}preferred,")));
        let limits = (
            one(&format!("{veneta}minimum,")),
            one(&format!("{veneta}maximum,")),
        );
        assert_eq!(VENETA.heat.limits, Some(limits));
        assert!(TABLE.contains("Dendrobaena veneta,optimum moisture,75 (65-85),%"));
        assert_eq!(VENETA.moisture.best, (65.0, 85.0));
    }

    #[test]
    fn a_reading_stands_within_beside_or_beyond() {
        let standing = |at| FETIDA.heat.standing(at);
        assert_eq!(standing(3.9), Standing::FarBelow);
        assert_eq!(standing(13.0), Standing::Below);
        assert_eq!(standing(20.0), Standing::Best);
        assert_eq!(standing(22.0), Standing::Above);
        assert_eq!(standing(30.5), Standing::FarAbove);
        assert_eq!(VENETA.moisture.standing(99.0), Standing::Above);
    }
}
