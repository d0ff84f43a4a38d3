//! What can be wrong with one label, told with the label's name.

use super::bars::BarsMisfit;
use super::field::Field;
use super::font::NoGlyph;
use super::length::{Length, Size};
use super::qr::TooLong;

/// Why a label cannot be laid out.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Problem {
    /// The template has no layout for a label of this size.
    #[error(
        "label `{label}`: template `{template}` is for labels of {}; this is {cell}",
        sizes(suits)
    )]
    NoLayout {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The smallest and the largest cells of its layouts.
        suits: Vec<(Size, Size)>,
        /// The cell.
        cell: Size,
    },
    /// A field that the template needs is not there.
    #[error("label `{label}`: template `{template}` needs `{field}`, which is missing")]
    Missing {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The field.
        field: Field,
    },
    /// A text does not fit its room.
    #[error("label `{label}`: {} does not fit on `{template}` at {cell}: `{}`", said(*field), one_line(text))]
    Overflow {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The cell.
        cell: Size,
        /// The field the text is from, unless it is the template's own.
        field: Option<Field>,
        /// The whole text.
        text: String,
    },
    /// A text has a character that cannot be printed.
    #[error("label `{label}`: {}: {missing}", said(*field))]
    NoGlyph {
        /// The label.
        label: String,
        /// The field the text is from, unless it is the template's own.
        field: Option<Field>,
        /// The character.
        missing: NoGlyph,
    },
    /// The template has a QR code and the label has nothing to put in it.
    #[error("label `{label}`: template `{template}` needs a QR code, and there is no text for it")]
    NoCode {
        /// The label.
        label: String,
        /// The template.
        template: String,
    },
    /// The text for the QR code is longer than any code.
    #[error("label `{label}`: QR code: {too_long}")]
    CodeTooLong {
        /// The label.
        label: String,
        /// How long it is.
        too_long: TooLong,
    },
    /// The QR code's modules would be too fine to print.
    #[error(
        "label `{label}`: a QR code of {modules} modules for `{}` needs {least} on `{template}` \
         at {cell}, and has {room}",
        one_line(text)
    )]
    CodeTooFine {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The cell.
        cell: Size,
        /// Modules on a side.
        modules: u16,
        /// What it holds.
        text: String,
        /// The room it needs, quiet zone included.
        least: Length,
        /// The room it has.
        room: Length,
    },
    /// Something stands in the quiet zone of the QR code.
    #[error(
        "label `{label}`: on `{template}` at {cell} something stands in the QR code's quiet zone"
    )]
    Crowded {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The cell.
        cell: Size,
    },
    /// The bar code cannot be set.
    #[error("label `{label}`: bar code on `{template}` at {cell}: {why}")]
    Bars {
        /// The label.
        label: String,
        /// The template.
        template: String,
        /// The cell.
        cell: Size,
        /// Why not.
        why: BarsMisfit,
    },
}

impl Problem {
    /// Returns its name, which never changes.
    pub fn key(&self) -> &'static str {
        match self {
            Self::NoLayout { .. } => "no-layout",
            Self::Missing { .. } => "missing-field",
            Self::Overflow { .. } => "overflow",
            Self::NoGlyph { .. } => "no-glyph",
            Self::NoCode { .. } => "no-code",
            Self::CodeTooLong { .. } => "long-code",
            Self::CodeTooFine { .. } => "fine-code",
            Self::Crowded { .. } => "quiet-zone",
            Self::Bars { .. } => "bar-code",
        }
    }

    /// The label it is about.
    pub fn label(&self) -> &str {
        match self {
            Self::NoLayout { label, .. }
            | Self::Missing { label, .. }
            | Self::Overflow { label, .. }
            | Self::NoGlyph { label, .. }
            | Self::NoCode { label, .. }
            | Self::CodeTooLong { label, .. }
            | Self::CodeTooFine { label, .. }
            | Self::Crowded { label, .. }
            | Self::Bars { label, .. } => label,
        }
    }

    /// The same, of another label.
    #[must_use]
    pub fn of_label(mut self, name: String) -> Self {
        match &mut self {
            Self::NoLayout { label, .. }
            | Self::Missing { label, .. }
            | Self::Overflow { label, .. }
            | Self::NoGlyph { label, .. }
            | Self::NoCode { label, .. }
            | Self::CodeTooLong { label, .. }
            | Self::CodeTooFine { label, .. }
            | Self::Crowded { label, .. }
            | Self::Bars { label, .. } => *label = name,
        }
        self
    }
}

