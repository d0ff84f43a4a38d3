//! The lines of a lineage in words, for those who do not see them, and for all where there is no room for them.

use crate::trace::{Layer, Relation};

use super::lineage::Lineage;

/// Returns what each row led to; nothing for the lot itself.
pub fn led_to(lineage: &Lineage) -> Vec<String> {
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
                format!("{}, {}{manner}", to.what, to.detail)
            }
        };
        for row in &line.from {
            led_to[*row].push(said.clone());
        }
    }
    led_to.into_iter().map(|said| said.join("; ")).collect()
}
