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
#[path = "lockout_test.rs"]
mod lockout_test;
