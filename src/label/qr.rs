//! QR codes, with the mask chosen on whole rows of bits at once.
//!
//! The qrcode crate's bits, error correction and canvas are used as they are. Only its choice
//! of mask is done again here, because it takes 98 % of the time; the modules that come out
//! are the same as the crate's own, and a test holds that.

use std::sync::OnceLock;

use qrcode::bits::encode_auto;
use qrcode::canvas::{Canvas, MaskPattern};
use qrcode::ec::construct_codewords;
use qrcode::types::QrError;
use qrcode::{Color, EcLevel, Version};

use super::penalty::penalty;

/// White modules that a code needs on every side (ISO/IEC 18004).
pub const QUIET_MODULES: u16 = 4;

/// How much of a code may be lost and it still reads (ISO/IEC 18004: about 7, 15, 25 and 30 %).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, serde::Deserialize)]
pub enum Level {
    /// The least: for a clean place and little room.
    L,
    /// For labels, unless a template says otherwise.
    #[default]
    M,
    /// For what gets wet, scratched or dirty.
    Q,
    /// The most, and the largest code.
    H,
}

impl Level {
    /// Every level, in the order of their numbers here.
    pub const ALL: [Self; 4] = [Self::L, Self::M, Self::Q, Self::H];

    const fn ours(self) -> EcLevel {
        match self {
            Self::L => EcLevel::L,
            Self::M => EcLevel::M,
            Self::Q => EcLevel::Q,
            Self::H => EcLevel::H,
        }
    }
}

/// The largest version whose rows fit into 64 bits (61 modules); larger codes, which no label
/// has room for, take the crate's own slow way.
const LAST_FAST_VERSION: i16 = 11;

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
    /// The level of error correction.
    pub level: Level,
    /// How many bytes the text has.
    pub bytes: usize,
}

/// A text as the data of a code: how large the code is, is known; its modules are worked out when it is drawn, which
/// takes most of the time.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Code {
    /// 1 to 40, each four modules wider than the one before.
    version: i16,
    level: Level,
    data: Vec<u8>,
}

impl Code {
    /// Takes a text at a level.
    pub fn at_level(text: &str, level: Level) -> Result<Self, TooLong> {
        let too_long = |_: QrError| TooLong {
            level,
            bytes: text.len(),
        };
        let bits = encode_auto(text.as_bytes(), level.ours()).map_err(too_long)?;
        let (Version::Normal(version) | Version::Micro(version)) = bits.version();
        Ok(Self {
            version,
            level,
            data: bits.into_bytes(),
        })
    }

    /// Takes a text at a level, or for what gets dirty (level Q) at level H where that is no larger.
    pub fn at_least(text: &str, level: Level) -> Result<Self, TooLong> {
        let asked = Self::at_level(text, level)?;
        match level {
            Level::L | Level::M | Level::H => Ok(asked),
            Level::Q => match Self::at_level(text, Level::H) {
                Ok(stronger) if stronger.version == asked.version => Ok(stronger),
                Ok(_) | Err(_) => Ok(asked),
            },
        }
    }

    /// Modules on a side, without the quiet zone (ISO/IEC 18004).
    pub fn width(&self) -> u16 {
        17 + 4 * self.version.unsigned_abs()
    }

    /// Works the modules out.
    pub fn matrix(&self) -> Matrix {
        let version = Version::Normal(self.version);
        let level = self.level.ours();
        let (codewords, correction) = construct_codewords(&self.data, version, level)
            .expect("the version was chosen for this data and level");
        let draw = |mut canvas: Canvas| {
            canvas.draw_data(&codewords, &correction);
            canvas
        };
        match self.version {
            1..=LAST_FAST_VERSION => Matrix::fast(Blanks::of(self.version, self.level), draw),
            _ => {
                let mut canvas = Canvas::new(version, level);
                canvas.draw_all_functional_patterns();
                let colors = draw(canvas).apply_best_mask().into_colors();
                let width = usize::from(self.width());
                Matrix::from_dark(width, |x, y| colors[y * width + x] == Color::Dark)
            }
        }
    }
}

/// The modules of a code: rows from the top, each padded to whole bytes, dark bits set, the
/// leftmost module in the highest bit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Matrix {
    width: u16,
    bytes: Vec<u8>,
}

impl Matrix {
    /// Encodes a text at level M.
    pub fn of(text: &str) -> Result<Self, TooLong> {
        Self::at_level(text, Level::M)
    }

    /// Encodes a text at a level.
    pub fn at_level(text: &str, level: Level) -> Result<Self, TooLong> {
        Code::at_level(text, level).map(|code| code.matrix())
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

    fn fast(blanks: &Blanks, draw: impl Fn(Canvas) -> Canvas) -> Self {
        let mut canvas = draw(blanks.canvas.clone());
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
        Self::from_dark(blanks.width, |x, y| rows.0[y] >> x & 1 == 1)
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
    fn of(version: i16, level: Level) -> &'static Self {
        const LEVELS: usize = Level::ALL.len();
        static ALL: [[OnceLock<Blanks>; LEVELS]; LAST_FAST_VERSION as usize + 1] =
            [const { [const { OnceLock::new() }; LEVELS] }; LAST_FAST_VERSION as usize + 1];
        let slot = usize::try_from(version).expect("versions are 1 to 11 here");
        ALL[slot][level as usize].get_or_init(|| {
            let mut canvas = Canvas::new(Version::Normal(version), level.ours());
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
