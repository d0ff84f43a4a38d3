//! The small change of every message: what `farm` says of numbers and days, the time of day, and lines that are broken to a
//! width.

use crate::farm::Moment;
pub use crate::farm::phrase::{at, count, days, grouped, listed, per_cent};

/// Terminals are at least so wide; a page keeps within it.
pub const WIDTH: usize = 80;

/// Writes the time of day, where it is known: `09:00`.
pub fn clock(when: Moment) -> String {
    when.minute().map_or_else(String::new, |minute| {
        format!("{:02}:{:02}", minute / 60, minute % 60)
    })
}

/// Breaks a text into lines of at most `width` characters, at spaces; a word longer than that stands alone.
pub fn broken(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let line = lines.last_mut().expect("there is a first line");
        let (taken, more) = (line.chars().count(), word.chars().count());
        if taken == 0 {
            line.push_str(word);
        } else if taken + 1 + more <= width {
            line.push(' ');
            line.push_str(word);
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}

/// Writes a paragraph of lines that all start so many spaces in, each ended.
pub fn paragraph(text: &str, indent: usize) -> String {
    let lines = broken(text, WIDTH.saturating_sub(indent));
    lines
        .iter()
        .map(|line| format!("{:indent$}{line}\n", ""))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_line_is_broken_at_spaces_only() {
        assert_eq!(
            broken("one two three-and-a-half four", 9),
            ["one two", "three-and-a-half", "four"]
        );
        assert_eq!(broken("", 9), [""]);
    }
}
