//! Who has packs of a run now: the packs that each sale put out and that have not come back since.
//!
//! Where a row does not say which packs came back, or from whom, nothing is taken off: a list of buyers errs towards
//! naming too many.

use crate::farm::{Event, Farm, Fate, LotId, SerialRange, Spans, Word};

/// The packs that one sale put out and that have not come back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Out {
    /// The sale, as its place in `Farm::entries`.
    pub entry: usize,
    /// Those whose serials are known.
    pub serials: Vec<SerialRange>,
    /// How many more whose serials nobody noted.
    pub unnumbered: u32,
}

/// Returns what each sale of a run put out and has not come back, in the order of events.
pub fn still_out(farm: &Farm, run: LotId) -> Vec<Out> {
    let Some(shelf) = &farm.lot(run).shelf else {
        return Vec::new();
    };
    let mut walk = Walk {
        farm,
        holder: Spans::new(shelf.made(), None),
        loose: Vec::new(),
    };
    let mut sales = Vec::new();
    for line in shelf.lines() {
        let came_back = match &farm.entries()[line.entry].event {
            Some(Event::Return { buyer, market, .. }) => Some(buyer.as_ref().or(market.as_ref())),
            _ => None,
        };
        match (came_back, line.fate) {
            (Some(from), _) => walk.come_back(&line.serials, line.unnumbered, from),
            (None, Fate::Sold) => {
                sales.push(line.entry);
                walk.go_out(line.entry, &line.serials, line.unnumbered);
            }
            (None, _) => walk.leave(&line.serials),
        }
    }
    sales.dedup();
    sales
        .into_iter()
        .map(|entry| walk.out(entry))
        .filter(|out| !out.serials.is_empty() || out.unnumbered > 0)
        .collect()
}

struct Walk<'a> {
    farm: &'a Farm,
    /// For each serial, the sale that put it out.
    holder: Spans<Option<usize>>,
    /// Sales of packs whose serials nobody noted, and how many are still out.
    loose: Vec<(usize, u32)>,
}

impl Walk<'_> {
    fn go_out(&mut self, entry: usize, serials: &[SerialRange], unnumbered: u32) {
        for range in serials {
            self.holder.set(*range, Some(entry));
        }
        if unnumbered > 0 {
            self.loose.push((entry, unnumbered));
        }
    }

    fn leave(&mut self, serials: &[SerialRange]) {
        for range in serials {
            self.holder.set(*range, None);
        }
    }

    fn come_back(&mut self, serials: &[SerialRange], unnumbered: u32, from: Option<&Word>) {
        let mut unknown = unnumbered;
        for range in serials {
            let held = self.holder.within(*range).into_iter();
            let held = held.filter(|(_, holder)| holder.is_some());
            let held: u32 = held.map(|(packs, _)| packs.count()).sum();
            // A pack sold without its serial noted comes home with it.
            unknown = unknown.saturating_add(range.count() - held);
            self.holder.set(*range, None);
        }
        self.take_loose(unknown, from);
    }

    /// Takes packs off the sales they can only have come from: the latest to the same buyer or market, or the one
    /// sale there is.
    fn take_loose(&mut self, mut count: u32, from: Option<&Word>) {
        let alone = self.loose.len() == 1;
        for place in (0..self.loose.len()).rev() {
            let (entry, left) = self.loose[place];
            if count > 0 && (alone || self.is_from(entry, from)) {
                let taken = left.min(count);
                self.loose[place].1 -= taken;
                count -= taken;
            }
        }
        self.loose.retain(|(_, left)| *left > 0);
    }

    fn is_from(&self, entry: usize, from: Option<&Word>) -> bool {
        let Some(Event::Sale { to, .. }) = &self.farm.entries()[entry].event else {
            return false;
        };
        from.is_some() && (to.buyer.as_ref() == from || to.market.as_ref() == from)
    }

    fn out(&self, entry: usize) -> Out {
        let mine = self
            .holder
            .iter()
            .filter(|(_, holder)| *holder == Some(entry));
        let serials = mine.map(|(range, _)| range).collect();
        let loose = self.loose.iter().filter(|(sale, _)| *sale == entry);
        Out {
            entry,
            serials,
            unnumbered: loose.map(|(_, left)| left).sum(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::scenario::Scenario;

    fn told(scenario: &Scenario) -> Vec<String> {
        let out = still_out(&scenario.farm, scenario.id("p1"));
        out.iter()
            .map(|out| {
                let serials: Vec<String> = out.serials.iter().map(ToString::to_string).collect();
                let number = scenario.farm.entries()[out.entry].number;
                format!("{number}: #{} x{}", serials.join(","), out.unnumbered)
            })
            .collect()
    }

    const MADE: [&str; 4] = [
        "2026-03-01 delivery dung manure 50kg",
        "2026-03-02 bed b1 A01 dung=4kg",
        "2026-03-20 sieve c1 castings 2kg - A01",
        "2026-03-21 pack p1 9 c1=1kg",
    ];

    #[test]
    fn packs_that_came_home_unsold_are_with_nobody() {
        let mut scenario = Scenario::of(&MADE);
        for row in [
            "2026-03-22 sale p1/1-4",
            "2026-03-23 return p1/2",
            "2026-03-24 sale p1/2",
        ] {
            assert_eq!(scenario.try_row(row), Ok(()), "{row}");
        }
        assert_eq!(told(&scenario), ["5: #1,3-4 x0", "7: #2 x0"]);
    }

    #[test]
    fn unnumbered_packs_come_off_the_only_sale_there_is_but_of_two_off_neither() {
        let mut scenario = Scenario::of(&MADE);
        for (row, then) in [
            ("2026-03-22 sale p1/x3", vec!["5: # x3"]),
            ("2026-03-23 return p1/9", vec!["5: # x2"]),
            ("2026-03-24 sale p1/x2", vec!["5: # x2", "7: # x2"]),
            ("2026-03-25 return p1/x1", vec!["5: # x2", "7: # x2"]),
        ] {
            assert_eq!(scenario.try_row(row), Ok(()), "{row}");
            assert_eq!(told(&scenario), then, "{row}");
        }
    }
}
