//! Half a code, as it was typed, read out or heard over the telephone.

use crate::farm::{Lot, Serial};

/// A piece of a lot's code or mark.
#[derive(Clone, Debug, PartialEq)]
pub struct HalfCode {
    /// As it stands in codes: capitals, digits and hyphens.
    text: String,
    /// Without the hyphens.
    bare: String,
    /// As it would stand in a mark.
    mark: String,
    /// The serial of a pack, where one follows a slash or `#`.
    pub serial: Option<Serial>,
}

/// A slip is looked for in pieces of at least so many characters; shorter ones are near to everything.
const SHORTEST_WITH_SLIP: usize = 4;

impl HalfCode {
    /// Reads a piece of a code; `None` where there is nothing of one.
    pub fn read(typed: &str) -> Option<Self> {
        let spoken = spelled(typed);
        let (code, serial) = match spoken.split_once(['/', '#']) {
            Some((code, serial)) => (
                code,
                Serial::read(serial.trim_matches(['#', ' ', '-'])).ok(),
            ),
            None => (spoken.as_str(), None),
        };
        let text: String = as_digits(code)
            .chars()
            .filter(|c| c.is_ascii_alphanumeric() || *c == '-')
            .collect();
        let text = text.trim_matches('-').to_owned();
        let bare: String = text.chars().filter(|c| *c != '-').collect();
        let mark = typed.split(['/', '#']).next().unwrap_or_default();
        (!bare.is_empty()).then(|| Self {
            text,
            bare,
            mark: mark.trim().to_lowercase(),
            serial,
        })
    }

    /// Tells whether it is so short that a slip in it says nothing without a place or a time beside it.
    pub fn is_short(&self) -> bool {
        self.bare.len() <= SHORTEST_WITH_SLIP
    }

    /// Tells whether it has a digit, as every code has: words without one are a remark.
    pub fn has_a_digit(&self) -> bool {
        self.bare.bytes().any(|byte| byte.is_ascii_digit())
    }

    /// Returns how well it fits a lot, and why; `None` where it does not.
    pub fn fits(&self, lot: &Lot) -> Option<(u32, String)> {
        let code = as_digits(&lot.code.to_string());
        let bare: String = code.chars().filter(|c| *c != '-').collect();
        if let Some(mark) = lot.mark.as_ref().filter(|mark| mark.as_str() == self.mark) {
            return Some((4, format!("its ref is {mark}")));
        }
        if code.contains(&self.text) || self.is_day_and_number(lot) {
            return Some((3, format!("its code has {} in it", self.text)));
        }
        if bare.contains(&self.bare) {
            return Some((2, format!("its code has {} in it", self.bare)));
        }
        if self.mark.len() > 1
            && let Some(mark) = lot
                .mark
                .as_ref()
                .filter(|m| m.as_str().contains(&self.mark))
        {
            return Some((2, format!("its ref is {mark}")));
        }
        let near = self.bare.len() >= SHORTEST_WITH_SLIP && has_with_slip(&bare, &self.bare);
        near.then(|| {
            (
                1,
                format!("its code has {} in it but for one slip", self.text),
            )
        })
    }

    /// Tells whether it is the end of a day and a whole running number, zeros left out: `15-2` in `P26115-02-S`.
    fn is_day_and_number(&self, lot: &Lot) -> bool {
        let mut parts = self.text.split('-');
        let (Some(day), Some(number), None) = (parts.next(), parts.next(), parts.next()) else {
            return false;
        };
        let (year, of_year) = lot.code.year_and_day();
        let head = format!("{}{year:02}{of_year:03}", lot.code.letter().letter());
        number.parse() == Ok(lot.code.number()) && !day.is_empty() && head.ends_with(day)
    }
}

/// Replaces the letters that are taken for digits; no code has them.
fn as_digits(text: &str) -> String {
    let digit = |c: char| match c.to_ascii_uppercase() {
        'O' => '0',
        'I' => '1',
        c => c,
    };
    text.chars().map(digit).collect()
}

/// Tells whether a piece stands in a text with one character wrong, missing, or too many.
fn has_with_slip(text: &str, piece: &str) -> bool {
    let (text, piece) = (text.as_bytes(), piece.as_bytes());
    let windows = |length: usize| text.windows(length.clamp(1, text.len()));
    let one_wrong = |window: &[u8]| {
        window.len() == piece.len() && window.iter().zip(piece).filter(|(a, b)| a != b).count() == 1
    };
    let one_more = |long: &[u8], short: &[u8]| {
        long.len() == short.len() + 1
            && (0..long.len()).any(|i| long[..i] == short[..i] && long[i + 1..] == short[i..])
    };
    let (less, more) = (piece.len().saturating_sub(1), piece.len() + 1);
    windows(piece.len()).any(one_wrong)
        || windows(more).any(|window| one_more(window, piece))
        || windows(less).any(|window| one_more(piece, window))
}

