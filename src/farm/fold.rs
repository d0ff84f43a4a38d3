//! Adds the entries up to a farm: one pure pass, in the order in which things happened.
//!
//! It never refuses to go on. What does not fit is noted as a fault, so that a rule made stricter
//! never makes last year unreadable; whoever records looks at the faults first.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use super::bin_code::BinCode;
use super::day::{Day, Waiting};
use super::entry::{Entry, Event};
use super::facts::Rate;
use super::farm::{Farm, Fault};
use super::flow::{Flow, FlowId};
use super::lot::{Lot, LotId, LotSort, Stock};
use super::moment::Moment;
use super::refusal::Refusal;
use super::warning::Warning;

/// A farm in the making.
pub(super) struct Fold {
    pub farm: Farm,
    /// What holds for the day at hand only.
    pub today: Today,
    /// The bins that any entry sets up, early or late.
    pub set_up: BTreeSet<BinCode>,
}

/// The day at hand.
#[derive(Default)]
pub(super) struct Today {
    /// The beds each bin has held, where that changed today.
    pub beds: BTreeMap<BinCode, Vec<LotId>>,
    /// Beds that end after the last sieving of a minute (or of the untimed ones).
    pub clearing: Vec<(Moment, LotId, usize)>,
    /// Untimed feeds and checks that name a bin.
    pub by_bin: Vec<(usize, BinCode)>,
}

/// The entry at hand and when it happened.
#[derive(Clone, Copy)]
pub(super) struct Site {
    pub entry: usize,
    pub when: Moment,
}

impl Farm {
    /// Adds entries up. They stand by number, from 1 on without a gap.
    pub fn of(entries: Vec<Entry>) -> Self {
        let mut fold = Fold {
            farm: Farm {
                entries,
                ..Farm::default()
            },
            today: Today::default(),
            set_up: BTreeSet::new(),
        };
        let turns = fold.strike();
        fold.gather();
        let days = fold.days(&turns);
        // Out of the farm while they happen, so that each can be looked at while it changes the farm.
        let mut entries = std::mem::take(&mut fold.farm.entries);
        for day in days.chunk_by(|(a, _), (b, _)| a == b) {
            let day = Day::of(day.iter().map(|(_, waiting)| *waiting));
            fold.run(day, &mut entries);
        }
        fold.farm.entries = entries;
        fold.farm
    }
}

impl Fold {
    /// Notes which entries are struck, and returns each one's turn among the day's recordings.
    fn strike(&mut self) -> Vec<u32> {
        let farm = &mut self.farm;
        farm.struck = vec![None; farm.entries.len()];
        let mut turns: Vec<u32> = (1..).take(farm.entries.len()).collect();
        for (place, entry) in farm.entries.iter().enumerate() {
            let Some(strike) = &entry.strikes else {
                continue;
            };
            let struck = strike
                .entry
                .checked_sub(1)
                .map(|n| n as usize)
                .filter(|n| *n < place);
            if let Some(struck) = struck {
                farm.struck[struck] = Some(entry.number);
                turns[place] = turns[struck];
            }
        }
        turns
    }

    /// Gathers what does not hang on the order: codes, marks, and the tests that turn units into one another.
    fn gather(&mut self) {
        for place in 0..self.farm.entries.len() {
            let entry = &self.farm.entries[place];
            let Some((made, sort)) = entry.event.as_ref().and_then(Event::makes_what) else {
                continue;
            };
            let (code, mark, number, when) =
                (made.code, made.mark.clone(), entry.number, entry.when);
            self.farm.given.insert(code, number);
            let (year, day) = code.year_and_day();
            let highest = self
                .farm
                .highest
                .entry((code.letter(), year, day))
                .or_default();
            *highest = (*highest).max(code.number());
            if self.farm.struck[place].is_some() {
                continue;
            }
            let id = LotId(
                u32::try_from(self.farm.lots.len()).expect("entries are numbered in 32 bits"),
            );
            self.farm
                .lots
                .push(new_lot(place, code, mark.clone(), sort, when));
            self.farm.by_code.insert(code, id);
            if let Some(mark) = mark {
                self.farm.by_mark.insert(mark, id);
            }
        }
        for entry in &self.farm.entries {
            if let Some(Event::Bin { bin, .. }) = &entry.event {
                self.set_up.insert(*bin);
            }
        }
        self.gather_complaints();
        for place in 0..self.farm.entries.len() {
            if self.farm.struck[place].is_none() {
                self.gather_rate(place);
            }
        }
        for lot in &mut self.farm.lots {
            lot.densities
                .sort_by_key(|(when, _)| (when.earliest(), when.latest()));
            lot.per_kg
                .sort_by_key(|(when, _)| (when.earliest(), when.latest()));
        }
    }

