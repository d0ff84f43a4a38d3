//! A lineage in words, for those who do not see the drawing.

use crate::trace::{Layer, Relation};

use super::lineage::{Lineage, Row};
use super::wording;

/// A row in words.
pub struct Words {
    /// What it is.
    pub what: String,
    /// How many and when.
    pub detail: String,
    /// Where its lines go.
    pub goes: String,
}

/// Says in a sentence what a drawing shows.
pub fn summary(lineage: &Lineage) -> String {
    let mut counts: Vec<String> = Vec::new();
    for layer in [Layer::Goods, Layer::Mixed, Layer::Beds, Layer::Taken] {
        let rows = lineage.rows.iter().filter(|row| row.layer == layer).count();
        if rows > 0 {
            let heading = layer.heading().to_lowercase();
            counts.push(format!(
                "{heading}: {}",
                wording::count(rows, "row", "rows")
            ));
        }
    }
    let lots = wording::count(lineage.lots, "lot", "lots");
    format!(
        "{lots} before this one, from goods at the top to this lot at the bottom; {}. The same stands in words below the drawing.",
        counts.join(", ")
    )
}

/// Tells every row and where its lines go.
pub fn words(lineage: &Lineage) -> Vec<Words> {
    let tell = |(place, row): (usize, &Row)| {
        let goes: Vec<String> = lineage
            .lines
            .iter()
            .filter(|line| line.from.contains(&place))
            .map(|line| {
                let to = &lineage.rows[line.to];
                let manner = match line.style {
                    Relation::Part => "",
                    Relation::Live => " (worms)",
                    Relation::Carried => " (a trace at most)",
                };
                match to.layer {
                    Layer::Subject => format!("this lot{manner}"),
                    Layer::Goods | Layer::Mixed | Layer::Beds | Layer::Taken => {
                        format!("{}, {}{manner}", to.what, to.detail)
                    }
                }
            })
            .collect();
        Words {
            what: row.what.clone(),
            detail: row.detail.clone(),
            goes: goes.join("; "),
        }
    };
    let rows = lineage.rows.iter().enumerate();
    rows.filter(|(_, row)| row.layer != Layer::Subject)
        .map(tell)
        .collect()
}
