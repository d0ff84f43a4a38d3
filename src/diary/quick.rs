//! The quick way to read the commonest line of all: a feed, in grams, as `wire` writes it.
//!
//! Most of a diary is feeds, and every start of the program reads all of it; this takes a fifth of the time.
//! Promises to read exactly what the general way reads, and to leave to that whatever is not quite so written:
//! it has no errors of its own. `verify` never comes here.

use super::values::when;
use super::wire::VERSION_KEY;
use super::words::{Reader, WordRef};
use crate::farm::{Amount, BedName, Draw, Entry, Event, Meant, Quantity, Unit, Word};

/// What is left of a line.
struct Rest<'a>(&'a str);

impl<'a> Rest<'a> {
    /// Goes past a text that must stand here.
    fn past(&mut self, text: &str) -> Option<()> {
        self.0 = self.0.strip_prefix(text)?;
        Some(())
    }

    /// Goes past a text that may stand here, and tells whether it did.
    fn passed(&mut self, text: &str) -> bool {
        self.past(text).is_some()
    }

    /// Returns what stands before the next quote, and goes past that; only plain characters, none escaped.
    fn text(&mut self) -> Option<&'a str> {
        let ends = |b: u8| b == b'"' || b == b'\\' || !b.is_ascii_graphic();
        let end = self.0.bytes().position(ends)?;
        let text = &self.0[..end];
        self.0 = self.0[end..].strip_prefix('"')?;
        Some(text)
    }

    /// Returns the 64 characters of a digest, and goes past them.
    fn sha256(&mut self) -> Option<&'a str> {
        let (sha256, rest) = self.0.split_at_checked(64)?;
        self.0 = rest;
        // Without an early end, so that many characters are looked at together.
        let plain = |b: u8| b.is_ascii_digit() | b.is_ascii_lowercase();
        let sound = sha256.bytes().fold(true, |sound, b| sound & plain(b));
        sound.then_some(sha256)
    }

    /// Returns a whole number, and goes past it.
    fn number(&mut self) -> Option<u64> {
        let digits = self.0.bytes().take_while(u8::is_ascii_digit).count();
        let (number, rest) = self.0.split_at(digits);
        self.0 = rest;
        // JSON has no zeros before a number; what is longer than this is for the general way.
        let plain = (1..=15).contains(&digits) && (digits == 1 || !number.starts_with('0'));
        plain.then(|| {
            number
                .bytes()
                .fold(0, |sum, b| sum * 10 + u64::from(b - b'0'))
        })
    }

    /// Returns the word under a key that may stand here.
    fn word(&mut self, key: &str, words: &mut Reader<'_>) -> Option<Option<Word>> {
        if !self.passed(key) {
            return Some(None);
        }
        self.past(r#"{"sha256":""#)?;
        let sha256 = self.sha256()?;
        self.past(r#"","word":"#)?;
        let named = WordRef::read(sha256, self.number()?)?;
        self.past("}")?;
        words.word(named).ok().map(Some)
    }

    fn draw(&mut self) -> Option<Draw<Meant>> {
        self.past(r#"{"amount":{"g":"#)?;
        let grams = Quantity::new(self.number()?, Unit::Grams);
        let guess = self.passed(r#","guess":true"#);
        self.past(r#"},"lot":""#)?;
        let lot = self.text()?.parse().ok()?;
        self.past("}")?;
        Some(Draw {
            lot,
            packs: None,
            amount: if guess {
                Amount::Guess(grams)
            } else {
                Amount::Weighed(grams)
            },
        })
    }
}

/// Returns the entry of a feed's line, where it is as plain as most are.
pub(super) fn feed(line: &str, words: &mut Reader<'_>) -> Option<Entry> {
    let mut rest = Rest(line);
    rest.past(r#"{"bed":""#)?;
    let bed = rest.text()?.parse().ok()?;
    let bed = if rest.passed(r#","bin":""#) {
        let bin = rest.text()?.parse().ok()?;
        BedName::Found { bin, bed }
    } else {
        BedName::Bed(bed)
    };
    let by = rest.word(r#","by":"#, words)?;
    rest.past(r#","kind":"feed","n":"#)?;
    let number = rest.number()?;
    let note = rest.word(r#","note":"#, words)?;
    rest.past(r#","takes":["#)?;
    let mut takes = Vec::with_capacity(1);
    takes.push(rest.draw()?);
    while rest.passed(",") {
        takes.push(rest.draw()?);
    }
    rest.past("]")?;
    rest.past(VERSION_KEY)?;
    rest.past(r#","when":""#)?;
    let when = when(rest.text()?.as_bytes())?;
    rest.past(r#","written":""#)?;
    let written = words.instant(rest.text()?)?;
    if rest.passed(r#","zone":""#) {
        rest.text()?;
    }
    let whole = rest.0 == "}" && number == u64::from(words.entry);
    whole.then_some(Entry {
        number: words.entry,
        when,
        written,
        by,
        note,
        strikes: None,
        event: Some(Event::Feed { bed, takes }),
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::pinned::written;
    use super::super::pinned_entries::entries;
    use super::super::wire;
    use super::super::words::Words;
    use super::*;
    use crate::farm::{EntryNumber, LotLetter, Moment};

    fn quick(line: &str, number: EntryNumber, words: &Words) -> Option<Entry> {
        let mut reader = Reader::new(words);
        reader.entry = number;
        feed(line, &mut reader)
    }

    fn general(line: &str, number: EntryNumber, words: &Words) -> Option<Entry> {
        let mut reader = Reader::new(words);
        reader.entry = number;
        wire::read_general(line, &mut reader, None).ok()
    }

    fn codes() -> impl Strategy<Value = crate::farm::LotCode> {
        (0..4_usize, 1..=366_u16, 1..5000_u32).prop_filter_map("no such code", |(kind, day, n)| {
            crate::farm::LotCode::from_parts(LotLetter::ALL[kind], 26, day, n)
        })
    }

    fn draws() -> impl Strategy<Value = Draw<Meant>> {
        (codes(), 1..1_000_000_u64, any::<bool>()).prop_map(|(lot, grams, guess)| {
            let grams = Quantity::new(grams, Unit::Grams);
            let amount = match guess {
                true => Amount::Guess(grams),
                false => Amount::Weighed(grams),
            };
            Draw {
                lot,
                packs: None,
                amount,
            }
        })
    }

    fn feeds() -> impl Strategy<Value = Entry> {
        let day = jiff::civil::date(2026, 3, 2);
        let when = prop::option::of((0..24_i8, 0..60_i8)).prop_map(move |time| match time {
            None => Moment::day_only(day),
            Some((hour, minute)) => Moment::minute_of(day.at(hour, minute, 0, 0)),
        });
        let bin = prop::option::of("[A-Z][0-9]{1,3}");
        let word = || prop::option::of("[a-z \"é]{1,9}x").prop_map(|w| Word::of(&w?));
        let takes = prop::collection::vec(draws(), 1..4);
        (
            codes(),
            bin,
            word(),
            word(),
            when,
            takes,
            0..4_000_000_000_i64,
        )
            .prop_map(|(bed, bin, by, note, when, takes, at)| Entry {
                number: 1,
                when,
                written: jiff::Timestamp::from_second(at).unwrap(),
                by,
                note,
                strikes: None,
                event: Some(Event::Feed {
                    bed: match bin {
                        None => BedName::Bed(bed),
                        Some(bin) => BedName::Found {
                            bin: bin.parse().unwrap(),
                            bed,
                        },
                    },
                    takes,
                }),
            })
    }

    proptest! {
        #[test]
        fn a_feed_in_grams_is_read_as_the_general_way_reads_it(entry in feeds()) {
            let (lines, words) = written(std::slice::from_ref(&entry));
            prop_assert_eq!(quick(&lines[0], 1, &words), Some(entry.clone()));
            prop_assert_eq!(general(&lines[0], 1, &words), Some(entry));
        }

        /// Whatever is done to a line: what the quick way reads, the general way reads as the same.
        #[test]
        fn it_never_reads_what_the_general_way_does_not(
            entry in feeds(),
            place in any::<prop::sample::Index>(),
            cut in 0..3_usize,
            put in "[ -~\t\n]{0,2}",
        ) {
            let (lines, words) = written(&[entry]);
            let at = place.index(lines[0].len());
            let mut line = lines[0].clone();
            line.replace_range(at..(at + cut).min(lines[0].len()), &put);
            if let Some(entry) = quick(&line, 1, &words) {
                prop_assert_eq!(general(&line, 1, &words), Some(entry), "{}", line);
            }
        }
    }

    #[test]
    fn it_leaves_every_other_kind_of_line_alone() {
        let (lines, words) = written(&entries());
        for (number, line) in (1..).zip(&lines) {
            assert_eq!(quick(line, number, &words), None, "{line}");
        }
    }
}
