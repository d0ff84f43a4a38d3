//! Breaks text into lines for a drawing, which cannot do so itself.

/// Breaks a text into lines that fit a width, at spaces, or anywhere where a word is too long.
pub fn broken(text: &str, width: i32) -> Vec<String> {
    let mut lines = Vec::new();
    let (mut line, mut used) = (String::new(), 0);
    for word in text.split([' ', '\u{a0}']).filter(|word| !word.is_empty()) {
        let wide: i32 = word.chars().map(advance).sum();
        if used > 0 && used + advance(' ') + wide > width * 10 {
            lines.push(std::mem::take(&mut line));
            used = 0;
        } else if used > 0 {
            line.push(' ');
            used += advance(' ');
        }
        for letter in word.chars() {
            if used + advance(letter) > width * 10 {
                lines.push(std::mem::take(&mut line));
                used = 0;
            }
            line.push(letter);
            used += advance(letter);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// Returns about how wide a letter is, in tenths of a unit, on the wide side of what phones' own fonts have.
fn advance(letter: char) -> i32 {
    match letter {
        ' ' | '.' | ',' | 'i' | 'l' | 'j' | '-' | '/' => 46,
        'm' | 'w' | 'M' | 'W' => 124,
        letter if letter.is_ascii_lowercase() => 79,
        letter if letter.is_ascii() => 94,
        _ => 150,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_broken_and_never_cut() {
        let text = "Worms, Dendrobaena veneta of an uncommonly-long-and-unbroken-name-indeed-it-is";
        let lines = broken(text, 200);
        assert!(lines.len() > 2);
        assert!(
            lines
                .iter()
                .all(|l| l.chars().map(advance).sum::<i32>() <= 2000)
        );
        assert_eq!(lines.concat().replace(' ', ""), text.replace(' ', ""));
    }
}
