//! The chart of an outlook as an SVG drawing: a bar a week up to the middle, and a line from the low to the high.

use std::fmt::Write;

use super::outlook_text::{bars, title};
use super::outlook_work::Outlook;

/// Sizes, in the drawing's own units.
const WIDTH: f64 = 720.0;
const LEFT: f64 = 60.0;
const END: f64 = WIDTH - 16.0;
const TOP: f64 = 60.0;
const HIGH: f64 = 220.0;
const FOOT: f64 = 46.0;
/// A bar takes so much of its week's room.
const BAR: f64 = 0.6;
/// A month and a day are no wider than this.
const DAY: f64 = 44.0;
/// About so many lines stand behind the bars.
const LINES: f64 = 5.0;
const KILOGRAM: f64 = 1_000.0;

/// Draws it. It holds nothing but numbers and days, none of which has a character that SVG takes for its own.
pub fn drawing(ahead: &Outlook) -> String {
    let bars = bars(ahead);
    let most = bars
        .iter()
        .map(|bar| bar.spread[2])
        .fold(KILOGRAM, f64::max);
    let step = step(most / LINES);
    let mut drawing = Drawing {
        top: (most / step).ceil() * step,
        body: String::new(),
    };
    drawing.head(&title(ahead));
    drawing.scale(step);
    let room = (END - LEFT) / bars.len().max(1) as f64;
    // Where days have no room side by side, every so many weeks one is written.
    let every = (DAY / room).ceil().max(1.0) as usize;
    for (at, bar) in bars.iter().enumerate() {
        let middle = LEFT + room * (at as f64 + 0.5);
        drawing.bar(middle, room * BAR, bar.spread);
        if at % every == 0 {
            let (y, day) = (drawing.y(0.0) + 18.0, bar.from.get(5..).unwrap_or_default());
            drawing.put(format_args!(
                r#"<text x="{middle:.1}" y="{y:.1}" text-anchor="middle">{day}</text>"#
            ));
        }
    }
    drawing.whole()
}

/// A drawing in the making.
struct Drawing {
    /// The grams that stand at the top of the scale.
    top: f64,
    body: String,
}

impl Drawing {
    fn y(&self, grams: f64) -> f64 {
        TOP + HIGH - grams / self.top * HIGH
    }

    fn put(&mut self, element: std::fmt::Arguments<'_>) {
        self.body
            .write_fmt(format_args!("{element}\n"))
            .expect("a String takes everything");
    }

    fn head(&mut self, title: &str) {
        self.put(format_args!("<title>{title}: castings</title>"));
        self.put(format_args!(
            r##"<rect width="100%" height="100%" fill="#fff"/>"##
        ));
        self.put(format_args!(
            r#"<text x="{LEFT}" y="20" font-weight="bold">{title}: castings</text>"#
        ));
        self.put(format_args!(
            r#"<text x="{LEFT}" y="38">bars: half of all seasons give more; lines: eight in ten are within</text>"#
        ));
    }

    /// Draws lines behind the bars, each with its kilograms, and says what stands below.
    fn scale(&mut self, step: f64) {
        let lines = (self.top / step).round() as usize;
        for grams in (0..=lines).map(|line| line as f64 * step) {
            let (at, left) = (self.y(grams), LEFT - 6.0);
            let (below, kilograms) = (at + 4.0, grams / KILOGRAM);
            self.put(format_args!(
                r##"<line x1="{LEFT}" y1="{at:.1}" x2="{END}" y2="{at:.1}" stroke="#ccc"/>"##
            ));
            self.put(format_args!(
                r#"<text x="{left}" y="{below:.1}" text-anchor="end">{kilograms}kg</text>"#
            ));
        }
        let (middle, below) = ((LEFT + END) / 2.0, TOP + HIGH + 38.0);
        self.put(format_args!(
            r#"<text x="{middle:.1}" y="{below:.1}" text-anchor="middle">weeks from (month and day)</text>"#
        ));
    }

    fn bar(&mut self, middle: f64, wide: f64, spread: [f64; 3]) {
        let [low, half, high] = spread.map(|grams| self.y(grams));
        let (x, tall) = (middle - wide / 2.0, self.y(0.0) - half);
        self.put(format_args!(
            r##"<rect x="{x:.1}" y="{half:.1}" width="{wide:.1}" height="{tall:.1}" fill="#9a9"/>"##
        ));
        self.put(format_args!(
            r##"<line x1="{middle:.1}" y1="{low:.1}" x2="{middle:.1}" y2="{high:.1}" stroke="#000" stroke-width="2"/>"##
        ));
        let (from, to) = (middle - 4.0, middle + 4.0);
        for end in [low, high] {
            self.put(format_args!(
                r##"<line x1="{from:.1}" y1="{end:.1}" x2="{to:.1}" y2="{end:.1}" stroke="#000"/>"##
            ));
        }
    }

    fn whole(self) -> String {
        let (body, height) = (self.body, TOP + HIGH + FOOT);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height:.0}\" font-family=\"sans-serif\" font-size=\"12\">\n{body}</svg>\n"
        )
    }
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

#[cfg(test)]
mod tests {
    use super::step;

    #[test]
    fn steps_are_one_two_or_five() {
        let steps = [200.0, 201.0, 16_100.0, 51_000.0].map(step);
        assert_eq!(steps, [200.0, 500.0, 20_000.0, 100_000.0]);
    }
}
