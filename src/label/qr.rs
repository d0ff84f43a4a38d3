//! QR codes, level M, with the mask chosen on whole rows of bits at once.
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

/// White modules that a code needs on every side (ISO/IEC 18004).
pub const QUIET_MODULES: u16 = 4;

/// The level of error correction.
const LEVEL: EcLevel = EcLevel::M;

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
#[error("{bytes} bytes are more than a QR code of level M holds")]
pub struct TooLong {
    /// How many bytes the text has.
    pub bytes: usize,
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
    pub fn of(text: &str) -> Result<Self, TooLong> {
        let too_long = |_: QrError| TooLong { bytes: text.len() };
        let bits = encode_auto(text.as_bytes(), LEVEL).map_err(too_long)?;
        match bits.version() {
            Version::Normal(version @ 1..=11) => Self::fast(bits, version).map_err(too_long),
            Version::Normal(_) | Version::Micro(_) => {
                let code = QrCode::with_bits(bits, LEVEL).map_err(too_long)?;
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

    fn fast(bits: Bits, version: i16) -> Result<Self, QrError> {
        let blanks = Blanks::of_version(version);
        let data = bits.into_bytes();
        let (codewords, correction) = construct_codewords(&data, Version::Normal(version), LEVEL)?;
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
            .min_by_key(|rows| rows.penalty(blanks.width));
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

/// What all codes of one version share.
struct Blanks {
    width: usize,
    /// The patterns that every code has, without data.
    canvas: Canvas,
    /// A code of nothing but noughts under each mask.
    masked: [Rows; 8],
}

impl Blanks {
    fn of_version(version: i16) -> &'static Self {
        static ALL: [OnceLock<Blanks>; LAST_FAST_VERSION + 1] =
            [const { OnceLock::new() }; LAST_FAST_VERSION + 1];
        let slot = usize::try_from(version).expect("versions are 1 to 11 here");
        ALL[slot].get_or_init(|| {
            let mut canvas = Canvas::new(Version::Normal(version), LEVEL);
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

    /// The crate's penalty score, less the 720 points that every code has from its finders.
    fn penalty(&self, width: usize) -> u32 {
        let rows = &self.0[..width];
        runs_across(rows) + runs_down(rows) + blocks(rows) + finders(rows) + balance(rows)
    }
}

/// Runs of five and more of one colour score their length less two: each place where four
/// neighbours in a row are equal counts one, and each run two more.
fn run_score(fives: u64, starts: u64) -> u32 {
    fives.count_ones() + 2 * starts.count_ones()
}

/// One bit for each module that has the colour of its right neighbour.
fn same_across(row: u64, width: usize) -> u64 {
    !(row ^ row >> 1) & ((1 << (width - 1)) - 1)
}

fn same_down(rows: &[u64], y: usize) -> u64 {
    let all = (1 << rows.len()) - 1;
    match rows.get(y + 1) {
        Some(below) => !(rows[y] ^ below) & all,
        None => 0,
    }
}

fn runs_across(rows: &[u64]) -> u32 {
    let score = |row: &u64| {
        let same = same_across(*row, rows.len());
        let fives = same & same >> 1 & same >> 2 & same >> 3;
        run_score(fives, fives & !(fives << 1))
    };
    rows.iter().map(score).sum()
}

fn runs_down(rows: &[u64]) -> u32 {
    let mut above = 0;
    let mut sum = 0;
    for y in 0..rows.len() - 4 {
        let fives = (y..y + 4).fold(u64::MAX, |all, y| all & same_down(rows, y));
        sum += run_score(fives, fives & !above);
        above = fives;
    }
    sum
}

/// Three points for each two by two modules of one colour.
fn blocks(rows: &[u64]) -> u32 {
    let width = rows.len();
    let block = |y: usize| {
        let across = same_across(rows[y], width) & same_across(rows[y + 1], width);
        3 * (across & same_down(rows, y)).count_ones()
    };
    (0..width - 1).map(block).sum()
}

/// Forty points for each look-alike of a finder, across or down, with four light modules (or
/// the edge) before or behind it.
fn finders(rows: &[u64]) -> u32 {
    let across = rows
        .iter()
        .map(|row| finder_starts(|by| shifted(*row, by)).count_ones());
    let row = |y: i64| {
        usize::try_from(y)
            .ok()
            .and_then(|y| rows.get(y))
            .copied()
            .unwrap_or(0)
    };
    let last = rows.len() as i64;
    let down = (0..last).map(|y| finder_starts(|by| row(y + by)).count_ones());
    40 * (across.sum::<u32>() + down.sum::<u32>())
}

fn shifted(row: u64, by: i64) -> u64 {
    if by < 0 { row << -by } else { row >> by }
}

/// Marks the modules where dark, light, three dark, light, dark begins; `at` gives the modules
/// so many steps further on.
fn finder_starts(at: impl Fn(i64) -> u64) -> u64 {
    let pattern = at(0) & !at(1) & at(2) & at(3) & at(4) & !at(5) & at(6);
    if pattern == 0 {
        return 0;
    }
    let dark_before = at(-4) | at(-3) | at(-2) | at(-1);
    let dark_behind = at(7) | at(8) | at(9) | at(10);
    pattern & !(dark_before & dark_behind)
}

fn balance(rows: &[u64]) -> u32 {
    let dark: u32 = rows.iter().map(|row| row.count_ones()).sum();
    let all = u32::try_from(rows.len() * rows.len()).expect("at most 61 rows");
    (dark * 200 / all).abs_diff(100)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn crates_own(text: &str) -> Matrix {
        let code = QrCode::with_error_correction_level(text, LEVEL).unwrap();
        Matrix::from_dark(code.width(), |x, y| code[(x, y)] == Color::Dark)
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
            prop_assert_eq!(Matrix::of(&text).unwrap(), crates_own(&text));
        }
    }

    #[test]
    fn every_version_up_to_the_slow_way_equals_the_crates_own() {
        for length in (1..420).step_by(7) {
            let text: String = (0..length)
                .map(|i| char::from(b'a' + (i * 7 % 26) as u8))
                .collect();
            assert_eq!(Matrix::of(&text).unwrap(), crates_own(&text), "{length}");
        }
    }

    #[test]
    fn an_address_in_capitals_makes_a_smaller_code() {
        let capitals = Matrix::of("HTTPS://LOTS.MARLHYTHE.EXAMPLE/P26115-07-S?0012").unwrap();
        let small = Matrix::of("https://lots.marlhythe.example/p26115-07-s?0012").unwrap();
        assert!(capitals.width() < small.width());
        // reference/qr_capacity.csv: version 3 at level M holds 61 alphanumeric characters.
        assert_eq!(capitals.width(), 29);
    }

    #[test]
    fn a_text_that_no_code_holds_is_refused() {
        assert_eq!(Matrix::of(&"x".repeat(2400)), Err(TooLong { bytes: 2400 }));
    }

    #[test]
    fn a_matrix_reads_back_its_finder() {
        let matrix = Matrix::of("A07").unwrap();
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
