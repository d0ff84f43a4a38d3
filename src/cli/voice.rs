//! Speaks: results to stdout, talk to stderr. Whoever stops listening ends it quietly.

use std::fmt::Display;
use std::io::Write;

use serde::Serialize;

/// Prints a line of the result.
pub fn say(line: impl Display) {
    // A closed pipe means that nobody reads on; what was recorded stands all the same.
    let _ = writeln!(std::io::stdout(), "{line}");
}

/// Prints a value as one JSON object.
pub fn json(value: &impl Serialize) {
    let text = serde_json::to_string_pretty(value);
    say(text.expect("our own values have text for keys and no endless numbers"));
}

/// Prints a word beside the result.
pub fn note(line: impl Display) {
    let _ = writeln!(std::io::stderr(), "{line}");
}

/// Writes "1 entry" or "1,592 entries".
pub fn count(number: usize, one: &str, many: &str) -> String {
    match number {
        1 => format!("1 {one}"),
        _ => format!("{} {many}", grouped(number)),
    }
}

/// Writes a number with a comma between thousands.
fn grouped(number: usize) -> String {
    let digits = number.to_string();
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push(',');
        }
        text.push(digit);
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_counted_as_people_write_them() {
        assert_eq!(count(1, "entry", "entries"), "1 entry");
        assert_eq!(count(0, "entry", "entries"), "0 entries");
        assert_eq!(count(999, "entry", "entries"), "999 entries");
        assert_eq!(count(1_234_567, "lot", "lots"), "1,234,567 lots");
    }
}
