//! The feed that each worker has chosen, kept beside their PINs, so that a phone that was put away still knows it.

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

use crate::farm::LotCode;

use super::initials::Initials;
use super::phones::{Phones, PhonesError};

/// Who has chosen which lot.
#[derive(Debug)]
pub struct Chosen {
    phones: Phones,
    // Changed in one step, so it is sound whoever broke off.
    by_worker: Mutex<BTreeMap<String, String>>,
}

/// The file's name in the folder.
const FILE: &str = "in-use.json";

impl Chosen {
    /// Reads what was chosen. A file that does not read is no loss: it is chosen again.
    ///
    /// # Errors
    /// Where the file is there and cannot be opened.
    pub fn open(phones: &Phones) -> Result<Self, PhonesError> {
        let bytes = phones.read(FILE)?.unwrap_or_default();
        let by_worker = serde_json::from_slice(&bytes).unwrap_or_default();
        Ok(Self {
            phones: phones.clone(),
            by_worker: Mutex::new(by_worker),
        })
    }

    /// Returns what a worker has chosen.
    pub fn of(&self, worker: &Initials) -> Option<LotCode> {
        let all = self.all();
        all.get(&worker.key()).and_then(|code| code.parse().ok())
    }

    /// Notes what a worker chooses: a lot, or what each bed had last.
    ///
    /// # Errors
    /// Where it cannot be kept.
    pub fn choose(&self, worker: &Initials, lot: Option<LotCode>) -> Result<(), PhonesError> {
        let mut all = self.all();
        match lot {
            Some(lot) => all.insert(worker.key(), lot.to_string()),
            None => all.remove(&worker.key()),
        };
        let text = serde_json::to_vec(&*all).expect("texts write as JSON");
        self.phones.replace(FILE, &text)
    }

    fn all(&self) -> MutexGuard<'_, BTreeMap<String, String>> {
        self.by_worker
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_worker_chose_is_known_after_a_restart() {
        let farm = tempfile::tempdir().expect("a folder");
        let phones = Phones::of(farm.path());
        let worker = |text: &str| text.parse::<Initials>().expect("initials");
        let lot: LotCode = "H26115-02-W".parse().expect("a code");
        let open = || Chosen::open(&phones).expect("it opens");
        assert_eq!(open().of(&worker("MV")), None);
        open().choose(&worker("MV"), Some(lot)).expect("it is kept");
        assert_eq!(open().of(&worker("mv")), Some(lot));
        assert_eq!(open().of(&worker("NT")), None);
        open().choose(&worker("MV"), None).expect("it is kept");
        assert_eq!(open().of(&worker("MV")), None);
        phones.replace(FILE, b"{half").expect("it is written");
        assert_eq!(open().of(&worker("MV")), None);
    }
}
