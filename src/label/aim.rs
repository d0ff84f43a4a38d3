//! Where a printer has to be told to print, so that its own faults put every label in its place.
//!
//! The one home of that mapping. A printer that is asked for a point at `p` prints it at `p × (1 + stretch) + offset`,
//! counted from the top left corner of the page; castlot asks for `(p − offset) ÷ (1 + stretch)`. All of it is whole
//! micrometres: a point is rounded to the nearest, a scale to the nearest ten-millionth (0.03 µm on an A4 page).

use std::borrow::Cow;

use crate::farm::{Method, Printer};

use super::bars::PlacedBars;
use super::item::{Item, Layout, PlacedPicture, PlacedQr, TextRun};
use super::length::{Area, Length, Point, Size};

/// Millionths, in which stretches are.
const MILLION: i128 = 1_000_000;

/// What an eye reads off a scale of millimetres: readings nearer to each other than this are the same.
const SAME: i64 = 250;

/// How a printer misses, and what of a label may be scaled to make up for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Aim {
    faults: Faults,
    scaling: Scaling,
}

/// How far off a printer prints.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Faults {
    /// Right and down, in micrometres, at the top left corner of the page.
    pub offset_um: (i64, i64),
    /// Across and down, in millionths.
    pub stretch_ppm: (i64, i64),
}

/// What is scaled against a stretch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Scaling {
    /// Everything on a label.
    All,
    /// The places of things and the length of rules: a code's modules stay whole dots.
    Places,
}

/// A factor across and one down, in ten-millionths.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    /// Across.
    pub x: i64,
    /// Down.
    pub y: i64,
}

impl Scale {
    /// As it is.
    pub const NONE: Self = Self {
        x: Self::ONE,
        y: Self::ONE,
    };

    /// The whole, in the parts that a factor is counted in.
    pub const ONE: i64 = 10_000_000;

    /// Scales a size, rounded to the nearest micrometre.
    pub fn size(self, size: Size) -> Size {
        let scaled = |length: Length, by: i64| {
            let wide = i128::from(length.micrometres()) * i128::from(by);
            length_of(rounded(wide, i128::from(Self::ONE)))
        };
        Size {
            width: scaled(size.width, self.x),
            height: scaled(size.height, self.y),
        }
    }
}

impl Aim {
    /// At a printer that does not miss, or of which nothing is known.
    pub const TRUE: Self = Self {
        faults: Faults {
            offset_um: (0, 0),
            stretch_ppm: (0, 0),
        },
        scaling: Scaling::All,
    };

    /// At a printer of castlot.toml.
    pub fn at(printer: &Printer) -> Self {
        let wide = |(x, y): (i32, i32)| (i64::from(x), i64::from(y));
        Self {
            faults: Faults {
                offset_um: wide(printer.offset_um),
                stretch_ppm: wide(printer.stretch_ppm),
            },
            scaling: match printer.method {
                Method::Page => Scaling::All,
                Method::Transfer | Method::DirectThermal => Scaling::Places,
            },
        }
    }

    /// Returns the point to ask the printer for, so that it prints at this one.
    pub fn point(self, point: Point) -> Point {
        let Faults {
            offset_um: (right, down),
            stretch_ppm: (across, along),
        } = self.faults;
        let asked = |at: Length, offset: i64, stretch: i64| {
            let from = i128::from(at.micrometres() - offset);
            length_of(rounded(from * MILLION, MILLION + i128::from(stretch)))
        };
        Point {
            x: asked(point.x, right, across),
            y: asked(point.y, down, along),
        }
    }

    /// Returns the factors by which a label is drawn larger or smaller.
    pub fn scale(self) -> Scale {
        let factor = |stretch: i64| {
            let whole = MILLION * i128::from(Scale::ONE);
            i64::try_from(rounded(whole, MILLION + i128::from(stretch)))
                .expect("stretches are a few per cent")
        };
        match self.scaling {
            Scaling::Places => Scale::NONE,
            Scaling::All => {
                let (across, along) = self.faults.stretch_ppm;
                Scale {
                    x: factor(across),
                    y: factor(along),
                }
            }
        }
    }

