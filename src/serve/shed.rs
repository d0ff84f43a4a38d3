//! What is behind the sign-in: the door, the feeds in use, and the day as it was last worked out.

use std::sync::{Arc, Mutex, OnceLock, PoisonError, Weak};

use jiff::civil::Date;
use tokio::sync::Semaphore;

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
    /// Photos are looked at one at a time.
    pub photos: Semaphore,
    today: Mutex<Kept>,
}

/// The day that was asked for last, and of which snapshot; worked out by whoever comes first, while others of the same day
/// and snapshot wait, and nobody else does.
#[derive(Default)]
struct Kept {
    of: Weak<Snapshot>,
    day: Option<Date>,
    today: Arc<OnceLock<Arc<Today>>>,
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
            photos: Semaphore::const_new(1),
            today: Mutex::default(),
        })
    }

    /// Returns the farm's rack side as it is now; worked out anew where the diary or the day is another.
    pub fn today(&self, snapshot: &Arc<Snapshot>) -> Arc<Today> {
        let day = self.day(snapshot);
        let today = self.place_for(snapshot, day);
        let today =
            today.get_or_init(|| Arc::new(Today::of(&snapshot.farm, &snapshot.settings, day)));
        Arc::clone(today)
    }

    fn place_for(&self, snapshot: &Arc<Snapshot>, day: Date) -> Arc<OnceLock<Arc<Today>>> {
        let mut kept = self.today.lock().unwrap_or_else(PoisonError::into_inner);
        // The address of one that is gone may be another's by now, so it is asked whether it is there still.
        let of = kept.of.upgrade();
        let is_same = of.is_some_and(|of| Arc::ptr_eq(&of, snapshot)) && kept.day == Some(day);
        if !is_same {
            *kept = Kept {
                of: Arc::downgrade(snapshot),
                day: Some(day),
                today: Arc::default(),
            };
        }
        Arc::clone(&kept.today)
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
