//! Sorts the words of a daily verb: which name beds, which say what is taken and how much, which say what packs.
//!
//! It only cuts and joins; whether a word is a right code or amount is for the sheets' reader to say.

use crate::farm::Measures;

use super::Unsaid;

/// A piece of what was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Piece {
    /// A word alone: a bed, or a lot of which no amount is said.
    Name(String),
    /// A lot and how much of it: `mix-17 300g`.
    Taken(String),
}

/// More bins than this in one range are a slip of the key.
const MOST: u32 = 500;

/// Cuts words into pieces: `A01 mix-17 300g` is a name and a taking, and so is `A01 mix-17:300g`.
pub fn pieces(words: &[String], measures: &Measures) -> Vec<Piece> {
    let parts = words.iter().flat_map(|word| word.split(';'));
    let parts: Vec<&str> = parts
        .map(str::trim)
        .filter(|part| !part.is_empty())
        .collect();
    let mut pieces = Vec::new();
    let mut at = 0;
    while at < parts.len() {
        let part = parts[at];
        let next = parts.get(at + 1).copied();
        at += 1;
        if is_taking(part) {
            pieces.push(Piece::Taken(part.to_owned()));
        } else if let Some(amount) = next.filter(|next| starts_amount(next)) {
            at += 1;
            let mut taken = format!("{part} {amount}");
            if let Some(unit) = parts.get(at).filter(|unit| is_unit(amount, unit, measures)) {
                at += 1;
                taken = format!("{taken} {unit}");
            }
            pieces.push(Piece::Taken(taken));
        } else {
            pieces.push(Piece::Name(part.to_owned()));
        }
    }
    pieces
}

/// Returns the takings of words that hold nothing else, as one cell of a sheet.
pub fn takings(words: &[String], measures: &Measures) -> Result<String, Unsaid> {
    let mut takings = Vec::new();
    for piece in pieces(words, measures) {
        match piece {
            Piece::Taken(taking) => takings.push(taking),
            Piece::Name(name) => return Err(no_amount(&name)),
        }
    }
    Ok(takings.join("; "))
}

/// Makes the error of a lot of which no amount is said.
pub fn no_amount(name: &str) -> Unsaid {
    let name = name.to_owned();
    Unsaid::NoAmount { name }
}

/// Spreads ranges of bins out: `A01..A03` is three names.
pub fn beds<'a>(names: impl IntoIterator<Item = &'a String>) -> Result<Vec<String>, Unsaid> {
    let mut beds = Vec::new();
    for name in names {
        match name.split_once("..") {
            Some((first, last)) if !name.contains("://") => beds.extend(range(name, first, last)?),
            _ => beds.push(name.clone()),
        }
    }
    Ok(beds)
}

fn range(typed: &str, first: &str, last: &str) -> Result<Vec<String>, Unsaid> {
    let wrong = || Unsaid::NoRange {
        typed: typed.to_owned(),
    };
    let (rack, low, width) = numbered(first.trim()).ok_or_else(wrong)?;
    // The end may leave the letters out: `A01..12`.
    let (other, high, _) = numbered(last.trim()).ok_or_else(wrong)?;
    if !(other.is_empty() || other.eq_ignore_ascii_case(rack)) || rack.is_empty() || high < low {
        return Err(wrong());
    }
    if high - low >= MOST {
        return Err(Unsaid::LongRange {
            typed: typed.to_owned(),
            most: MOST,
        });
    }
    Ok((low..=high)
        .map(|number| format!("{rack}{number:0width$}"))
        .collect())
}

/// Divides a bin's code into what stands before its number, the number, and how many digits it has.
fn numbered(code: &str) -> Option<(&str, u32, usize)> {
    let end = code.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    let (before, digits) = code.split_at(end);
    Some((before, digits.parse().ok()?, digits.len()))
}

/// Joins the words of packs into a cell of a sheet: `run-7 #1-12 run-8 x5` is `run-7 #1-12; run-8 x5`.
pub fn picks(words: &[String]) -> Result<String, Unsaid> {
    let mut picks: Vec<String> = Vec::new();
    let mut run: Option<(&str, bool)> = None;
    let parts = words.iter().flat_map(|word| word.split(';'));
    for part in parts.map(str::trim).filter(|part| !part.is_empty()) {
        match run {
            Some((name, _)) if is_which(part) => {
                picks.push(format!("{name} {part}"));
                run = Some((name, true));
            }
            Some((name, false)) => return Err(no_packs(name)),
            Some((_, true)) | None if is_which(part) || is_pick(part) => {
                picks.push(part.to_owned());
                run = None;
            }
            Some((_, true)) | None => run = Some((part, false)),
        }
    }
    match run {
        Some((name, false)) => Err(no_packs(name)),
        Some((_, true)) | None => Ok(picks.join("; ")),
    }
}

