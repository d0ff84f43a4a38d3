//! QR codes, with the mask chosen on whole rows of bits at once.
//!
//! The qrcode crate's bits, error correction and canvas are used as they are. Only its choice
//! of mask is done again here, because it takes 98 % of the time; the modules that come out
//! are the same as the crate's own, and a test holds that.

use std::sync::OnceLock;

use qrcode::bits::{Bits, encode_auto};
use qrcode::canvas::{Canvas, MaskPattern};
use qrcode::ec::construct_codewords;
use qrcode::types::QrError;
use qrcode::{Color, EcLevel, QrCode, Version};

use super::penalty::penalty;

/// White modules that a code needs on every side (ISO/IEC 18004).
pub const QUIET_MODULES: u16 = 4;

/// How much of a code may be lost.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Level {
    /// 15 % of the codewords: clean packs.
    #[default]
    M,
    /// 25 %, or 30 % (level H) where that costs no larger code: racks and bins, which are spattered.
    Q,
}

impl Level {
    /// Encodes a text, with the level that came of it.
    fn encode(self, text: &str) -> Result<(Bits, EcLevel), QrError> {
        match self {
            Self::M => Ok((encode_auto(text.as_bytes(), EcLevel::M)?, EcLevel::M)),
            Self::Q => {
                let asked = encode_auto(text.as_bytes(), EcLevel::Q)?;
                match encode_auto(text.as_bytes(), EcLevel::H) {
                    Ok(more) if more.version() == asked.version() => Ok((more, EcLevel::H)),
                    Ok(_) | Err(_) => Ok((asked, EcLevel::Q)),
                }
            }
        }
    }
}

/// The largest version whose rows fit into 64 bits (61 modules); larger codes, which no label
/// has room for, take the crate's own slow way.
const LAST_FAST_VERSION: usize = 11;

const MASKS: [MaskPattern; 8] = [
    MaskPattern::Checkerboard,
    MaskPattern::HorizontalLines,
    MaskPattern::VerticalLines,
    MaskPattern::DiagonalLines,
    MaskPattern::LargeCheckerboard,
    MaskPattern::Fields,
    MaskPattern::Diamonds,
    MaskPattern::Meadow,
];

/// Why a text cannot be a QR code.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{bytes} bytes are more than a QR code of level {level:?} holds")]
pub struct TooLong {
    /// How many bytes the text has.
    pub bytes: usize,
    /// The level that was asked for.
    pub level: Level,
}

/// The modules of a code: rows from the top, each padded to whole bytes, dark bits set, the
/// leftmost module in the highest bit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Matrix {
    width: u16,
    bytes: Vec<u8>,
}

impl Matrix {
    /// Encodes a text.
    pub fn of(text: &str, level: Level) -> Result<Self, TooLong> {
        let too_long = |_: QrError| TooLong {
            bytes: text.len(),
            level,
        };
        let (bits, level) = level.encode(text).map_err(too_long)?;
        match bits.version() {
            Version::Normal(version @ 1..=11) => Self::fast(bits, version, level).map_err(too_long),
            Version::Normal(_) | Version::Micro(_) => {
                let code = QrCode::with_bits(bits, level).map_err(too_long)?;
                let width = code.width();
                Ok(Self::from_dark(width, |x, y| code[(x, y)] == Color::Dark))
            }
        }
    }

    /// Modules on a side, without the quiet zone.
    pub fn width(&self) -> u16 {
        self.width
    }

    /// The rows, packed as the type says.
    pub fn bytes(&self) -> &[u8] {
        &self.bytes
    }

    /// Bytes in a row.
    pub fn row_bytes(&self) -> usize {
        usize::from(self.width).div_ceil(8)
    }

    /// Whether a module is dark.
    pub fn is_dark(&self, x: u16, y: u16) -> bool {
        let byte = self.bytes[usize::from(y) * self.row_bytes() + usize::from(x) / 8];
        byte >> (7 - x % 8) & 1 == 1
    }

    fn fast(bits: Bits, version: i16, level: EcLevel) -> Result<Self, QrError> {
        let blanks = Blanks::of_version(version, level);
        let data = bits.into_bytes();
        let (codewords, correction) = construct_codewords(&data, Version::Normal(version), level)?;
        let mut canvas = blanks.canvas.clone();
        canvas.draw_data(&codewords, &correction);
        canvas.apply_mask(MASKS[0]);
        let first = Rows::of(canvas, blanks.width);
        // Data and mask are joined by XOR, so the same code under another mask differs by
        // what two codes without data differ by.
        let masked = |blank: &Rows| {
            let mut rows = first;
            for (row, (a, b)) in rows
                .0
                .iter_mut()
                .zip(blanks.masked[0].0.iter().zip(blank.0))
            {
                *row ^= a ^ b;
            }
            rows
        };
        let best = blanks
            .masked
            .iter()
            .map(masked)
            .min_by_key(|rows| penalty(&rows.0[..blanks.width]));
        let rows = best.expect("there are eight masks");
        Ok(Self::from_dark(blanks.width, |x, y| {
            rows.0[y] >> x & 1 == 1
        }))
    }

    fn from_dark(width: usize, dark: impl Fn(usize, usize) -> bool) -> Self {
        let row_bytes = width.div_ceil(8);
        let mut bytes = vec![0; row_bytes * width];
        for y in 0..width {
            for x in (0..width).filter(|&x| dark(x, y)) {
                bytes[y * row_bytes + x / 8] |= 0x80 >> (x % 8);
            }
        }
        Self {
            width: u16::try_from(width).expect("the largest code has 177 modules"),
            bytes,
        }
    }
}

