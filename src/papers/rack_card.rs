//! The rack card: a drawing of a rack as it stands, shelf by shelf, for pinning to its upright.

use crate::farm::{BinCode, Farm, FirstShelf, Place, Settings};
use crate::label::{Area, Item, Length, Point, Size};
use crate::trade::{RoundName, Stop};

use super::error::PaperError;
use super::format::Format;
use super::paper::{Imprint, Paper};
use super::set;
use super::slab::{Slab, fill};
use super::style::Style;
use super::wording::count;

/// What a rack card is made from.
#[derive(Clone, Copy)]
pub struct RackCard<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// The round of the rack, on the day of the card.
    pub name: &'a RoundName,
    /// The beds on it.
    pub stops: &'a [Stop],
    /// The size of paper, upright.
    pub format: Format,
}

/// The name of a shelf stands in so much at the left.
const NAMES: Length = Length::of_mm(11);
/// A box is no narrower than this; more places than that stand in a second row.
const NARROWEST: Length = Length::of_mm(27);
/// Nor wider.
const WIDEST: Length = Length::of_mm(44);
const GAP: Length = Length::of_micrometres(1_200);
const PAD: Length = Length::of_micrometres(1_200);
const STROKE: Length = Length::of_micrometres(300);
/// The board that bins stand on.
const BOARD: Length = Length::of_micrometres(1_100);
const BETWEEN: Length = Length::of_mm(4);

impl RackCard<'_> {
    /// Lays the card out and writes it as a PDF.
    pub fn to_pdf(&self, imprint: Imprint) -> Result<Vec<u8>, PaperError> {
        let rack = self.name.rack.clone().unwrap_or_default();
        let title = format!("Rack {rack}, {}", self.name.day);
        let mut paper = Paper::sign(self.format, &title, imprint);
        paper.set(Style::SIGN_SMALL, format!("Rack {rack}"));
        let shelves = self.shelves(&rack);
        let bins: usize = shelves.iter().map(|(_, bins)| bins.len()).sum();
        paper.text(format!(
            "As it stood on {}: {} in {}.",
            self.name.day,
            count(self.stops.len(), "bed", "beds"),
            count(bins, "bin", "bins"),
        ));
        let room = paper.room();
        let mut drawing = Vec::new();
        for (shelf, bins) in &shelves {
            drawing.extend(self.shelf(shelf, bins, room)?);
        }
        paper.drawing(drawing);
        paper.to_pdf()
    }

    /// Returns the bins of each shelf, from the top down.
    fn shelves(&self, rack: &str) -> Vec<(String, Vec<(Place, BinCode)>)> {
        let mut shelves: Vec<(String, Vec<(Place, BinCode)>)> = Vec::new();
        for bin in self.farm.walking_order() {
            let standing = self.farm.bins()[&bin].standing.as_ref();
            let Some(place) = standing
                .map(|standing| &standing.place)
                .filter(|place| place.rack() == rack)
            else {
                continue;
            };
            let [_, shelf, _] = place.parts();
            match shelves.last_mut().filter(|(name, _)| name == shelf) {
                Some((_, bins)) => bins.push((place.clone(), bin)),
                None => shelves.push((shelf.to_owned(), vec![(place.clone(), bin)])),
            }
        }
        match self.settings.round.first_shelf {
            FirstShelf::Top => {}
            FirstShelf::Bottom => shelves.reverse(),
        }
        shelves
    }

    /// Draws a shelf: its bins side by side on a board, in as many rows as they need.
    fn shelf(
        &self,
        name: &str,
        bins: &[(Place, BinCode)],
        room: Length,
    ) -> Result<Vec<Slab>, PaperError> {
        let across = room - NAMES;
        let fit = usize::try_from(across.micrometres() / NARROWEST.micrometres())
            .unwrap_or(1)
            .max(1);
        let rows = bins.len().div_ceil(fit).max(1);
        let in_row = bins.len().div_ceil(rows).max(1);
        let count = i64::try_from(in_row).expect("a row holds few bins");
        let width = (across / count).min(WIDEST);
        let mut slabs = Vec::new();
        for (row, bins) in bins.chunks(in_row).enumerate() {
            let (mut items, mut height, mut x) = (Vec::new(), Length::ZERO, NAMES);
            for (place, bin) in bins {
                let lines = self.lines(place, *bin);
                let (set, high) = boxed(&lines, x + PAD, width - GAP - PAD * 2)?;
                height = height.max(high);
                items.extend(set);
                x += width;
            }
            if row == 0 {
                let at = Point {
                    x: Length::ZERO,
                    y: PAD,
                };
                items.extend(set::line(name, Style::STRONG, at)?);
            }
            x = NAMES;
            for _ in bins {
                let at = Point { x, y: Length::ZERO };
                let size = Size {
                    width: width - GAP,
                    height,
                };
                items.push(Item::Frame {
                    area: Area { at, size },
                    stroke: STROKE,
                });
                x += width;
            }
            items.push(fill(NAMES - GAP, height, across + GAP, BOARD));
            slabs.push(Slab::of(height + BOARD, items).below(BETWEEN));
        }
        Ok(slabs)
    }

    /// Returns what stands in a box: the bin, its place, what lives in it, since when, and when it is due.
    fn lines(&self, place: &Place, bin: BinCode) -> Vec<(Style, String)> {
        let [_, _, place] = place.parts();
        let [name, text, strong] = match self.format {
            Format::A4 | Format::A4Wide => [Style::HAND_BIN, Style::HAND, Style::HAND_STRONG],
            Format::A5 | Format::A5Wide => [Style::HEADING, Style::CELL, Style::CAPTION],
        };
        let mut lines = vec![(name, bin.to_string()), (text, place.to_owned())];
        match self.stops.iter().find(|stop| stop.bin == bin) {
            None => lines.push((text, "empty".to_owned())),
            Some(stop) => {
                lines.push((strong, stop.species.clone().unwrap_or_default()));
                let lot = self.farm.lot(stop.bed);
                lines.push((text, format!("bedded {}", lot.when.day())));
                lines.push((text, format!("due {}", stop.next(self.name.day))));
            }
        }
        lines
    }
}

/// Sets the lines of a box in a room so wide, and tells how high it is.
fn boxed(
    lines: &[(Style, String)],
    x: Length,
    width: Length,
) -> Result<(Vec<Item>, Length), PaperError> {
    let (mut items, mut y) = (Vec::new(), PAD);
    for (style, text) in lines {
        for line in set::lines(&set::plain(text), *style, width)? {
            items.extend(set::line(&line, *style, Point { x, y })?);
            y += style.leading;
        }
    }
    Ok((items, y + PAD))
}
