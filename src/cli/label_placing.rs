//! Where labels go: which printer, which places of the first sheet, and how many of each.

use std::borrow::Cow;

use crate::label::{LabelError, Labels, Layout, Places, Sheet};

/// How labels are put on sheets.
#[derive(Clone, Debug, clap::Args)]
pub struct Placing {
    /// The printer, as castlot.toml names it; the one that has the sheet where it is not given.
    #[arg(long, value_name = "NAME")]
    pub printer: Option<String>,
    /// The first free place of the first page.
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub first_free: u32,
    /// Places of the first page that are taken.
    #[arg(long, value_name = "N", value_delimiter = ',')]
    pub skip: Vec<u32>,
    /// How many of each label.
    #[arg(long, value_name = "N", default_value_t = 1, value_parser = clap::value_parser!(u16).range(1..=MOST_COPIES))]
    pub copies: u16,
}

/// More of one label than this is a slip of the finger.
const MOST_COPIES: i64 = 500;

impl Placing {
    /// Returns the free places of a kind of sheet.
    pub fn places(&self, sheet: Sheet) -> Result<Places, LabelError> {
        let skip = self.skip.iter().copied().collect();
        Places::from(sheet, self.first_free, &skip)
    }

    /// Lays every label out and returns it as often as it is wanted, the copies of each together.
    pub fn copied<'a>(&self, labels: &'a Labels<'_>) -> impl Iterator<Item = Cow<'a, Layout>> {
        let copies = usize::from(self.copies);
        let each = move |label| std::iter::repeat_n(Cow::Owned(label), copies);
        labels.iter().flat_map(each)
    }

    /// Returns how many labels that makes.
    pub fn count(&self, labels: &Labels) -> usize {
        labels.len() * usize::from(self.copies)
    }
}