/// What all codes of one version and level share.
struct Blanks {
    width: usize,
    /// The patterns that every code has, without data.
    canvas: Canvas,
    /// A code of nothing but noughts under each mask.
    masked: [Rows; 8],
}

impl Blanks {
    fn of_version(version: i16, level: EcLevel) -> &'static Self {
        static ALL: [[OnceLock<Blanks>; LAST_FAST_VERSION + 1]; 4] =
            [const { [const { OnceLock::new() }; LAST_FAST_VERSION + 1] }; 4];
        let slot = usize::try_from(version).expect("versions are 1 to 11 here");
        ALL[level as usize][slot].get_or_init(|| {
            let mut canvas = Canvas::new(Version::Normal(version), level);
            canvas.draw_all_functional_patterns();
            let width = 17 + 4 * slot;
            let masked = MASKS.map(|mask| {
                let mut blank = canvas.clone();
                blank.apply_mask(mask);
                Rows::of(blank, width)
            });
            Self {
                width,
                canvas,
                masked,
            }
        })
    }
}

/// The rows of a code of at most 64 modules, the leftmost module in the lowest bit.
#[derive(Clone, Copy)]
struct Rows([u64; 64]);

impl Rows {
    fn of(canvas: Canvas, width: usize) -> Self {
        let mut rows = [0; 64];
        for (at, color) in canvas.into_colors().into_iter().enumerate() {
            rows[at / width] |= u64::from(color == Color::Dark) << (at % width);
        }
        Self(rows)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn of_m(text: &str) -> Matrix {
        Matrix::of(text, Level::M).unwrap()
    }

    fn crates_own(text: &str, level: EcLevel) -> Matrix {
        let code = QrCode::with_error_correction_level(text, level).unwrap();
        Matrix::from_dark(code.width(), |x, y| code[(x, y)] == Color::Dark)
    }

    /// The crate's own code of level Q, or of level H where that is no larger.
    fn crates_own_q(text: &str) -> Matrix {
        let [q, h] = [EcLevel::Q, EcLevel::H].map(|level| crates_own(text, level));
        if h.width() == q.width() { h } else { q }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(600))]
        #[test]
        fn the_modules_are_those_of_the_crates_own_choice(
            text in prop_oneof![
                "[A-Z0-9:/.-]{1,200}",
                "[ -~]{1,120}",
                "\\PC{1,60}",
                "[0-9]{1,300}",
                "P26[0-9]{3}-[0-9]{2}-[A-Z0-9]/[0-9]{4} [a-z]{3,40}",
            ]
        ) {
            prop_assert_eq!(of_m(&text), crates_own(&text, EcLevel::M));
            prop_assert_eq!(Matrix::of(&text, Level::Q).unwrap(), crates_own_q(&text));
        }
    }

    #[test]
    fn every_version_up_to_the_slow_way_equals_the_crates_own() {
        for length in (1..420).step_by(7) {
            let text: String = (0..length)
                .map(|i| char::from(b'a' + (i * 7 % 26) as u8))
                .collect();
            assert_eq!(of_m(&text), crates_own(&text, EcLevel::M), "{length}");
            assert_eq!(Matrix::of(&text, Level::Q).unwrap(), crates_own_q(&text));
        }
    }

    #[test]
    fn a_reader_that_shares_no_code_reads_them_back() {
        for length in [1, 17, 60, 95, 200] {
            let text: String = "P26115-07-S/0012 Worm-worked "
                .chars()
                .cycle()
                .take(length)
                .collect();
            let matrix = of_m(&text);
            // Eight dots to a module and four modules around it.
            let side = usize::from(matrix.width() + 2 * QUIET_MODULES) * 8;
            let dark = |at: usize| {
                let module = u16::try_from(at / 8).unwrap().checked_sub(QUIET_MODULES)?;
                (module < matrix.width()).then_some(module)
            };
            let mut image =
                rqrr::PreparedImage::prepare_from_greyscale(side, side, |x, y| {
                    match (dark(x), dark(y)) {
                        (Some(x), Some(y)) if matrix.is_dark(x, y) => 0,
                        (Some(_), Some(_)) | (None, _) | (_, None) => 255,
                    }
                });
            let grids = image.detect_grids();
            assert_eq!(grids.len(), 1);
            assert_eq!(grids[0].decode().unwrap().1, text);
        }
    }

    #[test]
    fn an_address_in_capitals_makes_a_smaller_code() {
        let capitals = of_m("HTTPS://LOTS.MARLHYTHE.EXAMPLE/P26115-07-S?0012");
        let small = of_m("https://lots.marlhythe.example/p26115-07-s?0012");
        assert!(capitals.width() < small.width());
        // reference/qr_capacity.csv: version 3 at level M holds 61 alphanumeric characters.
        assert_eq!(capitals.width(), 29);
    }

    #[test]
    fn a_text_that_no_code_holds_is_refused() {
        let (bytes, level) = (2400, Level::M);
        assert_eq!(
            Matrix::of(&"x".repeat(bytes), level),
            Err(TooLong { bytes, level })
        );
    }

    #[test]
    fn a_matrix_reads_back_its_finder() {
        let matrix = of_m("A07");
        let row: String = (0..8)
            .map(|x| if matrix.is_dark(x, 1) { '#' } else { '.' })
            .collect();
        assert_eq!(row, "#.....#.");
        assert_eq!(
            matrix.bytes().len(),
            matrix.row_bytes() * usize::from(matrix.width())
        );
    }
}
