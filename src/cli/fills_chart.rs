//! A chart of fills in plain characters: a row for each step of content, a sign for each pack.

use crate::desk::fills_check::Checked;
use crate::farm::{Tenths, Unit};

/// No more rows than so many.
const MOST_ROWS: u64 = 14;
/// No bar is longer than so many signs.
const WIDEST: usize = 48;

/// Draws the chart; nothing where nothing was measured.
pub fn chart(checked: &Checked<'_>) -> String {
    let Some(judged) = &checked.judged else {
        return String::new();
    };
    let marks = marks(checked);
    let all = checked.fills.values.iter();
    let from = *all
        .clone()
        .chain(marks.iter().map(|(at, _)| at))
        .min()
        .unwrap_or(&judged.lowest);
    let to = *all
        .chain(marks.iter().map(|(at, _)| at))
        .max()
        .unwrap_or(&judged.highest);
    let step = step(to.count() - from.count(), checked);
    let rows = from.count() / step..=to.count() / step;
    let counts: Vec<usize> = rows
        .clone()
        .map(|row| {
            let here = checked.fills.values.iter();
            here.filter(|value| value.count() / step == row).count()
        })
        .collect();
    let most = counts.iter().copied().max().unwrap_or_default();
    let each = most.div_ceil(WIDEST).max(1);
    let labels: Vec<String> = rows
        .clone()
        .map(|row| Tenths::new(row * step).with_unit(checked.unit()))
        .collect();
    let wide = labels.iter().map(String::len).max().unwrap_or_default();
    let mut text = String::new();
    for ((row, label), count) in rows.zip(labels).zip(counts) {
        let bar = "#".repeat(count.div_ceil(each));
        let named = named(&marks, |at| at.count() / step == row);
        text += format!("  {label:>wide$} |{bar}{named}").trim_end();
        text.push('\n');
    }
    let sign = match each {
        1 => "a pack".to_owned(),
        each => format!("up to {each} packs"),
    };
    let upwards = Tenths::new(step).with_unit(checked.unit());
    text + &format!("  each row is {upwards}, from its figure up; each # {sign}\n")
}

fn named(marks: &[(Tenths, &'static str)], here: impl Fn(Tenths) -> bool) -> String {
    let here = marks.iter().filter(|(at, _)| here(*at));
    let here: Vec<&str> = here.map(|(_, name)| *name).collect();
    if here.is_empty() {
        String::new()
    } else {
        format!("  < {}", here.join(", "))
    }
}

/// What the chart names: what is declared, and the limits that something came near.
pub fn marks(checked: &Checked<'_>) -> Vec<(Tenths, &'static str)> {
    let declared = Tenths::of(checked.product.net);
    let mut marks = vec![(declared, "declared")];
    if let Some((judged, tne)) = checked.judged.as_ref().and_then(|j| Some((j, j.tne?))) {
        let limit = declared.less(tne);
        marks.push((limit, "TNE"));
        if judged.lowest < limit {
            marks.push((limit.less(tne), "2 x TNE"));
        }
    }
    marks
}

/// Returns the smallest step of 1, 2 or 5 that keeps the chart short; worms come whole unless they were weighed.
fn step(width: u64, checked: &Checked<'_>) -> u64 {
    let least = match checked.unit() {
        Unit::Pieces if !checked.fills.turned => 10,
        Unit::Pieces | Unit::Grams | Unit::Millilitres => 1,
    };
    let tens = std::iter::successors(Some(1_u64), |ten| ten.checked_mul(10));
    let mut steps = tens.flat_map(|ten| [1, 2, 5].map(|digit| ten.saturating_mul(digit)));
    steps
        .find(|step| *step >= least && width / step + 2 <= MOST_ROWS)
        .unwrap_or(u64::MAX)
}