    /// Returns the corner to draw a label at, and the label as it is to be drawn there, before it is scaled.
    pub fn label<'a>(self, corner: Point, label: Cow<'a, Layout>) -> (Point, Cow<'a, Layout>) {
        let asked = self.point(corner);
        let stretched = self.faults.stretch_ppm != (0, 0);
        if self.scaling == Scaling::All || !stretched {
            return (asked, label);
        }
        let moved = |at: Point| {
            let on_page = Point {
                x: corner.x + at.x,
                y: corner.y + at.y,
            };
            let there = self.point(on_page);
            Point {
                x: there.x - asked.x,
                y: there.y - asked.y,
            }
        };
        let mut label = label.into_owned();
        for item in &mut label.items {
            *item = shifted(item, moved);
        }
        (asked, Cow::Owned(label))
    }

    /// Works out how the printer really misses, from what was read off a ruler that was printed with this aim: how far
    /// right and down of its place the mark at `first` was, and that at `last`.
    ///
    /// Where two readings are the same but for what an eye can tell, nothing is stretched, and the middle of them counts.
    pub fn corrected(self, marks: [Point; 2], off: [Point; 2]) -> Faults {
        let axis = |place: fn(Point) -> Length, offset: i64, stretch: i64| {
            let [first, last] = marks.map(|mark| i128::from(place(mark).micrometres()));
            let [here, there] = off.map(|off| i128::from(place(off).micrometres()));
            let (base, grown) = (last - first, there - here);
            if grown.abs() <= i128::from(SAME) || base == 0 {
                let middle = rounded(here + there, 2);
                return (offset + narrow(middle), stretch);
            }
            // What was drawn at p came out at p·(base + grown)/base + rest.
            let offset = i128::from(offset) * (base + grown) + here * base - grown * first;
            let whole = (MILLION + i128::from(stretch)) * (base + grown);
            (
                narrow(rounded(offset, base)),
                narrow(rounded(whole, base) - MILLION),
            )
        };
        let Faults {
            offset_um,
            stretch_ppm,
        } = self.faults;
        let across = axis(|point| point.x, offset_um.0, stretch_ppm.0);
        let down = axis(|point| point.y, offset_um.1, stretch_ppm.1);
        Faults {
            offset_um: (across.0, down.0),
            stretch_ppm: (across.1, down.1),
        }
    }
}

/// Puts an item where `moved` says its corner belongs; rules and frames reach as far as their other corner does.
fn shifted(item: &Item, moved: impl Fn(Point) -> Point) -> Item {
    let reaching = |area: Area| {
        let at = moved(area.at);
        let end = moved(Point {
            x: area.right(),
            y: area.bottom(),
        });
        let size = Size {
            width: end.x - at.x,
            height: end.y - at.y,
        };
        Area { at, size }
    };
    let whole = |area: Area| Area {
        at: moved(area.at),
        ..area
    };
    let text = |run: &TextRun| TextRun {
        origin: moved(run.origin),
        area: whole(run.area),
        ..run.clone()
    };
    match item {
        Item::Fill(area) => Item::Fill(reaching(*area)),
        Item::Ground(area) => Item::Ground(reaching(*area)),
        Item::Frame { area, stroke } => Item::Frame {
            area: reaching(*area),
            stroke: *stroke,
        },
        Item::Text(run) => Item::Text(text(run)),
        Item::Qr(qr) => Item::Qr(PlacedQr {
            quiet: whole(qr.quiet),
            ..qr.clone()
        }),
        Item::Bars(bars) => Item::Bars(PlacedBars {
            digits: bars.digits.iter().map(text).collect(),
            area: whole(bars.area),
            ..bars.clone()
        }),
        Item::Picture(picture) => Item::Picture(PlacedPicture {
            area: whole(picture.area),
            ..picture.clone()
        }),
    }
}

/// Divides, rounded to the nearest, halves away from nought.
pub(super) fn rounded(number: i128, by: i128) -> i128 {
    let (number, by) = (number * by.signum(), by.abs());
    (number.abs() + by / 2) / by * number.signum()
}

fn narrow(number: i128) -> i64 {
    i64::try_from(number).expect("a page is no longer than a metre")
}

fn length_of(micrometres: i128) -> Length {
    Length::of_micrometres(narrow(micrometres))
}
