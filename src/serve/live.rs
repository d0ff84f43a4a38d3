//! The farm in memory, as the diary stands: looked at again when the diary or castlot.toml was written to.

use std::path::Path;
use std::sync::{Arc, Mutex, OnceLock, PoisonError};
use std::time::Duration;

use arc_swap::ArcSwap;
use tokio::sync::Semaphore;
use tokio::time::MissedTickBehavior;

use crate::diary::{Book, DiaryError, Pen, RecordError, Seal, Stand};
use crate::farm::{Farm, Recording, Settings};
use crate::site::{Counter, SiteError, Sought, Stock};

use super::error::ServeError;
use super::kept::{Kept, Key, Page};
use super::surroundings::Surroundings;

/// The farm as the diary stood at one moment.
pub struct Snapshot {
    /// The farm.
    pub farm: Farm,
    /// Its settings.
    pub settings: Arc<Settings>,
    /// The diary's seal.
    pub seal: String,
    /// Worked out behind whoever writes, who need not wait for it.
    counter: OnceLock<Counter>,
    kept: Kept,
}

/// The farm as it stands now.
pub struct Live {
    /// Where the server stands.
    pub surroundings: Surroundings,
    now: ArcSwap<Snapshot>,
    watch: Arc<Mutex<Watch>>,
    /// Pages are made by so many at once, so that those that are kept are answered meanwhile.
    makers: Semaphore,
}

/// What is looked at to see whether anything was written.
struct Watch {
    book: Book,
    /// How the diary stood when the farm in memory was read or written.
    stand: Stand,
    /// The text of castlot.toml.
    settings: Option<Vec<u8>>,
    /// The file itself: a diary that was put in its place is another.
    file: Option<(u64, u64)>,
}

/// How often the diary is looked at.
pub const EVERY: Duration = Duration::from_millis(250);

/// How many pages are made at once.
const MAKERS: usize = 2;

impl Snapshot {
    fn of(farm: Farm, seal: Seal, settings: Arc<Settings>) -> Self {
        Self {
            counter: OnceLock::new(),
            farm,
            settings,
            seal: seal.to_string(),
            kept: Kept::default(),
        }
    }

    fn counter(&self) -> &Counter {
        self.counter.get_or_init(|| Counter::of(&self.farm))
    }

    /// Makes a page, and keeps it.
    fn make(&self, key: Key) -> Result<Page, SiteError> {
        let stock = Stock {
            farm: &self.farm,
            settings: &self.settings,
            seal: &self.seal,
        };
        let (sought, depth): (Sought, usize) = key;
        let bytes = self.counter().page(stock, sought, &"../".repeat(depth))?;
        let page = Page::of(bytes);
        self.kept.put(key, page.clone());
        Ok(page)
    }
}

impl Live {
    /// Reads the farm.
    pub fn open(surroundings: Surroundings) -> Result<Self, ServeError> {
        // What is written from here on is seen at the next look.
        let text = std::fs::read(&surroundings.settings_file).ok();
        let settings = (surroundings.settings)().map_err(|lines| ServeError::Settings { lines })?;
        let book = Book::open(&surroundings.diary)?;
        let file = which(&surroundings.diary);
        let (farm, stand) = book.standing_farm()?;
        let watch = Watch {
            book,
            stand,
            settings: text,
            file,
        };
        let snapshot = Snapshot::of(farm, stand.seal(), Arc::new(settings));
        Ok(Self {
            surroundings,
            now: ArcSwap::from_pointee(snapshot),
            watch: Arc::new(Mutex::new(watch)),
            makers: Semaphore::new(MAKERS),
        })
    }

    /// Returns the farm as it was last seen.
    pub fn snapshot(&self) -> Arc<Snapshot> {
        self.now.load_full()
    }

    /// Looks whether anything was written, and reads the farm again where it was. For whoever has just written; it waits
    /// on the disk, and must not be called where others wait for it.
    pub fn look(&self) {
        let mut watch = self.watch.lock().unwrap_or_else(PoisonError::into_inner);
        if let Err(error) = self.look_at(&mut watch) {
            // The pages stay as they were: better old ones than none.
            (self.surroundings.note)(&format!("the diary could not be read again: {error}"));
        }
    }

