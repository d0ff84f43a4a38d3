//! The list in a published folder by which castlot knows its own pages: the digest of each, and the seal it carries.
//!
//! Promises to be what `sha256sum --check` reads. While a run goes on, what it is about to write is added at the end; so a
//! page may stand there more than once after a run that was cut off, and is known by any of them.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use sha2::{Digest, Sha256};

use crate::diary::Seal;
use crate::farm::EntryNumber;

/// The first line, which says what the file is.
pub const HEAD: &str = "# What castlot published here, as `sha256sum --check` reads it; castlot knows its own pages by it.\n";

/// What begins a line that says which seal the pages below it carry.
const SEAL: &str = "# seal ";

/// The state of a diary, as pages carry it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sealed {
    /// The last entry then; 0 where there was none.
    pub entry: EntryNumber,
    /// Its digest.
    pub seal: Seal,
}

/// The digest of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Sum([u8; 32]);

impl Sum {
    /// Works out the digest of bytes.
    pub fn of(bytes: &[u8]) -> Self {
        Self(Sha256::digest(bytes).into())
    }

    fn read(text: &str) -> Option<Self> {
        let is_hex = |b: u8| b.is_ascii_digit() || (b'a'..=b'f').contains(&b);
        if text.len() != 64 || !text.bytes().all(is_hex) {
            return None;
        }
        let mut sum = [0; 32];
        for (place, byte) in sum.iter_mut().enumerate() {
            *byte = u8::from_str_radix(&text[place * 2..place * 2 + 2], 16).ok()?;
        }
        Some(Self(sum))
    }
}

/// A page that castlot wrote.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Record {
    /// The digest of the file.
    pub sum: Sum,
    /// Which of the list's seals it carries.
    pub seal: usize,
}

/// Records of pages by path.
pub type Records = BTreeMap<String, Vec<Record>>;

/// A list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct List {
    /// The seals that pages carry.
    pub seals: Vec<Sealed>,
    /// The pages.
    pub pages: Records,
    /// How many bytes of the file were whole lines; what a cut left behind them says nothing.
    pub whole: usize,
}

/// The number of a line that castlot would not have written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StrangeLine(pub usize);

impl List {
    /// Reads a list; one that was cut off in its first line is empty.
    pub fn read(text: &str) -> Result<Self, StrangeLine> {
        let mut list = Self::default();
        if HEAD.starts_with(text) && text.len() < HEAD.len() {
            return Ok(list);
        }
        let lines = text.strip_prefix(HEAD).ok_or(StrangeLine(1))?;
        list.whole = HEAD.len();
        let mut seal = None;
        for (number, line) in (2..).zip(lines.split_inclusive('\n')) {
            let Some(said) = line.strip_suffix('\n') else {
                break;
            };
            list.line(said, &mut seal).ok_or(StrangeLine(number))?;
            list.whole += line.len();
        }
        Ok(list)
    }

    fn line(&mut self, line: &str, seal: &mut Option<usize>) -> Option<()> {
        if let Some(said) = line.strip_prefix(SEAL) {
            let (entry, digest) = said.split_once(' ')?;
            let sealed = Sealed {
                entry: entry.parse().ok()?,
                seal: digest.parse().ok()?,
            };
            *seal = Some(self.seal(sealed));
            return Some(());
        }
        let (sum, path) = line.split_once("  ")?;
        let (sum, seal) = (Sum::read(sum)?, (*seal)?);
        is_inside(path).then_some(())?;
        let known = self.pages.entry(path.to_owned()).or_default();
        known.push(Record { sum, seal });
        Some(())
    }

    /// Returns the place of a seal among the list's, where it is put if it is new.
    pub fn seal(&mut self, sealed: Sealed) -> usize {
        let there = self.seals.iter().position(|seal| *seal == sealed);
        there.unwrap_or_else(|| {
            self.seals.push(sealed);
            self.seals.len() - 1
        })
    }
}

/// Tells whether a path leads to a place in the folder, by names that castlot gives.
fn is_inside(path: &str) -> bool {
    let is_name = |part: &str| {
        let plain = |b: u8| b.is_ascii_alphanumeric() || b == b'-' || b == b'.';
        !part.starts_with('.') && !part.is_empty() && part.bytes().all(plain)
    };
    path.split('/').all(is_name)
}

