//! What a row of a round sheet says of one bed: read from single keys, and written as rows of the diary.

use crate::farm::{BinCode, Farm, LotId, Measures, Noun};
use crate::sheets::Row;
use crate::trade::{Give, Stop};

use super::Unsaid;
use super::rows::{maybe, put};
use super::words::{starts_amount, takings};

/// The keys, as they are told to whoever asks.
pub const KEYS: &str = "food left: n none, s some, l lots | squeeze: d dry, r drops, t stream | smell: e earth, o sour, \
    a ammonia | worms up the side: u yes, v no | fed: f, f 300, f mix-17 300g | skipped: k and why | \
    @R1/S1/P3 where it was found";

/// One bed's row of a sheet.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Answer {
    /// Each box that was circled: a column of checks, and its value.
    seen: Vec<(&'static str, String)>,
    /// What was fed.
    fed: Option<Fed>,
    /// Why it was not.
    skipped: Option<String>,
    /// Where its bin was found.
    place: Option<String>,
    note: Option<String>,
}

/// The bed that a row is of.
#[derive(Clone, Copy, Debug)]
pub struct OfBed {
    /// The bed.
    pub bed: LotId,
    /// The bin it is in, or was in last.
    pub bin: BinCode,
    /// What it would get.
    pub give: Give,
}

impl From<&Stop> for OfBed {
    fn from(stop: &Stop) -> Self {
        Self {
            bed: stop.bed,
            bin: stop.bin,
            give: stop.give,
        }
    }
}

/// What was fed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fed {
    /// What the sheet says.
    AsSaid,
    /// An amount, or a lot and an amount.
    Given(Vec<String>),
}

/// A key, the column it fills, and with what.
const BOXES: [(char, &str, &str); 11] = [
    ('n', "feed_left", "none"),
    ('s', "feed_left", "some"),
    ('l', "feed_left", "lots"),
    ('d', "squeeze", "dry"),
    ('r', "squeeze", "drops"),
    ('t', "squeeze", "stream"),
    ('e', "smell", "earth"),
    ('o', "smell", "sour"),
    ('a', "smell", "ammonia"),
    ('u', "worms", UP),
    ('v', "worms", DOWN),
];
const UP: &str = "up the side";
const DOWN: &str = "none up the side";

impl Answer {
    /// Reads a line of keys, such as `n d f` or `s k food left`.
    pub fn read(line: &str) -> Result<Self, Unsaid> {
        let mut answer = Self::default();
        let words: Vec<&str> = line.split_whitespace().collect();
        for (at, word) in words.iter().enumerate() {
            if let Some(place) = word.strip_prefix('@') {
                answer.place = Some(place.to_owned());
                continue;
            }
            for (key, c) in word.char_indices() {
                match (c.to_ascii_lowercase(), key + c.len_utf8() == word.len()) {
                    ('f', true) => {
                        let rest = &words[at + 1..];
                        answer.fed = Some(given(rest));
                        return Ok(answer);
                    }
                    ('k', true) => {
                        answer.skipped = Some(words[at + 1..].join(" "));
                        return match answer.skipped.as_deref() {
                            Some("") => Err(Unsaid::NoWhy),
                            Some(_) | None => Ok(answer),
                        };
                    }
                    (c, _) => answer.circle(c)?,
                }
            }
        }
        Ok(answer)
    }

    fn circle(&mut self, key: char) -> Result<(), Unsaid> {
        let Some((_, column, value)) = BOXES.iter().find(|(known, _, _)| *known == key) else {
            return Err(Unsaid::NoKey { key });
        };
        self.say(column, value)
    }

    /// Says what a box of the sheet says; one box a column.
    pub fn say(&mut self, column: &'static str, value: &str) -> Result<(), Unsaid> {
        let value = match (column, value.to_ascii_lowercase().as_str()) {
            ("worms", "yes") => UP,
            ("worms", "no") => DOWN,
            _ => value,
        };
        if self.seen.iter().any(|(known, _)| *known == column) {
            let what = column.replace('_', " ");
            return Err(Unsaid::Twice { what });
        }
        self.seen.push((column, value.to_owned()));
        Ok(())
    }

    /// Says what was fed: `yes`, an amount, or a lot and an amount.
    pub fn feed(&mut self, text: &str) {
        let words: Vec<&str> = text.split_whitespace().collect();
        self.fed = Some(match words.as_slice() {
            [yes] if yes.eq_ignore_ascii_case("yes") => Fed::AsSaid,
            words => given(words),
        });
    }

    /// Says why it was not fed.
    pub fn skip(&mut self, why: &str) {
        self.skipped = Some(why.to_owned());
    }

    /// Says where its bin was found.
    pub fn found_at(&mut self, place: &str) {
        self.place = Some(place.to_owned());
    }

    /// Adds a remark.
    pub fn remark(&mut self, note: &str) {
        self.note = Some(note.to_owned());
    }

    /// Tells whether nothing is said of the bed itself.
    pub fn is_blank(&self) -> bool {
        self.seen.is_empty() && self.fed.is_none() && self.skipped.is_none()
    }

