//! The door: all that is asked before a page of the shed is shown or a form of it is taken.

use std::fs::File;
use std::net::IpAddr;
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::SignedDuration;

use super::clock::Clock;
use super::hashing::Hashing;
use super::initials::Initials;
use super::lockout::Lockout;
use super::phones::{Phones, PhonesError};
use super::pins_file::PinsFile;
use super::sent::Sent;
use super::session::Sessions;

/// What a door is made of.
#[derive(Clone, Debug)]
pub struct DoorOptions {
    /// The clock.
    pub clock: Clock,
    /// The farm's name, as it stands on the page that asks for a PIN.
    pub farm: String,
    /// Whether phones reach the server by TLS alone, so that a cookie never has to travel in the clear.
    pub tls: bool,
}

/// Who may come in, who is in, and which forms came.
#[derive(Debug)]
pub struct Door {
    pub(super) options: DoorOptions,
    pins: PinsFile,
    // What is behind either lock is changed in whole steps, so it is sound whoever broke off.
    sessions: Mutex<Sessions>,
    lockout: Mutex<Lockout>,
    hashing: Hashing,
    sent: Sent,
    /// Held as long as the server runs.
    _lock: File,
}

/// What came of typed initials and a PIN.
#[derive(Debug)]
pub enum Asked {
    /// They are right: the cookie of a phone that is now signed in.
    In(String),
    /// They are not.
    Wrong,
    /// They may not be tried before so long.
    Wait(SignedDuration),
    /// Too many are being tried.
    Busy,
}

/// Locked by the server as long as it runs.
const LOCK: &str = "server.lock";

impl Door {
    /// Opens the door of a farm: reads who is signed in and which forms came. Only one server at a time may.
    pub fn open(phones: &Phones, options: DoorOptions) -> Result<Self, PhonesError> {
        let lock = phones.lock(LOCK)?;
        let now = options.clock.now();
        let pins = PinsFile::of(phones.clone());
        // A file that cannot be read is told at once, and not to the first who signs in.
        pins.now()?;
        Ok(Self {
            pins,
            sessions: Mutex::new(Sessions::open(phones, now)?),
            lockout: Mutex::default(),
            hashing: Hashing::new()?,
            sent: Sent::open(phones, now)?,
            options,
            _lock: lock,
        })
    }

    /// Returns the clock.
    pub fn clock(&self) -> &Clock {
        &self.options.clock
    }

    /// Returns the forms that came.
    pub fn sent(&self) -> &Sent {
        &self.sent
    }

    /// Returns who has a PIN, in order.
    pub fn workers(&self) -> Result<Vec<Initials>, PhonesError> {
        Ok(self.pins.now()?.workers().cloned().collect())
    }

    /// Returns how many typed PINs were compared with a hash so far.
    pub fn compared(&self) -> u64 {
        self.hashing.done()
    }

    /// Returns whose phone a cookie is from, if it is signed in.
    pub fn who(&self, cookie: &str) -> Result<Option<Initials>, PhonesError> {
        let pins = self.pins.now()?;
        Ok(self.sessions().who(cookie, &pins, self.clock().now()))
    }

    /// Signs a phone in, if the initials and the PIN are right and may be tried.
    pub async fn sign_in(&self, by: &str, pin: String, from: IpAddr) -> Result<Asked, PhonesError> {
        let Some(place) = self.hashing.place() else {
            return Ok(Asked::Busy);
        };
        // What cannot be initials is nobody's, and is tried like anybody's.
        let by: Option<Initials> = by.parse().ok();
        let name = by.as_ref().map(Initials::key).unwrap_or_default();
        if let Err(wait) = self.lockout().ask(&name, from, self.clock().now()) {
            return Ok(Asked::Wait(wait));
        }
        let pins = self.pins.now()?;
        let known = by.and_then(|by| pins.of(&by).cloned());
        let hash = known.as_ref().map(|(_, hash)| hash.clone());
        let fits = self.hashing.fits(place, hash, pin).await;
        match known {
            Some((by, hash)) if fits => {
                self.lockout().right(&name);
                let now = self.clock().now();
                Ok(Asked::In(self.sessions().sign_in(&by, &hash, now)?))
            }
            Some(_) | None => Ok(Asked::Wrong),
        }
    }

    /// Signs a phone out.
    pub fn sign_out(&self, cookie: &str) -> Result<(), PhonesError> {
        self.sessions().sign_out(cookie)
    }

    fn sessions(&self) -> MutexGuard<'_, Sessions> {
        self.sessions.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn lockout(&self) -> MutexGuard<'_, Lockout> {
        self.lockout.lock().unwrap_or_else(PoisonError::into_inner)
    }
}
