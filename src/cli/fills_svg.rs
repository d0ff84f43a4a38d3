//! The chart of fills as an SVG drawing: a dot for each pack, lines for what is declared, the mean and the limits.

use std::fmt::Write;

use crate::desk::fills_check::{Checked, plain};
use crate::farm::{Farm, Tenths, Unit};

use super::fills_chart::marks;

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
    let named = marks.iter().map(|(at, _)| at);
    let points = checked.fills.values.iter().chain(named);
    let (from, to) = (points.clone().min()?.to_units(), points.max()?.to_units());
    let mut drawing = Drawing {
        from,
        span: if to > from { to - from } else { 1.0 },
        floor: HEAD + 3.0 * DOT,
        body: String::new(),
    };
    let heaps = drawing.heaps(&checked.fills.values);
    let tallest = heaps.iter().map(|(_, count)| *count).max().unwrap_or(1);
    drawing.floor = HEAD + (tallest as f64 * 2.0 + 1.0) * DOT;
    let lot = farm.lot(checked.run);
    let mark = lot.mark.as_ref();
    let name = mark.map_or_else(String::new, |mark| format!("{mark} "));
    drawing.head(&format!("{name}{}: {}", lot.code, checked.measured()));
    let lines = marks.iter().map(|(at, name)| {
        let amount = at.with_unit(checked.unit());
        (at.to_units(), format!("{name} {amount}"), "none")
    });
    let mean = format!("mean {}", checked.amount(judged.mean));
    let lines = lines.chain([(judged.mean, mean, "4 3")]);
    for (row, line) in lines.enumerate() {
        drawing.line(row, line);
    }
    drawing.dots(&heaps);
    drawing.scale(checked.unit());
    Some(drawing.whole())
}

/// A drawing in the making.
struct Drawing {
    /// What stands at the left end, in units.
    from: f64,
    /// How far it is to the right end, in units.
    span: f64,
    /// How far down the scale stands.
    floor: f64,
    body: String,
}

impl Drawing {
    fn x(&self, units: f64) -> f64 {
        SIDE + (units - self.from) / self.span * (WIDTH - 2.0 * SIDE)
    }

    fn put(&mut self, element: std::fmt::Arguments<'_>) {
        self.body
            .write_fmt(format_args!("{element}\n"))
            .expect("a String takes everything");
    }

    fn head(&mut self, title: &str) {
        self.put(format_args!("<title>{title}</title>"));
        self.put(format_args!(
            r##"<rect width="100%" height="100%" fill="#fff"/>"##
        ));
        self.put(format_args!(
            r#"<text x="{SIDE}" y="18" font-weight="bold">{title}</text>"#
        ));
    }

    /// Draws a line and its name; names stand one under the other, so that lines that lie close do not hide them.
    fn line(&mut self, row: usize, (at, name, dash): (f64, String, &str)) {
        let (x, y, floor) = (self.x(at), 34.0 + 12.0 * row as f64, self.floor);
        let (anchor, aside) = if x > WIDTH / 2.0 {
            ("end", -4.0)
        } else {
            ("start", 4.0)
        };
        let (top, beside) = (y - 8.0, x + aside);
        self.put(format_args!(
            r##"<line x1="{x:.1}" y1="{top:.1}" x2="{x:.1}" y2="{floor:.1}" stroke="#000" stroke-dasharray="{dash}"/>"##
        ));
        self.put(format_args!(
            r#"<text x="{beside:.1}" y="{y:.1}" text-anchor="{anchor}">{name}</text>"#
        ));
    }

    /// Returns heaps of dots: where each stands, and how many packs are in it.
    fn heaps(&self, values: &[Tenths]) -> Vec<(f64, usize)> {
        let wide = (WIDTH - 2.0 * SIDE) / COLUMNS as f64;
        let mut heaps: Vec<(f64, usize)> = Vec::new();
        for value in values {
            let column = ((self.x(value.to_units()) - SIDE) / wide).round();
            let at = SIDE + column * wide;
            let near = |(other, _): &&mut (f64, usize)| (*other - at).abs() < wide / 2.0;
            match heaps.iter_mut().find(near) {
                Some((_, count)) => *count += 1,
                None => heaps.push((at, 1)),
            }
        }
        heaps
    }

    fn dots(&mut self, heaps: &[(f64, usize)]) {
        for (x, count) in heaps {
            for place in 0..*count {
                let (y, r) = (self.floor - DOT - 2.0 * DOT * place as f64, DOT - 0.5);
                self.put(format_args!(
                    r##"<circle cx="{x:.1}" cy="{y:.1}" r="{r:.1}" fill="#555"/>"##
                ));
            }
        }
    }

    fn scale(&mut self, unit: Unit) {
        let (y, right, below) = (self.floor, WIDTH - SIDE, self.floor + 16.0);
        self.put(format_args!(
            r##"<line x1="{SIDE}" y1="{y:.1}" x2="{right:.1}" y2="{y:.1}" stroke="#000"/>"##
        ));
        for (units, anchor) in [(self.from, "start"), (self.from + self.span, "end")] {
            let (x, end) = (self.x(units), plain(units, unit));
            self.put(format_args!(
                r#"<text x="{x:.1}" y="{below:.1}" text-anchor="{anchor}">{end}</text>"#
            ));
        }
    }

    fn whole(self) -> String {
        let (body, height) = (self.body, self.floor + FOOT);
        format!(
            "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDTH} {height:.0}\" font-family=\"sans-serif\" font-size=\"12\">\n{body}</svg>\n"
        )
    }
}
