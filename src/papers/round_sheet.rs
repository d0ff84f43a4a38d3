//! The round sheet: every bed in walking order, with its code to scan, its last feeds, and boxes to circle.
//!
//! Nothing on it is smaller than 12 points, and it is filled in with a pencil. `castlot round record` takes it back.

use jiff::civil::Date;

use crate::farm::{Farm, Settings};
use crate::label::scan_text;
use crate::trade::{RoundName, Stop, short_species};

use super::error::PaperError;
use super::format::Format;
use super::paper::{Imprint, Paper};
use super::round_rows::{SheetRow, slabs};
use super::slab::{Slab, fill};
use super::style::Style;
use super::{set, wording};
use crate::label::{Length, Point};

/// What a round sheet is made from.
#[derive(Clone, Copy)]
pub struct RoundSheet<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// The round.
    pub name: &'a RoundName,
    /// Its beds, in walking order.
    pub stops: &'a [Stop],
}

/// Lines for bins that are found where they should not be.
const STRAYS: usize = 2;
const STRAY: Length = Length::of_mm(9);
const HAIR: Length = Length::of_micrometres(120);

impl RoundSheet<'_> {
    /// Lays the sheet out and writes it as a PDF.
    pub fn to_pdf(&self, imprint: Imprint) -> Result<Vec<u8>, PaperError> {
        let due = self.stops.iter().filter(|stop| stop.is_due()).count();
        let printed = imprint
            .printed
            .clone()
            .unwrap_or_else(|| self.name.day.to_string());
        let title = format!("Round {}, printed {printed}", self.name);
        // The moment stands in the head, where there is room for it in large letters.
        let imprint = Imprint {
            printed: None,
            ..imprint
        };
        let mut paper = Paper::sign(Format::A4Wide, &title, imprint).by_hand();
        let beds = wording::count(self.stops.len(), "bed", "beds");
        paper.set(Style::TITLE, format!("Round {}", self.name));
        paper.set(
            Style::HAND,
            format!(
                "{due} of {beds} due. Circle one in each box; under fed, write the grams if they are others than said; or say \
                 why it was skipped. Then: castlot round record {}, which asks about every row left blank.",
                self.name
            ),
        );
        let rows = self.stops.iter().map(|stop| self.row(stop));
        let rows: Vec<SheetRow> = rows.collect();
        let room = paper.room();
        paper.drawing(slabs(&rows, room)?);
        paper.drawing(strays(room)?);
        paper.to_pdf()
    }

    fn row(&self, stop: &Stop) -> SheetRow {
        let lot = self.farm.lot(stop.bed);
        let species = short_species(stop.species.as_deref().unwrap_or("worms"));
        let days = wording::count(stop.days.unsigned_abs(), "day", "days");
        let place = stop.place.as_ref().map(ToString::to_string);
        let feeds = stop.feeds(self.farm).into_iter();
        let feeds = feeds.map(|fed| {
            let short = format!("{} {}", short(fed.day), fed.amount);
            [format!("{short} {}", fed.of.join(", ")), short]
        });
        SheetRow {
            code: scan_text::of_bin(stop.bin, self.settings),
            bin: [
                stop.bin.to_string(),
                place.unwrap_or_else(|| "no place".to_owned()),
            ],
            bed: vec![lot.code.to_string(), format!("{species}, {days}")],
            fed: feeds.collect(),
            due: [stop.to_do(self.farm), stop.why_in_days(self.name.day)],
        }
    }
}

/// Writes month and day: the year stands in the head.
fn short(day: Date) -> String {
    format!("{:02}-{:02}", day.month(), day.day())
}

/// Room for bins that stand in another place than the diary says.
fn strays(room: Length) -> Result<Vec<Slab>, PaperError> {
    let mut slabs = Vec::new();
    let at = |x: Length| Point {
        x,
        y: Length::of_mm(3),
    };
    for line in 0..STRAYS {
        let mut items = Vec::new();
        let parts = ["bin in another place: bin", "stands at", "bin", "stands at"];
        let width = room / 4;
        let mut x = Length::ZERO;
        for (number, part) in parts.into_iter().enumerate() {
            items.extend(set::line(part, Style::HAND, at(x))?);
            let said = set::widths(part, Style::HAND)?.1 + Length::of_mm(2);
            // The first takes more words, and so more room.
            let ends = if number == 0 {
                width * 6 / 5
            } else {
                width * 14 / 15
            };
            items.push(fill(
                x + said,
                STRAY - Length::of_mm(1),
                ends - said - Length::of_mm(3),
                HAIR,
            ));
            x += ends;
        }
        let slab = Slab::of(STRAY, items);
        slabs.push(if line == 0 {
            slab.below(Length::of_mm(2))
        } else {
            slab
        });
    }
    Ok(slabs)
}
