//! The few sizes of type that papers are set in.
//!
//! Codes and headings in Atkinson Hyperlegible Next, whose 0 and O stay apart; tables in the condensed face. Nothing
//! is smaller than 8 points: papers are read at a bench, and copied.

use crate::label::{Face, Length, TypeSize};

/// A face at a size, and how far lines stand apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// The face.
    pub face: Face,
    /// The size of type.
    pub size: TypeSize,
    /// From one line's top to the next one's.
    pub leading: Length,
}

impl Style {
    /// The paper's title on its first page.
    pub const TITLE: Self = Self::of(Face::NextBold, 1800, 8_000);
    /// A section's heading.
    pub const HEADING: Self = Self::of(Face::NextBold, 1250, 5_800);
    /// A heading within a section.
    pub const SUB: Self = Self::of(Face::NextBold, 1000, 4_800);
    /// Running text.
    pub const TEXT: Self = Self::of(Face::NextRegular, 975, 4_700);
    /// Running text that stands out.
    pub const STRONG: Self = Self::of(Face::NextBold, 975, 4_700);
    /// The name of a fact, and a table's header.
    pub const CAPTION: Self = Self::of(Face::CondensedBold, 875, 4_100);
    /// A cell of a table.
    pub const CELL: Self = Self::of(Face::CondensedRegular, 900, 4_100);
    /// A code or a number in a cell.
    pub const CODE: Self = Self::of(Face::NextRegular, 850, 4_100);
    /// A sum, or a code that stands out in a cell.
    pub const CODE_STRONG: Self = Self::of(Face::NextBold, 850, 4_100);
    /// Head and foot.
    pub const EDGE: Self = Self::of(Face::CondensedRegular, 800, 3_800);
    /// The farm's name in the head.
    pub const EDGE_STRONG: Self = Self::of(Face::CondensedBold, 800, 3_800);
    /// A sign's first line: its capitals are 19 mm high.
    pub const SIGN: Self = Self::of(Face::NextBold, 7600, 27_500);
    /// A sign's lines: capitals of 8 mm, which is read at two metres with ease.
    pub const SIGN_TEXT: Self = Self::of(Face::NextBold, 3300, 13_200);
    /// The smaller lines of a sign.
    pub const SIGN_SMALL: Self = Self::of(Face::NextRegular, 1800, 8_000);

    /// A cell of a paper that is filled in by hand, and its head and foot: 12 points.
    pub const HAND: Self = Self::of(Face::CondensedRegular, 1200, 4_950);
    /// The same, standing out.
    pub const HAND_STRONG: Self = Self::of(Face::CondensedBold, 1200, 4_950);
    /// A code on such a paper.
    pub const HAND_CODE: Self = Self::of(Face::NextRegular, 1200, 4_950);
    /// What is looked for on it from a step away: a bin's code.
    pub const HAND_BIN: Self = Self::of(Face::NextBold, 2000, 8_000);

    /// How far below a line's top its baseline is: the same part of the leading in every style, so that styles of
    /// one leading stand on one line, with capitals in the middle.
    pub fn baseline(self) -> Length {
        self.leading * 76 / 100
    }

    const fn of(face: Face, hundredths: i64, leading: i64) -> Self {
        Self {
            face,
            size: TypeSize::of_hundredths(hundredths),
            leading: Length::of_micrometres(leading),
        }
    }
}

/// How large the parts are set that every paper has.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lettering {
    /// As a paper to be read.
    Usual,
    /// As one that is filled in by hand, with nothing below 12 points.
    Hand,
}

impl Lettering {
    /// Head and foot.
    pub fn edge(self) -> Style {
        match self {
            Self::Usual => Style::EDGE,
            Self::Hand => Style::HAND,
        }
    }

    /// The farm's name in the head.
    pub fn edge_strong(self) -> Style {
        match self {
            Self::Usual => Style::EDGE_STRONG,
            Self::Hand => Style::HAND_STRONG,
        }
    }

    /// The seal's heading, the seal, and what it is for.
    pub fn seal(self) -> [Style; 3] {
        match self {
            Self::Usual => [Style::SUB, Style::CODE, Style::CELL],
            Self::Hand => [Style::HAND_STRONG, Style::HAND_CODE, Style::HAND],
        }
    }
}
