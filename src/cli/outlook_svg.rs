//! The chart of an outlook as an SVG drawing: a bar a week up to the middle, and a line from the low to the high.

use std::fmt::Write;

use super::outlook_text::{bars, kilograms, title};
use super::outlook_work::Outlook;

/// Sizes, in the drawing's own units.
const WIDTH: f64 = 720.0;
const LEFT: f64 = 60.0;
const RIGHT: f64 = 16.0;
const TOP: f64 = 60.0;
const HIGH: f64 = 220.0;
const FOOT: f64 = 46.0;
/// A bar takes so much of its week's room.
const BAR: f64 = 0.6;
/// About so many lines stand behind the bars.
const LINES: f64 = 5.0;

/// Draws it. It holds nothing but numbers and days, none of which has a character that SVG takes for its own.
pub fn drawing(ahead: &Outlook) -> String {
    let (bars, title) = (bars(ahead), title(ahead));
    let most = bars.iter().map(|bar| bar.spread[2]).fold(1_000.0, f64::max);
    let step = step(most / LINES);
    let top = (most / step).ceil() * step;
    let y = |grams: f64| TOP + HIGH - grams / top * HIGH;
    let mut body = String::new();
    let mut put = |element: std::fmt::Arguments<'_>| {
        body.write_fmt(format_args!("{element}\n"))
            .expect("a String takes everything");
    };
    put(format_args!("<title>{title}: castings</title>"));
    put(format_args!(
        r##"<rect width="100%" height="100%" fill="#fff"/>"##
    ));
    put(format_args!(
        r#"<text x="{LEFT}" y="20" font-weight="bold">{title}: castings</text>"#
    ));
    put(format_args!(
        r#"<text x="{LEFT}" y="38">bars: half of all seasons give more; lines: eight in ten are within</text>"#
    ));
    let end = WIDTH - RIGHT;
    let lines = (top / step).round() as usize;
    for grams in (0..=lines).map(|line| line as f64 * step) {
        let (at, below) = (y(grams), y(grams) + 4.0);
        let label = kilograms(grams);
        put(format_args!(
            r##"<line x1="{LEFT}" y1="{at:.1}" x2="{end}" y2="{at:.1}" stroke="#ccc"/>"##
        ));
        put(format_args!(
            r#"<text x="{:.1}" y="{below:.1}" text-anchor="end">{label}</text>"#,
            LEFT - 6.0
        ));
    }
    let room = (end - LEFT) / bars.len().max(1) as f64;
    // Days are some 40 wide; every so many weeks one is written.
    let every = (44.0 / room).ceil().max(1.0) as usize;
    for (at, bar) in bars.iter().enumerate() {
        let middle = LEFT + room * (at as f64 + 0.5);
        let [low, half, high] = bar.spread.map(y);
        let (x, wide, floor) = (middle - room * BAR / 2.0, room * BAR, y(0.0));
        put(format_args!(
            r##"<rect x="{x:.1}" y="{half:.1}" width="{wide:.1}" height="{:.1}" fill="#9a9"/>"##,
            floor - half
        ));
        put(format_args!(
            r##"<line x1="{middle:.1}" y1="{low:.1}" x2="{middle:.1}" y2="{high:.1}" stroke="#000" stroke-width="2"/>"##
        ));
        for end in [low, high] {
            put(format_args!(
                r##"<line x1="{:.1}" y1="{end:.1}" x2="{:.1}" y2="{end:.1}" stroke="#000"/>"##,
                middle - 4.0,
                middle + 4.0
            ));
        }
        if at % every == 0 {
            let day = bar.from.get(5..).unwrap_or(&bar.from);
            put(format_args!(
                r#"<text x="{middle:.1}" y="{:.1}" text-anchor="middle">{day}</text>"#,
                floor + 18.0
            ));
        }
    }
    put(format_args!(
        r#"<text x="{:.1}" y="{:.1}" text-anchor="middle">weeks from (month and day)</text>"#,
        (LEFT + end) / 2.0,
        TOP + HIGH + 38.0
    ));
    let height = TOP + HIGH + FOOT;
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height:.0}\" font-family=\"sans-serif\" font-size=\"12\">\n{body}</svg>\n"
    )
}

/// Returns the smallest step of 1, 2 or 5 times a power of ten that is no less than what is asked for.
fn step(least: f64) -> f64 {
    let ten = 10_f64.powf(least.log10().floor());
    let steps = [1.0, 2.0, 5.0, 10.0].map(|digit| digit * ten);
    steps
        .into_iter()
        .find(|step| *step >= least)
        .unwrap_or(ten * 10.0)
}
