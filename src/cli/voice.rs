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