    fn look_at(&self, watch: &mut Watch) -> Result<(), DiaryError> {
        let looked = self.read_again(watch);
        if looked.is_err() {
            // What castlot.toml says since was not taken either: it is read again at the next look.
            watch.settings = None;
        }
        looked
    }

    fn read_again(&self, watch: &mut Watch) -> Result<(), DiaryError> {
        let before = self.snapshot();
        let settings = self.settings_again(watch);
        let file = which(&self.surroundings.diary);
        if file != watch.file {
            watch.book = Book::open(&self.surroundings.diary)?;
            watch.file = file;
        } else if settings.is_none() && watch.book.still_stands(&watch.stand)? {
            return Ok(());
        }
        let (farm, stand) = watch.book.standing_farm()?;
        watch.stand = stand;
        let settings = settings.unwrap_or_else(|| Arc::clone(&before.settings));
        let snapshot = Snapshot::of(farm, stand.seal(), settings);
        // Nobody waits for this: until it is done, pages are shown as they were.
        snapshot.counter();
        self.now.store(Arc::new(snapshot));
        Ok(())
    }

    /// Writes what `decide` says of the farm in memory, all or nothing, and shows it from then on; returns what `tell` has
    /// to say of it. Waits for the disk.
    pub fn record<T, E>(
        &self,
        pen: &mut Pen,
        decide: impl Fn(&Farm) -> Result<Recording, E>,
        tell: impl FnOnce(&Recording) -> T,
    ) -> Result<T, RecordError<E>> {
        let mut watch = self.watch.lock().unwrap_or_else(PoisonError::into_inner);
        self.look_at(&mut watch)?;
        let (before, stand) = (self.snapshot(), watch.stand);
        let recorded = watch.book.record_on((&before.farm, stand), pen, decide);
        let (recording, stand) = recorded?;
        watch.stand = stand;
        let told = tell(&recording);
        let settings = Arc::clone(&before.settings);
        let snapshot = Snapshot::of(recording.farm, stand.seal(), settings);
        self.now.store(Arc::new(snapshot));
        Ok(told)
    }

    /// Reads castlot.toml again where it was written to; a broken one is told of, and the old settings stand.
    fn settings_again(&self, watch: &mut Watch) -> Option<Arc<Settings>> {
        // Compared by its text: two writes of one second may have the same time.
        let text = std::fs::read(&self.surroundings.settings_file).ok();
        if text == watch.settings {
            return None;
        }
        watch.settings = text;
        match (self.surroundings.settings)() {
            Ok(settings) => Some(Arc::new(settings)),
            Err(lines) => {
                let note = self.surroundings.note;
                lines.iter().for_each(|line| note(line));
                note("castlot.toml is read as it was before, until that is put right");
                None
            }
        }
    }

    /// Looks at the diary again and again.
    pub async fn watch(self: Arc<Self>) {
        let mut ticks = tokio::time::interval(EVERY);
        ticks.set_missed_tick_behavior(MissedTickBehavior::Delay);
        loop {
            ticks.tick().await;
            let live = Arc::clone(&self);
            // A look that failed for want of a thread is made at the next tick.
            let look = move || {
                live.look();
                live.snapshot().counter();
            };
            let _ = tokio::task::spawn_blocking(look).await;
        }
    }

    /// Returns a page of a snapshot: a kept one, or one made now.
    pub async fn page(&self, snapshot: &Arc<Snapshot>, key: Key) -> Result<Page, SiteError> {
        if let Some(page) = snapshot.kept.get(&key) {
            return Ok(page);
        }
        let turn = self.makers.acquire().await;
        let _turn = turn.expect("the semaphore is never closed");
        // Whoever was before may have made it.
        if let Some(page) = snapshot.kept.get(&key) {
            return Ok(page);
        }
        let snapshot = Arc::clone(snapshot);
        let made = tokio::task::spawn_blocking(move || snapshot.make(key)).await;
        made.unwrap_or_else(|died| std::panic::resume_unwind(died.into_panic()))
    }
}

/// Returns what tells a file from another that is put in its place.
#[cfg(unix)]
fn which(file: &Path) -> Option<(u64, u64)> {
    use std::os::unix::fs::MetadataExt;
    let file = std::fs::metadata(file).ok()?;
    Some((file.dev(), file.ino()))
}

/// Elsewhere a file that is open cannot be put another in the place of.
#[cfg(not(unix))]
fn which(_file: &Path) -> Option<(u64, u64)> {
    None
}
