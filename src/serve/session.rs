//! Phones that are signed in: by a cookie of random bytes, of which only the digest is kept, so that a restart signs
//! nobody out and whoever reads the file can sign in as nobody.

use std::collections::HashMap;

use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

use super::initials::Initials;
use super::instant;
use super::journal::Journal;
use super::phones::{Phones, PhonesError};
use super::pin::PinHash;
use super::pins_file::Pins;
use super::random;

/// The phones that are signed in.
#[derive(Debug)]
pub struct Sessions {
    journal: Journal,
    /// By the digest of the cookie.
    phones: HashMap<String, Session>,
}

/// A phone that is signed in.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Session {
    by: String,
    /// The mark of the PIN it was signed in by.
    pin: String,
    since: Timestamp,
    seen: Timestamp,
}

/// A line of the file.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
enum Line {
    In {
        phone: String,
        by: String,
        pin: String,
        #[serde(with = "instant")]
        at: Timestamp,
    },
    Seen {
        phone: String,
        #[serde(with = "instant")]
        at: Timestamp,
    },
    Out {
        phone: String,
    },
}

/// The file's name in the folder.
const FILE: &str = "signed-in.jsonl";

/// A sign-in ends after so long, used or not: a fortnight's rounds; common practice, no source.
pub const LONGEST: SignedDuration = SignedDuration::from_hours(14 * 24);

/// And so long after its phone was last seen, which spans a weekend.
const UNUSED: SignedDuration = SignedDuration::from_hours(3 * 24);

/// How exactly it is kept when a phone was last seen.
const SEEN_EVERY: SignedDuration = SignedDuration::from_hours(1);

/// A worker's phones beyond these: the one that signed in first is signed out.
const MOST_OF_A_WORKER: usize = 20;

/// Bytes of a cookie.
const BYTES: usize = 32;

impl Sessions {
    /// Reads who is signed in, and writes the file anew without what has ended.
    pub fn open(phones: &Phones, now: Timestamp) -> Result<Self, PhonesError> {
        let mut found: HashMap<String, Session> = HashMap::new();
        for line in Journal::read(phones, FILE)? {
            match line {
                Line::In { phone, by, pin, at } => {
                    let (since, seen) = (at, at);
                    let session = Session {
                        by,
                        pin,
                        since,
                        seen,
                    };
                    found.insert(phone, session);
                }
                Line::Seen { phone, at } => {
                    if let Some(session) = found.get_mut(&phone) {
                        session.seen = at;
                    }
                }
                Line::Out { phone } => drop(found.remove(&phone)),
            }
        }
        found.retain(|_, session| !session.has_ended(now));
        let lines: Vec<Line> = found.iter().flat_map(lines_of).collect();
        Ok(Self {
            journal: Journal::begin(phones, FILE, &lines)?,
            phones: found,
        })
    }

    /// Signs a phone in, and returns its cookie.
    pub fn sign_in(
        &mut self,
        by: &Initials,
        pin: &PinHash,
        now: Timestamp,
    ) -> Result<String, PhonesError> {
        self.make_room(&by.to_string(), now)?;
        let cookie = random::hex(&random::bytes::<BYTES>()?);
        let phone = kept_of(&cookie);
        let session = Session {
            by: by.to_string(),
            pin: pin.mark(),
            since: now,
            seen: now,
        };
        self.journal.append(&Line::In {
            phone: phone.clone(),
            by: session.by.clone(),
            pin: session.pin.clone(),
            at: now,
        })?;
        self.phones.insert(phone, session);
        Ok(cookie)
    }

    /// Returns whose phone a cookie is from, if it is signed in and the PIN is still the same.
    pub fn who(&mut self, cookie: &str, pins: &Pins, now: Timestamp) -> Option<Initials> {
        if !random::is_hex(cookie, 2 * BYTES) {
            return None;
        }
        let phone = kept_of(cookie);
        let session = self.phones.get_mut(&phone)?;
        let by: Initials = session.by.parse().ok()?;
        let (by, hash) = pins.of(&by)?;
        if session.has_ended(now) || hash.mark() != session.pin {
            return None;
        }
        if now.duration_since(session.seen).abs() >= SEEN_EVERY {
            session.seen = now;
            // Where this cannot be kept, the phone is signed out earlier after a restart, and nothing else.
            let _ = self.journal.append(&Line::Seen { phone, at: now });
        }
        Some(by.clone())
    }

    /// Signs a phone out.
    pub fn sign_out(&mut self, cookie: &str) -> Result<(), PhonesError> {
        self.end(kept_of(cookie))
    }

    fn end(&mut self, phone: String) -> Result<(), PhonesError> {
        if self.phones.remove(&phone).is_some() {
            self.journal.append(&Line::Out { phone })?;
        }
        Ok(())
    }

    fn make_room(&mut self, by: &str, now: Timestamp) -> Result<(), PhonesError> {
        self.phones.retain(|_, session| !session.has_ended(now));
        let of_worker = self.phones.iter().filter(|(_, session)| session.by == by);
        let mut of_worker: Vec<_> = of_worker
            .map(|(phone, session)| (session.since, phone.clone()))
            .collect();
        of_worker.sort();
        let too_many = (of_worker.len() + 1).saturating_sub(MOST_OF_A_WORKER);
        of_worker
            .into_iter()
            .take(too_many)
            .try_for_each(|(_, phone)| self.end(phone))
    }
}

impl Session {
    /// Tells whether it has ended; where the clock was set back by a day and more, it has.
    fn has_ended(&self, now: Timestamp) -> bool {
        let (age, unused) = (
            now.duration_since(self.since),
            now.duration_since(self.seen),
        );
        age >= LONGEST || unused >= UNUSED || age <= -SignedDuration::from_hours(24)
    }
}

/// Returns what is kept of a cookie.
fn kept_of(cookie: &str) -> String {
    random::digest(&[b"castlot phone", cookie.as_bytes()])
}

fn lines_of((phone, session): (&String, &Session)) -> Vec<Line> {
    let phone = phone.clone();
    let seen = (session.seen != session.since).then(|| Line::Seen {
        phone: phone.clone(),
        at: session.seen,
    });
    let signed_in = Line::In {
        phone,
        by: session.by.clone(),
        pin: session.pin.clone(),
        at: session.since,
    };
    std::iter::once(signed_in).chain(seen).collect()
}

#[cfg(test)]
#[path = "session_test.rs"]
mod session_test;
