//! The rule of every recording: given the farm as it is, the entries to write, or why not.
//!
//! What is new is judged in its place among all that was recorded before; it is refused if it is wrong
//! there, or if an entry recorded before would then be wrong or mean another bed.

use std::collections::HashSet;

use jiff::Timestamp;

use super::allot::{Allotter, Lookup};
use super::code::LotCode;
use super::complaints::NamesOfComplaints;
use super::entry::{Draft, Entry, EntryNumber, Event, Strike};
use super::farm::Farm;
use super::moment::Moment;
use super::naming::Meant;
use super::refusal::Refusal;
use super::warning::Warning;
use super::word::Word;

/// What is to be written, and the farm as it will be.
#[derive(Clone, Debug)]
pub struct Recording {
    /// The farm with the new entries in it.
    pub farm: Farm,
    /// How many entries it had before; what comes after is new.
    pub before: usize,
}

/// Something wrong with what was to be recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct Problem {
    /// Which draft, counted from 0; `None` where it cannot be laid at one's door.
    pub draft: Option<usize>,
    /// What is wrong.
    pub refusal: Refusal,
}

/// Who writes, and when.
#[derive(Clone, Debug, PartialEq)]
pub struct Stamp {
    /// The instant of writing.
    pub written: Timestamp,
    /// The minute, in the farm's own time.
    pub now: Moment,
    /// Who.
    pub by: Option<Word>,
}

impl Recording {
    /// Returns the new entries.
    pub fn entries(&self) -> &[Entry] {
        &self.farm.entries()[self.before..]
    }

    /// Adds drafts that go with it to what is to be written, or says why they cannot.
    pub fn and(&self, drafts: Vec<Draft>, written: Timestamp) -> Result<Self, Vec<Problem>> {
        let farm = self.farm.record(drafts, written)?.farm;
        let before = self.before;
        Ok(Self { farm, before })
    }

    /// Returns what was let pass with a word about the new entries.
    pub fn warnings(&self) -> impl Iterator<Item = (usize, &Warning)> {
        let before = self.before;
        self.farm
            .warnings()
            .iter()
            .filter(move |(entry, _)| *entry >= before)
            .map(move |(entry, w)| (entry - before, w))
    }
}

impl Farm {
    /// Judges drafts, all of which are recorded or none.
    pub fn record(
        &self,
        drafts: Vec<Draft>,
        written: Timestamp,
    ) -> Result<Recording, Vec<Problem>> {
        let mut allotter = Allotter::of(self);
        let codes: Vec<Option<LotCode>> = drafts
            .iter()
            .enumerate()
            .map(|(i, draft)| allotter.allot(i, draft))
            .collect();
        let mut names = NamesOfComplaints::of(self);
        names.reserve(&drafts);
        let mut entries = self.entries().to_vec();
        let before = entries.len();
        entries.reserve(drafts.len());
        for (i, (draft, code)) in drafts.into_iter().zip(codes).enumerate() {
            let mut lookup = Lookup {
                allotter: &mut allotter,
                draft: i,
            };
            let mut event = draft.event.meant(code, &mut lookup);
            names.name(&mut event);
            entries.push(Entry {
                number: next_number(&entries),
                when: draft.when,
                written,
                by: draft.by,
                note: draft.note,
                strikes: None,
                event: Some(event),
            });
        }
        if allotter.problems.is_empty() {
            self.judge(entries, before)
        } else {
            Err(allotter.problems)
        }
    }

    /// Draws a line through an entry.
    pub fn strike(&self, strike: Strike, stamp: &Stamp) -> Result<Recording, Vec<Problem>> {
        let struck = self.strikable(strike.entry).map_err(alone)?;
        if let Some(code) = struck.made() {
            let names = |entry: &&Entry| {
                entry
                    .event
                    .as_ref()
                    .is_some_and(|event| event.lots_named().contains(&code))
            };
            let standing = self.order().iter().map(|place| &self.entries()[*place]);
            let mut named_by: Vec<EntryNumber> =
                standing.filter(names).map(|entry| entry.number).collect();
            named_by.sort_unstable();
            if !named_by.is_empty() {
                return Err(alone(Refusal::StillNamed {
                    entry: strike.entry,
                    code,
                    named_by,
                }));
            }
        }
        self.add(stamp.now, None, strike, None, stamp)
    }

