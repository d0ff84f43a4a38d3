//! The places of a sheet that labels go on, page after page.

use std::collections::BTreeSet;

use super::error::LabelError;
use super::sheet::Sheet;

/// Which places of the first page are taken already; later pages are whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Places {
    sheet: Sheet,
    first_free: u32,
    skip: BTreeSet<u32>,
}

/// What a place of a part-used sheet was before.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Before {
    /// Nothing stood there.
    Free,
    /// It comes before the first free place.
    Used,
    /// It is passed over.
    Skipped,
}

impl Places {
    /// All places of a sheet.
    pub fn all(sheet: Sheet) -> Self {
        Self {
            sheet,
            first_free: 1,
            skip: BTreeSet::new(),
        }
    }

    /// The places of a part-used sheet: from `first_free` on, without those in `skip`. Both
    /// count from 1, across, then down.
    pub fn from(sheet: Sheet, first_free: u32, skip: &BTreeSet<u32>) -> Result<Self, LabelError> {
        let places = sheet.places();
        if let Some(&place) = skip
            .iter()
            .chain([&first_free])
            .find(|place| !(1..=places).contains(*place))
        {
            return Err(LabelError::NoSuchPlace {
                sheet: sheet.name(),
                places,
                place,
            });
        }
        Ok(Self {
            sheet,
            first_free,
            skip: skip.clone(),
        })
    }

    /// The sheet these are places on.
    pub fn sheet(&self) -> Sheet {
        self.sheet
    }

    /// What a place of the first page, counted from 1, was before.
    pub fn before(&self, place: u32) -> Before {
        if place < self.first_free {
            Before::Used
        } else if self.skip.contains(&place) {
            Before::Skipped
        } else {
            Before::Free
        }
    }

    /// Whether no place of the first page is free, so that it is not put in the printer at all.
    pub fn first_is_full(&self) -> bool {
        self.free_on_first().next().is_none()
    }

    fn free_on_first(&self) -> impl Iterator<Item = u32> {
        (1..=self.sheet.places()).filter(|place| self.before(*place) == Before::Free)
    }

    /// How many pages so many labels take.
    pub fn pages_for(&self, labels: usize) -> usize {
        let first = self.free_on_first().count();
        let rest = labels.saturating_sub(first);
        let whole = rest.div_ceil(self.sheet.places() as usize);
        whole + usize::from(first > 0 && labels > 0)
    }

    /// The page, from 0, and the cell, from 0, of one label after the other, without end.
    pub fn iter(&self) -> impl Iterator<Item = (usize, u32)> + '_ {
        let first = self.free_on_first().map(|place| (0, place - 1));
        let whole = (1..).flat_map(|page| (0..self.sheet.places()).map(move |cell| (page, cell)));
        let gone = usize::from(self.first_is_full());
        first.chain(whole.map(move |(page, cell)| (page - gone, cell)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_count_across_then_down_and_go_on_on_a_whole_page() {
        let sheet: Sheet = "a4-2x2-99x139".parse().unwrap();
        let places = Places::from(sheet, 2, &BTreeSet::from([3])).unwrap();
        let taken: Vec<_> = places.iter().take(4).collect();
        assert_eq!(taken, [(0, 1), (0, 3), (1, 0), (1, 1)]);
        let corner = sheet.corner(3);
        assert_eq!(
            (corner.x.micrometres(), corner.y.micrometres()),
            (106_250, 148_500)
        );
    }

    #[test]
    fn the_pages_are_as_many_as_are_then_taken() {
        let sheet: Sheet = "a4-2x2-99x139".parse().unwrap();
        for taken in [vec![], vec![1], vec![1, 3], vec![1, 2, 3, 4]] {
            let places = Places::from(sheet, 1, &taken.iter().copied().collect()).unwrap();
            for labels in 0..14 {
                let pages: BTreeSet<_> = places.iter().take(labels).map(|(page, _)| page).collect();
                assert_eq!(places.pages_for(labels), pages.len(), "{labels}, {taken:?}");
            }
        }
    }

    #[test]
    fn a_full_first_sheet_is_passed_over() {
        let sheet: Sheet = "a4-1x2-199x143".parse().unwrap();
        let places = Places::from(sheet, 2, &BTreeSet::from([2])).unwrap();
        assert_eq!(places.iter().take(2).collect::<Vec<_>>(), [(0, 0), (0, 1)]);
    }

    #[test]
    fn a_place_that_a_sheet_has_not_is_refused() {
        let sheet: Sheet = "roll-57x32".parse().unwrap();
        let error = Places::from(sheet, 1, &BTreeSet::from([14]))
            .unwrap_err()
            .to_string();
        let said = "`roll-57x32` has places 1 to 1, counted across, then down; there is no 14";
        assert_eq!(error, said);
        assert!(Places::from(sheet, 0, &BTreeSet::new()).is_err());
    }
}
