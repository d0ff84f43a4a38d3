//! Sheets of labels: where each cell stands on the page, to the micrometre.
//!
//! The grids are those of common A4 label sheets, margins by arithmetic from the cut sizes
//! (common practice, no source); a real sheet is measured with a ruled test print.

use std::fmt;
use std::str::FromStr;

use super::error::LabelError;
use super::length::{Length, Point, Size};

/// A kind of label stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sheet {
    name: &'static str,
    page: Size,
    cell: Size,
    columns: u32,
    rows: u32,
    /// The top left corner of the first cell.
    first: Point,
    /// From one cell to the next, across and down.
    pitch: Size,
}

const A4: Size = size(210_000, 297_000);

const fn size(width: i64, height: i64) -> Size {
    Size {
        width: Length::of_micrometres(width),
        height: Length::of_micrometres(height),
    }
}

const fn a4(
    name: &'static str,
    (columns, rows): (u32, u32),
    cell: Size,
    (left, top): (i64, i64),
    across: i64,
) -> Sheet {
    let first = Point {
        x: Length::of_micrometres(left),
        y: Length::of_micrometres(top),
    };
    let pitch = Size {
        width: Length::of_micrometres(across),
        height: cell.height,
    };
    Sheet {
        name,
        page: A4,
        cell,
        columns,
        rows,
        first,
        pitch,
    }
}

const fn roll(name: &'static str, cell: Size) -> Sheet {
    let first = Point {
        x: Length::ZERO,
        y: Length::ZERO,
    };
    Sheet {
        name,
        page: cell,
        cell,
        columns: 1,
        rows: 1,
        first,
        pitch: cell,
    }
}

const ALL: [Sheet; 11] = [
    a4(
        "a4-5x13-38x21",
        (5, 13),
        size(38_100, 21_200),
        (4_750, 10_700),
        40_600,
    ),
    a4(
        "a4-3x8-63x33",
        (3, 8),
        size(63_500, 33_900),
        (7_250, 12_900),
        66_000,
    ),
    a4(
        "a4-3x7-63x38",
        (3, 7),
        size(63_500, 38_100),
        (7_250, 15_150),
        66_000,
    ),
    a4(
        "a4-2x7-99x38",
        (2, 7),
        size(99_100, 38_100),
        (4_650, 15_150),
        101_600,
    ),
    a4(
        "a4-3x4-63x72",
        (3, 4),
        size(63_500, 72_000),
        (7_250, 4_500),
        66_000,
    ),
    a4(
        "a4-2x4-99x67",
        (2, 4),
        size(99_100, 67_700),
        (4_650, 13_100),
        101_600,
    ),
    a4(
        "a4-2x3-99x93",
        (2, 3),
        size(99_100, 93_100),
        (4_650, 8_850),
        101_600,
    ),
    a4(
        "a4-2x2-99x139",
        (2, 2),
        size(99_100, 139_000),
        (4_650, 9_500),
        101_600,
    ),
    a4(
        "a4-1x2-199x143",
        (1, 2),
        size(199_600, 143_500),
        (5_200, 5_000),
        199_600,
    ),
    roll("roll-100x150", size(100_000, 150_000)),
    roll("roll-57x32", size(57_000, 32_000)),
];

impl Sheet {
    /// Every sheet there is: A4 from the smallest label to the largest, then rolls.
    pub const ALL: &'static [Self] = &ALL;

    /// The name that castlot.toml and the command line use.
    pub fn name(&self) -> &'static str {
        self.name
    }

    /// The size of one label.
    pub fn cell(&self) -> Size {
        self.cell
    }

    /// The size of one page.
    pub fn page(&self) -> Size {
        self.page
    }

    /// How many labels a page has.
    pub fn places(&self) -> u32 {
        self.columns * self.rows
    }

    /// How many labels stand side by side.
    pub fn columns(&self) -> u32 {
        self.columns
    }

    /// The top left corner of a cell, counted from 0 across, then down.
    pub fn corner(&self, cell: u32) -> Point {
        let (column, row) = (
            i64::from(cell % self.columns),
            i64::from(cell / self.columns),
        );
        Point {
            x: self.first.x + self.pitch.width * column,
            y: self.first.y + self.pitch.height * row,
        }
    }
}

impl fmt::Display for Sheet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name)
    }
}

impl FromStr for Sheet {
    type Err = LabelError;

    fn from_str(name: &str) -> Result<Self, LabelError> {
        let found = ALL.iter().copied().find(|sheet| sheet.name == name);
        found.ok_or_else(|| LabelError::NoSuchSheet {
            name: name.to_owned(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn grids_fill_the_page_evenly() {
        for sheet in Sheet::ALL {
            let last = sheet.corner(sheet.places() - 1);
            let right = sheet.page.width - last.x - sheet.cell.width;
            let bottom = sheet.page.height - last.y - sheet.cell.height;
            assert_eq!(right, sheet.first.x, "{sheet}");
            assert_eq!(bottom, sheet.first.y, "{sheet}");
        }
    }

    #[test]
    fn a_name_says_the_grid_and_the_cut_size() {
        for sheet in Sheet::ALL {
            let mm = |length: Length| length.micrometres() / 1000;
            let cut = format!("{}x{}", mm(sheet.cell.width), mm(sheet.cell.height));
            let name = match sheet.page == A4 {
                true => format!("a4-{}x{}-{cut}", sheet.columns, sheet.rows),
                false => format!("roll-{cut}"),
            };
            assert_eq!(sheet.to_string(), name);
            assert_eq!(name.parse::<Sheet>().unwrap(), *sheet);
        }
        let error = "a4-9x9-1x1".parse::<Sheet>().unwrap_err().to_string();
        assert!(error.starts_with("`a4-9x9-1x1` is not a sheet; there are a4-5x13-38x21, "));
    }
}
