//! A run held against the rule that suits it: what `fills`, `weigh` and its hold all go by.

use crate::farm::{Farm, Fills, LotId, LotSort, Product, Settings, Tenths, Unit};
use crate::trade::{Check, Judged, Measuring, Point, Rule, Ruling, Verdict, judge, rule};

use crate::farm::phrase::count;

/// A run, what was found of it, and how it was judged.
pub struct Checked<'a> {
    /// The run.
    pub run: LotId,
    /// What it was packed as.
    pub product: &'a Product,
    /// How many packs were filled.
    pub packs: u32,
    /// What they were found to hold.
    pub fills: Fills,
    /// The rule.
    pub rule: Rule,
    /// How it was judged; `None` where nothing was measured.
    pub judged: Option<Judged>,
}

/// Holds a run against its rule; `None` where the lot is not a pack run.
pub fn check<'a>(
    farm: &'a Farm,
    settings: &Settings,
    run: LotId,
    measuring: Measuring,
) -> Option<Checked<'a>> {
    judged(farm, settings, (run, farm.fills(run)), measuring)
}

/// Holds every run that was weighed against its rule, in the order of recording.
pub fn check_all<'a>(farm: &'a Farm, settings: &Settings) -> Vec<Checked<'a>> {
    let all = farm.all_fills().into_iter();
    all.filter_map(|weighed| judged(farm, settings, weighed, Measuring::Whole))
        .collect()
}

fn judged<'a>(
    farm: &'a Farm,
    settings: &Settings,
    (run, fills): (LotId, Fills),
    measuring: Measuring,
) -> Option<Checked<'a>> {
    let LotSort::Run(_) = farm.lot(run).sort else {
        return None;
    };
    let product = farm.product(run)?;
    let packs = farm.lot(run).shelf.as_ref()?.made();
    let rule = rule(&settings.country, product.net);
    let judged = judge(&Check {
        rule,
        net: product.net,
        packs,
        measuring,
        values: &fills.values,
    });
    Some(Checked {
        run,
        product,
        packs,
        fills,
        rule,
        judged,
    })
}

impl Checked<'_> {
    /// Returns the unit that the packs declare.
    pub fn unit(&self) -> Unit {
        self.product.net.unit()
    }

    /// Writes an amount in that unit; `~` before one that a test turned.
    pub fn amount(&self, units: f64) -> String {
        format!("{}{}", self.guess(), plain(units, self.unit()))
    }

    /// Returns the mark of a guess, where values are one.
    pub fn guess(&self) -> &'static str {
        if self.fills.turned { "~" } else { "" }
    }

    /// Writes `12 of 40 packs measured`.
    pub fn measured(&self) -> String {
        let packs = count(self.packs, "pack", "packs");
        let values = self.fills.values.len();
        if u32::try_from(values).is_ok_and(|values| values <= self.packs) {
            format!("{values} of {packs} measured")
        } else {
            format!("{} of {packs} measured", count(values, "value", "values"))
        }
    }

    /// Says in a few words what is wrong, where something is: `mean 19.9L of 20L`.
    pub fn wrong(&self) -> Vec<String> {
        let rulings = self.judged.iter().flat_map(|judged| &judged.rulings);
        let failed = rulings.filter(|ruling| ruling.outcome == crate::trade::Outcome::Fails);
        failed.map(|ruling| self.wrong_with(ruling)).collect()
    }

    fn wrong_with(&self, ruling: &Ruling) -> String {
        let unit = self.unit();
        let below = |short: usize, limit: Tenths| {
            let packs = count(short, "pack", "packs");
            format!("{packs} below {}", limit.with_unit(unit))
        };
        match ruling.point {
            Point::Mean { mean, .. } => {
                format!("mean {} of {}", self.amount(mean), self.product.net)
            }
            Point::Few { short, limit, .. }
            | Point::NoneFar { short, limit }
            | Point::Each { short, limit } => below(short, limit),
        }
    }

    /// Returns the verdict; that nothing was measured is one.
    pub fn verdict(&self) -> Verdict {
        match &self.judged {
            Some(judged) => judged.verdict,
            None => Verdict::TooFew {
                more: usize::try_from(self.packs).unwrap_or(usize::MAX),
            },
        }
    }
}

/// Writes so many units, to a tenth, as an amount.
pub fn plain(units: f64, unit: Unit) -> String {
    // Fills are far below 2^53 tenths, and never below nothing.
    Tenths::new((units.max(0.0) * 10.0).round() as u64).with_unit(unit)
}