fn no_packs(run: &str) -> Unsaid {
    let run = run.to_owned();
    Unsaid::NoPacks { run }
}

/// Tells whether packs are named: whether any word says which.
pub fn has_picks(words: &[String]) -> bool {
    let parts = words.iter().flat_map(|word| word.split(';')).map(str::trim);
    let ends = parts.map(|part| part.rsplit(char::is_whitespace).next().unwrap_or(part));
    ends.into_iter()
        .any(|end| is_which(end) || (end.contains(['#', '/']) && !end.contains("://")))
}

/// Tells whether a word says which packs of the run before it.
fn is_which(part: &str) -> bool {
    let count = part.strip_prefix(['x', 'X']);
    part.starts_with('#')
        || part.eq_ignore_ascii_case("all")
        || count.is_some_and(|count| {
            !count.is_empty() && count.bytes().all(|byte| byte.is_ascii_digit())
        })
}

/// Tells whether a word names packs by itself.
fn is_pick(part: &str) -> bool {
    part.contains(['#', '/']) || part.contains(char::is_whitespace)
}

/// Tells whether a word is a lot and an amount in one.
fn is_taking(part: &str) -> bool {
    let divided = |(lot, amount): (&str, &str)| !lot.trim().is_empty() && starts_amount(amount);
    let spaced = part.split_once(char::is_whitespace).is_some_and(divided);
    let colon = part.rsplit_once(':').is_some_and(divided);
    // The last colon of an address stands before its port.
    let address = part
        .rsplit_once(':')
        .is_some_and(|(_, end)| end.contains('/'));
    spaced || (colon && !address)
}

/// Tells whether a word can only be an amount: no code begins like that.
pub fn starts_amount(part: &str) -> bool {
    part.trim_start()
        .starts_with(|c: char| c.is_ascii_digit() || matches!(c, '~' | '?' | '.'))
}

/// Tells whether a word is the unit of the number before it.
pub fn is_unit(amount: &str, word: &str, measures: &Measures) -> bool {
    let bare = amount.ends_with(|c: char| c.is_ascii_digit());
    let metric = ["g", "kg", "ml", "l"];
    bare && (metric.contains(&word.to_ascii_lowercase().as_str()) || measures.contains_key(word))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::{Measure, Quantity, Unit};

    fn words(text: &str) -> Vec<String> {
        text.split(' ').map(str::to_owned).collect()
    }

    fn measures() -> Measures {
        let scoop = Measure {
            quantity: Quantity::new(350, Unit::Grams),
            guess: true,
        };
        Measures::from([("scoop".to_owned(), scoop)])
    }

    fn shown(words: &[String]) -> Vec<String> {
        let pieces = pieces(words, &measures()).into_iter();
        pieces
            .map(|piece| match piece {
                Piece::Name(name) => name,
                Piece::Taken(taken) => format!("({taken})"),
            })
            .collect()
    }

    #[test]
    fn an_amount_belongs_to_the_word_before_it() {
        assert_eq!(
            shown(&words("A01..A12 A14 mix-17 300g")),
            ["A01..A12", "A14", "(mix-17 300g)"]
        );
        assert_eq!(
            shown(&words("A01 mix-17:300g straw-1 2 scoop worms-1 ?")),
            ["A01", "(mix-17:300g)", "(straw-1 2 scoop)", "(worms-1 ?)"]
        );
        assert_eq!(
            shown(&["A01".to_owned(), "straw-1 4kg; worms-1 ~500 g".to_owned()]),
            ["A01", "(straw-1 4kg)", "(worms-1 ~500 g)"]
        );
        assert_eq!(
            shown(&words("HTTP://192.168.1.20:8080/BIN/A07 mix-17 40")),
            ["HTTP://192.168.1.20:8080/BIN/A07", "(mix-17 40)"]
        );
    }

    #[test]
    fn a_range_of_bins_keeps_its_letters_and_zeros() {
        let spread = |text: &str| beds(&words(text));
        assert_eq!(
            spread("A09..A11 b1..3 B26032-01-X"),
            Ok(words("A09 A10 A11 b1 b2 b3 B26032-01-X"))
        );
        for wrong in [
            "A12..A01",
            "A01..B03",
            "A..C",
            "1..3",
            "A01..",
            "A1..A99999",
        ] {
            assert!(spread(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn packs_are_joined_to_their_run() {
        let joined = |text: &str| picks(&words(text));
        assert_eq!(
            joined("run-7 #1-12 #15 run-8/5 tub-3 x31 run-9 all").as_deref(),
            Ok("run-7 #1-12; run-7 #15; run-8/5; tub-3 x31; run-9 all")
        );
        assert_eq!(
            picks(&["run-7 #1-12; run-8 #5".to_owned()]).ok().as_deref(),
            Some("run-7 #1-12; run-8 #5")
        );
        assert!(joined("run-7").is_err());
        assert!(joined("run-7 run-8 all").is_err());
    }
}
