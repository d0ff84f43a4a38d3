//! The file `phones/pins.toml`: a worker's initials and the hash of their PIN, a line each.

use std::collections::BTreeMap;
use std::fs;
use std::sync::{Arc, Mutex, PoisonError};

use jiff::Timestamp;

use super::initials::Initials;
use super::phones::{Phones, PhonesError, failed};
use super::pin::PinHash;

/// The workers who have a PIN.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Pins {
    /// By their initials in capitals.
    by: BTreeMap<String, (Initials, PinHash)>,
}

/// The file's name in the folder.
const FILE: &str = "pins.toml";

/// Locked while the file is read and written anew.
const LOCK: &str = "pins.lock";

const HEAD: &str = "# Hashes of the PINs of the shed's phones. `castlot pin` writes them.\n\n";

impl Pins {
    /// Reads the file; where there is none, nobody has a PIN.
    pub fn read(phones: &Phones) -> Result<Self, PhonesError> {
        let not_pins = || PhonesError::NotPins {
            path: phones.file(FILE),
        };
        let bytes = phones.read(FILE)?.unwrap_or_default();
        let text = std::str::from_utf8(&bytes).map_err(|_| not_pins())?;
        let lines: BTreeMap<String, String> = toml::from_str(text).map_err(|_| not_pins())?;
        let mut pins = Self::default();
        for (initials, hash) in lines {
            let initials: Initials = initials.parse().map_err(|_| not_pins())?;
            let hash = PinHash::read(&hash).ok_or_else(not_pins)?;
            pins.set(initials, hash);
        }
        Ok(pins)
    }

    /// Changes the file, with nobody in between.
    pub fn change<T>(
        phones: &Phones,
        change: impl FnOnce(&mut Self) -> T,
    ) -> Result<T, PhonesError> {
        let _lock = phones.lock(LOCK)?;
        let mut pins = Self::read(phones)?;
        let changed = change(&mut pins);
        phones.replace(FILE, pins.text().as_bytes())?;
        Ok(changed)
    }

    fn text(&self) -> String {
        let lines: BTreeMap<String, &str> = self
            .by
            .values()
            .map(|(initials, hash)| (initials.to_string(), hash.as_str()))
            .collect();
        let lines = toml::to_string(&lines).expect("a table of texts is TOML");
        format!("{HEAD}{lines}")
    }

    /// Gives a worker a PIN, in place of any they had.
    pub fn set(&mut self, initials: Initials, hash: PinHash) {
        self.by.insert(initials.key(), (initials, hash));
    }

    /// Takes a worker's PIN away, and tells whether there was one.
    pub fn forget(&mut self, initials: &Initials) -> bool {
        self.by.remove(&initials.key()).is_some()
    }

    /// Returns a worker's initials as the farm writes them, and the hash of their PIN.
    pub fn of(&self, initials: &Initials) -> Option<&(Initials, PinHash)> {
        self.by.get(&initials.key())
    }

    /// Returns who has a PIN, in order.
    pub fn workers(&self) -> impl Iterator<Item = &Initials> {
        self.by.values().map(|(initials, _)| initials)
    }
}

/// The file as a server sees it: read again whenever it was written anew.
#[derive(Debug)]
pub struct PinsFile {
    phones: Phones,
    last: Mutex<(Option<Mark>, Arc<Pins>)>,
}

/// By what a file that was written anew is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Mark {
    length: u64,
    modified: Option<Timestamp>,
    /// A file that takes another's name has a number of its own.
    number: u64,
}

impl PinsFile {
    /// Looks at the file of a folder.
    pub fn of(phones: Phones) -> Self {
        Self {
            phones,
            last: Mutex::default(),
        }
    }

    /// Returns the PINs as they stand now. One that cannot be read lets nobody in.
    pub fn now(&self) -> Result<Arc<Pins>, PhonesError> {
        let mark = self.mark()?;
        // What is behind the lock is replaced whole, so it is sound whoever broke off.
        let mut last = self.last.lock().unwrap_or_else(PoisonError::into_inner);
        if last.0 != mark {
            *last = (mark, Arc::new(Pins::read(&self.phones)?));
        }
        Ok(Arc::clone(&last.1))
    }

    fn mark(&self) -> Result<Option<Mark>, PhonesError> {
        let path = self.phones.file(FILE);
        match fs::metadata(&path) {
            Ok(found) => Ok(Some(Mark {
                length: found.len(),
                modified: found.modified().ok().and_then(|at| at.try_into().ok()),
                number: number(&found),
            })),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => Ok(None),
            Err(source) => Err(failed(&path, source)),
        }
    }
}

#[cfg(unix)]
fn number(found: &fs::Metadata) -> u64 {
    std::os::unix::fs::MetadataExt::ino(found)
}

#[cfg(not(unix))]
fn number(_: &fs::Metadata) -> u64 {
    0
}

#[cfg(test)]
mod tests {
    use super::*;

    fn initials(text: &str) -> Initials {
        text.parse().unwrap()
    }

    #[test]
    fn a_pin_is_kept_changed_and_taken_away_while_a_server_looks_on() {
        let farm = tempfile::tempdir().unwrap();
        let phones = Phones::of(farm.path());
        let file = PinsFile::of(phones.clone());
        assert_eq!(*file.now().unwrap(), Pins::default());
        let hash = PinHash::of(&"407193".parse().unwrap()).unwrap();
        let other = PinHash::of(&"407194".parse().unwrap()).unwrap();
        Pins::change(&phones, |pins| pins.set(initials("MV"), hash.clone())).unwrap();
        Pins::change(&phones, |pins| pins.set(initials("Zoë O'N"), other.clone())).unwrap();
        let now = file.now().unwrap();
        assert_eq!(now.of(&initials("mv")), Some(&(initials("MV"), hash)));
        let workers: Vec<String> = now.workers().map(ToString::to_string).collect();
        assert_eq!(workers, ["MV", "Zoë O'N"]);
        Pins::change(&phones, |pins| pins.set(initials("mv"), other.clone())).unwrap();
        assert_eq!(
            file.now().unwrap().of(&initials("MV")),
            Some(&(initials("mv"), other))
        );
        assert!(Pins::change(&phones, |pins| pins.forget(&initials("MV"))).unwrap());
        assert_eq!(file.now().unwrap().of(&initials("MV")), None);
        assert!(!Pins::change(&phones, |pins| pins.forget(&initials("MV"))).unwrap());
    }

    #[test]
    fn a_file_that_somebody_spoilt_lets_nobody_in_and_is_not_written_over() {
        let farm = tempfile::tempdir().unwrap();
        let phones = Phones::of(farm.path());
        for spoilt in ["MV = \"407193\"\n", "MV = 407193\n", "MV", "\u{0}"] {
            phones.replace(FILE, spoilt.as_bytes()).unwrap();
            assert!(PinsFile::of(phones.clone()).now().is_err(), "{spoilt}");
            assert!(Pins::change(&phones, |_| ()).is_err(), "{spoilt}");
            assert_eq!(phones.read(FILE).unwrap().unwrap(), spoilt.as_bytes());
        }
    }
}
