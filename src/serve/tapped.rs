//! When something was tapped that a phone kept for a while: by how long ago that was, as the phone's own clock has it, so
//! that a clock that is wrong does no harm.

use jiff::{SignedDuration, Timestamp, tz::TimeZone};

use crate::farm::Moment;

/// What was tapped less long ago was tapped now.
const NOW: SignedDuration = SignedDuration::from_secs(60);

/// Returns the moment, as a row says it; nothing where that is now.
pub fn when(age: Option<SignedDuration>, now: Timestamp, zone: &TimeZone) -> Option<String> {
    let age = age.filter(|age| *age >= NOW)?;
    // An age is a number of seconds of 32 bits: never before the first instant there is.
    let then = now.checked_sub(age).ok()?;
    Some(Moment::minute_of(zone.to_datetime(then)).to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_tapped_a_while_ago_happened_then() {
        let zone = TimeZone::get("Europe/London").expect("a zone");
        let noon: Timestamp = "2026-10-31T12:00:00Z".parse().expect("an instant");
        let tapped = |seconds| when(Some(SignedDuration::from_secs(seconds)), noon, &zone);
        assert_eq!(when(None, noon, &zone), None);
        assert_eq!((tapped(0), tapped(59)), (None, None));
        assert_eq!(tapped(600).as_deref(), Some("2026-10-31T11:50"));
        // The clocks went back on the 25th.
        assert_eq!(tapped(10 * 86_400).as_deref(), Some("2026-10-21T13:00"));
    }
}
