//! How often a PIN may be tried: waits that grow with each wrong one, and limits for each address and for all together.
//!
//! Pure: the clock comes in as a value. Promises to treat initials that nobody has as those that somebody has, so that
//! it tells nobody who works here; and to say nothing about whoever is signed in already.

use std::collections::HashMap;
use std::net::{IpAddr, Ipv6Addr};

use jiff::{SignedDuration, Timestamp};

/// What is known of tries so far. The numbers are common practice, no source.
#[derive(Debug, Default)]
pub struct Lockout {
    names: HashMap<String, Tries>,
    addresses: HashMap<IpAddr, Bucket>,
    all: Bucket,
    /// When what no longer matters was last thrown out.
    tidied: Timestamp,
}

/// Wrong tries of one worker's PIN in a row.
#[derive(Clone, Copy, Debug)]
struct Tries {
    wrong: u32,
    last: Timestamp,
    next: Timestamp,
}

/// A number of tries at once, and then one every so often.
#[derive(Clone, Copy, Debug, Default)]
struct Bucket {
    /// When it would be full again.
    full: Timestamp,
}

/// How much a bucket holds and how fast it fills.
struct Measure {
    at_once: i32,
    every: SignedDuration,
}

/// So many tries are free; the next waits two seconds, the one after twice as long.
const FREE: u32 = 3;
const FIRST_WAIT: SignedDuration = SignedDuration::from_secs(2);
const LONGEST_WAIT: SignedDuration = SignedDuration::from_mins(15);

/// Wrong tries are forgotten when there was none for so long.
const FORGOTTEN_AFTER: SignedDuration = SignedDuration::from_hours(24);

/// A whole shed signs in from one address where a router stands between.
const OF_AN_ADDRESS: Measure = Measure {
    at_once: 12,
    every: SignedDuration::from_secs(5),
};

/// Half a processor's time at most, with hashes that take a tenth of a second on a small computer.
const OF_ALL: Measure = Measure {
    at_once: 60,
    every: SignedDuration::from_secs(2),
};

/// Addresses beyond these wait: so many phones are in no shed.
const MOST_ADDRESSES: usize = 4_096;

/// How often what no longer matters is thrown out.
const TIDY_EVERY: SignedDuration = SignedDuration::from_mins(1);

impl Lockout {
    /// Lets a PIN be tried, or says how long to wait.
    ///
    /// The try counts as wrong until `right` says otherwise, so that many at the same time do not slip through together.
    pub fn ask(&mut self, name: &str, from: IpAddr, now: Timestamp) -> Result<(), SignedDuration> {
        self.tidy(now);
        let before = self.names.get(name).filter(|tries| tries.matter(now));
        if let Some(tries) = before {
            let wait = now.duration_until(tries.next);
            if wait.is_positive() {
                return Err(wait);
            }
        }
        let wrong = before.map_or(0, |tries| tries.wrong).saturating_add(1);
        let address = network_of(from);
        if self.addresses.len() >= MOST_ADDRESSES && !self.addresses.contains_key(&address) {
            return Err(TIDY_EVERY);
        }
        let of_address = self.addresses.entry(address).or_default();
        of_address.has_room(&OF_AN_ADDRESS, now)?;
        self.all.has_room(&OF_ALL, now)?;
        of_address.take(&OF_AN_ADDRESS, now);
        self.all.take(&OF_ALL, now);
        let tries = Tries {
            wrong,
            last: now,
            next: after(now, wait_after(wrong)),
        };
        self.names.insert(name.to_owned(), tries);
        Ok(())
    }

    /// Forgets a worker's wrong tries: the right PIN came.
    pub fn right(&mut self, name: &str) {
        self.names.remove(name);
    }

    /// Throws out what no longer matters, so that nobody fills the memory with names; and where the clock was set back,
    /// lets nobody wait for longer than they would have to from now.
    fn tidy(&mut self, now: Timestamp) {
        let since = now.duration_since(self.tidied);
        if !since.is_negative() && since < TIDY_EVERY {
            return;
        }
        if since.is_negative() {
            for tries in self.names.values_mut() {
                tries.next = tries.next.min(after(now, LONGEST_WAIT));
            }
            for bucket in self.addresses.values_mut() {
                bucket.full = bucket.full.min(after(now, OF_AN_ADDRESS.most()));
            }
            self.all.full = self.all.full.min(after(now, OF_ALL.most()));
        }
        self.tidied = now;
        self.names.retain(|_, tries| tries.matter(now));
        self.addresses.retain(|_, bucket| bucket.full > now);
    }
}