    fn gather_rate(&mut self, place: usize) {
        let entry = &self.farm.entries[place];
        let Some(Event::Test { lot, facts }) = &entry.event else {
            return;
        };
        let Some(id) = self.farm.by_code.get(lot).copied() else {
            return;
        };
        let density = match &*facts.test {
            "density" => true,
            "per_kg" => false,
            _ => return,
        };
        let Some(rate) = Rate::read(&facts.value) else {
            let (test, value) = (facts.test.to_string(), facts.value.to_string());
            self.farm
                .warnings
                .push((place, Warning::NotARate { test, value }));
            return;
        };
        let when = entry.when;
        let lot = &mut self.farm.lots[id.index()];
        if density {
            &mut lot.densities
        } else {
            &mut lot.per_kg
        }
        .push((when, rate));
    }

    /// Sorts the unstruck entries into days.
    fn days(&self, turns: &[u32]) -> Vec<(Date, Waiting)> {
        let entries = self.farm.entries.iter().enumerate();
        let mut days: Vec<(Date, Waiting)> = entries
            .filter(|(place, _)| self.farm.struck[*place].is_none())
            .filter_map(|(place, entry)| {
                let rank = entry.event.as_ref()?.noun().rank();
                let waiting = Waiting::new(place, entry.when.minute(), (rank, turns[place]));
                Some((entry.when.day(), waiting))
            })
            .collect();
        days.sort_by_key(|(day, _)| *day);
        days
    }

    /// Lets a day happen.
    fn run(&mut self, mut day: Day, entries: &mut [Entry]) {
        self.today = Today::default();
        while let Some(place) = day.take(|waiting| self.is_ready(&entries[waiting.entry])) {
            let entry = &mut entries[place];
            let site = Site {
                entry: place,
                when: entry.when,
            };
            let event = entry
                .event
                .as_mut()
                .expect("only entries with an event wait");
            self.apply(site, event);
            self.farm.order.push(place);
            self.clear(&day, entries);
        }
        for (entry, bin) in std::mem::take(&mut self.today.by_bin) {
            self.check_which_bed(entry, entries[entry].when.day(), bin);
        }
    }

    /// Ends the beds that a sieving cleared, once no other sieving of the same moment waits for them.
    fn clear(&mut self, day: &Day, entries: &[Entry]) {
        if self.today.clearing.is_empty() {
            return;
        }
        let (over, still): (Vec<_>, Vec<_>) = std::mem::take(&mut self.today.clearing)
            .into_iter()
            .partition(|(when, bed, _)| {
                !day.waiting().any(|w| self.sieves(w, entries, *when, *bed))
            });
        self.today.clearing = still;
        for (when, bed, entry) in over {
            self.end_bed(bed, Site { entry, when });
        }
    }

    /// Tells whether a waiting entry is a sieving of that bed at that moment.
    fn sieves(&self, waiting: &Waiting, entries: &[Entry], when: Moment, bed: LotId) -> bool {
        if waiting.minute != when.minute() {
            return false;
        }
        let Some(Event::Sieving { from, .. }) = &entries[waiting.entry].event else {
            return false;
        };
        from.iter().any(|sieved| self.names(&sieved.bed, bed))
    }

    /// Refuses an untimed feed or check of a bin that held two beds that day.
    fn check_which_bed(&mut self, entry: usize, day: Date, bin: BinCode) {
        let Some(beds) = self.today.beds.get(&bin).filter(|beds| beds.len() > 1) else {
            return;
        };
        let beds = beds.iter().map(|bed| self.farm.lot(*bed).code).collect();
        self.fault(entry, Refusal::WhichBed { bin, day, beds });
    }

    pub(super) fn fault(&mut self, entry: usize, refusal: Refusal) {
        self.farm.faults.push(Fault { entry, refusal });
    }

    pub(super) fn warn(&mut self, entry: usize, warning: Warning) {
        self.farm.warnings.push((entry, warning));
    }

    /// Adds a flow and ties it to its lots.
    pub(super) fn flow(&mut self, flow: Flow) {
        let id =
            FlowId(u32::try_from(self.farm.flows.len()).expect("fewer flows than 32 bits count"));
        self.farm.lots[flow.from.index()].outflows.push(id);
        if let Some(to) = flow.to {
            self.farm.lots[to.index()].inflows.push(id);
        }
        self.farm.flows.push(flow);
        self.farm.follow_holds();
    }
}

fn new_lot(
    entry: usize,
    code: super::code::LotCode,
    mark: Option<super::bin_code::Mark>,
    sort: LotSort,
    when: Moment,
) -> Lot {
    Lot {
        code,
        mark,
        sort,
        entry,
        when,
        born: false,
        ended: None,
        stays: Vec::new(),
        made: None,
        stock: Stock::default(),
        shelf: None,
        inflows: Vec::new(),
        outflows: Vec::new(),
        holds: Vec::new(),
        tests: Vec::new(),
        densities: Vec::new(),
        per_kg: Vec::new(),
    }
}
