//! Reads the cells of one row and collects everything that is wrong with them.

use jiff::civil::Date;

use super::error::{CellProblem, SheetError};
use super::read::Reader;
use super::row::Row;
use crate::farm::{Amount, Mark, Moment, NewLot, Quantity, Typed, Word};

/// More packs, labels, millimetres or days than this are a slip of the key; and a run's packs are held one by one.
pub(super) const MOST: u32 = 1_000_000;

/// A row that is being read.
pub(super) struct Cells<'r> {
    pub row: &'r Row<'r>,
    pub reader: &'r Reader<'r>,
    pub problems: Vec<CellProblem>,
}

impl<'r> Cells<'r> {
    /// Returns what a column says, if it says anything.
    pub fn text(&self, column: &'static str) -> Option<&'r str> {
        let row: &'r Row<'r> = self.row;
        Some(row.cell(column)).filter(|text| !text.is_empty())
    }

    /// Notes what is wrong.
    pub fn problem(&mut self, column: &'static str, error: SheetError) {
        self.problems.push(CellProblem {
            column: Some(column),
            error,
        });
    }

    /// Reads a column that may be empty.
    pub fn may<T>(
        &mut self,
        column: &'static str,
        read: impl FnOnce(&Reader<'r>, &str) -> Result<T, SheetError>,
    ) -> Option<T> {
        let text = self.text(column)?;
        match read(self.reader, text) {
            Ok(value) => Some(value),
            Err(error) => {
                self.problem(column, error);
                None
            }
        }
    }

    /// Reads a column that has to say something.
    pub fn must<T>(
        &mut self,
        column: &'static str,
        read: impl FnOnce(&Reader<'r>, &str) -> Result<T, SheetError>,
    ) -> Option<T> {
        if self.text(column).is_none() {
            self.problem(column, SheetError::Empty);
        }
        self.may(column, read)
    }

    /// Reads a list with `;` between its items, each of which may be wrong by itself; empty items are passed over.
    pub fn list<T>(
        &mut self,
        column: &'static str,
        read: impl Fn(&Reader<'r>, &str) -> Result<T, SheetError>,
    ) -> Option<Vec<T>> {
        let before = self.problems.len();
        let mut all = Vec::new();
        for item in items(self.text(column)?) {
            match read(self.reader, item) {
                Ok(value) => all.push(value),
                Err(error) => self.problem(column, error),
            }
        }
        (self.problems.len() == before).then_some(all)
    }

    /// Reads a list that has to have an item at least.
    pub fn must_list<T>(
        &mut self,
        column: &'static str,
        read: impl Fn(&Reader<'r>, &str) -> Result<T, SheetError>,
    ) -> Option<Vec<T>> {
        if items(self.text(column).unwrap_or_default())
            .next()
            .is_none()
        {
            self.problem(column, SheetError::Empty);
            return None;
        }
        self.list(column, read)
    }

    /// Returns the word of a column of names or free text.
    pub fn word(&self, column: &'static str) -> Option<Word> {
        Word::of(self.text(column)?)
    }

    /// Returns the word of a column that has to say something.
    pub fn must_word(&mut self, column: &'static str) -> Option<Word> {
        self.must(column, |_, text| Word::of(text).ok_or(SheetError::Empty))
    }

    /// Returns the text of a column.
    pub fn plain(&self, column: &'static str) -> Option<Box<str>> {
        self.text(column).map(Into::into)
    }

    /// Returns the text of a column that has to say something.
    pub fn must_plain(&mut self, column: &'static str) -> Option<Box<str>> {
        self.must(column, |_, text| Ok(text.into()))
    }

    /// Reads the code and the ref of a lot that the row makes.
    pub fn new_lot(&mut self) -> NewLot<Typed> {
        NewLot {
            code: self.may("code", |reader, text| reader.code(text)),
            mark: self.may("ref", |_, text| Ok(text.parse::<Mark>()?)),
        }
    }
}

/// Returns the items of a list.
pub(super) fn items(text: &str) -> impl Iterator<Item = &str> {
    text.split(';')
        .map(str::trim)
        .filter(|item| !item.is_empty())
}

impl Reader<'_> {
    /// Reads a date or a date and time.
    pub(super) fn moment(&self, text: &str) -> Result<Moment, SheetError> {
        let settings = self.settings;
        Ok(Moment::read(text, settings.dates, &settings.zone)?)
    }

    /// Reads a date alone.
    pub(super) fn date(&self, text: &str) -> Result<Date, SheetError> {
        let moment = self.moment(text)?;
        match moment.minute() {
            None => Ok(moment.day()),
            Some(_) => Err(SheetError::NotADay {
                typed: text.to_owned(),
            }),
        }
    }

    /// Reads an amount.
    pub(super) fn amount(&self, text: &str) -> Result<Amount, SheetError> {
        Ok(Amount::read(text, &self.settings.measures)?)
    }

    /// Reads a quantity.
    pub(super) fn quantity(&self, text: &str) -> Result<Quantity, SheetError> {
        Ok(Quantity::read(text, &self.settings.measures)?)
    }
}

/// Reads a whole number of at least `least`.
pub(super) fn whole(least: u32) -> impl Fn(&Reader, &str) -> Result<u32, SheetError> {
    move |_, text| {
        let digits = text.bytes().all(|byte| byte.is_ascii_digit());
        let number = text.parse().ok().filter(|_| digits);
        number
            .filter(|number| (least..=MOST).contains(number))
            .ok_or_else(|| SheetError::NotWhole {
                typed: text.to_owned(),
                least,
                most: MOST,
            })
    }
}

/// Reads a decimal, which is kept as it was written.
pub(super) fn decimal(_: &Reader, text: &str) -> Result<Box<str>, SheetError> {
    let bare = text.strip_prefix('-').unwrap_or(text);
    let (whole, part) = bare.split_once('.').unwrap_or((bare, "0"));
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    if digits(whole) && digits(part) {
        Ok(text.into())
    } else {
        Err(SheetError::NotANumber {
            typed: text.to_owned(),
        })
    }
}

/// Reads a word of a fixed set.
pub(super) fn kind<T>(_: &Reader, text: &str) -> Result<T, SheetError>
where
    T: std::str::FromStr<Err = crate::farm::KindError>,
{
    Ok(text.parse()?)
}