fn said(field: Option<Field>) -> String {
    field.map_or("the template's own text".to_owned(), |field| {
        format!("`{field}`")
    })
}

fn one_line(text: &str) -> String {
    text.lines().collect::<Vec<_>>().join(" / ")
}

fn sizes(suits: &[(Size, Size)]) -> String {
    let sizes: Vec<_> = suits
        .iter()
        .map(|(least, most)| format!("{least} to {most}"))
        .collect();
    sizes.join(", or ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::label::look::{runs, sheet_of};
    use crate::label::sample::content;
    use crate::label::{Layout, Template, lay_out};

    #[test]
    fn a_text_that_does_not_fit_is_named_with_label_field_and_text() {
        let mut words = content("bag-front");
        let long =
            "Worm-worked compost from the bedding of forty patient horses and one mule".repeat(2);
        words.fields.insert(Field::Product, long.clone());
        words.fields.remove(&Field::Packed);
        let template = Template::built_in("bag-front").unwrap();
        let problems = lay_out(&template, &words, sheet_of("99x67").cell()).unwrap_err();
        let said: Vec<_> = problems.iter().map(Problem::to_string).collect();
        assert_eq!(
            said,
            [
                format!(
                    "label `P26115-07-S/0012`: `product` does not fit on `bag-front` at 99.1 × 67.7 \
                     mm: `{long}`"
                ),
                "label `P26115-07-S/0012`: template `bag-front` needs `packed`, which is missing"
                    .to_owned(),
            ]
        );
    }

    #[test]
    fn an_optional_line_without_words_is_left_out() {
        let template = Template::built_in("delivery").unwrap();
        let mut words = content("delivery");
        let with = lay_out(&template, &words, sheet_of("99x93").cell()).unwrap();
        words.fields.remove(&Field::Wormer);
        let without = lay_out(&template, &words, sheet_of("99x93").cell()).unwrap();
        let captions = |layout: &Layout| runs(layout).filter(|run| run.text == "Wormer").count();
        assert_eq!((captions(&with), captions(&without)), (1, 0));
    }

    #[test]
    fn a_code_too_fine_to_print_is_refused() {
        let template = Template::built_in("bin").unwrap();
        let mut words = content("bin");
        words.qr = Some("x".repeat(300));
        let problems = lay_out(&template, &words, sheet_of("63x33").cell()).unwrap_err();
        assert!(
            matches!(problems[..], [Problem::CodeTooFine { .. }]),
            "{problems:?}"
        );
        words.qr = Some("x".repeat(3000));
        let problems = lay_out(&template, &words, sheet_of("63x33").cell()).unwrap_err();
        assert!(
            matches!(problems[..], [Problem::CodeTooLong { .. }]),
            "{problems:?}"
        );
        words.qr = None;
        let problems = lay_out(&template, &words, sheet_of("63x33").cell()).unwrap_err();
        assert!(
            matches!(problems[..], [Problem::NoCode { .. }]),
            "{problems:?}"
        );
    }

    #[test]
    fn a_character_that_no_font_has_is_named() {
        let template = Template::built_in("bin").unwrap();
        let mut words = content("bin");
        words.fields.insert(Field::Place, "R1 🪱".into());
        let problems = lay_out(&template, &words, sheet_of("63x33").cell()).unwrap_err();
        let said = "label `A07`: `place`: no font has the character `🪱` (U+1FAB1)";
        assert_eq!(problems[0].to_string(), said);
    }

    #[test]
    fn every_character_that_no_font_has_is_named_with_whose_it_is() {
        let text = "[[size]]\nwidth = 57\nheight = 32\n[[size.text]]\nat = { left = 3, right = 3, top = 3, height = 26 }\n\
                    lines = [{ text = 'Worms ★★ {product}', size = 9 }]\n";
        let template = Template::parse("tub", "tub.toml", text, &Default::default()).unwrap();
        let mut words = content("tub");
        words.fields.insert(Field::Product, "Würmer 文文 🪱".into());
        let problems = lay_out(&template, &words, sheet_of("57x32").cell()).unwrap_err();
        let said: Vec<_> = problems.iter().map(Problem::to_string).collect();
        assert_eq!(
            said,
            [
                "label `P26115-07-S/0012`: the template's own text: no font has the character `★` (U+2605)",
                "label `P26115-07-S/0012`: `product`: no font has the character `文` (U+6587)",
                "label `P26115-07-S/0012`: `product`: no font has the character `🪱` (U+1FAB1)",
            ]
        );
    }
}