    /// Strikes an entry out and puts a replacement in its place, which keeps its code.
    pub fn correct(
        &self,
        strike: Strike,
        draft: Draft,
        stamp: &Stamp,
    ) -> Result<Recording, Vec<Problem>> {
        let struck = self.strikable(strike.entry).map_err(alone)?;
        let same = struck
            .event
            .as_ref()
            .is_some_and(|event| kind(event) == kind(&draft.event));
        if !same {
            return Err(alone(Refusal::OtherKind {
                entry: strike.entry,
            }));
        }
        let code = struck.made();
        let mut allotter = Allotter::of(self);
        allotter.free(struck);
        if let (Some(code), Some(mark)) =
            (code, draft.event.makes().and_then(|lot| lot.mark.clone()))
        {
            allotter.mark(0, mark, code);
        }
        let mut lookup = Lookup {
            allotter: &mut allotter,
            draft: 0,
        };
        let mut event = draft.event.meant(code, &mut lookup);
        self.keep_name(strike.entry, &mut event);
        if !allotter.problems.is_empty() {
            return Err(allotter.problems);
        }
        self.add(draft.when, draft.note, strike, Some(event), stamp)
    }

    /// Returns the number of the last entry written by somebody and not struck since.
    pub fn last_by(&self, by: Option<&Word>) -> Result<EntryNumber, Refusal> {
        let mine = |entry: &&Entry| {
            entry.by.as_ref() == by
                && entry.event.is_some()
                && self.struck_by(entry.number).is_none()
        };
        let last = self
            .entries()
            .iter()
            .rev()
            .find(mine)
            .map(|entry| entry.number);
        last.ok_or_else(|| Refusal::NothingToUndo {
            by: by.map(ToString::to_string).unwrap_or_default(),
        })
    }

    fn strikable(&self, number: EntryNumber) -> Result<&Entry, Refusal> {
        let entry = self
            .entry(number)
            .ok_or(Refusal::NoSuchEntry { entry: number })?;
        match (self.struck_by(number), &entry.event) {
            (Some(by), _) => Err(Refusal::AlreadyStruck { entry: number, by }),
            (None, None) => Err(Refusal::StrikesOnly { entry: number }),
            (None, Some(_)) => Ok(entry),
        }
    }

    fn add(
        &self,
        when: Moment,
        note: Option<Word>,
        strike: Strike,
        event: Option<Event<Meant>>,
        stamp: &Stamp,
    ) -> Result<Recording, Vec<Problem>> {
        let mut entries = self.entries().to_vec();
        let before = entries.len();
        let (number, by) = (next_number(&entries), stamp.by.clone());
        entries.push(Entry {
            number,
            when,
            written: stamp.written,
            by,
            note,
            strikes: Some(strike),
            event,
        });
        self.judge(entries, before)
    }

    /// Adds everything up and looks for what is wrong now that was not before.
    fn judge(&self, entries: Vec<Entry>, before: usize) -> Result<Recording, Vec<Problem>> {
        let farm = Self::of(entries);
        let known: HashSet<(usize, String)> = self
            .faults()
            .iter()
            .map(|f| (f.entry, f.refusal.to_string()))
            .collect();
        let only = (farm.entries().len() - before == 1).then_some(0);
        let new = farm
            .faults()
            .iter()
            .filter(|f| f.entry >= before || !known.contains(&(f.entry, f.refusal.to_string())));
        let problems: Vec<Problem> = new
            .map(|fault| match fault.entry.checked_sub(before) {
                Some(draft) => Problem {
                    draft: Some(draft),
                    refusal: fault.refusal.clone(),
                },
                None => Problem {
                    draft: only,
                    refusal: upsets(&farm, fault),
                },
            })
            .collect();
        if problems.is_empty() {
            Ok(Recording { farm, before })
        } else {
            Err(problems)
        }
    }
}

fn upsets(farm: &Farm, fault: &super::farm::Fault) -> Refusal {
    Refusal::Upsets {
        entry: farm.entries()[fault.entry].number,
        why: Box::new(fault.refusal.clone()),
    }
}

fn alone(refusal: Refusal) -> Vec<Problem> {
    vec![Problem {
        draft: Some(0),
        refusal,
    }]
}

fn next_number(entries: &[Entry]) -> EntryNumber {
    EntryNumber::try_from(entries.len() + 1).expect("entries are numbered in 32 bits")
}

fn kind<N: super::naming::Naming>(event: &Event<N>) -> &'static str {
    event.noun().word()
}
