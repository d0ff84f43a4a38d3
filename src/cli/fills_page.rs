//! What `castlot fills` prints for people.

use crate::desk::called;
use crate::desk::fills_check::{Checked, plain};
use crate::farm::{Farm, Tenths};
use crate::trade::{
    INSPECTORS_TEST, Judged, Outcome, Point, Rule, Ruling, Verdict, e_mark_reaches,
};

use super::fills_chart::chart;
use super::fills_json::verdict_word;
use super::phrase::{at, count, listed, paragraph};
use super::table::{Set, Table};

/// How far a point's words stand in.
const INDENT: usize = 8;

/// Writes the page of a run.
pub fn page(farm: &Farm, checked: &Checked<'_>) -> String {
    let lot = farm.lot(checked.run);
    let mut text = format!("{}: {}\n", called(farm, checked.run), lot.code);
    text += &paragraph(&head(checked), 0);
    let Some(judged) = &checked.judged else {
        return text;
    };
    text.push('\n');
    text += &figures(checked, judged);
    text.push('\n');
    text += &chart(checked);
    text.push('\n');
    text += &paragraph(&sentence(checked.rule.told()), 0);
    for ruling in &judged.rulings {
        let word = match ruling.outcome {
            Outcome::Holds => "yes",
            Outcome::Fails => "no",
            Outcome::Open { .. } => "open",
        };
        let words = paragraph(&told(checked, judged, ruling), INDENT);
        text += &format!("  {word:<6}{}", words.trim_start());
    }
    text.push('\n');
    text += &paragraph(&verdict(checked), 0);
    let beside = [
        Some(INSPECTORS_TEST),
        checked.rule.beside(),
        e_mark(checked),
    ];
    let beside: Vec<&str> = beside.into_iter().flatten().collect();
    text + &paragraph(&beside.join(" "), 0)
}