/// Writes the lines of pages that carry one seal.
pub fn lines<'r>(sealed: Sealed, pages: impl Iterator<Item = (&'r str, Sum)>) -> String {
    let mut text = format!("{SEAL}{} {}\n", sealed.entry, sealed.seal);
    for (path, Sum(sum)) in pages {
        for byte in sum {
            write!(text, "{byte:02x}").expect("a string takes what is written");
        }
        text.push_str("  ");
        text.push_str(path);
        text.push('\n');
    }
    text
}

/// Writes a whole list.
pub fn whole(seals: &[Sealed], pages: &Records) -> String {
    let mut by_seal: Vec<Vec<(&str, Sum)>> = vec![Vec::new(); seals.len()];
    for (path, records) in pages {
        for record in records {
            by_seal[record.seal].push((path, record.sum));
        }
    }
    let mut parts: Vec<(&Sealed, Vec<(&str, Sum)>)> = seals.iter().zip(by_seal).collect();
    // The order in which a run met them is no matter, and the same pages are the same list.
    parts.sort_by_key(|(sealed, _)| (sealed.entry, sealed.seal.to_string()));
    let mut text = HEAD.to_owned();
    for (sealed, pages) in parts.into_iter().filter(|(_, pages)| !pages.is_empty()) {
        text.push_str(&lines(*sealed, pages.into_iter()));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sealed(entry: EntryNumber, digit: char) -> Sealed {
        let seal = digit.to_string().repeat(64).parse();
        Sealed {
            entry,
            seal: seal.expect("it is a seal"),
        }
    }

    fn list() -> (Vec<Sealed>, Records) {
        let one = |text: &str, seal| {
            vec![Record {
                sum: Sum::of(text.as_bytes()),
                seal,
            }]
        };
        let pages = [
            ("index.html".to_owned(), one("front", 1)),
            ("P26115-07-S/index.html".to_owned(), one("run", 0)),
        ];
        (vec![sealed(12, 'a'), sealed(14, 'b')], pages.into())
    }

    #[test]
    fn a_list_reads_back_as_it_was_written() {
        let (seals, pages) = list();
        let text = whole(&seals, &pages);
        let read = List::read(&text).expect("it was just written");
        assert_eq!((&read.seals, &read.pages), (&seals, &pages));
        assert_eq!(read.whole, text.len());
        assert_eq!(whole(&read.seals, &read.pages), text);
    }

    #[test]
    fn a_list_that_was_cut_off_anywhere_still_says_what_its_whole_lines_say() {
        let (seals, pages) = list();
        let text = whole(&seals, &pages);
        for cut in 0..text.len() {
            let read = List::read(&text[..cut]).expect("a cut is nothing strange");
            assert!(read.whole <= cut && read.pages.len() <= 1, "{cut}");
            let known = read.pages.iter().all(|(path, known)| pages[path] == *known);
            assert!(known, "{cut}");
        }
    }

    #[test]
    fn a_page_that_stands_there_twice_is_known_by_both() {
        let (seals, pages) = list();
        let again = lines(seals[1], [("index.html", Sum::of(b"newer"))].into_iter());
        let read = List::read(&(whole(&seals, &pages) + &again)).expect("it is a list");
        assert_eq!(read.pages["index.html"].len(), 2);
    }

    #[test]
    fn a_line_that_castlot_would_not_write_is_named() {
        let head = format!("{HEAD}# seal 12 {}\n", "a".repeat(64));
        let sum = "0".repeat(64);
        for (line, strange) in [
            (format!("{sum}  ../index.html"), true),
            (format!("{sum}  /etc/passwd"), true),
            (format!("{sum}  P1/.htaccess"), true),
            (format!("{sum}  P1//index.html"), true),
            (format!("{sum} index.html"), true),
            (format!("{}  index.html", "A".repeat(64)), true),
            ("# seal 12".to_owned(), true),
            (String::new(), true),
            (format!("{sum}  P1/index.html"), false),
        ] {
            let read = List::read(&format!("{head}{line}\n"));
            assert_eq!(read.err(), strange.then_some(StrangeLine(3)), "{line}");
        }
        assert_eq!(List::read("dear aunt\n").err(), Some(StrangeLine(1)));
        let bare = format!("{HEAD}{sum}  index.html\n");
        assert_eq!(List::read(&bare).err(), Some(StrangeLine(2)));
    }
}
