//! Lists of names, with a row of numbers said in one: `A01 to A12, B03`.

use std::collections::HashSet;

/// Names in their order, each once: a pack's front and back have the same.
#[derive(Default)]
pub struct Names {
    all: Vec<String>,
    known: HashSet<String>,
}

impl Names {
    /// Adds a name, unless it is there.
    pub fn add(&mut self, name: &str) {
        if self.known.insert(name.to_owned()) {
            self.all.push(name.to_owned());
        }
    }

    /// Writes them, a row of numbers in one.
    pub fn said(self) -> String {
        spans(self.all)
    }
}

/// Writes names in order; three or more that count up by one become `FIRST to LAST`.
pub fn spans(names: Vec<String>) -> String {
    let mut words = Vec::new();
    let mut rest = names.as_slice();
    while let Some(first) = rest.first() {
        let follows = |pair: &[String]| next_of(&pair[0]).as_ref() == Some(&pair[1]);
        let length = 1 + rest.windows(2).take_while(|pair| follows(pair)).count();
        let (row, after) = rest.split_at(length);
        match row {
            [_, _, .., last] => words.push(format!("{first} to {last}")),
            short => words.extend_from_slice(short),
        }
        rest = after;
    }
    words.join(", ")
}

/// Returns the name whose number is one higher, of as many digits.
fn next_of(name: &str) -> Option<String> {
    let digits = name.bytes().rev().take_while(u8::is_ascii_digit).count();
    let (head, number) = name.split_at(name.len() - digits);
    let next = number.parse::<u64>().ok()?.checked_add(1)?;
    Some(format!("{head}{next:0digits$}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(names: &str) -> String {
        spans(names.split(' ').map(str::to_owned).collect())
    }

    #[test]
    fn three_in_a_row_are_said_in_one_and_two_are_not() {
        assert_eq!(said("A01 A02 A03 A05 B09 B10"), "A01 to A03, A05, B09, B10");
        assert_eq!(said("A08 A09 A10 A11"), "A08 to A11");
        assert_eq!(said("A9 A10 A11"), "A9 to A11");
        assert_eq!(said("manure-1 grain-1 tray"), "manure-1, grain-1, tray");
        assert_eq!(spans(Vec::new()), "");
    }
}