/// Writes words said for digits, letters and hyphens as what they stand for; everything else as it is.
fn spelled(typed: &str) -> String {
    let lower = typed.to_lowercase();
    let words: Vec<&str> = lower.split_whitespace().collect();
    let mut text = String::new();
    let mut i = 0;
    while i < words.len() {
        let word = words[i].trim_matches([',', '.']);
        let next = words.get(i + 1).and_then(|next| unit(next));
        if let Some(tens) = tens(word) {
            match next.filter(|unit| (1..10).contains(unit)) {
                Some(unit) => {
                    text += &(tens + unit).to_string();
                    i += 1;
                }
                None => text += &tens.to_string(),
            }
        } else if let (true, Some(unit)) = (matches!(word, "double" | "treble" | "triple"), next) {
            let times = if word == "double" { 2 } else { 3 };
            text += &unit.to_string().repeat(times);
            i += 1;
        } else if word == "hundred" {
            // "one hundred and fifteen" and "two hundred": the digits that follow say it, or two zeros.
            let rest = words
                .get(i + 1)
                .filter(|next| **next != "and")
                .or(words.get(i + 2));
            match rest.map(|rest| (tens_or_more(rest), unit(rest))) {
                Some((true, _)) => {}
                Some((false, Some(_))) => text.push('0'),
                Some((false, None)) | None => text += "00",
            }
        } else if let Some(unit) = unit(word) {
            text += &unit.to_string();
        } else if let Some(sign) = sign(word) {
            text.push(sign);
        } else if word != "and" {
            text += word;
        }
        i += 1;
    }
    text
}

fn tens_or_more(word: &str) -> bool {
    tens(word).is_some() || unit(word).is_some_and(|unit| unit >= 10)
}

fn unit(word: &str) -> Option<u32> {
    const WORDS: [&str; 20] = [
        "zero",
        "one",
        "two",
        "three",
        "four",
        "five",
        "six",
        "seven",
        "eight",
        "nine",
        "ten",
        "eleven",
        "twelve",
        "thirteen",
        "fourteen",
        "fifteen",
        "sixteen",
        "seventeen",
        "eighteen",
        "nineteen",
    ];
    if matches!(word, "oh" | "o" | "nought" | "naught" | "nil") {
        return Some(0);
    }
    WORDS
        .iter()
        .zip(0..)
        .find(|(w, _)| **w == word)
        .map(|(_, n)| n)
}

fn tens(word: &str) -> Option<u32> {
    const WORDS: [&str; 8] = [
        "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety",
    ];
    WORDS
        .iter()
        .zip(2..)
        .find(|(w, _)| **w == word)
        .map(|(_, n)| n * 10)
}

/// Returns the sign or letter that a word is said for: the spelling alphabet of ITU and NATO, and the plain names
/// of the four kinds' letters.
fn sign(word: &str) -> Option<char> {
    const ALPHABET: [&str; 26] = [
        "alfa", "bravo", "charlie", "delta", "echo", "foxtrot", "golf", "hotel", "india",
        "juliett", "kilo", "lima", "mike", "november", "oscar", "papa", "quebec", "romeo",
        "sierra", "tango", "uniform", "victor", "whiskey", "xray", "yankee", "zulu",
    ];
    match word {
        "dash" | "hyphen" | "minus" => return Some('-'),
        "slash" | "stroke" => return Some('/'),
        "hash" | "number" => return Some('#'),
        "alpha" => return Some('A'),
        "bee" => return Some('B'),
        "gee" => return Some('G'),
        "aitch" | "haitch" => return Some('H'),
        "pee" => return Some('P'),
        _ => {}
    }
    let said = ALPHABET.iter().find(|said| **said == word)?;
    said.chars().next().map(|c| c.to_ascii_uppercase())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_said_over_the_telephone_become_what_they_stand_for() {
        for (said, meant) in [
            ("fifteen dash oh two", "15-02"),
            ("15-02", "15-02"),
            (
                "papa twenty six one hundred and fifteen dash oh seven dash sierra",
                "P26115-07-S",
            ),
            ("one one five", "115"),
            ("double oh seven", "007"),
            ("two hundred", "200"),
            ("two hundred and four", "204"),
        ] {
            assert_eq!(spelled(said).to_uppercase(), meant, "{said}");
        }
    }

    #[test]
    fn a_serial_after_a_slash_is_kept_apart() {
        let half = HalfCode::read("15-07-S stroke twelve").expect("a piece of a code");
        assert_eq!(half.text, "15-07-S");
        assert_eq!(half.serial, Serial::new(12));
        assert_eq!(HalfCode::read(" - "), None);
    }

    #[test]
    fn one_slip_is_forgiven_and_two_are_not() {
        assert!(has_with_slip("P2611507S", "1517"));
        assert!(has_with_slip("P2611507S", "11607"));
        assert!(has_with_slip("P2611507S", "1507X"), "a character too many");
        assert!(!has_with_slip("P2611507S", "99507X"));
    }
}
