//! Looks at one laid-out label: its codes, its edges, its sign of estimated filling, its pictures.

use crate::farm::{Method, Printer, Quantity};
use crate::trade::{E_MARK_HEIGHT_UM, curve_loss, e_mark_reaches};

use super::bars::PlacedBars;
use super::dots::Dots;
use super::finding::{Outdoors, Refused, Warned};
use super::item::{Item, Layout, PlacedQr, TextRun};
use super::length::Length;
use super::qr::QUIET_MODULES;
use super::quantity::spaced;
use super::quiet::is_crowded;

/// The fewest dots to a module (measured here: three decode without fault, grey and in one bit, by two decoders).
const LEAST_DOTS: i64 = 3;
/// From so many dots on a code scans well (advice of the code's originator).
const GOOD_DOTS: i64 = 4;
/// A length in whole micrometres may be so many hundredths of a dot off and still be whole dots.
const HAIR: i64 = 3;
/// How far from the cut edge text stays: printers and cutters are that far off (common practice, no source).
const CUT_MARGIN: Length = Length::of_mm(2);
/// What a module at the edge of a code may lose of its width on a curve, before it is told.
const MOST_LOST: f64 = 0.05;
/// The estimated sign.
const SIGN: &str = "℮";

/// What a label is printed on, and where it lives.
#[derive(Clone, Copy, Debug, Default)]
pub struct Surface<'a> {
    /// The printer, if castlot.toml has one for the sheet.
    pub printer: Option<&'a Printer>,
    /// The diameter of the pack that it goes round.
    pub across: Option<Length>,
    /// Where it lives, if that is out of doors.
    pub outdoors: Option<Outdoors>,
}

/// Looks at a label of a pack that holds so much, if it is one.
pub fn look(
    label: &Layout,
    surface: &Surface,
    net: Option<Quantity>,
) -> (Vec<Refused>, Vec<Warned>) {
    let (mut refused, mut warned) = (Vec::new(), Vec::new());
    for (at, item) in label.items.iter().enumerate() {
        refused.extend(item.runs().iter().filter_map(|run| near_cut(run, label)));
        refused.extend(item.runs().iter().flat_map(|run| sign(run, net)));
        match item {
            Item::Qr(qr) => {
                refused.extend(code_dots(qr, surface));
                refused.extend(quiet(qr, label, at));
                warned.extend(few_dots(qr, surface));
                warned.extend(curved(qr, surface));
            }
            Item::Bars(bars) => {
                refused.extend(bar_dots(bars, surface));
                refused.extend(bars_quiet(label, at));
            }
            // What is not sold makes no claims.
            Item::Picture(placed) if net.is_some() && placed.picture.unread => {
                let file = placed.picture.file.clone();
                warned.push(Warned::UnreadPicture { file });
            }
            Item::Picture(_)
            | Item::Text(_)
            | Item::Fill(_)
            | Item::Ground(_)
            | Item::Frame { .. } => {}
        }
    }
    warned.extend(fades(surface));
    (refused, warned)
}

/// The printer's own dots; those of a common label printer where nobody says.
fn dots_of(surface: &Surface) -> Dots {
    Dots::of(
        surface
            .printer
            .map(|printer| printer.dpi)
            .unwrap_or_default(),
    )
}

fn code_dots(qr: &PlacedQr, surface: &Surface) -> Option<Refused> {
    let module = qr.module;
    let dots = dots_of(surface).hundredths_in(module);
    if dots < LEAST_DOTS * 100 - HAIR {
        let least = LEAST_DOTS;
        return Some(Refused::FineCode {
            module,
            dots,
            least,
        });
    }
    breaks_dots(dots, surface).then_some(Refused::BrokenDots { module, dots })
}

/// Whether so many hundredths of a dot are no whole dots, on a printer that prints whole ones alone.
fn breaks_dots(dots: i64, surface: &Surface) -> bool {
    let thermal = surface
        .printer
        .is_some_and(|printer| printer.method.is_thermal());
    let off = dots % 100;
    thermal && off.min(100 - off) > HAIR
}

/// A bar code's modules are whole dots of a thermal printer: a bar that is now two dots wide and now three is another bar.
fn bar_dots(bars: &PlacedBars, surface: &Surface) -> Option<Refused> {
    let module = bars.module;
    let dots = dots_of(surface).hundredths_in(module);
    breaks_dots(dots, surface).then_some(Refused::BrokenBars { module, dots })
}

/// The white that a bar code needs: on the label, and with nothing in it.
fn bars_quiet(label: &Layout, at: usize) -> Option<Refused> {
    let whole = label.items[at].area().lies_on(label.size) && !is_crowded(&label.items, at);
    (!whole).then_some(Refused::BarsQuietZone)
}

fn few_dots(qr: &PlacedQr, surface: &Surface) -> Option<Warned> {
    let module = qr.module;
    let dots = dots_of(surface).hundredths_in(module);
    let few = (LEAST_DOTS * 100 - HAIR..GOOD_DOTS * 100 - HAIR).contains(&dots);
    few.then_some(Warned::FewDots {
        module,
        dots,
        least: GOOD_DOTS,
    })
}

/// The white around a code: wide enough, on the label, and with nothing in it.
fn quiet(qr: &PlacedQr, label: &Layout, at: usize) -> Option<Refused> {
    let modules = qr.modules();
    let wide = modules.at.x - qr.quiet.at.x >= qr.module * i64::from(QUIET_MODULES);
    let free = !is_crowded(&label.items, at);
    let whole = wide && free && qr.quiet.lies_on(label.size);
    (!whole).then_some(Refused::QuietZone {
        least: QUIET_MODULES,
    })
}

fn curved(qr: &PlacedQr, surface: &Surface) -> Option<Warned> {
    let across = surface.across?;
    let code = qr.modules().size.width;
    // Lengths of a label are far below what a float holds exactly.
    let lost = curve_loss(code.micrometres() as f64, across.micrometres() as f64);
    (lost > MOST_LOST).then(|| Warned::Curved {
        code,
        across,
        per_mille: (lost * 1000.0).round() as u32,
    })
}

fn fades(surface: &Surface) -> Option<Warned> {
    let place = surface.outdoors?;
    match surface.printer?.method {
        Method::DirectThermal => Some(Warned::Fades { place }),
        Method::Transfer | Method::Page => None,
    }
}

fn near_cut(run: &TextRun, label: &Layout) -> Option<Refused> {
    let area = run.area;
    let sides = [
        area.at.x,
        area.at.y,
        label.size.width - area.right(),
        label.size.height - area.bottom(),
    ];
    let near = sides.into_iter().min()?;
    if near >= CUT_MARGIN {
        return None;
    }
    let field = run.fields.fields().next();
    Some(Refused::NearCut {
        field,
        text: field.map_or_else(|| run.text.clone(), |_| String::new()),
        near,
        least: CUT_MARGIN,
    })
}

/// The estimated sign: high enough, and on a pack that is not too large for it.
fn sign(run: &TextRun, net: Option<Quantity>) -> Vec<Refused> {
    if !run.text.contains(SIGN) {
        return Vec::new();
    }
    let (rise, depth) = run.face.ink(SIGN, run.size);
    let (height, least) = (rise + depth, Length::of_micrometres(E_MARK_HEIGHT_UM));
    let low = (height < least).then_some(Refused::LowSign { height, least });
    let large = net.filter(|net| !e_mark_reaches(*net));
    let out = large.map(|net| Refused::NotForSign { net: spaced(net) });
    low.into_iter().chain(out).collect()
}

#[cfg(test)]
#[path = "proof_layout_test.rs"]
mod tests;
