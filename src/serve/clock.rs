//! The clock, as a value that is handed in.

use std::fmt;
use std::sync::Arc;

use jiff::Timestamp;

/// Tells what instant it is, by whatever clock it was made of.
#[derive(Clone)]
pub struct Clock(Arc<dyn Fn() -> Timestamp + Send + Sync>);

impl Clock {
    /// Makes a clock of what tells the instant.
    pub fn of(tells: impl Fn() -> Timestamp + Send + Sync + 'static) -> Self {
        Self(Arc::new(tells))
    }

    /// Returns the instant it is.
    pub fn now(&self) -> Timestamp {
        (self.0)()
    }
}

impl fmt::Debug for Clock {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Clock")
    }
}