impl Tries {
    fn matter(&self, now: Timestamp) -> bool {
        now.duration_since(self.last).abs() < FORGOTTEN_AFTER
    }
}

impl Measure {
    /// Returns how long it takes to fill an empty bucket.
    fn most(&self) -> SignedDuration {
        self.every * self.at_once
    }
}

impl Bucket {
    /// Returns when it would be full after one more was taken.
    fn full_after_one(&self, measure: &Measure, now: Timestamp) -> Timestamp {
        after(self.full.max(now), measure.every)
    }

    /// Tells whether one can be taken, or how long until then.
    fn has_room(&self, measure: &Measure, now: Timestamp) -> Result<(), SignedDuration> {
        let then = now.duration_until(self.full_after_one(measure, now));
        let wait = then - measure.most();
        if wait.is_positive() {
            Err(wait)
        } else {
            Ok(())
        }
    }

    fn take(&mut self, measure: &Measure, now: Timestamp) {
        self.full = self.full_after_one(measure, now);
    }
}

/// Returns the instant so long after another; that other, at the end of time.
fn after(instant: Timestamp, later: SignedDuration) -> Timestamp {
    instant.saturating_add(later).unwrap_or(instant)
}

/// Returns how long the next try waits after so many wrong ones in a row.
fn wait_after(wrong: u32) -> SignedDuration {
    let Some(more) = wrong.checked_sub(FREE) else {
        return SignedDuration::ZERO;
    };
    // Doubled ten times it is longer than the longest.
    (FIRST_WAIT * (1 << more.min(10))).min(LONGEST_WAIT)
}

