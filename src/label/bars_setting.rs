//! Sets a bar code in its room: how wide a module, how high the bars, where the digits.

use crate::farm::Gtin;

use super::bars::{Bars, BarsMisfit, LEAST_MODULE, MOST_MODULE, PlacedBars};
use super::dots::Dots;
use super::font::Face;
use super::item::{Ink, TextRun};
use super::length::{Area, Length, Point, Size, TypeSize};
use super::room::stand_in;
use super::said::Said;
use super::template::BarsPlace;

/// The least height of the bars, under which a hand scanner is hard to hold straight (common
/// practice, no source).
const LEAST_HEIGHT: Length = Length::of_mm(8);

/// The digits' face: of ours, the one whose figures are all of one width.
const FACE: Face = Face::CondensedRegular;

/// A digit takes as much width as its bars do.
const DIGIT_MODULES: i64 = 7;

/// Sets the bar code of a number.
pub fn set(
    gtin: &Gtin,
    place: &BarsPlace,
    cell: Size,
    dots: Dots,
) -> Result<PlacedBars, BarsMisfit> {
    let bars = Bars::of(gtin)?;
    let room = place.place.on(cell);
    let no_room = |module| BarsMisfit::NoRoom {
        needs: size(&bars, module, LEAST_HEIGHT),
        room: room.size,
    };
    let fits = |module: &Length| across(&bars, *module) <= room.size.width;
    let module = match place.module {
        Some(module) => Some(module).filter(fits),
        None => modules(dots).find(fits),
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

/// The widths a module may have, the best first: whole dots of the printer, then ever narrower ones for sheets,
/// whose printers have finer dots.
fn modules(dots: Dots) -> impl Iterator<Item = Length> {
    let most = dots.whole_in(MOST_MODULE);
    let whole = (1..=most).rev().map(move |count| dots.length(count));
    let whole: Vec<Length> = whole.filter(|module| *module >= LEAST_MODULE).collect();
    let least = LEAST_MODULE.micrometres();
    let narrowest = whole.last().map_or(least, |module| module.micrometres());
    let between = (least..narrowest).rev();
    whole.into_iter().chain(between.map(Length::of_micrometres))
}

fn across(bars: &Bars, module: Length) -> Length {
    let (left, right) = bars.quiet();
    module * i64::from(left + bars.width() + right)
}

/// All of it, with bars of a height.
fn size(bars: &Bars, module: Length, height: Length) -> Size {
    let (rise, depth) = FACE.ink("0123456789", type_size(module));
    Size {
        width: across(bars, module),
        height: height + module + rise + depth,
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::label::artwork::Artwork;
    use crate::label::field::{Content, Field};
    use crate::label::item::Item;
    use crate::label::sample::content;
    use crate::label::template::Template;
    use crate::label::{Layout, Problem, lay_out};

    fn cell() -> Size {
        Size {
            width: Length::of_mm(60),
            height: Length::of_mm(50),
        }
    }

    fn template(at: &str, more: &str) -> Template {
        let text =
            format!("[[size]]\nwidth = 60\nheight = 50\n[[size.bars]]\nat = {{ {at} }}\n{more}\n");
        Template::parse("shelf", "shelf.toml", &text, &Artwork::default()).unwrap()
    }

    fn laid(template: &Template, content: &Content) -> Result<Layout, Vec<Problem>> {
        lay_out(template, content, cell())
    }

    fn bars(at: &str, more: &str) -> PlacedBars {
        let layout = laid(&template(at, more), &content("bag-front")).unwrap();
        match layout.items.into_iter().next_back() {
            Some(Item::Bars(bars)) => bars,
            other => panic!("{other:?}"),
        }
    }

    fn refused(template: &Template, content: &Content) -> String {
        laid(template, content).unwrap_err()[0].to_string()
    }

    #[test]
    fn modules_are_as_many_whole_dots_as_there_is_room_for() {
        let module = |width: &str| {
            bars(
                &format!("left = 1, width = {width}, top = 1, height = 40"),
                "",
            )
            .module
        };
        // 95 modules and 11 and 7 white ones: 113 × 0.5 = 56.5 mm, 113 × 0.375 = 42.375 mm.
        assert_eq!(module("56.5"), Length::of_micrometres(500));
        assert_eq!(module("56.4"), Length::of_micrometres(375));
        assert_eq!(module("42.4"), Length::of_micrometres(375));
        // No whole dots between 0.264 and 0.375 mm.
        assert_eq!(module("42.3"), Length::of_micrometres(374));
        assert_eq!(module("29.9"), Length::of_micrometres(264));
    }

    #[test]
    fn bars_are_as_high_as_the_specification_says_or_as_the_room_lets_them_be() {
        let at = |height: i64| format!("left = 1, width = 40, top = 1, height = {height}");
        let whole = bars(&at(45), "module = 0.33");
        assert_eq!(whole.height, Length::of_micrometres(22_850));
        let cut = bars(&at(20), "module = 0.33\nstand = 'bottom'\nalign = 'right'");
        assert_eq!(cut.area.size.height, Length::of_mm(20));
        assert!(cut.height < whole.height);
        assert_eq!(
            (cut.area.right(), cut.area.bottom()),
            (Length::of_mm(41), Length::of_mm(21))
        );
    }

    #[test]
    fn digits_stand_under_their_bars_and_inside_the_code() {
        let bars = bars("left = 1, width = 58, top = 1, height = 40", "");
        let said: Vec<&str> = bars.digits.iter().map(|run| &*run.text).collect();
        assert_eq!(said, ["9", "520123", "456788"]);
        let middle = bars.bars_area().at.x + bars.bars_area().size.width / 2;
        assert!(bars.digits[1].area.right() < middle && middle < bars.digits[2].area.at.x);
        for run in &bars.digits {
            assert!(run.area.at.y > bars.bars_area().bottom());
            assert!(run.area.at.x >= bars.area.at.x && run.area.right() <= bars.area.right());
            assert!(run.area.bottom() <= bars.area.bottom(), "{run:?}");
        }
        let guards = bars.guards_area();
        assert!(guards.bottom() > bars.digits[0].area.at.y);
        assert!(guards.bottom() <= bars.area.bottom());
    }

    #[test]
    fn too_little_room_is_refused_with_what_it_needs() {
        let narrow = template("left = 1, width = 29, top = 1, height = 40", "");
        let said = "label `P26115-07-S/0012`: bar code on `shelf` at 60 × 50 mm: it needs \
                    29.832 × ";
        let error = refused(&narrow, &content("bag-front"));
        assert!(error.starts_with(said), "{error}");
        assert!(error.ends_with("and has 29 × 40 mm"), "{error}");
        let low = template("left = 1, width = 45, top = 1, height = 9", "");
        assert!(refused(&low, &content("bag-front")).contains(" and has 45 × 9 mm"));
    }

    #[test]
    fn a_product_without_a_number_is_refused_unless_the_bars_are_optional() {
        let mut words = content("bag-front");
        words.gtin = None;
        let at = "left = 1, width = 45, top = 1, height = 20";
        let error = refused(&template(at, ""), &words);
        assert!(
            error.ends_with(": the product has no GTIN in castlot.toml"),
            "{error}"
        );
        let layout = laid(&template(at, "optional = true"), &words).unwrap();
        assert!(layout.items.is_empty());
    }

    #[test]
    fn nothing_may_stand_in_the_quiet_zone() {
        let rule = "[[size.rule]]\nat = { left = 3, width = 1, top = 3, height = 20 }";
        let crowded = template("left = 1, width = 45, top = 1, height = 20", rule);
        let error = refused(&crowded, &content("bag-front"));
        assert!(
            error.ends_with(": something stands in its quiet zone"),
            "{error}"
        );
    }

    #[test]
    fn a_caution_block_takes_every_caution_or_is_refused() {
        let block = |height: u32, more: &str| {
            let text = format!(
                "[[size]]\nwidth = 60\nheight = 50\n[[size.cautions]]\nat = {{ left = 3, right = 3, \
                 top = 3, height = {height} }}\nsize = 20\n{more}\n"
            );
            Template::parse("back", "back.toml", &text, &Artwork::default()).unwrap()
        };
        let words = content("bag-back");
        let layout = laid(&block(44, "smallest = 7"), &words).unwrap();
        assert!(layout.said.has(Field::Cautions) && !layout.said.has(Field::Lot));
        let runs = layout.items.iter().flat_map(Item::runs);
        let text: String = runs.map(|run| run.text.replace(['•', ' '], "")).collect();
        let cautions = words.fields[&Field::Cautions].replace(['\n', ' '], "");
        assert_eq!(text, cautions);
        let error = refused(&block(10, "smallest = 7"), &words);
        assert!(
            error.contains("`cautions` does not fit on `back`"),
            "{error}"
        );
        assert!(
            laid(&block(44, ""), &words).is_err(),
            "20 pt is too large for all of them"
        );
        let none = laid(&block(44, "optional = true"), &content("bin")).unwrap();
        assert!(!none.said.has(Field::Cautions));
    }
}
