//! Paragraphs, measured once and broken into lines at any size.
//!
//! On labels lines break at spaces only: a code or a telephone number is never broken. Papers have
//! narrow columns and long names, and there a word that is wider than its room is broken too.

use super::font::{Face, NoGlyph};
use super::length::{Length, TypeSize};

/// Lines are made narrower by so many hundredths of their room at the most, to fill up a short last one.
const NARROWINGS: i64 = 40;
const NARROWEST: i64 = 100;

/// A paragraph's words with their widths in millionths of an em.
pub struct Paragraph<'a> {
    words: Vec<(&'a str, i64)>,
    space: i64,
    face: Face,
}

impl<'a> Paragraph<'a> {
    /// Measures a paragraph.
    pub fn of(text: &'a str, face: Face) -> Result<Self, NoGlyph> {
        let measured = |word: &'a str| Ok((word, face.advance(word)?));
        let words = text.split(' ').filter(|word| !word.is_empty());
        Ok(Self {
            words: words.map(measured).collect::<Result<_, _>>()?,
            space: face.advance(" ")?,
            face,
        })
    }

    /// The width of the widest word, and of all of them in one line.
    pub fn widths(&self, size: TypeSize) -> (Length, Length) {
        let widest = self.words.iter().map(|(_, width)| *width).max();
        let all: i64 = self.words.iter().map(|(_, width)| width + self.space).sum();
        let all = (all - self.space).max(0);
        (size.scale(widest.unwrap_or_default()), size.scale(all))
    }

    /// The lines it takes in a room so wide, with words broken that are wider than the room.
    pub fn broken(&self, size: TypeSize, room: Length) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        let mut reach = 0;
        for &(word, width) in &self.words {
            let with_word = reach + self.space + width;
            if let Some(line) = lines.last_mut()
                && size.scale(with_word) <= room
            {
                line.push(' ');
                line.push_str(word);
                reach = with_word;
                continue;
            }
            let mut rest = word;
            while !rest.is_empty() {
                let (piece, left) = rest.split_at(self.fits(rest, size, room));
                reach = self.width(piece);
                lines.push(piece.to_owned());
                rest = left;
            }
        }
        lines
    }

    /// How many bytes of a word fit: all, or up to the last mark in what fits, or at least one letter.
    fn fits(&self, word: &str, size: TypeSize, room: Length) -> usize {
        let ends = word.char_indices().map(|(at, c)| at + c.len_utf8());
        let fitting = ends
            .take_while(|end| size.scale(self.width(&word[..*end])) <= room)
            .last();
        let first = word.chars().next().map_or(0, char::len_utf8);
        let end = fitting.unwrap_or(first);
        if end == word.len() {
            return end;
        }
        let mark = word[..end].rfind(['-', '/', '@', '.', ',', '_']);
        mark.map_or(end, |at| at + 1)
    }

    fn width(&self, text: &str) -> i64 {
        self.face
            .advance(text)
            .expect("every letter was measured when the paragraph was")
    }

    /// The lines it takes in a room so wide, or the first word that is wider than the room.
    ///
    /// They are as few as can be. Where a last line of less than a third would be left over, the lines are made narrower
    /// until it is half as long as the room, or a third at least: a word on its own reads like a mistake.
    pub fn lines(&self, size: TypeSize, room: Length) -> Result<Vec<String>, &'a str> {
        let (widest, all) = self.widths(size);
        if all <= room || widest > room {
            return self.filled(size, room);
        }
        let short = room / 3;
        let (count, last) = self.counted(size, room);
        if last >= short {
            return self.filled(size, room);
        }
        let with_last = |least: Length| {
            let narrower = (1..NARROWINGS).map(|step| room - room * step / NARROWEST);
            narrower
                .take_while(|narrow| *narrow >= widest)
                .map(|narrow| (narrow, self.counted(size, narrow)))
                .take_while(|(_, (lines, _))| *lines == count)
                .find(|(_, (_, last))| *last >= least)
        };
        let better = with_last(room / 2).or_else(|| with_last(short));
        self.filled(size, better.map_or(room, |(narrow, _)| narrow))
    }

    /// How many lines there are where each is as full as can be, and how long the last one is. No word is wider than the room.
    fn counted(&self, size: TypeSize, room: Length) -> (usize, Length) {
        let (mut count, mut reach) = (0, 0);
        for &(_, width) in &self.words {
            let with_word = reach + self.space + width;
            if count > 0 && size.scale(with_word) <= room {
                reach = with_word;
            } else {
                (count, reach) = (count + 1, width);
            }
        }
        (count, size.scale(reach))
    }

    /// The lines, each as full as can be.
    fn filled(&self, size: TypeSize, room: Length) -> Result<Vec<String>, &'a str> {
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

    #[test]
    fn a_word_wider_than_its_room_is_broken_after_a_mark_or_where_the_room_ends() {
        let room = SIZE.scale(FACE.advance("orders@mar").unwrap());
        let broken = |text| Paragraph::of(text, FACE).unwrap().broken(SIZE, room);
        assert_eq!(broken("to orders@marl now"), ["to", "orders@", "marl now"]);
        let long = broken("Unternehmensgesellschaft");
        assert_eq!(long.concat(), "Unternehmensgesellschaft");
        assert!(long.len() > 1);
        assert_eq!(broken(""), [""; 0]);
    }

    #[test]
    fn the_last_line_is_not_left_with_one_short_word() {
        let text = "The Old Drying Shed, Quay Lane, Marlhythe";
        let paragraph = Paragraph::of(text, FACE).unwrap();
        let room = SIZE.scale(FACE.advance("The Old Drying Shed, Quay Lane,").unwrap());
        let lines = paragraph.lines(SIZE, room).unwrap();
        assert_eq!(lines, ["The Old Drying Shed,", "Quay Lane, Marlhythe"]);
        // Where nothing is gained by it, lines stay full.
        let text = "extraordinarilylongword, in";
        let paragraph = Paragraph::of(text, FACE).unwrap();
        let room = SIZE.scale(FACE.advance("extraordinarilylongword,").unwrap());
        let lines = paragraph.lines(SIZE, room).unwrap();
        assert_eq!(lines, ["extraordinarilylongword,", "in"]);
    }

    proptest! {
        #[test]
        fn broken_lines_fit_their_room_and_lose_no_letter(
            text in "[a-z./-]{1,60}( [a-z]{1,9}){0,12}", room in 5..60_i64,
        ) {
            let room = Length::of_mm(room);
            let lines = Paragraph::of(&text, FACE).unwrap().broken(SIZE, room);
            for line in &lines {
                prop_assert!(SIZE.scale(FACE.advance(line).unwrap()) <= room);
            }
            let bare = |text: &str| text.replace(' ', "");
            prop_assert_eq!(bare(&lines.concat()), bare(&text));
        }

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
