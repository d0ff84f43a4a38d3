//! Shows on a terminal that something takes its time, once it has taken a second.

use std::io::IsTerminal;
use std::thread;
use std::time::Duration;

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};

/// What is done within this is not worth a word.
const SOON: Duration = Duration::from_secs(1);

/// How often the sign moves.
const TICK: Duration = Duration::from_millis(100);

/// A sign that something is being done; nothing where nobody watches.
pub struct Waiting(ProgressBar);

impl Waiting {
    /// Starts, and shows itself in a second.
    pub fn start() -> Self {
        let bar = ProgressBar::with_draw_target(None, ProgressDrawTarget::hidden());
        if !std::io::stderr().is_terminal() {
            return Self(bar);
        }
        if let Ok(style) = ProgressStyle::with_template("{spinner} {msg}") {
            bar.set_style(style);
        }
        let late = bar.clone();
        // The thread ends with the program, if that ends first.
        thread::spawn(move || {
            thread::sleep(SOON);
            if !late.is_finished() {
                late.set_draw_target(ProgressDrawTarget::stderr());
                late.enable_steady_tick(TICK);
            }
        });
        Self(bar)
    }

    /// Says what is being done now.
    pub fn doing(&self, what: &'static str) {
        self.0.set_message(what);
    }

    /// Says which of how many is being done now, with a bar.
    pub fn counting(&self, what: &'static str, done: usize, all: usize) {
        if done == 0 {
            let style = ProgressStyle::with_template("{spinner} {msg} {bar:30} {pos} of {len}");
            if let Ok(style) = style {
                self.0.set_style(style);
            }
            self.0.set_length(all as u64);
            self.0.set_message(what);
        }
        self.0.set_position(done as u64);
    }

    /// Takes the sign away.
    pub fn end(&self) {
        self.0.finish_and_clear();
    }
}

impl Drop for Waiting {
    /// A failure leaves no half of a sign on the line that tells of it.
    fn drop(&mut self) {
        self.end();
    }
}
