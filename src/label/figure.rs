//! Judges the figures of a template: each in its range, each rectangle on the label.
//!
//! Templates are the one place where lengths come as decimal fractions; they leave here whole.

use std::ops::Range;

use toml::Spanned;

use super::fault::Fault;
use super::length::{Length, Size, TypeSize};
use super::raw::RawPlace;
use super::template::{Place, Span};

/// The smallest type that is printed, in points (common practice, no source).
const LEAST_POINTS: f64 = 7.0;

/// The largest type and the largest label, beyond which a figure is a slip of the pen.
pub const MOST_POINTS: f64 = 600.0;
pub const MOST_MM: f64 = 500.0;
pub const LEAST_MM: f64 = 5.0;

/// A fault, and where in the file it is.
pub type Found<T> = Result<T, (Range<usize>, Fault)>;

/// A size of type.
pub fn points(key: &'static str, value: f64, most: f64) -> Result<TypeSize, Fault> {
    let hundredths = within(key, value, (LEAST_POINTS, most))? * 100.0;
    Ok(TypeSize::of_hundredths(hundredths.round() as i64))
}

/// A rectangle, held to the edges it names.
pub fn place(raw: &Spanned<RawPlace>, least: Size) -> Found<Place> {
    let at = raw.get_ref();
    let found = || -> Result<Place, Fault> {
        let place = Place {
            across: span(["left", "right", "width"], [at.left, at.right, at.width])?,
            down: span(["top", "bottom", "height"], [at.top, at.bottom, at.height])?,
        };
        let area = place.on(least);
        let empty = area.size.width <= Length::ZERO || area.size.height <= Length::ZERO;
        if empty || !area.lies_on(least) {
            return Err(Fault::OffLabel { least });
        }
        Ok(place)
    };
    found().map_err(|fault| (raw.span(), fault))
}

fn span(keys: [&'static str; 3], values: [Option<f64>; 3]) -> Result<Span, Fault> {
    let [near, far, long] = keys;
    let mut read = [None; 3];
    for ((key, value), slot) in keys.into_iter().zip(values).zip(&mut read) {
        *slot = value
            .map(|value| within(key, value, (0.0, MOST_MM)).map(length))
            .transpose()?;
    }
    match read {
        [Some(near), None, Some(long)] => Ok(Span::Near(near, long)),
        [None, Some(far), Some(long)] => Ok(Span::Far(far, long)),
        [Some(near), Some(far), None] => Ok(Span::Between(near, far)),
        [None, None, Some(long)] => Ok(Span::Middle(long)),
        [Some(_), Some(_), Some(_)] | [_, None, None] | [None, Some(_), None] => {
            Err(Fault::Edges {
                near,
                far,
                length: long,
            })
        }
    }
}

/// A length, with the place of its fault.
pub fn millimetres(key: &'static str, span: &Range<usize>, value: f64) -> Found<Length> {
    within(key, value, (0.0, MOST_MM))
        .map(length)
        .map_err(|fault| (span.clone(), fault))
}

/// A figure, if it lies in its range.
pub fn within(key: &'static str, value: f64, (least, most): (f64, f64)) -> Result<f64, Fault> {
    if (least..=most).contains(&value) {
        return Ok(value);
    }
    let [value, least, most] = [value, least, most].map(|number| number.to_string());
    Err(Fault::Range {
        key,
        value,
        least,
        most,
    })
}

/// A length as a template gives it.
pub fn length(millimetres: f64) -> Length {
    Length::of_micrometres((millimetres * 1000.0).round() as i64)
}
