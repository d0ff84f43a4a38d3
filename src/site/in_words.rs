//! The lines of a lineage in words, for those who do not see them, and for all where there is no room for them.

use crate::trace::{Layer, Relation};

use super::lineage::{Lineage, Row};
use super::shown::Shown;

/// Returns what each row led to; nothing for the lot itself.
pub fn led_to(shown: Shown<'_>, lineage: &Lineage) -> Vec<String> {
    let mut led_to: Vec<Vec<String>> = vec![Vec::new(); lineage.rows.len()];
    for line in &lineage.lines {
        let to = &lineage.rows[line.to];
        let manner = match line.style {
            Relation::Part => "",
            Relation::Live => " (worms)",
            Relation::Carried => " (a trace at most)",
        };
        let said = match to.layer {
            Layer::Subject => format!("this lot{manner}"),
            Layer::Goods | Layer::Mixed | Layer::Beds | Layer::Taken => {
                format!("{}{}{manner}", to.what, told_apart(shown, to))
            }
        };
        for row in &line.from {
            led_to[*row].push(said.clone());
        }
    }
    led_to.into_iter().map(|said| said.join("; ")).collect()
}

/// Returns what tells a row from others of its kind, after a comma: a single lot's code, else how many and when.
fn told_apart(shown: Shown<'_>, row: &Row) -> String {
    let code = match row.lots[..] {
        [only] => shown.code(only),
        _ => None,
    };
    let told = code.unwrap_or_else(|| row.detail.clone());
    if told.is_empty() {
        told
    } else {
        format!(", {told}")
    }
}
