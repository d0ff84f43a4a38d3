//! Where labels go: which printer, which places of the first sheet, and how many of each.

use crate::label::{LabelError, Layout, Places, Sheet};

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

    /// Returns how many labels so many are with their copies.
    pub fn count(&self, labels: usize) -> u64 {
        let labels = u64::try_from(labels).unwrap_or(u64::MAX);
        labels.saturating_mul(u64::from(self.copies))
    }

    /// Returns every label as often as it is wanted, the copies of each together.
    pub fn copied<'a>(&self, labels: &'a [Layout]) -> impl Iterator<Item = &'a Layout> {
        let copies = usize::from(self.copies);
        labels
            .iter()
            .flat_map(move |label| std::iter::repeat_n(label, copies))
    }
}
