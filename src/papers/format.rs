//! The sizes of paper, and the margins of each.

use crate::label::{Area, Length, Point, Size};

/// A size of paper and how it is held (ISO 216: A4 is 210 × 297 mm, A5 148 × 210 mm).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// A4, upright.
    A4,
    /// A4 on its side.
    A4Wide,
    /// A5, upright.
    A5,
    /// A5 on its side.
    A5Wide,
}

/// The foot and its rule stand in this much below the body.
const FOOT: Length = Length::of_mm(10);

impl Format {
    /// Returns the size of a page.
    pub fn size(self) -> Size {
        let (width, height) = match self {
            Self::A4 => (210, 297),
            Self::A4Wide => (297, 210),
            Self::A5 => (148, 210),
            Self::A5Wide => (210, 148),
        };
        Size {
            width: Length::of_mm(width),
            height: Length::of_mm(height),
        }
    }

    /// Returns the margins: left, which leaves room for a file's holes, then top, right and bottom.
    fn margins(self) -> [Length; 4] {
        match self {
            Self::A4 | Self::A4Wide => [20, 12, 16, 11],
            Self::A5 | Self::A5Wide => [15, 9, 11, 9],
        }
        .map(Length::of_mm)
    }

    /// Returns what is left within the margins: head, body and foot.
    pub(super) fn sheet(self) -> Area {
        let [left, top, right, bottom] = self.margins();
        let size = self.size();
        Area {
            at: Point { x: left, y: top },
            size: Size {
                width: size.width - left - right,
                height: size.height - top - bottom,
            },
        }
    }

    /// Returns the room of the text itself, below a head so high.
    pub(super) fn body(self, head: Length) -> Area {
        let sheet = self.sheet();
        Area {
            at: Point {
                x: sheet.at.x,
                y: sheet.at.y + head,
            },
            size: Size {
                width: sheet.size.width,
                height: sheet.size.height - head - FOOT,
            },
        }
    }
}
