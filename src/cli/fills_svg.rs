//! The chart of fills as an SVG drawing: a dot for each pack, lines for what is declared, the mean and the limits.

use std::fmt::Write;

use crate::farm::{Farm, Tenths};

use super::fills_chart::marks;
use super::fills_check::Checked;

/// Sizes, in the drawing's own units.
const WIDTH: f64 = 720.0;
const SIDE: f64 = 60.0;
const DOT: f64 = 5.0;
const HEAD: f64 = 74.0;
const FOOT: f64 = 34.0;
/// The dots of one heap stand in so many columns at most.
const COLUMNS: usize = 60;

/// Draws it. It holds nothing but codes, refs and numbers, none of which has a character that SVG takes for its own.
pub fn drawing(farm: &Farm, checked: &Checked<'_>) -> Option<String> {
    let judged = checked.judged.as_ref()?;
    let marks = marks(checked);
    let points = checked
        .fills
        .values
        .iter()
        .chain(marks.iter().map(|(at, _)| at));
    let from = points.clone().min()?.to_units();
    let to = points.max()?.to_units();
    let span = if to > from { to - from } else { 1.0 };
    let x = |units: f64| SIDE + (units - from) / span * (WIDTH - 2.0 * SIDE);
    let heaps = heaps(&checked.fills.values, x);
    let tallest = heaps.iter().map(|(_, count)| *count).max().unwrap_or(1);
    let floor = HEAD + (tallest as f64 * 2.0 + 1.0) * DOT;
    let height = floor + FOOT;
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height:.0}\" font-family=\"sans-serif\" font-size=\"12\">\n"
    );
    let lot = farm.lot(checked.run);
    let name = lot
        .mark
        .as_ref()
        .map_or_else(String::new, |mark| format!("{mark} "));
    let title = format!("{name}{}: {}", lot.code, checked.measured());
    let _ = writeln!(
        svg,
        "<title>{title}</title>\n<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>"
    );
    let _ = writeln!(
        svg,
        "<text x=\"{SIDE}\" y=\"18\" font-weight=\"bold\">{title}</text>"
    );
    let mean = (judged.mean, "mean", "4 3", checked.amount(judged.mean));
    let lines = marks.iter().map(|(at, name)| {
        let amount = at.with_unit(checked.unit());
        (at.to_units(), *name, "none", amount)
    });
    for (row, (at, name, dash, amount)) in lines.chain([mean]).enumerate() {
        // Names stand one under the other, so that lines that lie close do not hide them.
        let (at, y) = (x(at), 34.0 + 12.0 * row as f64);
        let (anchor, aside) = if at > WIDTH / 2.0 {
            ("end", -4.0)
        } else {
            ("start", 4.0)
        };
        let _ = writeln!(
            svg,
            "<line x1=\"{at:.1}\" y1=\"{:.1}\" x2=\"{at:.1}\" y2=\"{floor:.1}\" stroke=\"#000\" stroke-dasharray=\"{dash}\"/>",
            y - 8.0
        );
        let _ = writeln!(
            svg,
            "<text x=\"{:.1}\" y=\"{y:.1}\" text-anchor=\"{anchor}\">{name} {amount}</text>",
            at + aside
        );
    }
    for (at, count) in heaps {
        for place in 0..count {
            let y = floor - DOT - 2.0 * DOT * place as f64;
            let _ = writeln!(
                svg,
                "<circle cx=\"{at:.1}\" cy=\"{y:.1}\" r=\"{:.1}\" fill=\"#555\"/>",
                DOT - 0.5
            );
        }
    }
    let _ = writeln!(
        svg,
        "<line x1=\"{SIDE}\" y1=\"{floor:.1}\" x2=\"{:.1}\" y2=\"{floor:.1}\" stroke=\"#000\"/>",
        WIDTH - SIDE
    );
    for (units, anchor) in [(from, "start"), (from + span, "end")] {
        let end = super::fills_check::plain(units, checked.unit());
        let _ = writeln!(
            svg,
            "<text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"{anchor}\">{end}</text>",
            x(units),
            floor + 16.0
        );
    }
    svg.push_str("</svg>\n");
    Some(svg)
}

/// Heaps of dots: where each stands, and how many packs are in it.
fn heaps(values: &[Tenths], x: impl Fn(f64) -> f64) -> Vec<(f64, usize)> {
    let wide = (WIDTH - 2.0 * SIDE) / COLUMNS as f64;
    let mut heaps: Vec<(f64, usize)> = Vec::new();
    for value in values {
        let column = ((x(value.to_units()) - SIDE) / wide).round();
        let at = SIDE + column * wide;
        match heaps
            .iter_mut()
            .find(|(other, _)| (*other - at).abs() < wide / 2.0)
        {
            Some((_, count)) => *count += 1,
            None => heaps.push((at, 1)),
        }
    }
    heaps
}