    /// Returns it as rows of the diary. They name the bed by its own code, so that nothing is ever written for
    /// another bed that is in the bin by now; only a move is of the bin.
    pub fn rows(
        &self,
        farm: &Farm,
        of: OfBed,
        measures: &Measures,
        when: Option<&str>,
    ) -> Result<Vec<Row<'static>>, Unsaid> {
        let bed = farm.lot(of.bed).code.to_string();
        let mut rows = Vec::new();
        let row = |noun: Noun, name: &str| {
            let mut row = Row::new(noun);
            maybe(&mut row, "when", when);
            maybe(&mut row, "note", self.note.as_deref());
            put(&mut row, "bin", name);
            row
        };
        if let Some(place) = &self.place {
            let mut moved = row(Noun::Move, of.bin.as_str());
            put(&mut moved, "place", place.clone());
            rows.push(moved);
        }
        if !self.seen.is_empty() {
            let mut check = row(Noun::Check, &bed);
            for (column, value) in &self.seen {
                put(&mut check, column, value.clone());
            }
            rows.push(check);
        }
        if let Some(fed) = &self.fed {
            let mut feed = row(Noun::Feed, &bed);
            put(&mut feed, "takes", takes(farm, &of, fed, measures)?);
            rows.push(feed);
        }
        if let Some(why) = &self.skipped {
            if self.fed.is_some() {
                return Err(Unsaid::FedAndSkipped { bin: of.bin });
            }
            let mut skip = row(Noun::Skip, &bed);
            put(&mut skip, "why", why.clone());
            rows.push(skip);
        }
        Ok(rows)
    }
}

fn given(words: &[&str]) -> Fed {
    match words {
        [] => Fed::AsSaid,
        words => Fed::Given(words.iter().map(|word| (*word).to_owned()).collect()),
    }
}

fn takes(farm: &Farm, of: &OfBed, fed: &Fed, measures: &Measures) -> Result<String, Unsaid> {
    let lot = of.give.lot.map(|lot| farm.lot(lot).code.to_string());
    match fed {
        Fed::Given(words) => taking(words, lot.as_deref(), measures),
        Fed::AsSaid => {
            let given = of.give.taking(farm);
            given.ok_or(Unsaid::NothingToGive { bin: of.bin })
        }
    }
}

/// Writes what is fed as a cell of `takes`: an amount of the lot that is in use, or a lot and an amount. Here a number
/// alone is grams.
pub fn taking(words: &[String], lot: Option<&str>, measures: &Measures) -> Result<String, Unsaid> {
    let mut words = words.to_vec();
    if let Some(last) = words.last_mut()
        && last.bytes().all(|byte| byte.is_ascii_digit())
    {
        last.push('g');
    }
    match (words.first(), lot) {
        (Some(first), Some(lot)) if starts_amount(first) => {
            Ok(format!("{lot} {}", words.join(" ")))
        }
        (Some(first), None) if starts_amount(first) => Err(Unsaid::NoLot {
            amount: words.join(" "),
        }),
        (Some(_) | None, _) => takings(&words, measures),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(line: &str) -> Answer {
        Answer::read(line).unwrap_or_else(|unsaid| panic!("{line}: {unsaid:?}"))
    }

    #[test]
    fn keys_are_read_together_or_apart() {
        let apart = read("n d e u f mix-17 300");
        assert_eq!(apart, read("NDEU f mix-17 300"));
        assert_eq!(apart, read("nde uf mix-17 300"));
        let seen: Vec<_> = apart
            .seen
            .iter()
            .map(|(column, value)| format!("{column} {value}"))
            .collect();
        assert_eq!(
            seen,
            [
                "feed_left none",
                "squeeze dry",
                "smell earth",
                "worms up the side"
            ]
        );
        assert_eq!(
            apart.fed,
            Some(Fed::Given(vec!["mix-17".to_owned(), "300".to_owned()]))
        );
        assert_eq!(read("f").fed, Some(Fed::AsSaid));
        assert_eq!(read("s k food left").skipped.as_deref(), Some("food left"));
        assert_eq!(read("@R1/S1/P3 n").place.as_deref(), Some("R1/S1/P3"));
        assert!(read("").is_blank() && read("@R1/S1/P3").is_blank());
    }

    #[test]
    fn a_line_that_is_half_said_or_says_two_things_is_refused() {
        for wrong in ["k", "n s", "nl", "x", "n z", "fed", "é"] {
            assert!(Answer::read(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_number_alone_is_grams_of_what_is_in_use() {
        let words = |text: &str| text.split(' ').map(str::to_owned).collect::<Vec<_>>();
        let taken = |text: &str, lot: Option<&str>| taking(&words(text), lot, &Measures::new());
        assert_eq!(taken("300", Some("mix-1")), Ok("mix-1 300g".to_owned()));
        assert_eq!(
            taken("0.3 kg", Some("mix-1")),
            Ok("mix-1 0.3 kg".to_owned())
        );
        assert_eq!(
            taken("mix-2 300", Some("mix-1")),
            Ok("mix-2 300g".to_owned())
        );
        assert_eq!(taken("mix-2 2L", None), Ok("mix-2 2L".to_owned()));
        assert!(taken("300", None).is_err());
        assert!(taken("mix-2", Some("mix-1")).is_err());
    }
}
