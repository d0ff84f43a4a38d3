//! Two by two: who had it and who had not, who complained and who did not; and what that is worth.
//!
//! Attack rates, relative risk and odds ratio as handbooks of field epidemiology define them; the chance by Fisher's
//! exact test, one-sided, because only a lot that brings more complaints is a suspect.

use statrs::function::factorial::ln_binomial;

/// Packs by exposure and complaint.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Odds {
    /// With it, and complained of.
    pub exposed_complained: u64,
    /// With it, and not complained of.
    pub exposed_other: u64,
    /// Without it, and complained of.
    pub unexposed_complained: u64,
    /// Without it, and not complained of.
    pub unexposed_other: u64,
}

impl Odds {
    /// Returns how many packs have it.
    pub fn exposed(self) -> u64 {
        self.exposed_complained + self.exposed_other
    }

    /// Returns how many packs have it not.
    pub fn unexposed(self) -> u64 {
        self.unexposed_complained + self.unexposed_other
    }

    /// Returns how many packs are complained of.
    pub fn complained(self) -> u64 {
        self.exposed_complained + self.unexposed_complained
    }

    /// Returns the part of the packs with it that are complained of.
    pub fn rate_exposed(self) -> Option<f64> {
        ratio(self.exposed_complained, self.exposed())
    }

    /// Returns the part of the packs without it that are complained of.
    pub fn rate_unexposed(self) -> Option<f64> {
        ratio(self.unexposed_complained, self.unexposed())
    }

    /// Returns how many times the one rate is the other: infinite where nothing without it is complained of, `None` where
    /// one of the rates does not exist or both are nothing.
    pub fn relative_risk(self) -> Option<f64> {
        let (with, without) = (self.rate_exposed()?, self.rate_unexposed()?);
        Some(with / without).filter(|risk| !risk.is_nan())
    }

    /// Returns the sample odds ratio: infinite where one of the cells it is divided by is empty, `None` where it is 0/0.
    pub fn odds_ratio(self) -> Option<f64> {
        let up = self.exposed_complained as f64 * self.unexposed_other as f64;
        let down = self.exposed_other as f64 * self.unexposed_complained as f64;
        Some(up / down).filter(|odds| !odds.is_nan())
    }

    /// Returns the chance of as many complaints among the packs with it, or more, if it had nothing to do with them.
    ///
    /// Fisher's exact test, one-sided: the upper tail of the hypergeometric distribution.
    pub fn p_greater(self) -> f64 {
        let drawn = Draw {
            with: self.exposed(),
            without: self.unexposed(),
            complained: self.complained(),
        };
        let met = self.exposed_complained;
        let least = drawn.complained.saturating_sub(drawn.without);
        // The tail that is summed begins at its largest term, so that nothing of worth is lost to underflow.
        let all = (drawn.with + drawn.without) as f64;
        let mean = drawn.with as f64 * drawn.complained as f64 / all.max(1.0);
        let p = if met as f64 > mean {
            drawn.up_from(met)
        } else if met <= least {
            1.0
        } else {
            1.0 - drawn.down_from(met - 1)
        };
        p.clamp(0.0, 1.0)
    }
}

fn ratio(part: u64, whole: u64) -> Option<f64> {
    (whole > 0).then(|| part as f64 / whole as f64)
}

/// Complaints that fall on packs by chance.
struct Draw {
    with: u64,
    without: u64,
    complained: u64,
}

impl Draw {
    /// Returns the chance that exactly so many fall on packs with it.
    fn exactly(&self, met: u64) -> f64 {
        let ln = ln_binomial(self.with, met) + ln_binomial(self.without, self.complained - met)
            - ln_binomial(self.with + self.without, self.complained);
        ln.exp()
    }

    /// Sums the chances of so many and more.
    fn up_from(&self, met: u64) -> f64 {
        let most = self.with.min(self.complained);
        let (mut term, mut sum) = (self.exactly(met), 0.0);
        for now in met..=most {
            sum += term;
            let up = (self.with - now) as f64 * (self.complained - now) as f64;
            // What is left on the other side never runs out before the loop does, because `met` is above the least.
            let down = (now + 1) as f64
                * (self.without as f64 - self.complained as f64 + now as f64 + 1.0);
            term *= up / down;
        }
        sum
    }

