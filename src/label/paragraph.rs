//! Paragraphs, measured once and broken into lines at any size.
//!
//! Lines break at spaces only: a code or a telephone number is never broken.

use super::font::{Face, NoGlyph};
use super::length::{Length, TypeSize};

/// A paragraph's words with their widths in millionths of an em.
pub struct Paragraph<'a> {
    words: Vec<(&'a str, i64)>,
    space: i64,
}

impl<'a> Paragraph<'a> {
    /// Measures a paragraph.
    pub fn of(text: &'a str, face: Face) -> Result<Self, NoGlyph> {
        let measured = |word: &'a str| Ok((word, face.advance(word)?));
        let words = text.split(' ').filter(|word| !word.is_empty());
        Ok(Self {
            words: words.map(measured).collect::<Result<_, _>>()?,
            space: face.advance(" ")?,
        })
    }

    /// The lines it takes in a room so wide, or the first word that is wider than the room.
    pub fn lines(&self, size: TypeSize, room: Length) -> Result<Vec<String>, &'a str> {
        let mut lines: Vec<String> = Vec::new();
        let mut reach = 0;
        for &(word, width) in &self.words {
            let with_word = reach + self.space + width;
            match lines.last_mut() {
                Some(line) if size.scale(with_word) <= room => {
                    line.push(' ');
                    line.push_str(word);
                    reach = with_word;
                }
                Some(_) | None => {
                    if size.scale(width) > room {
                        return Err(word);
                    }
                    lines.push(word.to_owned());
                    reach = width;
                }
            }
        }
        Ok(lines)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const FACE: Face = Face::CondensedRegular;
    const SIZE: TypeSize = TypeSize::of_hundredths(800);

    #[test]
    fn a_code_is_not_broken_at_its_hyphens() {
        let text = "lot P26115-07-S of April";
        let paragraph = Paragraph::of(text, FACE).unwrap();
        let room = SIZE.scale(FACE.advance("P26115-07-S").unwrap());
        assert_eq!(
            paragraph.lines(SIZE, room).unwrap(),
            ["lot", "P26115-07-S", "of April"]
        );
        let tight = room - Length::of_micrometres(1);
        assert_eq!(paragraph.lines(SIZE, tight), Err("P26115-07-S"));
    }

    proptest! {
        #[test]
        fn no_line_is_wider_than_its_room_and_no_word_is_lost(
            text in "[a-z]{1,9}( [a-z]{1,9}){0,30}", room in 25..90_i64,
        ) {
            let room = Length::of_mm(room);
            let lines = Paragraph::of(&text, FACE).unwrap().lines(SIZE, room).unwrap();
            for line in &lines {
                prop_assert!(SIZE.scale(FACE.advance(line).unwrap()) <= room);
            }
            prop_assert_eq!(lines.join(" "), text);
        }
    }
}
