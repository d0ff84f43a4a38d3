//! A template as it stands in its TOML file, before its figures are judged.
//!
//! Every table denies unknown keys; the keys are described in the README.

use serde::Deserialize;
use toml::Spanned;

use super::template::{Align, Stand};

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawTemplate {
    #[serde(default)]
    pub size: Vec<Spanned<RawSize>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawSize {
    pub width: f64,
    pub height: f64,
    pub widest: Option<f64>,
    pub tallest: Option<f64>,
    #[serde(default)]
    pub text: Vec<RawBlock>,
    #[serde(default)]
    pub qr: Vec<RawCode>,
    #[serde(default)]
    pub rule: Vec<RawRule>,
    #[serde(default, rename = "box")]
    pub frame: Vec<RawFrame>,
}

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

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawBlock {
    pub at: Spanned<RawPlace>,
    #[serde(default)]
    pub stand: Stand,
    #[serde(default)]
    pub gap: f64,
    #[serde(default)]
    pub caption_width: f64,
    pub caption_size: Option<f64>,
    pub lines: Vec<Spanned<RawLine>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawLine {
    pub text: Option<String>,
    pub size: Option<f64>,
    pub smallest: Option<f64>,
    #[serde(default)]
    pub face: RawFace,
    #[serde(default)]
    pub weight: RawWeight,
    #[serde(default)]
    pub ink: RawInk,
    #[serde(default)]
    pub align: Align,
    pub max_lines: Option<u8>,
    #[serde(default)]
    pub above: f64,
    pub leading: Option<f64>,
    #[serde(default)]
    pub optional: bool,
    pub caption: Option<String>,
    #[serde(default)]
    pub bullet: bool,
    #[serde(default)]
    pub run_in: bool,
    pub rule: Option<f64>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawCode {
    pub at: Spanned<RawPlace>,
    #[serde(default)]
    pub align: Align,
    #[serde(default)]
    pub stand: Stand,
    #[serde(default)]
    pub optional: bool,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct RawRule {
    pub at: Spanned<RawPlace>,
}

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
