//! A template's text: words, with fields in braces between them.

use std::fmt;

use super::field::{Content, Field, UnknownField};

/// Text with places for fields, such as `Lot {lot}`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pattern {
    parts: Vec<Part>,
}

#[derive(Clone, Debug, PartialEq, Eq)]
enum Part {
    Words(String),
    Field(Field),
}

/// Why a text is not a pattern.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum PatternError {
    /// The name in the braces is not a field's.
    #[error(transparent)]
    UnknownField(#[from] UnknownField),
    /// A brace has no partner.
    #[error("`{text}` has a brace without its partner")]
    LoneBrace {
        /// The text as written.
        text: String,
    },
    /// There is nothing to print.
    #[error("an empty text")]
    Empty,
}

impl Pattern {
    /// Reads a pattern as a template writes it.
    pub fn of(text: &str) -> Result<Self, PatternError> {
        let lone = || PatternError::LoneBrace {
            text: text.to_owned(),
        };
        let mut parts = Vec::new();
        let mut rest = text;
        while let Some((words, tail)) = rest.split_once('{') {
            let (name, tail) = tail.split_once('}').ok_or_else(lone)?;
            if words.contains('}') || name.contains('{') {
                return Err(lone());
            }
            if !words.is_empty() {
                parts.push(Part::Words(words.to_owned()));
            }
            parts.push(Part::Field(name.parse()?));
            rest = tail;
        }
        if rest.contains('}') {
            return Err(lone());
        }
        if !rest.is_empty() {
            parts.push(Part::Words(rest.to_owned()));
        }
        if parts.is_empty() {
            return Err(PatternError::Empty);
        }
        Ok(Self { parts })
    }

    /// The text with its fields filled in, or the first field that the content lacks. A field
    /// of nothing but spaces counts as lacking.
    pub fn fill(&self, content: &Content) -> Result<String, Field> {
        let mut text = String::new();
        for part in &self.parts {
            match part {
                Part::Words(words) => text.push_str(words),
                Part::Field(field) => match content.fields.get(field) {
                    Some(words) if !words.trim().is_empty() => text.push_str(words.trim()),
                    Some(_) | None => return Err(*field),
                },
            }
        }
        Ok(text)
    }

    /// Whether a character stands in the words between its fields.
    pub fn says(&self, character: char) -> bool {
        self.parts.iter().any(|part| match part {
            Part::Words(words) => words.contains(character),
            Part::Field(_) => false,
        })
    }

    /// The fields it has places for.
    pub fn fields(&self) -> impl Iterator<Item = Field> + '_ {
        self.parts.iter().filter_map(|part| match part {
            Part::Field(field) => Some(*field),
            Part::Words(_) => None,
        })
    }
}

impl fmt::Display for Pattern {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.parts.iter().try_for_each(|part| match part {
            Part::Words(words) => f.write_str(words),
            Part::Field(field) => write!(f, "{{{field}}}"),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_are_filled_in_between_words() {
        let pattern = Pattern::of("Lot {lot}, packed {packed}.").unwrap();
        let mut content = Content::default();
        content.fields.insert(Field::Lot, "P26115-07-S".into());
        assert_eq!(pattern.fill(&content), Err(Field::Packed));
        content.fields.insert(Field::Packed, " 2026-04-25 ".into());
        assert_eq!(
            pattern.fill(&content).unwrap(),
            "Lot P26115-07-S, packed 2026-04-25."
        );
        assert_eq!(pattern.to_string(), "Lot {lot}, packed {packed}.");
        assert_eq!(
            pattern.fields().collect::<Vec<_>>(),
            [Field::Lot, Field::Packed]
        );
    }

    #[test]
    fn a_blank_field_is_a_missing_one() {
        let mut content = Content::default();
        content.fields.insert(Field::Lot, "  ".into());
        assert_eq!(
            Pattern::of("{lot}").unwrap().fill(&content),
            Err(Field::Lot)
        );
    }

    #[test]
    fn braces_come_in_pairs_around_a_known_name() {
        for text in ["{lot", "lot}", "a}{lot}", "{{lot}"] {
            let lone = PatternError::LoneBrace {
                text: text.to_owned(),
            };
            assert_eq!(Pattern::of(text), Err(lone), "{text}");
        }
        assert!(matches!(
            Pattern::of("{weight}"),
            Err(PatternError::UnknownField(_))
        ));
        assert_eq!(Pattern::of(""), Err(PatternError::Empty));
    }
}
