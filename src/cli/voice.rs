//! Speaks: results to stdout, talk to stderr. Whoever stops listening ends it quietly.

use std::fmt::Display;
use std::io::Write;

/// Prints a line of the result.
pub fn say(line: impl Display) {
    // A closed pipe means that nobody reads on; what was recorded stands all the same.
    let _ = writeln!(std::io::stdout(), "{line}");
}

/// Prints a word beside the result.
pub fn note(line: impl Display) {
    let _ = writeln!(std::io::stderr(), "{line}");
}
