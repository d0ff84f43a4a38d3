//! Forms that were sent, by their keys, so that each is recorded once however often it comes.
//!
//! What is to be written is noted before the diary is touched, with the exact instant that its entries will bear; and
//! noted as done after. Whatever stops the server in between, the diary tells whether it was written: by that instant,
//! which no two forms share.

use std::collections::{HashMap, HashSet};
use std::sync::{Mutex, MutexGuard, PoisonError};

use jiff::{SignedDuration, Timestamp};
use serde::{Deserialize, Serialize};

use super::form_key::FormKey;
use super::instant;
use super::journal::Journal;
use super::phones::{Phones, PhonesError};
use crate::farm::{Entry, EntryNumber, Word};

/// Forms that were sent.
#[derive(Debug)]
pub struct Sent {
    // What is behind the lock is whole between any two calls: a form that broke off is one that is not known to be done.
    forms: Mutex<Forms>,
}

#[derive(Debug)]
struct Forms {
    journal: Journal,
    by_key: HashMap<String, Form>,
    /// The instants that were given to forms.
    taken: HashSet<Timestamp>,
}

/// A form, as it is remembered.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Form {
    content: String,
    written: Timestamp,
    /// The entries that came of it, where it is known that they were written.
    entries: Option<Vec<EntryNumber>>,
}

/// A line of the file.
#[derive(Debug, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
enum Line {
    Begun {
        key: String,
        content: String,
        #[serde(with = "instant")]
        written: Timestamp,
    },
    Done {
        key: String,
        entries: Vec<EntryNumber>,
    },
}

/// What came of a form.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Once {
    /// It was recorded now.
    Recorded(Vec<EntryNumber>),
    /// It was recorded when it came before, and nothing was done now.
    RecordedBefore(Vec<EntryNumber>),
    /// Another form had the same key; nothing was done.
    OtherContent,
}

/// What is known of a form that comes.
#[derive(Clone, Debug, PartialEq, Eq)]
enum Known {
    /// It was never seen.
    New,
    /// It was begun, and what became of it stands in the diary alone.
    Begun,
    /// It was written.
    Done(Vec<EntryNumber>),
}

/// The file's name in the folder.
const FILE: &str = "sent.jsonl";

/// Keys are remembered for longer than a form may be kept on a phone.
const REMEMBERED: SignedDuration = SignedDuration::from_hours(24 * 60);
const _: () = assert!(REMEMBERED.as_hours() > 24 * super::form_key::MOST_DAYS);

impl Sent {
    /// Reads which forms came, and writes the file anew without those that are too old to come again.
    pub fn open(phones: &Phones, now: Timestamp) -> Result<Self, PhonesError> {
        let mut by_key: HashMap<String, Form> = HashMap::new();
        for line in Journal::read(phones, FILE)? {
            match line {
                Line::Begun {
                    key,
                    content,
                    written,
                } => {
                    let form = Form {
                        content,
                        written,
                        entries: None,
                    };
                    by_key.insert(key, form);
                }
                Line::Done { key, entries } => {
                    if let Some(form) = by_key.get_mut(&key) {
                        form.entries = Some(entries);
                    }
                }
            }
        }
        by_key.retain(|_, form| now.duration_since(form.written) < REMEMBERED);
        let lines: Vec<Line> = by_key.iter().flat_map(lines_of).collect();
        let taken = by_key.values().map(|form| form.written).collect();
        let forms = Forms {
            journal: Journal::begin(phones, FILE, &lines)?,
            by_key,
            taken,
        };
        Ok(Self {
            forms: Mutex::new(forms),
        })
    }

