//! The order of the entries within one day.
//!
//! Natural order first (delivery, bed, feed, split, tip, sieving, blend, pack, sale, the rest), then the order of
//! recording; but nothing before what it needs, and no timed entry before an earlier-timed one.

/// One entry waiting for its turn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Waiting {
    /// Its place in `Farm::entries`.
    pub entry: usize,
    /// Minutes since midnight, where it is timed.
    pub minute: Option<u16>,
    /// Its event's rank, then its number or that of the entry it replaces.
    pub turn: (u8, u32),
    taken: bool,
}

/// The entries of a day that have not had their turn.
#[derive(Debug, Default)]
pub(super) struct Day {
    untimed: Vec<Waiting>,
    /// By minute, then by turn.
    timed: Vec<Waiting>,
    /// Where the earliest minute with an untaken entry starts and ends in `timed`.
    minute: (usize, usize),
    /// Entries of `untimed` before this are taken.
    start: usize,
}

/// Where a candidate stands: among the untimed or among the timed.
#[derive(Clone, Copy, Debug)]
enum Slot {
    Untimed(usize),
    Timed(usize),
}

impl Waiting {
    pub(super) fn new(entry: usize, minute: Option<u16>, turn: (u8, u32)) -> Self {
        Self {
            entry,
            minute,
            turn,
            taken: false,
        }
    }
}

impl Day {
    /// Starts a day with all its entries.
    pub(super) fn of(entries: impl IntoIterator<Item = Waiting>) -> Self {
        let (mut timed, mut untimed): (Vec<_>, Vec<_>) =
            entries.into_iter().partition(|e| e.minute.is_some());
        timed.sort_by_key(|e: &Waiting| (e.minute, e.turn));
        untimed.sort_by_key(|e: &Waiting| e.turn);
        let mut day = Self {
            untimed,
            timed,
            minute: (0, 0),
            start: 0,
        };
        day.next_minute();
        day
    }

    /// Takes the first entry that is ready; where none is, the first that stands in the way of the others.
    pub(super) fn take(&mut self, mut ready: impl FnMut(&Waiting) -> bool) -> Option<usize> {
        let mut first = None;
        let mut chosen = None;
        let (mut u, mut t) = (self.start, self.minute.0);
        while let Some(slot) = self.candidate(&mut u, &mut t) {
            first.get_or_insert(slot);
            if ready(self.at(slot)) {
                chosen = Some(slot);
                break;
            }
        }
        let slot = chosen.or(first)?;
        let waiting = self.at_mut(slot);
        waiting.taken = true;
        let entry = waiting.entry;
        while self.untimed.get(self.start).is_some_and(|e| e.taken) {
            self.start += 1;
        }
        if self.timed[self.minute.0..self.minute.1]
            .iter()
            .all(|e| e.taken)
        {
            self.next_minute();
        }
        Some(entry)
    }

    /// Returns the entries that wait still.
    pub(super) fn waiting(&self) -> impl Iterator<Item = &Waiting> {
        self.untimed[self.start..]
            .iter()
            .chain(&self.timed[self.minute.0..])
            .filter(|e| !e.taken)
    }

    /// Returns the next candidate by turn: the untimed entries and those of the earliest minute, merged.
    fn candidate(&self, u: &mut usize, t: &mut usize) -> Option<Slot> {
        while self.untimed.get(*u).is_some_and(|e| e.taken) {
            *u += 1;
        }
        while *t < self.minute.1 && self.timed[*t].taken {
            *t += 1;
        }
        let timed = self.timed[..self.minute.1].get(*t);
        let untimed_first = match (self.untimed.get(*u), timed) {
            (None, None) => return None,
            (Some(untimed), Some(timed)) => untimed.turn <= timed.turn,
            (Some(_), None) => true,
            (None, Some(_)) => false,
        };
        let next = if untimed_first { u } else { t };
        *next += 1;
        let place = *next - 1;
        Some(if untimed_first {
            Slot::Untimed(place)
        } else {
            Slot::Timed(place)
        })
    }

    fn next_minute(&mut self) {
        let from = self.minute.1;
        let minute = self.timed.get(from).map(|e| e.minute);
        let same = self.timed[from..]
            .iter()
            .take_while(|e| Some(e.minute) == minute)
            .count();
        self.minute = (from, from + same);
    }

    fn at(&self, slot: Slot) -> &Waiting {
        match slot {
            Slot::Untimed(i) => &self.untimed[i],
            Slot::Timed(i) => &self.timed[i],
        }
    }

    fn at_mut(&mut self, slot: Slot) -> &mut Waiting {
        match slot {
            Slot::Untimed(i) => &mut self.untimed[i],
            Slot::Timed(i) => &mut self.timed[i],
        }
    }
}
