//! How beds live, as a page.

use crate::farm::{Quantity, Unit};
use crate::trade::{CROWDED_FROM, Species, THIN_BELOW, climate, short_species};

use super::bed_life::{BedLife, Sieve};
use super::phrase::{count, paragraph};
use super::table::{Set, Table};

/// Writes the page.
pub fn page(beds: &[BedLife]) -> String {
    if beds.is_empty() {
        return "no bed in any bin\n".to_owned();
    }
    let mut table = Table::new(&[
        ("bin", Set::Whole),
        ("species", Set::Whole),
        ("days", Set::Number),
        ("worms", Set::Number),
        ("kg/m2", Set::Number),
        ("", Set::Whole),
        ("sieve", Set::Whole),
    ]);
    for bed in beds {
        table.row(row(bed));
    }
    let mut text = table.to_string();
    let mut looks = Table::new(&[("", Set::Whole), ("", Set::Text)]);
    for bed in beds.iter().filter(|bed| !bed.look.is_empty()) {
        looks.row(vec![bed.bin.clone(), bed.look.join("; ")]);
    }
    if !looks.is_empty() {
        text += &format!("\nAt the last checks:\n{looks}");
    }
    let words = [(Some("crowded"), "crowded: split"), (Some("thin"), "thin")];
    let told: Vec<String> = words
        .iter()
        .filter_map(|(word, told)| {
            let beds = beds.iter().filter(|bed| bed.stocking == *word).count();
            (beds > 0).then(|| format!("{} {told}", count(beds, "bed", "beds")))
        })
        .collect();
    text += &format!("\n{}\n", count(beds.len(), "bed", "beds"));
    for line in told {
        text += &format!("{line}\n");
    }
    text + &sources(beds)
}

fn row(bed: &BedLife) -> Vec<String> {
    let guess = if bed.worms_from == "book" { "" } else { "*" };
    let worms = bed.worms_g.map_or_else(
        || "?".to_owned(),
        |grams| Quantity::new(grams.unsigned_abs(), Unit::Grams).to_string(),
    );
    let density = bed.g_per_m2.map_or_else(String::new, |density| {
        format!("{}.{}", density / 1_000, density % 1_000 / 100)
    });
    let word = bed.stocking.filter(|word| *word != "usual");
    vec![
        bed.bin.clone(),
        short_species(bed.species.as_deref().unwrap_or_default()),
        bed.days.to_string(),
        format!("{worms}{guess}"),
        density,
        word.unwrap_or_default().to_owned(),
        bed.sieve
            .as_ref()
            .map_or_else(|| "no worms put in".to_owned(), when),
    ]
}

fn when(sieve: &Sieve) -> String {
    match (&sieve.from, &sieve.to) {
        (Some(from), Some(to)) if from == to => from.clone(),
        (Some(from), Some(to)) => format!("{from} to {to}"),
        (_, _) => "now: longer than any past cycle".to_owned(),
    }
}

/// Says where the figures are from, each once.
fn sources(beds: &[BedLife]) -> String {
    let mut lines = vec![
        "Worms are those put in less those taken out, by the book (* from a check that weighed them).".to_owned(),
        format!(
            "Thin below {}.{} kg/m2, the best start of one trial (Ndegwa and others 2000); crowded from {} on, where growers tell that beds level off, or with a kilogram in a shallow box (common practice).",
            THIN_BELOW / 1_000,
            THIN_BELOW % 1_000 / 100,
            CROWDED_FROM / 1_000
        ),
    ];
    for bed in beds {
        let name = bed.species.as_deref().unwrap_or("beds of no species");
        if let Some(basis) = bed.basis {
            lines.push(format!("Days to sieve of {name}: from {}.", basis.told()));
        }
        let likes = bed.species.as_deref().and_then(Species::named);
        if let Some(likes) = likes.and_then(climate).filter(|_| !bed.look.is_empty()) {
            lines.push(format!("Heat and moisture of {name}: {}.", likes.source));
        }
    }
    let mut told: Vec<&String> = Vec::new();
    for line in &lines {
        if !told.contains(&line) {
            told.push(line);
        }
    }
    let told: String = told.iter().map(|line| paragraph(line, 0)).collect();
    format!("\n{told}")
}
