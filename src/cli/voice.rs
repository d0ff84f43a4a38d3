//! Speaks: results to stdout, talk to stderr. Whoever stops listening ends it quietly.

use std::fmt::Display;
use std::io::{IsTerminal, Write};

use super::phrase::WIDTH;

/// Prints a line of the result.
pub fn say(line: impl Display) {
    // A closed pipe means that nobody reads on; what was recorded stands all the same.
    let _ = writeln!(std::io::stdout(), "{line}");
}

/// Prints a word beside the result: one line in a file or a pipe, broken to the width of a page on a screen.
pub fn note(line: impl Display) {
    let line = line.to_string();
    let mut stderr = std::io::stderr();
    let line = if stderr.is_terminal() {
        on_screen(&line)
    } else {
        line
    };
    let _ = writeln!(stderr, "{line}");
}

/// Breaks a line at spaces, but never inside backticks, so that a command can be copied whole.
fn on_screen(line: &str) -> String {
    let mut broken = String::new();
    let (mut taken, mut quoted, mut word) = (0, false, String::new());
    for c in line.chars().chain([' ']) {
        quoted ^= c == '`';
        if c != ' ' || quoted {
            word.push(c);
            continue;
        }
        let more = word.chars().count();
        if taken > 0 && taken + 1 + more > WIDTH {
            broken.push_str("\n  ");
            taken = 2;
        } else if taken > 0 {
            broken.push(' ');
            taken += 1;
        }
        broken.push_str(&word);
        taken += more;
        word.clear();
    }
    broken + &word
}

#[cfg(test)]
mod tests {
    use super::on_screen;

    #[test]
    fn a_long_line_is_broken_between_words_and_a_command_stays_whole() {
        let line = "hint: if more is really there, count it first: `castlot record count --lot H26301-02-G --found 800kg --why WHY`";
        let broken = on_screen(line);
        assert_eq!(
            broken,
            "hint: if more is really there, count it first:\n  `castlot record count --lot H26301-02-G --found 800kg --why WHY`"
        );
        assert_eq!(
            on_screen("entry 4137 is struck out"),
            "entry 4137 is struck out"
        );
    }
}
