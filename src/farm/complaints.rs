//! Complaints by name: who gets which, which stand, and which are settled.
//!
//! A complaint that was written down before complaints had names is called by its turn: `call-1`, `call-2`. A name that
//! was given stays given, whatever is struck later.

use std::collections::BTreeSet;

use super::bin_code::Mark;
use super::entry::{Draft, EntryNumber, Event};
use super::farm::Farm;
use super::fold::{Fold, Site};
use super::moment::Moment;
use super::naming::{Meant, Naming};
use super::refusal::Refusal;

/// A complaint that stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Complaint {
    /// Its name.
    pub name: Mark,
    /// The entry that took it, as its place in `Farm::entries`.
    pub entry: usize,
    /// When it was taken.
    pub when: Moment,
    /// Whether its taking has been reached in the order of events.
    pub(super) taken: bool,
    /// The entries that settled it, as places in `Farm::entries`, in the order of events.
    pub settled: Vec<usize>,
}

impl Complaint {
    /// Tells whether nobody has settled it.
    pub fn is_open(&self) -> bool {
        self.settled.is_empty()
    }
}

impl Farm {
    /// Returns the complaints that stand, in the order of recording.
    pub fn complaints(&self) -> &[Complaint] {
        &self.complaints
    }

    /// Returns the complaint of that name.
    pub fn complaint(&self, name: &Mark) -> Option<&Complaint> {
        self.complaints
            .iter()
            .find(|complaint| complaint.name == *name)
    }

    /// Returns the name of the complaint that an entry took, struck or not, by the entry's number.
    pub fn complaint_name(&self, entry: EntryNumber) -> Option<&Mark> {
        let place = usize::try_from(entry.checked_sub(1)?).ok()?;
        self.complaint_names.get(&place)
    }

    /// Lets a complaint that is put right keep its name, where the replacement gives none.
    pub(super) fn keep_name(&self, struck: EntryNumber, event: &mut Event<Meant>) {
        if let Event::Complaint { facts, .. } = event
            && facts.name.is_none()
        {
            facts.name = self.complaint_name(struck).cloned();
        }
    }
}

/// The names that complaints have, and the next one to be given.
#[derive(Debug)]
pub(super) struct NamesOfComplaints {
    used: BTreeSet<Mark>,
    next: u32,
}

impl NamesOfComplaints {
    /// Knows the names a farm has given, those of struck complaints too.
    pub(super) fn of(farm: &Farm) -> Self {
        Self {
            used: farm.complaint_names.values().cloned().collect(),
            next: 1,
        }
    }

    /// Keeps the names that drafts ask for from being given to others of them.
    pub(super) fn reserve(&mut self, drafts: &[Draft]) {
        let asked = drafts.iter().filter_map(|draft| name(&draft.event));
        self.used.extend(asked.cloned());
    }

    /// Names a complaint that has no name.
    pub(super) fn name(&mut self, event: &mut Event<Meant>) {
        if let Event::Complaint { facts, .. } = event
            && facts.name.is_none()
        {
            facts.name = Some(self.give());
        }
    }

    fn give(&mut self) -> Mark {
        loop {
            let name: Mark = format!("call-{}", self.next)
                .parse()
                .expect("a word, a hyphen and a number are a mark");
            self.next += 1;
            if self.used.insert(name.clone()) {
                return name;
            }
        }
    }
}

fn name<N: Naming>(event: &Event<N>) -> Option<&Mark> {
    match event {
        Event::Complaint { facts, .. } => facts.name.as_ref(),
        _ => None,
    }
}

impl Fold {
    /// Gathers the complaints and their names, in the order of recording.
    pub(super) fn gather_complaints(&mut self) {
        let mut names = NamesOfComplaints::of(&self.farm);
        for place in 0..self.farm.entries.len() {
            let entry = &self.farm.entries[place];
            let Some(event @ Event::Complaint { .. }) = &entry.event else {
                continue;
            };
            let when = entry.when;
            let struck = entry.strikes.as_ref().map(|strike| strike.entry);
            let kept = struck.and_then(|struck| self.farm.complaint_name(struck));
            let name = match name(event).or(kept) {
                Some(name) => name.clone(),
                None => names.give(),
            };
            names.used.insert(name.clone());
            self.farm.complaint_names.insert(place, name.clone());
            if self.farm.struck[place].is_some() {
                continue;
            }
            if self.farm.complaint(&name).is_some() {
                self.fault(place, Refusal::ComplaintTaken { name });
                continue;
            }
            self.farm.complaints.push(Complaint {
                name,
                entry: place,
                when,
                taken: false,
                settled: Vec::new(),
            });
        }
    }

    /// Tells whether a complaint has been taken by now.
    pub(super) fn is_taken(&self, name: &Mark) -> bool {
        self.farm
            .complaint(name)
            .is_some_and(|complaint| complaint.taken)
    }

    /// Notes that a complaint has been reached in the order of events.
    pub(super) fn take_complaint(&mut self, site: Site) {
        let mut all = self.farm.complaints.iter_mut();
        if let Some(complaint) = all.find(|complaint| complaint.entry == site.entry) {
            complaint.taken = true;
        }
    }

    /// Settles a complaint; one that was settled before is settled once more.
    pub(super) fn settle(&mut self, site: Site, name: &Mark) {
        let mut all = self.farm.complaints.iter_mut();
        let refusal = match all.find(|complaint| complaint.name == *name) {
            Some(complaint) if complaint.taken => {
                complaint.settled.push(site.entry);
                return;
            }
            Some(complaint) => Refusal::NotYetTaken {
                name: name.clone(),
                taken: complaint.when,
            },
            None => Refusal::NoSuchComplaint { name: name.clone() },
        };
        self.fault(site.entry, refusal);
    }
}

#[cfg(test)]
#[path = "complaints_test.rs"]
mod tests;
