//! Takes out of a page what no reader sees: control characters, and marks that turn the direction of the text after them.
//!
//! Typed into a name, such a mark could make a code on the page read backwards. Letters that run from right to left need
//! none of them.

/// Returns a page without control characters and marks of direction.
pub fn plain(mut page: String) -> String {
    if page.chars().any(is_unseen) {
        page.retain(|letter| !is_unseen(letter));
    }
    page
}

/// The marks are those of the Unicode bidirectional algorithm (UAX #9, table 1; from memory).
fn is_unseen(letter: char) -> bool {
    let breaks = matches!(letter, '\n' | '\t');
    let turns = matches!(letter, '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    (letter.is_control() && !breaks) || turns
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mark_that_turns_the_text_is_taken_out_and_letters_stay() {
        let page = "a\u{202e}b\u{0}c\u{2067}d\u{200f}\n\u{5d0}é\u{200b}\u{a0}€".to_owned();
        assert_eq!(plain(page), "abcd\n\u{5d0}é\u{200b}\u{a0}€");
    }
}
