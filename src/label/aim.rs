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
    pub fn label(self, corner: Point, label: &Layout) -> (Point, Cow<'_, Layout>) {
        let asked = self.point(corner);
        let stretched = self.faults.stretch_ppm != (0, 0);
        if self.scaling == Scaling::All || !stretched {
            return (asked, Cow::Borrowed(label));
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
        let items = label.items.iter().map(|item| shifted(item, moved));
        let label = Layout {
            items: items.collect(),
            ..label.clone()
        };
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
fn rounded(number: i128, by: i128) -> i128 {
    let (number, by) = (number * by.signum(), by.abs());
    (number.abs() + by / 2) / by * number.signum()
}

fn narrow(number: i128) -> i64 {
    i64::try_from(number).expect("a page is no longer than a metre")
}

fn length_of(micrometres: i128) -> Length {
    Length::of_micrometres(narrow(micrometres))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::label::Sheet;

    fn point(x: i64, y: i64) -> Point {
        Point {
            x: Length::of_micrometres(x),
            y: Length::of_micrometres(y),
        }
    }

    /// A printer that prints at 97 % about the middle of an A4 page, as "fit to page" does.
    fn fit_to_page(asked: Point) -> Point {
        let about = |at: Length, middle: i64| {
            Length::of_micrometres(middle + (at.micrometres() - middle) * 97 / 100)
        };
        Point {
            x: about(asked.x, 105_000),
            y: about(asked.y, 148_500),
        }
    }

    fn off(printed: Point, wanted: Point) -> (i64, i64) {
        let across = (printed.x - wanted.x).micrometres();
        (across, (printed.y - wanted.y).micrometres())
    }

    fn printer(method: Method, offset_um: (i32, i32), stretch_ppm: (i32, i32)) -> Printer {
        Printer {
            method,
            offset_um,
            stretch_ppm,
            ..Printer::default()
        }
    }

    /// trade.md, "Printing": "fit to page" at 97 % puts the first label of a 21-up 2.9 mm right and 4.0 mm low.
    #[test]
    fn ninety_seven_per_cent_puts_the_first_of_21_where_the_trade_says() {
        let sheet: Sheet = "a4-3x7-63x38".parse().unwrap();
        let corner = sheet.corner(0);
        let (right, low) = off(fit_to_page(corner), corner);
        assert_eq!((right + 50) / 100, 29);
        assert_eq!((low + 50) / 100, 40);
    }

    #[test]
    fn a_printer_measured_at_97_per_cent_is_put_right_on_every_sheet() {
        // As read off the ruler's two marks on a 21-up with a scale of half millimetres.
        let sheet: Sheet = "a4-3x7-63x38".parse().unwrap();
        let last = sheet.corner(20);
        let cell = sheet.cell();
        let end = point(
            (last.x + cell.width).micrometres(),
            (last.y + cell.height).micrometres(),
        );
        let read = [point(2_900, 4_000), point(-2_900, -4_000)];
        let found = Aim::TRUE.corrected([sheet.corner(0), end], read);
        let narrow = |(x, y): (i64, i64)| (x as i32, y as i32);
        let aim = Aim::at(&printer(
            Method::Page,
            narrow(found.offset_um),
            narrow(found.stretch_ppm),
        ));
        for sheet in Sheet::ALL.iter().filter(|sheet| sheet.places() > 1) {
            for cell in 0..sheet.places() {
                let corner = sheet.corner(cell);
                let (x, y) = off(fit_to_page(aim.point(corner)), corner);
                assert!(x.abs() <= 100 && y.abs() <= 100, "{sheet} {cell}: {x} {y}");
            }
            let size = aim.scale().size(sheet.cell());
            let printed = size.width.micrometres() * 97 / 100;
            let wrong = printed - sheet.cell().width.micrometres();
            assert!(wrong.abs() <= 100, "{sheet}: {wrong}");
        }
    }

    #[test]
    fn a_second_ruler_puts_right_what_the_first_left() {
        // A printer that is 1 mm right, 2 mm high and 2 % long, known as 3 mm right, true in height and 1 % long.
        let real = |asked: Point| {
            point(
                asked.x.micrometres() * 102 / 100 + 1_000,
                asked.y.micrometres() * 102 / 100 - 2_000,
            )
        };
        let known = Aim::at(&printer(Method::Page, (3_000, 0), (10_000, 10_000)));
        let marks = [point(7_250, 15_150), point(202_750, 281_850)];
        let read = marks.map(|mark| {
            let (x, y) = off(real(known.point(mark)), mark);
            point(x, y)
        });
        let found = known.corrected(marks, read);
        let near = |a: i64, b: i64| (a - b).abs() <= 10;
        assert!(near(found.offset_um.0, 1_000) && near(found.offset_um.1, -2_000));
        assert!(near(found.stretch_ppm.0 / 10, 2_000) && near(found.stretch_ppm.1 / 10, 2_000));
    }

    #[test]
    fn readings_that_an_eye_cannot_tell_apart_are_an_offset_and_no_stretch() {
        let marks = [point(10_000, 10_000), point(47_000, 22_000)];
        let found = Aim::TRUE.corrected(marks, [point(1_000, -500), point(1_200, -300)]);
        assert_eq!(
            (found.offset_um, found.stretch_ppm),
            ((1_100, -400), (0, 0))
        );
    }

    #[test]
    fn a_thermal_printer_keeps_the_width_of_modules_and_moves_them() {
        let sheet: Sheet = "roll-100x150".parse().unwrap();
        let label = crate::label::print::tests::labels(1, sheet).remove(0);
        let aim = Aim::at(&printer(Method::Transfer, (2_000, -1_000), (0, -10_000)));
        assert_eq!(aim.scale(), Scale::NONE);
        let (corner, moved) = aim.label(point(0, 0), &label);
        assert_eq!(corner, point(-2_000, 1_010));
        let codes = |label: &Layout| {
            let qr = label.items.iter().find_map(|item| match item {
                Item::Qr(qr) => Some(qr.clone()),
                Item::Fill(_)
                | Item::Frame { .. }
                | Item::Text(_)
                | Item::Bars(_)
                | Item::Picture(_) => None,
            });
            qr.expect("it has a code")
        };
        let (before, after) = (codes(&label), codes(&moved));
        assert_eq!(after.module, before.module);
        let down = before.quiet.at.y.micrometres();
        let low = after.quiet.at.y.micrometres();
        assert!(
            down > 0 && (low - (down * 100 + 50) / 99).abs() <= 1,
            "{down} {low}"
        );
    }

    #[test]
    fn a_printer_that_does_not_miss_changes_nothing() {
        let corner = point(4_650, 13_100);
        assert_eq!(Aim::TRUE.point(corner), corner);
        assert_eq!(Aim::TRUE.scale(), Scale::NONE);
        assert_eq!(Aim::at(&Printer::default()), Aim::TRUE);
    }

    #[test]
    fn halves_are_rounded_away_from_nought() {
        assert_eq!([rounded(3, 2), rounded(-3, 2), rounded(7, -2)], [2, -2, -4]);
    }
}
