//! What `castlot fills --json` prints.

use serde::Serialize;

use crate::desk::fills_check::Checked;
use crate::farm::{Farm, Tenths};
use crate::trade::{Outcome, Point, Ruling, Verdict};

use super::out;
use super::stock::unit_word;

#[derive(Serialize)]
struct Run {
    run: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    product: String,
    name: String,
    net: u64,
    unit: &'static str,
    rule: &'static str,
    packs: u32,
    measured: usize,
    unread: usize,
    basis: &'static str,
    values: Vec<f64>,
    mean: Option<f64>,
    spread: Option<f64>,
    lowest: Option<f64>,
    highest: Option<f64>,
    tne: Option<f64>,
    below_net: Option<usize>,
    below_tne: Option<usize>,
    below_twice_tne: Option<usize>,
    points: Vec<PointRow>,
    verdict: &'static str,
    held_for_fills: bool,
    weighings: Vec<u32>,
    warnings: Vec<String>,
}

#[derive(Serialize)]
struct PointRow {
    point: &'static str,
    outcome: &'static str,
    sample: usize,
    more: usize,
    limit: f64,
    mean: Option<f64>,
    k: Option<f64>,
    short: Option<usize>,
    accept: Option<usize>,
}

/// Every run that was weighed.
#[derive(Serialize)]
struct All {
    runs: Vec<Run>,
}

/// Writes a run and how it was judged.
pub fn text(farm: &Farm, checked: &Checked<'_>, warnings: &[String]) -> String {
    out::json(&run(farm, checked, warnings))
}

/// Writes every run that was weighed.
pub fn list(farm: &Farm, all: &[Checked<'_>]) -> String {
    let runs = all.iter().map(|checked| run(farm, checked, &[]));
    out::json(&All {
        runs: runs.collect(),
    })
}

fn run(farm: &Farm, checked: &Checked<'_>, warnings: &[String]) -> Run {
    let lot = farm.lot(checked.run);
    let judged = checked.judged.as_ref();
    Run {
        run: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        product: checked.product.key.to_string(),
        name: checked.product.name.to_string(),
        net: checked.product.net.value(),
        unit: unit_word(checked.unit()),
        rule: checked.rule.told(),
        packs: checked.packs,
        measured: checked.fills.values.len(),
        unread: checked.fills.unread,
        basis: if checked.fills.turned {
            "guess"
        } else {
            "weighed"
        },
        values: checked.fills.values.iter().map(|v| v.to_units()).collect(),
        mean: judged.map(|judged| judged.mean),
        spread: judged.and_then(|judged| judged.spread),
        lowest: judged.map(|judged| judged.lowest.to_units()),
        highest: judged.map(|judged| judged.highest.to_units()),
        tne: judged
            .and_then(|judged| judged.tne)
            .map(|tne| tne.to_units()),
        below_net: judged.map(|judged| judged.below_net),
        below_tne: judged.filter(|j| j.tne.is_some()).map(|j| j.below_tne),
        below_twice_tne: judged.filter(|j| j.tne.is_some()).map(|j| j.below_twice),
        points: judged.map_or_else(Vec::new, |j| j.rulings.iter().map(point).collect()),
        verdict: verdict_word(checked.verdict()),
        held_for_fills: !farm.holds_for_fills(checked.run).0.is_empty(),
        weighings: checked.fills.weighings.iter().map(|(n, _)| *n).collect(),
        warnings: warnings.to_vec(),
    }
}

/// Returns the word for a verdict.
pub fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Meets => "meets",
        Verdict::DoesNotMeet => "does not meet",
        Verdict::TooFew { .. } => "too few measured",
    }
}

fn point(ruling: &Ruling) -> PointRow {
    let (outcome, more) = match ruling.outcome {
        Outcome::Holds => ("yes", 0),
        Outcome::Fails => ("no", 0),
        Outcome::Open { more } => ("open", more),
    };
    let row = |point, limit| PointRow {
        point,
        outcome,
        sample: ruling.sample,
        more,
        limit,
        mean: None,
        k: None,
        short: None,
        accept: None,
    };
    let shorts = |point, short, accept, limit: Tenths| PointRow {
        short: Some(short),
        accept: Some(accept),
        ..row(point, limit.to_units())
    };
    match ruling.point {
        Point::Mean { mean, limit, k } => PointRow {
            mean: Some(mean),
            k: Some(k),
            ..row("mean", limit)
        },
        Point::Few {
            short,
            accept,
            limit,
            ..
        } => shorts("few below the TNE", short, accept, limit),
        Point::NoneFar { short, limit } => shorts("none below twice the TNE", short, 0, limit),
        Point::Each { short, limit } => shorts("each", short, 0, limit),
    }
}