    /// Sums the chances of so many and fewer.
    fn down_from(&self, met: u64) -> f64 {
        let least = self.complained.saturating_sub(self.without);
        let (mut term, mut sum) = (self.exactly(met), 0.0);
        for now in (least..=met).rev() {
            sum += term;
            let up = now as f64 * (self.without as f64 - self.complained as f64 + now as f64);
            let down = (self.with - now + 1) as f64 * (self.complained - now + 1) as f64;
            term *= up / down;
        }
        sum
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(ours: f64, theirs: f64) -> bool {
        (ours - theirs).abs() <= 1e-9 * theirs.abs().max(1e-3)
    }

    fn same(ours: Option<f64>, theirs: &str, places: f64) -> bool {
        match (ours, theirs) {
            (None, "" | "nan") => true,
            (Some(ours), "inf") => ours == f64::INFINITY,
            (Some(ours), theirs) => theirs
                .parse::<f64>()
                .is_ok_and(|theirs| (ours - theirs).abs() <= places * theirs.abs().max(1.0)),
            (None, _) => false,
        }
    }

    fn table() -> Vec<csv::StringRecord> {
        let table = include_str!("../../tests/reference/fisher_2x2.csv");
        let mut reader = csv::Reader::from_reader(table.as_bytes());
        let rows = reader.records();
        rows.map(|row| row.expect("the reference is sound"))
            .collect()
    }

    fn odds(row: &csv::StringRecord) -> Odds {
        let cell = |at: usize| row[at].parse().expect("a whole number");
        Odds {
            exposed_complained: cell(1),
            exposed_other: cell(2),
            unexposed_complained: cell(3),
            unexposed_other: cell(4),
        }
    }

    /// Source: tests/reference/fisher_2x2.csv, each row with its own source; ratios printed to five or six places.
    #[test]
    fn every_row_of_the_reference_comes_out_as_printed() {
        let rows = table();
        for row in &rows {
            let odds = odds(row);
            let name = &row[0];
            assert!(same(odds.odds_ratio(), &row[5], 1e-5), "{name}: {odds:?}");
            let p: f64 = row[7].parse().expect("a number");
            assert!(close(odds.p_greater(), p), "{name}: {}", odds.p_greater());
            assert!(same(odds.rate_exposed(), &row[8], 1e-6), "{name}");
            assert!(same(odds.rate_unexposed(), &row[9], 1e-6), "{name}");
            assert!(same(odds.relative_risk(), &row[10], 1e-6), "{name}");
        }
        assert!(rows.len() >= 16, "{} rows", rows.len());
    }

    /// The outbreak of 1940 in Oswego County. Source: the line list of 75 people of CDC's case study, as the open data
    /// set `oswego` of the R package epitools carries it; published culprit: vanilla ice cream.
    #[test]
    fn of_the_foods_of_oswego_the_vanilla_ice_cream_ranks_first() {
        let foods = table()
            .into_iter()
            .filter(|row| row[0].starts_with("Oswego"));
        let mut foods: Vec<(String, Odds)> =
            foods.map(|row| (row[0].to_owned(), odds(&row))).collect();
        assert!(foods.len() >= 11, "{} foods", foods.len());
        foods.sort_by(|a, b| a.1.p_greater().total_cmp(&b.1.p_greater()));
        assert_eq!(foods[0].0, "Oswego 1940: vanilla ice cream");
        let (first, second) = (foods[0].1.p_greater(), foods[1].1.p_greater());
        assert!(first < 1e-6 && second > 0.1, "{first} {second}");
    }

    #[test]
    fn the_chances_of_all_that_may_fall_out_sum_to_one() {
        for (with, without, complained) in [(5, 7, 4), (40, 3, 20), (1, 1, 1), (300, 90, 17)] {
            let drawn = Draw {
                with,
                without,
                complained,
            };
            let least = complained.saturating_sub(without);
            let sum: f64 = (least..=complained.min(with))
                .map(|met| drawn.exactly(met))
                .sum();
            assert!((sum - 1.0).abs() < 1e-9, "{sum}");
        }
    }

    #[test]
    fn a_large_table_neither_overflows_nor_underflows() {
        let odds = |a, b, c, d| Odds {
            exposed_complained: a,
            exposed_other: b,
            unexposed_complained: c,
            unexposed_other: d,
        };
        assert_eq!(odds(0, 50_000, 50_000, 0).p_greater(), 1.0);
        assert!(odds(1, 50_000, 49_999, 1).p_greater() > 0.999);
        assert!(odds(50_000, 0, 0, 50_000).p_greater() < 1e-300);
        assert_eq!(odds(0, 0, 0, 0).p_greater(), 1.0);
        assert_eq!(odds(3, 9, 0, 0).p_greater(), 1.0);
    }
}
