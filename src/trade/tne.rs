//! The tolerable negative error (TNE): how far one pack may fall short, by what it declares.
//!
//! The table of SI 2006/659 and of Directive 76/211/EEC, Annex I 2.4 (which ends at 10 kg or 10 L). The row from 300 to
//! 500 (3 %) was not read there: it was read in the same table as New Zealand has it (SR 1999/373, Schedule 7A, Table 2:
//! row for row the other eight), and agrees with the worked examples of the reference.

use crate::farm::{Quantity, Tenths};

/// The least that the table speaks of, in grams or millilitres.
pub const LEAST: u64 = 5;
/// The most, in grams or millilitres.
pub const MOST: u64 = 25_000;

/// A row of the table.
struct Row {
    /// Up to so many grams or millilitres, that many among them: the rows meet, so it is the same by either.
    to: u64,
    allows: Allows,
}

/// How a row puts it.
enum Allows {
    /// Thousandths of what is declared.
    PerMille(u64),
    /// So many tenths of a gram or a millilitre.
    Fixed(u64),
}

#[rustfmt::skip]
const TABLE: [Row; 9] = [
    Row { to: 50, allows: Allows::PerMille(90) },
    Row { to: 100, allows: Allows::Fixed(45) },
    Row { to: 200, allows: Allows::PerMille(45) },
    Row { to: 300, allows: Allows::Fixed(90) },
    Row { to: 500, allows: Allows::PerMille(30) },
    Row { to: 1_000, allows: Allows::Fixed(150) },
    Row { to: 10_000, allows: Allows::PerMille(15) },
    Row { to: 15_000, allows: Allows::Fixed(1_500) },
    Row { to: MOST, allows: Allows::PerMille(10) },
];

/// Returns the TNE of what a pack declares; `None` below 5 and above 25,000 grams or millilitres.
///
/// A share is rounded up to a tenth of a gram or a millilitre, as the schedule has it.
pub fn tne(net: Quantity) -> Option<Tenths> {
    let declared = net.value();
    if declared < LEAST {
        return None;
    }
    let row = TABLE.iter().find(|row| declared <= row.to)?;
    Some(Tenths::new(match row.allows {
        Allows::PerMille(share) => (declared * share).div_ceil(100),
        Allows::Fixed(tenths) => tenths,
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::Unit;

    const REFERENCE: &str = include_str!("../../tests/reference/tne.csv");

    fn tenths(text: &str) -> u64 {
        let (whole, part) = text.split_once('.').unwrap_or((text, "0"));
        let digits = format!("{whole}{part}");
        assert_eq!(part.len(), 1, "{text}");
        digits.parse().expect("a number")
    }

    fn of(declared: u64) -> Option<Tenths> {
        tne(Quantity::new(declared, Unit::Grams))
    }

    /// SI 2006/659 and Directive 76/211/EEC, by the project's reference list: worked examples with T1 and T2.
    #[test]
    fn every_worked_example_of_the_reference_comes_out() {
        let mut seen = 0;
        for line in REFERENCE.lines().filter(|l| l.starts_with("example,")) {
            let cells: Vec<&str> = line.split(',').collect();
            let declared: u64 = cells[1].parse().expect("a number");
            let error = of(declared).expect("within the table");
            assert_eq!(error.count(), tenths(cells[5]), "{line}");
            let nominal = Tenths::new(declared * 10);
            assert_eq!(nominal.less(error).count(), tenths(cells[6]), "{line}");
            let twice = nominal.less(error).less(error);
            assert_eq!(twice.count(), tenths(cells[7]), "{line}");
            seen += 1;
        }
        assert_eq!(seen, 27, "every example was read");
    }

    /// The same reference: bands, at both ends and in the middle.
    #[test]
    fn every_band_of_the_reference_comes_out() {
        let mut seen = 0;
        for line in REFERENCE.lines().filter(|l| l.starts_with("band,")) {
            let cells: Vec<&str> = line.split(',').collect();
            let from: u64 = cells[1].parse().expect("a number");
            let to: u64 = cells[2].parse().expect("a number");
            for declared in [from, (from + to) / 2, to] {
                let got = of(declared).expect("within the table").count();
                let wanted = match cells[3].strip_suffix(" %") {
                    Some(share) => (declared * tenths(share)).div_ceil(100),
                    None => tenths(cells[4]),
                };
                assert_eq!(got, wanted, "{declared} of {line}");
            }
            seen += 1;
        }
        assert_eq!(seen, 9, "every band was read");
    }

    #[test]
    fn outside_the_table_there_is_none() {
        assert!(REFERENCE.contains("scope_GB,5,25000,"));
        assert_eq!((of(4), of(25_001)), (None, None));
        assert!(of(5).is_some() && of(25_000).is_some());
    }
}
