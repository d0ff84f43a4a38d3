//! Reads templates from TOML, in millimetres and points.
//!
//! An unknown key, an unknown field or a size that cannot be is refused with file and line.

use toml::Spanned;

use super::artwork::Artwork;
use super::bars::{LEAST_MODULE, MOST_MODULE};
use super::fault::{Fault, TemplateError};
use super::field::Field;
use super::figure::{
    Found, LEAST_MM, MOST_MM, MOST_POINTS, length, millimetres, place, points, within,
};
use super::font::{Family, Weight};
use super::item::Ink;
use super::length::{Length, Size};
use super::pattern::Pattern;
use super::raw::{
    RawBars, RawBlock, RawCautions, RawCode, RawFace, RawFrame, RawInk, RawLine, RawPicture,
    RawSize, RawTemplate, RawWeight,
};
use super::template::{
    BarsPlace, Block, Bullet, CodePlace, Flow, Frame, Need, PicturePlace, Row, SizeLayout,
    Template, Words,
};

/// From one baseline to the next, where a template does not say.
const LEADING: f64 = 1.2;

/// The size of captions, where a template does not say.
const CAPTION: f64 = 8.0;

impl Template {
    /// Reads a template with its pictures; `file` is what messages call it.
    pub fn parse(
        name: &str,
        file: &str,
        text: &str,
        artwork: &Artwork,
    ) -> Result<Self, TemplateError> {
        read(name, text, artwork).map_err(|(span, fault)| {
            let before = text.get(..span.start).unwrap_or(text);
            let line = before.matches('\n').count() + 1;
            TemplateError {
                file: file.to_owned(),
                line,
                fault,
            }
        })
    }
}

fn read(name: &str, text: &str, artwork: &Artwork) -> Found<Template> {
    let raw: RawTemplate = toml::from_str(text).map_err(|error| {
        let message = error
            .message()
            .lines()
            .next()
            .unwrap_or_default()
            .to_owned();
        (error.span().unwrap_or(0..0), Fault::Form { message })
    })?;
    if raw.size.is_empty() {
        return Err((0..0, Fault::NoSize));
    }
    let sizes = raw
        .size
        .into_iter()
        .map(|raw| size_layout(raw, artwork))
        .collect::<Found<_>>()?;
    Ok(Template {
        name: name.to_owned(),
        sizes,
    })
}

fn size_layout(raw: Spanned<RawSize>, artwork: &Artwork) -> Found<SizeLayout> {
    let span = raw.span();
    let raw = raw.into_inner();
    let side = |key, value, least| {
        within(key, value, (least, MOST_MM))
            .map(length)
            .map_err(|fault| (span.clone(), fault))
    };
    let least = Size {
        width: side("width", raw.width, LEAST_MM)?,
        height: side("height", raw.height, LEAST_MM)?,
    };
    let most = Size {
        width: side("widest", raw.widest.unwrap_or(MOST_MM), raw.width)?,
        height: side("tallest", raw.tallest.unwrap_or(MOST_MM), raw.height)?,
    };
    let blocks = raw.text.into_iter().map(|raw| block(raw, least));
    let cautions = raw.cautions.into_iter().map(|raw| cautions(raw, least));
    Ok(SizeLayout {
        least,
        most,
        frames: all(raw.frame, |raw| frame(&raw, least))?,
        rules: all(raw.rule, |rule| place(&rule.at, least))?,
        codes: all(raw.qr, |raw| code(&raw, least))?,
        bars: all(raw.bars, |raw| bars(&raw, least))?,
        pictures: all(raw.picture, |raw| picture(&raw, least, artwork))?,
        blocks: blocks.chain(cautions).collect::<Found<_>>()?,
    })
}

fn all<Raw, Item>(raw: Vec<Raw>, read: impl Fn(Raw) -> Found<Item>) -> Found<Vec<Item>> {
    raw.into_iter().map(read).collect()
}

fn frame(raw: &RawFrame, least: Size) -> Found<Frame> {
    let stroke = millimetres("stroke", &raw.stroke.span(), *raw.stroke.get_ref())?;
    Ok(Frame {
        place: place(&raw.at, least)?,
        stroke,
    })
}

fn code(raw: &RawCode, least: Size) -> Found<CodePlace> {
    Ok(CodePlace {
        place: place(&raw.at, least)?,
        level: raw.level,
        align: raw.align,
        stand: raw.stand,
        need: need(raw.optional),
    })
}

