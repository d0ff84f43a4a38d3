//! What is printed on stdout: all at once, and quietly given up where nobody reads on.

use std::io::{ErrorKind, IsTerminal, Write};

use serde::Serialize;

use super::failure::Failure;

/// Whether what is printed may be marked up for a terminal.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// For a file, a pipe, or a terminal that shows no more than text.
    Plain,
    /// For a terminal that can draw a line through a text.
    Terminal,
}

impl Ink {
    /// Looks at stdout, and at `NO_COLOR`, which asks for plain text.
    pub fn of_stdout() -> Self {
        let wanted = std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty());
        if wanted && std::io::stdout().is_terminal() {
            Self::Terminal
        } else {
            Self::Plain
        }
    }

    /// Draws a line through a text, as on paper: `~text~`, and struck through where the terminal can.
    pub fn struck(self, text: &str) -> String {
        match self {
            Self::Plain => format!("~{text}~"),
            Self::Terminal => format!("\u{1b}[9m~{text}~\u{1b}[29m"),
        }
    }
}

/// Prints a page on stdout. A reader who has gone away ends it quietly.
pub fn print(text: &str) -> Result<(), Failure> {
    let mut stdout = std::io::stdout().lock();
    let written = stdout
        .write_all(text.as_bytes())
        .and_then(|()| stdout.flush());
    match written {
        Err(error) if error.kind() != ErrorKind::BrokenPipe => {
            Err(Failure::refused(format!("cannot print: {error}")))
        }
        Ok(()) | Err(_) => Ok(()),
    }
}

/// Writes a value as one JSON object, for `--json`.
pub fn json(value: &impl Serialize) -> String {
    let mut text = serde_json::to_string_pretty(value)
        .expect("our own values have text keys and finite numbers");
    text.push('\n');
    text
}