fn e_mark(checked: &Checked<'_>) -> Option<&'static str> {
    match checked.rule {
        Rule::Average(_) if !e_mark_reaches(checked.product.net) => {
            Some("The e mark is for packs of 5 g or mL to 10 kg or L; this one is over that.")
        }
        Rule::Average(_) | Rule::EachPack(_) => None,
    }
}

/// Writes the list of runs that were weighed.
pub fn list(farm: &Farm, all: &[Checked<'_>]) -> String {
    let mut table = Table::new(&[
        ("run", Set::Text),
        ("net", Set::Number),
        ("packs", Set::Number),
        ("measured", Set::Number),
        ("mean", Set::Number),
        ("below TNE", Set::Number),
        ("", Set::Whole),
        ("code", Set::Whole),
    ]);
    for checked in all {
        let lot = farm.lot(checked.run);
        let judged = checked.judged.as_ref();
        let mark = lot.mark.as_ref().map(ToString::to_string);
        let below = judged.filter(|judged| judged.tne.is_some());
        let held = if lot.is_held() { ", held" } else { "" };
        table.row(vec![
            mark.unwrap_or_default(),
            checked.product.net.to_string(),
            checked.packs.to_string(),
            checked.fills.values.len().to_string(),
            judged.map_or_else(String::new, |judged| checked.amount(judged.mean)),
            below.map_or_else(String::new, |judged| judged.below_tne.to_string()),
            format!("{}{held}", verdict_word(checked.verdict())),
            lot.code.to_string(),
        ]);
    }
    if table.is_empty() {
        return "no run has been weighed\n".to_owned();
    }
    table.to_string()
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().into_iter().flat_map(char::to_uppercase);
    first.chain(letters).collect()
}

fn head(checked: &Checked<'_>) -> String {
    let fills = &checked.fills;
    let mut parts = vec![checked.measured()];
    let days: Vec<String> = fills.weighings.iter().map(|(_, when)| at(*when)).collect();
    if !days.is_empty() {
        parts[0] += &format!(", on {}", listed(&days));
    }
    if fills.turned {
        parts.push(match checked.unit() {
            crate::farm::Unit::Pieces => {
                "counts (~) are weights turned by the per_kg test".to_owned()
            }
            _ => "contents (~) are turned by the density test".to_owned(),
        });
    }
    if fills.unread > 0 {
        let values = count(fills.unread, "value", "values");
        parts.push(format!("{values} left out, in units that no test turns"));
    }
    if fills.before > 0 {
        let before = count(fills.before, "weighing", "weighings");
        parts.push(format!(
            "{before} from before it was held for its fills no longer counts"
        ));
    }
    parts.join("; ")
}

fn figures(checked: &Checked<'_>, judged: &Judged) -> String {
    let unit = checked.unit();
    let declared = Tenths::of(checked.product.net).to_units();
    let gap = judged.mean - declared;
    let beside = match gap {
        gap if gap.abs() < 0.05 => "as declared".to_owned(),
        gap if gap < 0.0 => format!(
            "{} below the {} declared",
            plain(-gap, unit),
            checked.product.net
        ),
        gap => format!(
            "{} above the {} declared",
            plain(gap, unit),
            checked.product.net
        ),
    };
    let mut text = format!("  mean     {}, {beside}\n", checked.amount(judged.mean));
    if let Some(spread) = judged.spread {
        text += &format!("  spread   {}\n", checked.amount(spread));
    }
    text += &format!(
        "  lowest   {}, highest {}\n",
        checked.amount(judged.lowest.to_units()),
        checked.amount(judged.highest.to_units())
    );
    if let Some(tne) = judged.tne {
        let limit = Tenths::of(checked.product.net).less(tne);
        text += &format!(
            "  TNE      {}: {} below {}, {} below {} (twice the TNE)\n",
            tne.with_unit(unit),
            judged.below_tne,
            limit.with_unit(unit),
            judged.below_twice,
            limit.less(tne).with_unit(unit)
        );
    }
    text
}

fn told(checked: &Checked<'_>, judged: &Judged, ruling: &Ruling) -> String {
    let unit = checked.unit();
    let open = match ruling.outcome {
        Outcome::Open { more } => format!(", and {} left to measure", count(more, "pack", "packs")),
        Outcome::Holds | Outcome::Fails => String::new(),
    };
    let found = |short: usize| format!("{short} found{open}");
    match ruling.point {
        Point::Mean { mean, limit, k } => told_of_mean(checked, ruling, [mean, limit, k]),
        Point::Few {
            short,
            accept,
            of,
            limit,
        } => {
            let of = match judged.plan {
                Some(_) => format!(" of the first {of}"),
                None => String::new(),
            };
            let limit = limit.with_unit(unit);
            format!("at most {accept}{of} below {limit}: {}", found(short))
        }
        Point::NoneFar { short, limit } => {
            format!("none below {}: {}", limit.with_unit(unit), found(short))
        }
        Point::Each { short, limit } => {
            format!("none below {}: {}", limit.with_unit(unit), found(short))
        }
    }
}

fn told_of_mean(checked: &Checked<'_>, ruling: &Ruling, [mean, limit, k]: [f64; 3]) -> String {
    let of = count(ruling.sample, "pack", "packs");
    let (mean, limit) = (checked.amount(mean), plain(limit, checked.unit()));
    let net = checked.product.net;
    match (ruling.outcome, k > 0.0) {
        (Outcome::Open { more }, _) => {
            let beyond = if k > 0.0 {
                format!(" (short beyond doubt below {limit}, with k {k:.3})")
            } else {
                String::new()
            };
            let left = count(more, "pack", "packs");
            format!("the mean reaches {net}: {mean} of {of}{beyond}, and {left} left to measure")
        }
        (Outcome::Holds | Outcome::Fails, false) => {
            format!("the mean reaches {limit}: {mean} of {of}")
        }
        (Outcome::Holds | Outcome::Fails, true) => format!(
            "the mean reaches {limit}, which is {net} less {k:.3} of the spread: {mean} of {of}"
        ),
    }
}

fn verdict(checked: &Checked<'_>) -> String {
    let plan = checked.rule.called();
    match checked.verdict() {
        Verdict::Meets => format!("The run meets {plan}."),
        Verdict::DoesNotMeet => {
            let wrong = listed(&checked.wrong());
            format!("The run does not meet {plan}: {wrong}.")
        }
        Verdict::TooFew { more } => format!(
            "Nothing is against the run so far; {} left to measure before it can be said to meet {plan}.",
            count(more, "pack is", "packs are")
        ),
    }
}