fn bars(raw: &RawBars, least: Size) -> Found<BarsPlace> {
    let millimetres = |length: Length| length.micrometres() as f64 / 1000.0;
    let range = (millimetres(LEAST_MODULE), millimetres(MOST_MODULE));
    let module = raw.module.as_ref().map(|module| {
        within("module", *module.get_ref(), range)
            .map(length)
            .map_err(|fault| (module.span(), fault))
    });
    Ok(BarsPlace {
        place: place(&raw.at, least)?,
        module: module.transpose()?,
        align: raw.align,
        stand: raw.stand,
        need: need(raw.optional),
    })
}

fn picture(raw: &RawPicture, least: Size, artwork: &Artwork) -> Found<PicturePlace> {
    let found = artwork.find(raw.file.get_ref());
    Ok(PicturePlace {
        place: place(&raw.at, least)?,
        picture: found.map_err(|error| (raw.file.span(), error.into()))?,
        align: raw.align,
        stand: raw.stand,
    })
}

/// The product's cautions are a block of one line, which wraps as it must.
fn cautions(raw: RawCautions, least: Size) -> Found<Block> {
    let line = RawLine {
        text: Some(format!("{{{}}}", Field::Cautions)),
        size: Some(raw.size),
        smallest: raw.smallest,
        face: raw.face,
        weight: raw.weight,
        ink: raw.ink,
        leading: raw.leading,
        optional: raw.optional,
        bullet: !raw.run_in,
        run_in: raw.run_in,
        ..RawLine::default()
    };
    let span = raw.at.span();
    let block_of = RawBlock {
        at: raw.at,
        stand: raw.stand,
        gap: raw.gap,
        caption_width: 0.0,
        caption_size: None,
        lines: vec![Spanned::new(span, line)],
    };
    block(block_of, least)
}

fn block(raw: RawBlock, least: Size) -> Found<Block> {
    let span = raw.at.span();
    let caption_size = points(
        "caption_size",
        raw.caption_size.unwrap_or(CAPTION),
        MOST_POINTS,
    )
    .map_err(|fault| (span.clone(), fault))?;
    Ok(Block {
        place: place(&raw.at, least)?,
        caption_size,
        stand: raw.stand,
        gap: millimetres("gap", &span, raw.gap)?,
        caption_width: millimetres("caption_width", &span, raw.caption_width)?,
        rows: raw.lines.into_iter().map(row).collect::<Found<_>>()?,
    })
}

fn row(raw: Spanned<RawLine>) -> Found<Row> {
    let span = raw.span();
    let raw = raw.into_inner();
    let above = millimetres("above", &span, raw.above)?;
    match (raw.rule, &raw.text, raw.size) {
        (Some(rule), None, None) => Ok(Row::Rule {
            thickness: millimetres("rule", &span, rule)?,
            above,
        }),
        (None, Some(text), Some(size)) => words(&raw, text, size, above)
            .map(|words| Row::Words(Box::new(words)))
            .map_err(|fault| (span, fault)),
        (Some(_), _, _) | (None, None, _) | (None, _, None) => Err((span, Fault::Line)),
    }
}

fn words(raw: &RawLine, text: &str, size: f64, above: Length) -> Result<Words, Fault> {
    let leading = within("leading", raw.leading.unwrap_or(LEADING), (0.8, 3.0))? * 100.0;
    Ok(Words {
        pattern: Pattern::of(text)?,
        size: points("size", size, MOST_POINTS)?,
        smallest: points("smallest", raw.smallest.unwrap_or(size), size)?,
        family: match raw.face {
            RawFace::Next => Family::Next,
            RawFace::Condensed => Family::Condensed,
        },
        weight: match raw.weight {
            RawWeight::Regular => Weight::Regular,
            RawWeight::Bold => Weight::Bold,
        },
        ink: match raw.ink {
            RawInk::Black => Ink::Black,
            RawInk::White => Ink::White,
        },
        align: raw.align,
        max_lines: raw.max_lines.map(usize::from),
        above,
        leading: leading.round() as i64,
        need: need(raw.optional),
        caption: raw.caption.clone(),
        bullet: if raw.bullet {
            Bullet::Dot
        } else {
            Bullet::None
        },
        flow: if raw.run_in {
            Flow::RunIn
        } else {
            Flow::Paragraphs
        },
    })
}

fn need(optional: bool) -> Need {
    if optional {
        Need::IfThere
    } else {
        Need::Always
    }
}