/// Returns the network that one household has: the address itself, or the first half of an IPv6 one.
fn network_of(address: IpAddr) -> IpAddr {
    match address.to_canonical() {
        IpAddr::V4(address) => IpAddr::V4(address),
        IpAddr::V6(address) => {
            let whole = u128::from(address);
            IpAddr::V6(Ipv6Addr::from(whole >> 64 << 64))
        }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    const DAY: i64 = 24 * 60 * 60;

    fn start() -> Timestamp {
        "2026-10-31T12:00:00Z".parse().unwrap()
    }

    fn at(seconds: i64) -> Timestamp {
        start() + SignedDuration::from_secs(seconds)
    }

    fn address(last: u8) -> IpAddr {
        IpAddr::from([192, 168, 1, last])
    }

    /// Tries a name once a second and more for a day, and returns how many tries got through.
    fn guesses_in_a_day(mut name: impl FnMut(i64) -> String, addresses: u8) -> usize {
        let mut lockout = Lockout::default();
        let tries = (0..DAY).flat_map(|second| [second, second]);
        tries
            .enumerate()
            .filter(|(index, second)| {
                let from = address(u8::try_from(index % usize::from(addresses)).unwrap());
                lockout.ask(&name(*second), from, at(*second)).is_ok()
            })
            .count()
    }

    #[test]
    fn a_day_of_guessing_one_workers_pin_gets_about_a_hundred_tries() {
        // 3 free, 9 with waits of 2 s to 512 s, then one in 900 s: 3 + 9 + (86400 - 1022) / 900.
        let guesses = guesses_in_a_day(|_| "MV".to_owned(), 200);
        assert!((100..=108).contains(&guesses), "{guesses}");
    }

    #[test]
    fn a_day_of_guessing_from_everywhere_at_everybody_keeps_to_the_limit_for_all() {
        let mut n = 0;
        let somebody = |_| {
            n += 1;
            format!("nobody {n}")
        };
        let guesses = guesses_in_a_day(somebody, 200);
        assert!((43_000..=43_260).contains(&guesses), "{guesses}");
        let of_one = guesses_in_a_day(|second| format!("nobody {second}"), 1);
        assert!((17_000..=17_292).contains(&of_one), "{of_one}");
    }

    #[test]
    fn ten_thousand_wrong_pins_at_once_are_three_tries() {
        let mut lockout = Lockout::default();
        let through = (0..10_000)
            .filter(|n| lockout.ask("MV", address((n % 250) as u8), at(0)).is_ok())
            .count();
        assert_eq!(through, 3);
    }

    #[test]
    fn the_wait_doubles_and_a_right_pin_ends_it_but_is_refused_while_it_lasts() {
        let mut lockout = Lockout::default();
        let (mut now, mut waits) = (0, Vec::new());
        for _ in 0..16 {
            assert_eq!(lockout.ask("MV", address(1), at(now)), Ok(()));
            let next = lockout.names["MV"].next;
            let wait = at(now).duration_until(next).as_secs();
            if wait > 0 {
                let early = lockout.ask("MV", address(2), at(now + wait - 1));
                assert_eq!(early, Err(SignedDuration::from_secs(1)));
            }
            waits.push(wait);
            now += wait;
        }
        assert_eq!(
            waits,
            [
                0, 0, 2, 4, 8, 16, 32, 64, 128, 256, 512, 900, 900, 900, 900, 900
            ]
        );
        assert!(
            lockout.ask("RB", address(1), at(now)).is_ok(),
            "another worker does not wait"
        );
        lockout.ask("MV", address(1), at(now)).unwrap();
        lockout.right("MV");
        assert_eq!(lockout.ask("MV", address(1), at(now)), Ok(()));
    }

    #[test]
    fn a_clock_that_was_set_back_locks_nobody_out_for_longer() {
        for back in [DAY / 2, 2 * DAY] {
            let mut lockout = Lockout::default();
            for n in 0..12 {
                lockout
                    .ask(&format!("nobody {n}"), address(1), at(DAY))
                    .unwrap();
            }
            for _ in 0..3 {
                lockout.ask("MV", address(2), at(DAY)).unwrap();
            }
            let now = DAY - back;
            // A worker's wait is at most the longest; it is forgotten where more than a day is gone, and the limit for all
            // is what is left.
            let wait = if back < DAY {
                LONGEST_WAIT
            } else {
                OF_ALL.every
            };
            assert_eq!(lockout.ask("MV", address(3), at(now)), Err(wait));
            // The limits fill up from now on as they ever did.
            let wait = OF_AN_ADDRESS.every;
            assert_eq!(lockout.ask("RB", address(1), at(now)), Err(wait));
            assert_eq!(lockout.ask("RB", address(1), at(now + 5)), Ok(()));
            let then = now + LONGEST_WAIT.as_secs();
            assert_eq!(lockout.ask("MV", address(3), at(then)), Ok(()));
        }
    }

    #[test]
    fn phones_of_one_household_share_a_limit() {
        let network = |text: &str| network_of(text.parse().unwrap());
        assert_eq!(network("2001:db8::1"), network("2001:db8::ffff:2"));
        assert_ne!(network("2001:db8::1"), network("2001:db8:0:1::1"));
        assert_eq!(network("::ffff:192.168.1.7"), address(7));
    }

    #[test]
    fn names_and_addresses_do_not_fill_the_memory() {
        let mut lockout = Lockout::default();
        for n in 0..20_000_u32 {
            let from = IpAddr::from(n.to_be_bytes());
            let _ = lockout.ask(&n.to_string(), from, at(i64::from(n) * 100));
        }
        assert!(lockout.addresses.len() < 5, "{}", lockout.addresses.len());
        assert!(lockout.names.len() < 900, "{}", lockout.names.len());
    }

    proptest! {
        /// Whatever is tried, by whomever and when: no worker's PIN is tried before its wait is over.
        #[test]
        fn no_try_comes_before_its_time(tries in prop::collection::vec((0_u8..3, 0_u8..4, 0_i64..400), 1..200)) {
            let mut lockout = Lockout::default();
            let mut seen: HashMap<u8, (u32, i64)> = HashMap::new();
            let mut now = 0;
            for (name, from, later) in tries {
                now += later;
                if lockout.ask(&name.to_string(), address(from), at(now)).is_ok() {
                    let (wrong, last) = seen.get(&name).copied().unwrap_or((0, now - DAY));
                    prop_assert!(now - last >= wait_after(wrong).as_secs());
                    seen.insert(name, (wrong + 1, now));
                }
            }
        }

        /// Known or not, a name is treated alike: what comes of a try depends on the tries alone.
        #[test]
        fn all_names_are_treated_alike(tries in prop::collection::vec(0_i64..400, 1..60)) {
            let (mut one, mut other) = (Lockout::default(), Lockout::default());
            let mut now = 0;
            for later in tries {
                now += later;
                prop_assert_eq!(
                    one.ask("MV", address(1), at(now)),
                    other.ask("nobody", address(1), at(now))
                );
            }
        }

        #[test]
        fn a_wait_is_never_shorter_than_the_one_before(wrong in 0_u32..u32::MAX) {
            prop_assert!(wait_after(wrong) <= wait_after(wrong + 1));
            prop_assert!(wait_after(wrong) <= LONGEST_WAIT);
        }
    }
}
