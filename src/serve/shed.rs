//! What is behind the sign-in: the door, the feeds in use, and the day as it was last worked out.

use std::sync::{Arc, Mutex, PoisonError, Weak};

use jiff::civil::Date;

use super::chosen::Chosen;
use super::clock::Clock;
use super::door::{Door, DoorOptions};
use super::error::ServeError;
use super::frame::Worker;
use super::live::{Live, Snapshot};
use super::phones::{Phones, PhonesError};
use super::signed_in::SignedIn;
use super::today::Today;

/// The shed's side of the server.
pub struct Shed {
    /// Who may come in.
    pub door: Arc<Door>,
    /// What each feeds from.
    pub chosen: Chosen,
    today: Mutex<Kept>,
}

/// The day as it was last worked out, and of which snapshot.
#[derive(Default)]
struct Kept {
    of: Weak<Snapshot>,
    today: Option<Arc<Today>>,
}

impl Shed {
    /// Opens it on a farm.
    pub fn open(phones: &Phones, live: &Live, tls: bool) -> Result<Self, ServeError> {
        let options = DoorOptions {
            clock: Clock::of(live.surroundings.now),
            farm: live.snapshot().settings.name.clone(),
            tls,
        };
        Ok(Self {
            door: Arc::new(Door::open(phones, options)?),
            chosen: Chosen::open(phones)?,
            today: Mutex::default(),
        })
    }

    /// Returns the farm's rack side as it is now; worked out anew where the diary or the day is another.
    pub fn today(&self, snapshot: &Arc<Snapshot>) -> Arc<Today> {
        let day = self.day(snapshot);
        let mut kept = self.today.lock().unwrap_or_else(PoisonError::into_inner);
        let same = kept
            .of
            .upgrade()
            .is_some_and(|of| Arc::ptr_eq(&of, snapshot));
        if let Some(today) = kept.today.as_ref().filter(|today| same && today.day == day) {
            return Arc::clone(today);
        }
        let today = Arc::new(Today::of(&snapshot.farm, &snapshot.settings, day));
        *kept = Kept {
            of: Arc::downgrade(snapshot),
            today: Some(Arc::clone(&today)),
        };
        today
    }

    fn day(&self, snapshot: &Snapshot) -> Date {
        let now = self.door.clock().now();
        snapshot.settings.zone.to_datetime(now).date()
    }

    /// Returns who looks at a page, with a key for the forms of it.
    pub fn worker(&self, by: &SignedIn) -> Result<Worker, PhonesError> {
        Ok(Worker {
            by: by.initials.to_string(),
            token: by.token.as_str().to_owned(),
            key: by.key(&self.door)?,
        })
    }
}
