//! Sets a bar code in its room: how wide a module, how high the bars, where the digits.

use crate::farm::Gtin;

use super::bars::{Bars, BarsMisfit, LEAST_MODULE, MOST_MODULE, PlacedBars};
use super::font::Face;
use super::item::{Ink, TextRun};
use super::layout::stand_in;
use super::length::{Area, Length, Point, Size, TypeSize};
use super::said::Said;
use super::template::BarsPlace;

/// The dot of a thermal printer with 8 dots to the millimetre ("203 dpi").
const DOT: Length = Length::of_micrometres(125);

/// The least height of the bars, under which a hand scanner is hard to hold straight (common
/// practice, no source).
const LEAST_HEIGHT: Length = Length::of_mm(8);

/// The digits' face: of ours, the one whose figures are all of one width and hardest to confuse.
const FACE: Face = Face::NextRegular;

/// A digit takes as much width as its bars do.
const DIGIT_MODULES: i64 = 7;

/// Sets the bar code of a number.
pub fn set(gtin: &Gtin, place: &BarsPlace, cell: Size) -> Result<PlacedBars, BarsMisfit> {
    let bars = Bars::of(gtin)?;
    let room = place.place.on(cell);
    let no_room = |module| BarsMisfit::NoRoom {
        needs: size(&bars, module, LEAST_HEIGHT),
        room: room.size,
    };
    let fits = |module: &Length| across(&bars, *module) <= room.size.width;
    let module = match place.module {
        Some(module) => Some(module).filter(fits),
        None => modules().find(fits),
    };
    let module = module.ok_or_else(|| no_room(place.module.unwrap_or(LEAST_MODULE)))?;
    let beneath = size(&bars, module, Length::ZERO).height;
    let height = (room.size.height - beneath).min(bars.nominal_height(module));
    if height < LEAST_HEIGHT {
        return Err(no_room(module));
    }
    let whole = size(&bars, module, height);
    let area = stand_in(room, whole, (place.align, place.stand));
    Ok(PlacedBars {
        digits: digits(&bars, module, height, area.at),
        bars,
        module,
        height,
        area,
    })
}

/// The widths a module may have, the best first: whole dots, then ever narrower ones for sheets,
/// whose printers have finer dots.
fn modules() -> impl Iterator<Item = Length> {
    let dots = MOST_MODULE.micrometres() / DOT.micrometres();
    let whole = (1..=dots).rev().map(|dots| DOT * dots);
    let whole = whole.filter(|module| *module >= LEAST_MODULE);
    let least = LEAST_MODULE.micrometres();
    let between = (least..DOT.micrometres() * 3).rev();
    whole.chain(between.map(Length::of_micrometres))
}

fn across(bars: &Bars, module: Length) -> Length {
    let (left, right) = bars.quiet();
    module * i64::from(left + bars.width() + right)
}

/// All of it, with bars of a height.
fn size(bars: &Bars, module: Length, height: Length) -> Size {
    Size {
        width: across(bars, module),
        height: height + module + FACE.ink("0123456789", type_size(module)).0,
    }
}

/// The size of type in which a digit is as wide as its seven modules.
fn type_size(module: Length) -> TypeSize {
    let advance = FACE.advance("0").expect("the face has figures");
    let hundred = TypeSize::of_hundredths(10_000).scale(advance);
    let room = module * DIGIT_MODULES;
    TypeSize::of_hundredths(10_000 * room.micrometres() / hundred.micrometres())
}

fn digits(bars: &Bars, module: Length, height: Length, at: Point) -> Vec<TextRun> {
    let size = type_size(module);
    let (rise, depth) = FACE.ink("0123456789", size);
    let first = at.x + module * i64::from(bars.quiet().0);
    let top = at.y + height + module;
    let run = |(from, modules, text): (i64, i64, &str)| {
        let width = size.scale(FACE.advance(text).expect("the face has figures"));
        let x = first + module * from + (module * modules - width) / 2;
        let origin = Point { x, y: top + rise };
        TextRun {
            text: text.to_owned(),
            face: FACE,
            size,
            ink: Ink::Black,
            origin,
            area: Area {
                at: Point { x, y: top },
                size: Size {
                    width,
                    height: rise + depth,
                },
            },
            fields: Said::default(),
        }
    };
    bars.groups().into_iter().map(run).collect()
}
