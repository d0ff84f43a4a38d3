//! Pictures of a farm's own, read once and shared by every label that shows them.
//!
//! PNG and JPEG through the image crate, page 1 of a PDF in `page_picture.rs`. Nothing here opens a
//! file: the bytes are given. A file that would take unreasonable room in memory is refused.

use std::fmt;
use std::io::Cursor;

use image::{DynamicImage, ImageDecoder, ImageFormat, ImageReader, Limits};

use super::length::Size;
use super::page_picture;
use super::page_words::PageWords;

/// The most pixels on a side; a label of 200 mm at 1,200 dots to the inch has fewer.
const MOST_PIXELS: u32 = 10_000;

/// The most room that a decoded picture may take, in bytes.
const MOST_BYTES: u64 = 200_000_000;

/// Why a file cannot be a picture.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PictureError {
    /// The name leads out of the farm's pictures, or into a folder of theirs.
    #[error("`{file}` is not a name of a picture, which is like `artwork/logo.png`")]
    Name {
        /// The name as the template writes it.
        file: String,
    },
    /// There is no such file.
    #[error("there is no picture `{file}`")]
    None {
        /// The name as the template writes it.
        file: String,
    },
    /// Neither PNG nor JPEG nor PDF.
    #[error("`{file}` is no PNG, JPEG or PDF")]
    Kind {
        /// The name as the template writes it.
        file: String,
    },
    /// The picture's data cannot be read.
    #[error("`{file}` cannot be read: {reason}")]
    Broken {
        /// The name as the template writes it.
        file: String,
        /// What the reader says.
        reason: String,
    },
    /// A PDF that only a password opens.
    #[error("`{file}` is locked with a password; save it without one")]
    Locked {
        /// The name as the template writes it.
        file: String,
    },
    /// A PDF with nothing in it.
    #[error("`{file}` has no page")]
    NoPage {
        /// The name as the template writes it.
        file: String,
    },
    /// A PDF whose page has no usable edges.
    #[error("`{file}` has a page without width or height")]
    NoBox {
        /// The name as the template writes it.
        file: String,
    },
}

/// A picture, read.
#[derive(Clone, PartialEq, Eq)]
pub struct Picture {
    /// The file's name as the template writes it.
    pub file: String,
    /// What it shows.
    pub art: Art,
    /// The words in it, as far as they can be read.
    pub words: Option<String>,
    /// Whether there may be words that cannot be read, as in a photograph.
    pub unread: bool,
}

/// What a picture shows.
#[derive(Clone, PartialEq, Eq)]
pub enum Art {
    /// Pixels, on white.
    Pixels(Pixels),
    /// A JPEG as it is, with its pixels.
    Jpeg {
        /// The file.
        bytes: Vec<u8>,
        /// What it decodes to.
        pixels: Pixels,
    },
    /// Page 1 of a PDF.
    Page {
        /// The file, without any lock.
        bytes: Vec<u8>,
        /// The size of the page as it is seen, turned if it says so.
        size: Size,
    },
}

/// Pixels in rows from the top, one or three bytes each.
#[derive(Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels in a row.
    pub width: u32,
    /// Rows.
    pub height: u32,
    /// One byte a pixel (grey) or three (red, green, blue).
    pub samples: u8,
    /// All of them.
    pub bytes: Vec<u8>,
}

impl Picture {
    /// Reads a file by what is in it, whatever its name ends with.
    pub fn read(file: &str, bytes: Vec<u8>) -> Result<Self, PictureError> {
        let picture = |art, words: PageWords| Self {
            file: file.to_owned(),
            art,
            words: words.text,
            unread: words.unread,
        };
        if bytes.starts_with(b"%PDF") {
            let page = page_picture::read(file, bytes)?;
            return Ok(picture(
                Art::Page {
                    bytes: page.bytes,
                    size: page.size,
                },
                page.words,
            ));
        }
        match image::guess_format(&bytes) {
            Ok(ImageFormat::Png) => {
                let pixels = decode(file, &bytes, ImageFormat::Png)?;
                Ok(picture(Art::Pixels(pixels), PageWords::none_read()))
            }
            Ok(ImageFormat::Jpeg) => {
                let pixels = decode(file, &bytes, ImageFormat::Jpeg)?;
                let art = match is_plain_jpeg(&bytes, pixels.samples) {
                    true => Art::Jpeg { bytes, pixels },
                    false => Art::Pixels(pixels),
                };
                Ok(picture(art, PageWords::none_read()))
            }
            Ok(_) | Err(_) => Err(PictureError::Kind {
                file: file.to_owned(),
            }),
        }
    }