    /// Records a form, unless it was recorded before. Waits for the disk, and for another form that is being recorded.
    ///
    /// `content` is the digest of what it says and who says it. `look` tells which entries of the diary were written at
    /// an instant (see [`entries_written`]), and must read the diary itself; it is asked only where a form was begun and
    /// never known to be done. `record` writes the entries with the instant it is given, all or none, and returns them.
    pub fn once<E: From<PhonesError>>(
        &self,
        key: &FormKey,
        content: &str,
        now: Timestamp,
        look: impl FnOnce(Timestamp) -> Result<Vec<EntryNumber>, E>,
        record: impl FnOnce(Timestamp) -> Result<Vec<EntryNumber>, E>,
    ) -> Result<Once, E> {
        let mut forms = self.forms();
        let key = key.to_string();
        let before = forms.by_key.get(&key).cloned();
        let known = match &before {
            None => Known::New,
            Some(form) => match &form.entries {
                Some(entries) => Known::Done(entries.clone()),
                None => Known::Begun,
            },
        };
        let same = before.as_ref().is_none_or(|form| form.content == content);
        let written = match (known, before) {
            (Known::Done(entries), _) => entries,
            (Known::Begun, Some(form)) => look(form.written)?,
            (Known::Begun | Known::New, _) => Vec::new(),
        };
        if !written.is_empty() {
            forms.done(&key, &written);
            return Ok(match same {
                true => Once::RecordedBefore(written),
                false => Once::OtherContent,
            });
        }
        let instant = forms.begin(&key, content, now)?;
        // Refused or broken off, it stays begun: only the diary knows for sure that nothing was written.
        let entries = record(instant)?;
        forms.done(&key, &entries);
        Ok(Once::Recorded(entries))
    }

    fn forms(&self) -> MutexGuard<'_, Forms> {
        self.forms.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Forms {
    /// Notes that a form is about to be written, and returns the instant that its entries are to bear.
    fn begin(
        &mut self,
        key: &str,
        content: &str,
        now: Timestamp,
    ) -> Result<Timestamp, PhonesError> {
        let written = self.free(now);
        self.journal.append(&Line::Begun {
            key: key.to_owned(),
            content: content.to_owned(),
            written,
        })?;
        self.taken.insert(written);
        let form = Form {
            content: content.to_owned(),
            written,
            entries: None,
        };
        self.by_key.insert(key.to_owned(), form);
        Ok(written)
    }

    /// Returns the first instant from now on that no form bears. Not simply one after the last: where the clock was ahead
    /// once and is put right, what is recorded then is of today all the same.
    fn free(&self, now: Timestamp) -> Timestamp {
        let mut free = now;
        while self.taken.contains(&free) {
            let Ok(next) = free.checked_add(SignedDuration::from_nanos(1)) else {
                break;
            };
            free = next;
        }
        free
    }

    /// Notes that a form was written.
    fn done(&mut self, key: &str, entries: &[EntryNumber]) {
        let Some(form) = self.by_key.get_mut(key) else {
            return;
        };
        if form.entries.is_none() {
            form.entries = Some(entries.to_vec());
            // Where this cannot be kept, the diary is asked after a restart.
            let _ = self.journal.append(&Line::Done {
                key: key.to_owned(),
                entries: entries.to_vec(),
            });
        }
    }
}

fn lines_of((key, form): (&String, &Form)) -> Vec<Line> {
    let begun = Line::Begun {
        key: key.clone(),
        content: form.content.clone(),
        written: form.written,
    };
    let done = form.entries.clone().map(|entries| Line::Done {
        key: key.clone(),
        entries,
    });
    std::iter::once(begun).chain(done).collect()
}

/// Returns the entries that were written at exactly an instant by a worker, with those that castlot wrote beside them by
/// nobody: what came of a form. A name that was forgotten since may have been theirs.
pub fn entries_written(entries: &[Entry], written: Timestamp, by: &Word) -> Vec<EntryNumber> {
    let is_by = |entry: &Entry| match &entry.by {
        Some(word) => word == by || word.said().is_none(),
        None => false,
    };
    let of_form = || {
        let at_once = entries.iter().filter(|entry| entry.written == written);
        at_once.filter(|entry| entry.by.is_none() || is_by(entry))
    };
    let is_theirs = of_form().any(is_by);
    let numbers = of_form().map(|entry| entry.number);
    numbers.filter(|_| is_theirs).collect()
}

#[cfg(test)]
#[path = "sent_test.rs"]
mod sent_test;
