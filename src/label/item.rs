//! A laid-out label: items with their places, and nothing left to decide.
//!
//! Proof, PDF and preview all read the same items; none of them moves one.

use std::sync::Arc;

use super::bars::PlacedBars;
use super::font::Face;
use super::length::{Area, Length, Point, Size, TypeSize};
use super::picture::Picture;
use super::qr::Code;
use super::said::Said;

/// One label, laid out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Layout {
    /// What messages call this label.
    pub name: String,
    /// The size of the cell it was laid out for.
    pub size: Size,
    /// What stands where, in the order it is drawn.
    pub items: Vec<Item>,
    /// Every field whose words stand on it, whole: a text that does not fit is refused, never cut.
    /// So where `cautions` is said, every caution of the product is.
    pub said: Said,
}

/// One thing on a label.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Item {
    /// A rectangle filled with ink: a rule or a band.
    Fill(Area),
    /// White beneath a code, where a picture would show through.
    Ground(Area),
    /// A frame drawn inside the edge of its area.
    Frame {
        /// The outer edge of the frame.
        area: Area,
        /// How thick its line is.
        stroke: Length,
    },
    /// A run of text in one face.
    Text(TextRun),
    /// A QR code.
    Qr(PlacedQr),
    /// A bar code with its digits.
    Bars(PlacedBars),
    /// A picture from a file of the farm's own.
    Picture(PlacedPicture),
}

/// A colour of ink: what a thermal printer can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Black on the label's white.
    Black,
    /// White, on a black band.
    White,
}

/// A run of text in one face.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TextRun {
    /// The letters, all of which the face has.
    pub text: String,
    /// The face.
    pub face: Face,
    /// The size of type.
    pub size: TypeSize,
    /// The colour.
    pub ink: Ink,
    /// The left end of the baseline.
    pub origin: Point,
    /// The rectangle that holds the letters' advance and their ink.
    pub area: Area,
    /// The fields that its words come from; a wrapped or borrowed part has those of its whole line.
    pub fields: Said,
}

/// A picture, as large as its place lets it be in its own proportions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlacedPicture {
    /// The picture; labels that show the same one share it.
    pub picture: Arc<Picture>,
    /// The rectangle it fills.
    pub area: Area,
}

/// A QR code and its quiet zone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PlacedQr {
    /// The code.
    pub code: Code,
    /// The width of one module.
    pub module: Length,
    /// The code with its quiet zone: nothing else may stand in here.
    pub quiet: Area,
}

impl PlacedQr {
    /// The rectangle of the modules themselves, without the quiet zone.
    pub fn modules(&self) -> Area {
        let width = self.module * i64::from(self.code.width());
        let inset = (self.quiet.size.width - width) / 2;
        Area {
            at: Point {
                x: self.quiet.at.x + inset,
                y: self.quiet.at.y + inset,
            },
            size: Size {
                width,
                height: width,
            },
        }
    }
}

impl Item {
    /// The rectangle that the item's ink (or a code's quiet zone) stays within.
    pub fn area(&self) -> Area {
        match self {
            Self::Fill(area) | Self::Ground(area) | Self::Frame { area, .. } => *area,
            Self::Text(run) => run.area,
            Self::Qr(qr) => qr.quiet,
            Self::Bars(bars) => bars.area,
            Self::Picture(picture) => picture.area,
        }
    }

    /// The runs of text in it: its own, and the digits of a bar code.
    pub fn runs(&self) -> &[TextRun] {
        match self {
            Self::Text(run) => std::slice::from_ref(run),
            Self::Bars(bars) => &bars.digits,
            Self::Fill(_)
            | Self::Ground(_)
            | Self::Frame { .. }
            | Self::Qr(_)
            | Self::Picture(_) => &[],
        }
    }
}
