//! A template as it stands in its TOML file, before its figures are judged.
//!
//! Every table denies unknown keys. Lengths are in millimetres, sizes of type in points.

use serde::Deserialize;
use toml::Spanned;

use super::qr::Level;
use super::template::{Align, Stand};

/// The file: one table for each size of label.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawTemplate {
    #[serde(default)]
    pub size: Vec<Spanned<RawSize>>,
}

/// `[[size]]`: a layout, with the smallest and the largest label it is for.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawSize {
    pub width: f64,
    pub height: f64,
    /// The largest label it still suits; any, if not given.
    pub widest: Option<f64>,
    pub tallest: Option<f64>,
    #[serde(default)]
    pub text: Vec<RawBlock>,
    #[serde(default)]
    pub qr: Vec<RawCode>,
    #[serde(default)]
    pub bars: Vec<RawBars>,
    #[serde(default)]
    pub picture: Vec<RawPicture>,
    #[serde(default)]
    pub cautions: Vec<RawCautions>,
    #[serde(default)]
    pub rule: Vec<RawRule>,
    #[serde(default, rename = "box")]
    pub frame: Vec<RawFrame>,
}

/// `at`: a rectangle, by its distances from the label's edges or its width and height; of each
/// direction two, or the length alone for the middle.
#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawPlace {
    pub left: Option<f64>,
    pub right: Option<f64>,
    pub width: Option<f64>,
    pub top: Option<f64>,
    pub bottom: Option<f64>,
    pub height: Option<f64>,
}

/// `[[size.text]]`: lines, one under the other.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawBlock {
    pub at: Spanned<RawPlace>,
    #[serde(default)]
    pub stand: Stand,
    /// From each baseline to the tops of the next capitals.
    #[serde(default)]
    pub gap: f64,
    #[serde(default)]
    pub caption_width: f64,
    /// 8 pt if not given.
    pub caption_size: Option<f64>,
    pub lines: Vec<Spanned<RawLine>>,
}

/// One of a block's `lines`: words with their size, or a rule.
#[derive(Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawLine {
    /// The words, with fields in braces: `Lot {lot}`.
    pub text: Option<String>,
    pub size: Option<f64>,
    /// The size it may shrink to; without it, it never shrinks.
    pub smallest: Option<f64>,
    #[serde(default)]
    pub face: RawFace,
    #[serde(default)]
    pub weight: RawWeight,
    #[serde(default)]
    pub ink: RawInk,
    #[serde(default)]
    pub align: Align,
    /// The most lines it may wrap onto.
    pub max_lines: Option<u8>,
    #[serde(default)]
    pub above: f64,
    /// From baseline to baseline, in sizes of type; 1.2 if not given.
    pub leading: Option<f64>,
    /// Left out where a field is missing.
    #[serde(default)]
    pub optional: bool,
    /// Words in front, in the block's column of captions.
    pub caption: Option<String>,
    /// A bullet before each paragraph.
    #[serde(default)]
    pub bullet: bool,
    /// Paragraphs follow one another on the same line.
    #[serde(default)]
    pub run_in: bool,
    /// The thickness of a rule from side to side.
    pub rule: Option<f64>,
}

/// `[[size.qr]]`: room for the QR code and its quiet zone.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawCode {
    pub at: Spanned<RawPlace>,
    /// How much may be lost of it: `L`, `M`, `Q` or `H`.
    #[serde(default)]
    pub level: Level,
    #[serde(default)]
    pub align: Align,
    #[serde(default)]
    pub stand: Stand,
    #[serde(default)]
    pub optional: bool,
}

/// `[[size.bars]]`: room for the bar code of the product's GTIN, with its digits and quiet zones.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawBars {
    pub at: Spanned<RawPlace>,
    /// The width of a module; as wide as there is room for, in whole dots, if not given.
    pub module: Option<Spanned<f64>>,
    #[serde(default)]
    pub align: Align,
    #[serde(default)]
    pub stand: Stand,
    #[serde(default)]
    pub optional: bool,
}

/// `[[size.picture]]`: a picture of the farm's own, as large as its place lets it be.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawPicture {
    pub at: Spanned<RawPlace>,
    pub file: Spanned<String>,
    #[serde(default)]
    pub align: Align,
    #[serde(default)]
    pub stand: Stand,
}

/// `[[size.cautions]]`: every caution of the product, in the largest size that they all fit in.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawCautions {
    pub at: Spanned<RawPlace>,
    /// The largest size.
    pub size: f64,
    /// The smallest size; without it, they never shrink.
    pub smallest: Option<f64>,
    /// As in `[[size.text]]`; a third of it stands between two bullets.
    #[serde(default)]
    pub gap: f64,
    pub leading: Option<f64>,
    #[serde(default)]
    pub stand: Stand,
    #[serde(default)]
    pub face: RawFace,
    #[serde(default)]
    pub weight: RawWeight,
    #[serde(default)]
    pub ink: RawInk,
    /// Without bullets, one after the other on the same line.
    #[serde(default)]
    pub run_in: bool,
    /// Left out where the product has none.
    #[serde(default)]
    pub optional: bool,
}

/// `[[size.rule]]`: a filled rectangle, thin for a rule, high for a band.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawRule {
    pub at: Spanned<RawPlace>,
}

/// `[[size.box]]`: a frame.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawFrame {
    pub at: Spanned<RawPlace>,
    pub stroke: Spanned<f64>,
}

#[derive(Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum RawFace {
    Next,
    #[default]
    Condensed,
}

#[derive(Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum RawWeight {
    #[default]
    Regular,
    Bold,
}

#[derive(Clone, Copy, Default, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum RawInk {
    #[default]
    Black,
    White,
}