    /// Width and height, in units that only compare with each other.
    pub fn proportions(&self) -> (i64, i64) {
        match &self.art {
            Art::Pixels(pixels) | Art::Jpeg { pixels, .. } => {
                (i64::from(pixels.width), i64::from(pixels.height))
            }
            Art::Page { size, .. } => (size.width.micrometres(), size.height.micrometres()),
        }
    }
}

impl fmt::Debug for Picture {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (width, height) = self.proportions();
        write!(f, "Picture({} {width} × {height})", self.file)
    }
}

fn decode(file: &str, bytes: &[u8], format: ImageFormat) -> Result<Pixels, PictureError> {
    let broken = |error: image::ImageError| PictureError::Broken {
        file: file.to_owned(),
        reason: error.to_string(),
    };
    let mut reader = ImageReader::with_format(Cursor::new(bytes), format);
    let mut limits = Limits::default();
    limits.max_image_width = Some(MOST_PIXELS);
    limits.max_image_height = Some(MOST_PIXELS);
    limits.max_alloc = Some(MOST_BYTES);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(broken)?;
    // Cameras store a picture lying down and say which way is up.
    let turn = decoder.orientation().map_err(broken)?;
    let mut image = DynamicImage::from_decoder(decoder).map_err(broken)?;
    image.apply_orientation(turn);
    Ok(Pixels::on_white(&image))
}

impl Pixels {
    /// Lays a picture on white paper, in grey where it has no colour.
    fn on_white(image: &DynamicImage) -> Self {
        let (width, height) = (image.width(), image.height());
        let colours = image.to_rgba8();
        let mixed = colours.pixels().map(|pixel| {
            let [red, green, blue, alpha] = pixel.0;
            [red, green, blue].map(|value| {
                let (value, alpha) = (u32::from(value), u32::from(alpha));
                let mixed = (value * alpha + 255 * (255 - alpha) + 127) / 255;
                u8::try_from(mixed).expect("a mean of bytes is a byte")
            })
        });
        let bytes: Vec<[u8; 3]> = mixed.collect();
        let grey = bytes.iter().all(|[r, g, b]| r == g && g == b);
        let (samples, bytes) = match grey {
            true => (1, bytes.iter().map(|[value, _, _]| *value).collect()),
            false => (3, bytes.into_flattened()),
        };
        Self {
            width,
            height,
            samples,
            bytes,
        }
    }
}

/// Whether a JPEG can stand in a PDF as it is: baseline or extended, eight bits, grey or three
/// colours, and not to be turned.
fn is_plain_jpeg(bytes: &[u8], samples: u8) -> bool {
    let mut at = 2;
    while let Some(&[0xFF, mark, high, low]) = bytes.get(at..at + 4) {
        let length = usize::from(u16::from_be_bytes([high, low]));
        match mark {
            // Start of frame, baseline or extended (ITU-T T.81, table B.1).
            0xC0 | 0xC1 => {
                let frame = bytes.get(at + 4..at + 10);
                return frame.is_some_and(|f| f[0] == 8 && f[5] == samples);
            }
            // Other frames, and the scan; data of cameras, which may turn the picture.
            0xC2..=0xC3 | 0xC5..=0xC7 | 0xC9..=0xCB | 0xCD..=0xCF | 0xDA | 0xE1 => return false,
            _ => at += 2 + length,
        }
    }
    false
}
