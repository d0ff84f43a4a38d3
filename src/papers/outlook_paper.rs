//! The outlook as a paper: a bar a week, worms and tubs, feed, best-bys and old castings, and how it was worked out.

use crate::label::{Item, Length, Point};

use super::error::PaperError;
use super::format::Format;
use super::paper::{Imprint, Paper};
use super::set;
use super::slab::{Slab, fill};
use super::style::Style;
use super::table::{Column, Table};

/// What is expected of a week: words, and the grams that its bar shows.
#[derive(Clone, Debug, PartialEq)]
pub struct WeekBar {
    /// The week's first day.
    pub from: String,
    /// Beds sieved.
    pub beds: String,
    /// Castings, the middle.
    pub castings: String,
    /// The low and the high of them.
    pub between: String,
    /// Litres, the middle.
    pub litres: String,
    /// Low, middle and high of castings, in grams.
    pub spread: [f64; 3],
}

/// Worms and tubs, a row a week and one of all.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WormTable {
    /// A heading a column.
    pub headings: Vec<String>,
    /// The rows; the last one is of all weeks together.
    pub rows: Vec<Vec<String>>,
}

/// What the paper says.
#[derive(Clone, Debug, PartialEq)]
pub struct OutlookPaper {
    /// Its title.
    pub title: String,
    /// The weeks.
    pub weeks: Vec<WeekBar>,
    /// Worms and tubs.
    pub worms: WormTable,
    /// What else is to be said, under a heading each.
    pub notes: Vec<(&'static str, Vec<String>)>,
}

const ROW: Length = Length::of_micrometres(5_600);
/// Where the columns of words end (the first begins at the left), and where the bars begin.
const COLUMNS: [i64; 4] = [34, 52, 78, 96];
const BARS: Length = Length::of_mm(100);
/// The bar of the middle, the line of the spread and its ends.
const BAR: Length = Length::of_micrometres(1_800);
const LINE: Length = Length::of_micrometres(350);
const END: Length = Length::of_micrometres(1_600);

impl WormTable {
    fn table(&self) -> Table {
        let columns = self.headings.iter().enumerate();
        let columns = columns.map(|(at, heading)| match at {
            0 => Column::code(heading),
            _ => Column::number(heading),
        });
        let mut table = Table::new(columns);
        if let Some((all, weeks)) = self.rows.split_last() {
            for week in weeks {
                table = table.row(week.clone());
            }
            table = table.sum(all.clone());
        }
        table
    }
}

impl OutlookPaper {
    /// Writes it as a PDF.
    pub fn to_pdf(&self, imprint: Imprint) -> Result<Vec<u8>, PaperError> {
        let mut paper = Paper::new(Format::A4, &self.title, imprint);
        paper.heading("Castings");
        paper.lead_in("Bars: half of all seasons give more. Lines: eight in ten are within.");
        let slabs = self.bars(paper.room())?;
        paper.drawing(slabs);
        if self.worms.headings.len() > 1 {
            paper.heading("Worms to spare, and as tubs: the middle (8 in 10)");
            paper.table(self.worms.table());
        }
        for (heading, lines) in &self.notes {
            paper.heading(heading);
            for line in lines {
                paper.text(line.as_str());
            }
        }
        paper.to_pdf()
    }

    fn bars(&self, room: Length) -> Result<Vec<Slab>, PaperError> {
        let most = self.weeks.iter().map(|week| week.spread[2]);
        let most = most.fold(1.0, f64::max);
        let wide = (room - BARS).micrometres() as f64;
        let scale =
            |grams: f64| Length::of_micrometres((grams.max(0.0) / most * wide).round() as i64);
        let heads = ["from", "beds", "middle", "8 in 10", "litres"];
        let mut slabs = vec![Slab::of(ROW, words(heads, Style::CAPTION)?).with_next()];
        for week in &self.weeks {
            let cells = [
                week.from.as_str(),
                &week.beds,
                &week.castings,
                &week.between,
                &week.litres,
            ];
            let mut items = words(cells, Style::CODE)?;
            let [low, middle, high] = week.spread.map(scale);
            let y = |high: Length| (ROW - high) / 2;
            items.push(fill(BARS, y(BAR), middle, BAR));
            items.push(fill(BARS + low, y(LINE), high - low, LINE));
            for end in [low, high] {
                items.push(fill(BARS + end - LINE / 2, y(END * 2), LINE, END * 2));
            }
            items.push(fill(BARS, Length::ZERO, LINE / 2, ROW));
            slabs.push(Slab::of(ROW, items));
        }
        Ok(slabs)
    }
}

fn words(cells: [&str; 5], style: Style) -> Result<Vec<Item>, PaperError> {
    let top = (ROW - style.leading) / 2;
    let origin = Point {
        x: Length::ZERO,
        y: top,
    };
    let mut items = set::line(cells[0], style, origin)?;
    for (cell, right) in cells[1..].iter().zip(COLUMNS) {
        items.extend(set::line_to(cell, style, Length::of_mm(right), top)?);
    }
    Ok(items)
}
