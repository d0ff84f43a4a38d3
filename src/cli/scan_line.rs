//! One line of the scan loop: what was typed or scanned, as a thing to do.

use crate::farm::{Named, Place};

/// What a line asks for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Ask {
    /// Nothing.
    Nothing,
    /// What can be typed.
    Help,
    /// To leave.
    Quit,
    /// To take this lot from now on, and so much of it where that is said.
    Use(Vec<String>),
    /// To feed the bed at hand.
    Feed(Vec<String>),
    /// To note why it is passed over.
    Skip(String),
    /// To note what is seen in it, by the keys of the round sheet.
    Check(String),
    /// To put the bin somewhere.
    Move(String),
    /// That one stands at this place now: the next bin that is scanned should be there.
    At(Place),
    /// To show the bed at hand.
    Show,
    /// To take the last back.
    Undo,
    /// Something scanned, or a code that was typed.
    Scan(String),
}

impl Ask {
    /// Reads a line. What is no command is taken for a scan.
    pub fn read(line: &str, bases: &[String]) -> Self {
        let line = line.trim();
        let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        let (word, rest) = (word.to_ascii_lowercase(), rest.trim());
        let words = || rest.split_whitespace().map(str::to_owned).collect();
        match (word.as_str(), rest) {
            ("", _) => Self::Nothing,
            ("h" | "help", "") => Self::Help,
            ("q" | "quit", "") => Self::Quit,
            ("?", "") => Self::Show,
            ("undo", "") => Self::Undo,
            ("use", _) => Self::Use(words()),
            ("f", _) => Self::Feed(words()),
            ("s", _) => Self::Skip(rest.to_owned()),
            ("c", _) => Self::Check(rest.to_owned()),
            ("m", _) => Self::Move(rest.to_owned()),
            ("at", _) => rest
                .parse()
                .map_or_else(|_| Self::Scan(line.to_owned()), Self::At),
            (_, "") => match (line.parse::<Place>(), Named::read(line, bases)) {
                (Ok(place), Err(_)) => Self::At(place),
                (_, _) => Self::Scan(line.to_owned()),
            },
            (_, _) => Self::Scan(line.to_owned()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn commands_places_and_scans_are_told_apart() {
        let bases = ["http://192.168.1.20:8080".to_owned()];
        let read = |line: &str| Ask::read(line, &bases);
        assert_eq!(read(" f 300 "), Ask::Feed(vec!["300".to_owned()]));
        assert_eq!(read("S food left"), Ask::Skip("food left".to_owned()));
        assert_eq!(read("m R2/S1/P3"), Ask::Move("R2/S1/P3".to_owned()));
        assert!(matches!(read("r2/s1/p3"), Ask::At(_)));
        assert!(matches!(read("at R2/S1/P3"), Ask::At(_)));
        assert_eq!(read("?"), Ask::Show);
        assert_eq!(read(""), Ask::Nothing);
        for scan in [
            "A07",
            "HTTP://192.168.1.20:8080/BIN/A07",
            "B26293-03-R",
            "at nowhere",
            "fed",
        ] {
            assert_eq!(read(scan), Ask::Scan(scan.to_owned()));
        }
    }
}
