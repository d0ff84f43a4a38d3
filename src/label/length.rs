//! Lengths on paper, in whole micrometres.
//!
//! Layout never uses floats: two renderings of the same label must be the same bytes, and a
//! sum of cell widths must come out where the sheet was cut.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Sub};

/// A length in whole micrometres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0);

    /// A length of whole micrometres.
    pub const fn of_micrometres(micrometres: i64) -> Self {
        Self(micrometres)
    }

    /// A length of whole millimetres.
    pub const fn of_mm(millimetres: i64) -> Self {
        Self(millimetres * 1000)
    }

    /// The length in micrometres.
    pub const fn micrometres(self) -> i64 {
        self.0
    }

    /// The length in thousandths of a PostScript point, rounded (an inch is 25.4 mm and 72 pt).
    pub const fn to_millipoints(self) -> i64 {
        let scaled = self.0 * 720;
        let half = if scaled < 0 { -127 } else { 127 };
        (scaled + half) / 254
    }
}

impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let (whole, part) = (self.0.abs() / 1000, self.0.abs() % 1000);
        if part == 0 {
            return write!(f, "{sign}{whole} mm");
        }
        let part = format!("{part:03}");
        write!(f, "{sign}{whole}.{} mm", part.trim_end_matches('0'))
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, times: i64) -> Self {
        Self(self.0 * times)
    }
}

impl Div<i64> for Length {
    type Output = Self;
    fn div(self, by: i64) -> Self {
        Self(self.0 / by)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}

/// A size of type, in hundredths of a PostScript point.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TypeSize(i64);

impl TypeSize {
    /// A size of so many hundredths of a point.
    pub const fn of_hundredths(hundredths: i64) -> Self {
        Self(hundredths)
    }

    /// The size in hundredths of a point.
    pub const fn hundredths(self) -> i64 {
        self.0
    }

    /// So many millionths of an em in this size, rounded up, so that text is never measured
    /// narrower than it prints.
    pub const fn scale(self, micro_em: i64) -> Length {
        // 1 pt = 25.4 / 72 mm, so a hundredth of a point is 127 / 36 micrometres.
        let over = micro_em * self.0 * 127;
        let by = 36 * 1_000_000;
        Length((over + by - 1).div_euclid(by))
    }

    /// The same, rounded down, so that nothing is taken to be larger than it prints.
    pub const fn scale_down(self, micro_em: i64) -> Length {
        Length((micro_em * self.0 * 127).div_euclid(36 * 1_000_000))
    }
}

impl fmt::Display for TypeSize {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.0 % 100 {
            0 => write!(f, "{} pt", self.0 / 100),
            part => write!(f, "{}.{part:02} pt", self.0 / 100),
        }
    }
}

/// A width and a height.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Size {
    /// Across.
    pub width: Length,
    /// Down.
    pub height: Length,
}

impl fmt::Display for Size {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let width = self.width.to_string();
        write!(f, "{} × {}", width.trim_end_matches(" mm"), self.height)
    }
}

/// A place, counted from the top left corner of a label or page.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Point {
    /// From the left edge.
    pub x: Length,
    /// From the top edge.
    pub y: Length,
}

/// A rectangle: its top left corner and its size.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Area {
    /// The top left corner.
    pub at: Point,
    /// How wide and high.
    pub size: Size,
}

impl Area {
    /// The x of the right edge.
    pub fn right(self) -> Length {
        self.at.x + self.size.width
    }

    /// The y of the bottom edge.
    pub fn bottom(self) -> Length {
        self.at.y + self.size.height
    }

    /// Whether the area lies wholly on a label of this size.
    pub fn lies_on(self, size: Size) -> bool {
        self.at.x >= Length::ZERO
            && self.at.y >= Length::ZERO
            && self.right() <= size.width
            && self.bottom() <= size.height
    }

    /// Whether another area lies wholly in this one.
    pub fn holds(self, other: Self) -> bool {
        other.at.x >= self.at.x
            && other.at.y >= self.at.y
            && other.right() <= self.right()
            && other.bottom() <= self.bottom()
    }

    /// Whether two areas have a part in common; touching edges do not count.
    pub fn overlaps(self, other: Self) -> bool {
        self.at.x < other.right()
            && other.at.x < self.right()
            && self.at.y < other.bottom()
            && other.at.y < self.bottom()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_inch_is_seventy_two_points() {
        assert_eq!(Length::of_micrometres(25_400).to_millipoints(), 72_000);
        assert_eq!(Length::of_micrometres(-25_400).to_millipoints(), -72_000);
        assert_eq!(
            TypeSize::of_hundredths(7200).scale(1_000_000),
            Length::of_micrometres(25_400)
        );
    }

    #[test]
    fn lengths_are_shown_in_millimetres_without_noughts() {
        assert_eq!(Length::of_micrometres(99_100).to_string(), "99.1 mm");
        assert_eq!(Length::of_mm(-4).to_string(), "-4 mm");
        let size = Size {
            width: Length::of_micrometres(63_500),
            height: Length::of_mm(72),
        };
        assert_eq!(size.to_string(), "63.5 × 72 mm");
        assert_eq!(TypeSize::of_hundredths(750).to_string(), "7.50 pt");
    }

    #[test]
    fn touching_areas_do_not_overlap() {
        let square = |x| Area {
            at: Point {
                x: Length::of_mm(x),
                y: Length::ZERO,
            },
            size: Size {
                width: Length::of_mm(2),
                height: Length::of_mm(2),
            },
        };
        assert!(!square(0).overlaps(square(2)));
        assert!(square(0).overlaps(square(1)));
        assert!(square(0).lies_on(Size {
            width: Length::of_mm(2),
            height: Length::of_mm(2)
        }));
        assert!(!square(1).lies_on(Size {
            width: Length::of_mm(2),
            height: Length::of_mm(2)
        }));
    }
}
