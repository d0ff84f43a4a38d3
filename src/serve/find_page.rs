//! The page on which anything can be looked up: a code, a mark, a bin, half a code, or the text that a scanner types.

use askama::Template;

use crate::desk::candidates::{Candidate, Wanted, found};
use crate::desk::half_code::HalfCode;
use crate::desk::{Finder, Lost, Subject, called};
use crate::farm::{Farm, LotCode, LotId, LotSort, Serial};

use super::frame::{Frame, Worker};
use super::photo::PhotoError;
use super::today::Rack;
use super::told_page::sentence;

/// So many lots are shown.
const SHOWN: usize = 12;

/// Where a text leads.
pub enum Leads {
    /// To a page of the shed, by its address.
    To(String),
    /// To a list.
    List(Box<FindPage>),
}

/// The page.
#[derive(Template)]
#[template(path = "shed/find.html")]
pub struct FindPage {
    frame: Frame,
    token: String,
    typed: String,
    said: Option<String>,
    lines: Vec<FoundLine>,
    more: usize,
}

/// A lot that may be meant.
struct FoundLine {
    name: String,
    /// Its code, with the serial where one is meant.
    code: String,
    when: String,
    /// The bin a bed is in.
    bin: Option<String>,
    is_run: bool,
    why: Vec<String>,
}

impl FindPage {
    /// Looks a text up; without one it only asks.
    pub fn of(rack: Rack<'_>, typed: Option<&str>, worker: &Worker) -> Leads {
        let typed = typed.map(str::trim).unwrap_or_default();
        let mut page = Self::asking(rack, typed, worker);
        if typed.is_empty() {
            return Leads::List(Box::new(page));
        }
        let finder = Finder {
            farm: rack.farm,
            settings: rack.settings,
        };
        match finder.find(typed) {
            Ok(Subject::Bin(bin)) => return Leads::To(format!("/BIN/{bin}")),
            Ok(Subject::Rack(name)) => return Leads::To(format!("/RACK/{name}")),
            Ok(Subject::Lot(lot)) => page.lines.push(FoundLine::of(rack.farm, lot, None)),
            Ok(Subject::Pack(run, serial)) => {
                page.lines.push(FoundLine::of(rack.farm, run, Some(serial)));
            }
            Ok(Subject::Struck(code, by)) => {
                page.said = Some(format!("{code} was struck out by entry {by}."));
            }
            Err(lost) => page.near(rack.farm, &lost),
        }
        Leads::List(Box::new(page))
    }

    /// Says why a photo leads nowhere.
    pub fn without_code(rack: Rack<'_>, error: &PhotoError, worker: &Worker) -> Self {
        Self {
            said: Some(sentence(&error.to_string())),
            ..Self::asking(rack, "", worker)
        }
    }

    fn asking(rack: Rack<'_>, typed: &str, worker: &Worker) -> Self {
        Self {
            frame: worker.frame(&rack.settings.name, "Find"),
            token: worker.token.clone(),
            typed: typed.to_owned(),
            said: None,
            lines: Vec::new(),
            more: 0,
        }
    }

    /// Says why it leads nowhere, with what may have been meant.
    fn near(&mut self, farm: &Farm, lost: &Lost) {
        let nearest: &[LotCode] = match lost {
            Lost::NearlyBin { bin, near } => {
                self.said = Some(format!("No bin is called {bin}; there is {near}."));
                return;
            }
            Lost::NoSuchLot { nearest, .. }
            | Lost::NoSuchMark { nearest, .. }
            | Lost::Misread { nearest, .. } => nearest,
            Lost::NoSuchBin { with, .. } => with,
            Lost::StrangeAddress { code, .. } => code.as_slice(),
            Lost::Struck { .. }
            | Lost::NotARun { .. }
            | Lost::NoSuchSerial { .. }
            | Lost::NoSuchRack { .. }
            | Lost::IsRack { .. }
            | Lost::NoBedIn { .. } => &[],
        };
        self.said = Some(sentence(&lost.to_string()));
        let near = nearest.iter().filter_map(|code| farm.lot_of(*code));
        self.lines = near.map(|lot| FoundLine::of(farm, lot, None)).collect();
        if self.lines.is_empty() {
            self.half(farm);
        }
        self.more = self.lines.len().saturating_sub(SHOWN);
        self.lines.truncate(SHOWN);
    }

    /// Takes it for half a code.
    fn half(&mut self, farm: &Farm) {
        let Some(code) = HalfCode::read(&self.typed).filter(HalfCode::has_a_digit) else {
            return;
        };
        let wanted = Wanted {
            code: Some(code),
            bought: None,
            about: None,
        };
        let candidates = found(farm, &wanted).candidates;
        self.lines = candidates
            .into_iter()
            .map(|candidate| FoundLine::of_candidate(farm, candidate))
            .collect();
        if !self.lines.is_empty() {
            self.said = Some("Taken for half a code, it may be one of these.".to_owned());
        }
    }
}

impl FoundLine {
    fn of(farm: &Farm, lot: LotId, serial: Option<Serial>) -> Self {
        let there = farm.lot(lot);
        Self {
            name: called(farm, lot),
            code: with_serial(there.code, serial),
            when: there.when.to_string().replace('T', " "),
            bin: there.bin().map(|bin| bin.to_string()),
            is_run: matches!(there.sort, LotSort::Run(_)),
            why: Vec::new(),
        }
    }

    fn of_candidate(farm: &Farm, candidate: Candidate) -> Self {
        Self {
            why: candidate.why,
            ..Self::of(farm, candidate.lot, candidate.serial)
        }
    }
}

/// Writes a lot's code, or one pack's.
pub fn with_serial(code: LotCode, serial: Option<Serial>) -> String {
    match serial {
        Some(serial) => format!("{code}/{serial}"),
        None => code.to_string(),
    }
}
