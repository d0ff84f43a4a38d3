//! An outlook as a page, with a chart in plain characters.

use crate::farm::Farm;

use super::outlook_text::{bars, notes, title, total, worms};
use super::outlook_work::Outlook;
use super::phrase::WIDTH;
use super::phrase::broken;

/// The longest bar.
const WIDEST: f64 = 24.0;

/// Writes the page.
pub fn page(farm: &Farm, ahead: &Outlook) -> String {
    let mut text = format!("{}\n", title(ahead));
    if ahead.herds.beds.is_empty() {
        text += "\nno bed with worms in it is in use\n";
    } else {
        text += &format!("\nCastings\n{}", chart(ahead));
        text += &worm_table(ahead);
    }
    for (heading, lines) in notes(farm, ahead) {
        text += &format!("\n{heading}\n");
        for line in lines {
            text += &hanging(&line);
        }
    }
    text
}

/// Writes a line two spaces in, and what does not fit it four spaces in.
fn hanging(line: &str) -> String {
    let lines = broken(line, WIDTH - 4);
    let indents = std::iter::once("  ").chain(std::iter::repeat("    "));
    lines
        .iter()
        .zip(indents)
        .map(|(line, indent)| format!("{indent}{line}\n"))
        .collect()
}

fn chart(ahead: &Outlook) -> String {
    let bars = bars(ahead);
    let most = bars.iter().map(|bar| bar.spread[2]).fold(1.0, f64::max);
    let mut rows: Vec<[String; 6]> = bars
        .iter()
        .map(|bar| {
            [
                bar.from.clone(),
                bar.beds.clone(),
                bar.castings.clone(),
                bar.between.clone(),
                bar.litres.clone(),
                format!("|{}", drawn(bar.spread, most)),
            ]
        })
        .collect();
    let [beds, castings, between, litres] = total(ahead);
    rows.push(["all".into(), beds, castings, between, litres, String::new()]);
    let heads = ["from", "beds", "middle", "8 in 10", "litres", ""].map(str::to_owned);
    rows.insert(0, heads);
    let wide: Vec<usize> = (0..6)
        .map(|column| rows.iter().map(|row| row[column].chars().count()).max())
        .map(Option::unwrap_or_default)
        .collect();
    let mut text = String::new();
    for [from, beds, middle, between, litres, bar] in &rows {
        let line = format!(
            "  {from:<0$}  {beds:>1$}  {middle:>2$}  {between:>3$}  {litres:>4$}  {bar}",
            wide[0], wide[1], wide[2], wide[3], wide[4]
        );
        text += line.trim_end();
        text.push('\n');
    }
    text + "  # nine in ten seasons give more, = half do, - one in ten does\n"
}

fn drawn(spread: [f64; 3], most: f64) -> String {
    let [low, middle, high] = spread.map(|grams| (grams / most * WIDEST).round() as usize);
    let part = |sign: &str, from: usize, to: usize| sign.repeat(to.saturating_sub(from));
    part("#", 0, low) + &part("=", low, middle) + &part("-", middle, high)
}

fn worm_table(ahead: &Outlook) -> String {
    let table = worms(ahead);
    if table.headings.len() == 1 {
        return String::new();
    }
    let rows: Vec<&Vec<String>> = std::iter::once(&table.headings)
        .chain(&table.rows)
        .collect();
    let wide: Vec<usize> = (0..table.headings.len())
        .map(|column| rows.iter().map(|row| row[column].chars().count()).max())
        .map(Option::unwrap_or_default)
        .collect();
    let mut text = "\nWorms to spare, and as tubs: the middle (8 in 10)\n".to_owned();
    for row in rows {
        let cells: Vec<String> = row
            .iter()
            .zip(&wide)
            .enumerate()
            .map(|(at, (cell, wide))| match at {
                0 => format!("{cell:<wide$}"),
                _ => format!("{cell:>wide$}"),
            })
            .collect();
        text += &format!("  {}\n", cells.join("  "));
    }
    text
}
