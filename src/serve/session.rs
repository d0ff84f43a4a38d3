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
mod tests {
    use super::*;

    /// A farm's folder, and one worker's PIN.
    struct Shed {
        _farm: tempfile::TempDir,
        phones: Phones,
        pins: Pins,
        by: Initials,
        hash: PinHash,
    }

    fn shed() -> Shed {
        let farm = tempfile::tempdir().unwrap();
        let phones = Phones::of(farm.path());
        let (by, hash): (Initials, _) = ("MV".parse().unwrap(), PinHash::decoy().unwrap());
        let mut pins = Pins::default();
        pins.set(by.clone(), hash.clone());
        Shed {
            _farm: farm,
            phones,
            pins,
            by,
            hash,
        }
    }

    fn day(days: i64) -> Timestamp {
        let start: Timestamp = "2026-10-31T12:00:00Z".parse().unwrap();
        start + SignedDuration::from_hours(24 * days)
    }

    #[test]
    fn a_restart_signs_nobody_out_and_the_file_holds_no_cookie() {
        let shed = shed();
        let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
        let cookie = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
        let other = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
        sessions.sign_out(&other).unwrap();
        for days in [0, 2] {
            let mut sessions = Sessions::open(&shed.phones, day(days)).unwrap();
            assert_eq!(
                sessions.who(&cookie, &shed.pins, day(days)),
                Some(shed.by.clone())
            );
            assert_eq!(sessions.who(&other, &shed.pins, day(days)), None);
        }
        let kept = String::from_utf8(shed.phones.read(FILE).unwrap().unwrap()).unwrap();
        assert!(kept.contains("MV") && !kept.contains(&cookie) && !kept.contains(&cookie[..16]));
        assert_eq!(
            Sessions::open(&shed.phones, day(2)).unwrap().phones.len(),
            1
        );
    }

    #[test]
    fn it_ends_unused_after_three_days_and_used_after_fourteen() {
        let shed = shed();
        let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
        let unused = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
        assert_eq!(sessions.who(&unused, &shed.pins, day(3)), None);
        let used = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
        for days in [2, 4, 6, 8, 10, 12, 13] {
            assert!(
                sessions.who(&used, &shed.pins, day(days)).is_some(),
                "{days}"
            );
        }
        assert_eq!(sessions.who(&used, &shed.pins, day(14)), None);
        let mut again = Sessions::open(&shed.phones, day(13)).unwrap();
        assert!(again.who(&used, &shed.pins, day(13)).is_some());
        assert_eq!(again.phones.len(), 1);
    }

    #[test]
    fn a_new_pin_signs_the_worker_out_everywhere_and_so_does_none() {
        let shed = shed();
        let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
        let cookie = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
        let mut pins = shed.pins.clone();
        pins.set(shed.by.clone(), PinHash::decoy().unwrap());
        assert_eq!(sessions.who(&cookie, &pins, day(0)), None);
        assert_eq!(sessions.who(&cookie, &Pins::default(), day(0)), None);
        assert!(sessions.who(&cookie, &shed.pins, day(0)).is_some());
    }

    #[test]
    fn made_up_cookies_sign_nobody_in() {
        let shed = shed();
        let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
        let cookie = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
        let kept = kept_of(&cookie);
        for made_up in [
            "",
            "MV",
            &kept,
            &cookie[1..],
            &"0".repeat(64),
            &cookie.to_uppercase(),
        ] {
            if made_up != cookie {
                assert_eq!(sessions.who(made_up, &shed.pins, day(0)), None, "{made_up}");
            }
        }
    }

    #[test]
    fn a_worker_has_so_many_phones_and_the_first_of_them_goes() {
        let shed = shed();
        let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
        let first = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
        for _ in 0..MOST_OF_A_WORKER {
            sessions.sign_in(&shed.by, &shed.hash, day(1)).unwrap();
        }
        assert_eq!(sessions.who(&first, &shed.pins, day(1)), None);
        assert_eq!(sessions.phones.len(), MOST_OF_A_WORKER);
    }

    #[test]
    fn a_file_cut_off_anywhere_is_read_up_to_its_last_whole_line() {
        let shed = shed();
        let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
        let cookie = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
        let first = shed.phones.read(FILE).unwrap().unwrap();
        let other = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
        let whole = shed.phones.read(FILE).unwrap().unwrap();
        for cut in 0..=whole.len() {
            shed.phones.replace(FILE, &whole[..cut]).unwrap();
            let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
            let mut is_in = |cookie: &str| sessions.who(cookie, &shed.pins, day(0)).is_some();
            assert_eq!(is_in(&cookie), cut >= first.len(), "cut at {cut}");
            assert_eq!(is_in(&other), cut == whole.len(), "cut at {cut}");
        }
    }

    #[test]
    fn a_spoilt_line_is_told_and_not_passed_over() {
        let shed = shed();
        shed.phones
            .replace(FILE, b"{\"out\":{\"phone\":\"0\"}}\n{\"uot\":{}}\n")
            .unwrap();
        let error = Sessions::open(&shed.phones, day(0)).unwrap_err();
        assert!(
            matches!(error, PhonesError::Damaged { line: 2, .. }),
            "{error}"
        );
    }
}
