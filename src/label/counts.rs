//! What came of a run's labels: which packs have a good one, and whether what was printed adds up.
//!
//! A row of `prints` names the packs whose label came out good, and says how many labels were printed for that and how
//! many of them were spoiled: packs = printed − spoiled.

use std::collections::BTreeMap;

use crate::farm::{EntryNumber, Event, Farm, LotId, PrintFacts, Serial, SerialRange, Which};

/// The labels of one template that were counted for a run.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Count {
    /// How many packs the run has.
    pub packs: u32,
    /// How many labels were printed.
    pub printed: u64,
    /// How many of them were spoiled.
    pub spoiled: u64,
    /// The entries that count them, in order.
    pub entries: Vec<EntryNumber>,
    /// Good labels of each pack whose serial is known, by serial: how many, and the first entry that counts one.
    good: BTreeMap<Serial, (u32, EntryNumber)>,
    /// Good labels whose serials nobody noted.
    unnumbered: u64,
    /// Good labels printed again, each with a reason.
    explained: u64,
}

/// What does not add up.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Gap {
    /// These packs have no good label.
    Without(Vec<SerialRange>),
    /// So many packs have no good label; which, nobody noted.
    Short(u64),
    /// So many more good labels than packs, and no reason noted.
    Over(u64),
    /// Printed less spoiled is not what the entries name.
    Uneven {
        /// How many good labels the entries name.
        named: u64,
    },
}

/// Returns the labels that were counted for a run, by template.
pub fn counts(farm: &Farm, run: LotId) -> BTreeMap<String, Count> {
    let lot = farm.lot(run);
    let mut counts: BTreeMap<String, Count> = BTreeMap::new();
    let (code, packs) = (lot.code, lot.shelf.as_ref().map_or(0, |s| s.made()));
    let entries = farm.order().iter().map(|place| &farm.entries()[*place]);
    for entry in entries {
        let Some(Event::Print {
            packs: picks,
            facts,
        }) = &entry.event
        else {
            continue;
        };
        let own: Vec<Which> = picks
            .iter()
            .filter(|pick| pick.run == code)
            .map(|pick| pick.which)
            .collect();
        if own.is_empty() {
            continue;
        }
        let count = counts
            .entry(facts.template.to_string())
            .or_insert_with(|| Count::none(packs));
        count.add(entry.number, &own, facts, own.len() == picks.len());
    }
    counts
}

impl Count {
    /// Nothing counted yet.
    pub fn none(packs: u32) -> Self {
        Self {
            packs,
            printed: 0,
            spoiled: 0,
            entries: Vec::new(),
            good: BTreeMap::new(),
            unnumbered: 0,
            explained: 0,
        }
    }

    fn add(&mut self, entry: EntryNumber, picks: &[Which], facts: &PrintFacts, alone: bool) {
        self.entries.push(entry);
        let mut named = 0;
        for which in picks {
            let range = match *which {
                Which::Serials(range) => Some(range),
                Which::All => all(self.packs),
                Which::Unnumbered(count) => {
                    self.unnumbered += u64::from(count);
                    named += u64::from(count);
                    None
                }
            };
            for serial in range.into_iter().flat_map(SerialRange::serials) {
                let (labels, _) = self.good.entry(serial).or_insert((0, entry));
                *labels += 1;
                named += 1;
                if *labels > 1 && facts.why.is_some() {
                    self.explained += 1;
                }
            }
        }
        // What was printed for several runs at once is not known of each; only what it names is.
        let (printed, spoiled) = match alone {
            true => (u64::from(facts.printed), u64::from(facts.spoiled)),
            false => (named, 0),
        };
        self.printed += printed;
        self.spoiled += spoiled;
    }

    /// Returns how many good labels the entries name.
    pub fn good(&self) -> u64 {
        let numbered: u64 = self
            .good
            .values()
            .map(|(labels, _)| u64::from(*labels))
            .sum();
        numbered + self.unnumbered
    }

    /// Returns how many packs have a good label.
    pub fn labelled(&self) -> u64 {
        let numbered = u64::try_from(self.good.len()).unwrap_or(u64::MAX);
        (numbered + self.unnumbered).min(u64::from(self.packs))
    }

    /// Returns the entry that counts a good label of a pack.
    pub fn confirmed(&self, serial: Serial) -> Option<EntryNumber> {
        self.good.get(&serial).map(|(_, entry)| *entry)
    }

    /// Returns the packs without a good label, as far as serials were noted.
    pub fn without(&self) -> Vec<SerialRange> {
        let serials = all(self.packs).into_iter().flat_map(SerialRange::serials);
        ranges(serials.filter(|serial| !self.good.contains_key(serial)))
    }

    /// Returns everything that does not add up.
    pub fn gaps(&self) -> Vec<Gap> {
        let mut gaps = Vec::new();
        let named = self.good();
        if self.printed.checked_sub(self.spoiled) != Some(named) {
            gaps.push(Gap::Uneven { named });
        }
        let short = u64::from(self.packs).saturating_sub(self.labelled());
        match (short, self.unnumbered) {
            (0, _) => {}
            (_, 0) => gaps.push(Gap::Without(self.without())),
            (short, _) => gaps.push(Gap::Short(short)),
        }
        let over = named.saturating_sub(self.explained + self.labelled());
        if over > 0 {
            gaps.push(Gap::Over(over));
        }
        gaps
    }
}

/// Every pack of a run; `None` where it has none.
pub fn all(packs: u32) -> Option<SerialRange> {
    SerialRange::new(Serial::new(1)?, Serial::new(packs)?)
}

/// Writes serials, in order, as ranges.
pub fn ranges(serials: impl IntoIterator<Item = Serial>) -> Vec<SerialRange> {
    let mut ranges: Vec<SerialRange> = Vec::new();
    for serial in serials {
        let grown = ranges
            .last()
            .filter(|range| range.last().number() + 1 == serial.number())
            .and_then(|range| SerialRange::new(range.first(), serial));
        match (grown, ranges.last_mut()) {
            (Some(grown), Some(last)) => *last = grown,
            (Some(_) | None, _) => ranges.extend(SerialRange::new(serial, serial)),
        }
    }
    ranges
}

#[cfg(test)]
mod tests {
    use super::*;

    fn serials(first: u32, last: u32) -> SerialRange {
        SerialRange::new(Serial::new(first).unwrap(), Serial::new(last).unwrap()).unwrap()
    }

    fn facts(printed: u32, spoiled: u32, why: Option<&str>) -> PrintFacts {
        PrintFacts {
            template: "tub".into(),
            printer: "laser".into(),
            printed,
            spoiled,
            digest: "0".into(),
            why: why.map(Into::into),
        }
    }

    /// Counts rows of packs, printed and spoiled for a run of ten.
    fn counted(rows: &[(&[Which], u32, u32, Option<&str>)]) -> Count {
        let mut count = Count::none(10);
        for (number, (packs, printed, spoiled, why)) in (1..).zip(rows) {
            count.add(number, packs, &facts(*printed, *spoiled, *why), true);
        }
        count
    }

    #[test]
    fn printed_less_spoiled_is_what_the_packs_have() {
        let good = [
            Which::Serials(serials(1, 2)),
            Which::Serials(serials(5, 10)),
        ];
        let first = counted(&[(&good, 10, 2, None)]);
        assert_eq!((first.labelled(), first.good()), (8, 8));
        assert_eq!(first.gaps(), [Gap::Without(vec![serials(3, 4)])]);
        let second = (&[Which::Serials(serials(3, 4))][..], 2, 0, None);
        let both = counted(&[(&good, 10, 2, None), second]);
        assert_eq!(both.gaps(), []);
        assert_eq!((both.printed, both.spoiled, both.labelled()), (12, 2, 10));
        assert_eq!(both.confirmed(Serial::new(4).unwrap()), Some(2));
    }

    #[test]
    fn labels_that_are_nowhere_are_a_gap() {
        let count = counted(&[(&[Which::All], 12, 1, None)]);
        assert_eq!(count.gaps(), [Gap::Uneven { named: 10 }]);
    }

    #[test]
    fn a_second_label_needs_a_reason() {
        let one = [Which::Serials(serials(7, 7))];
        let silent = counted(&[(&[Which::All], 10, 0, None), (&one, 1, 0, None)]);
        assert_eq!(silent.gaps(), [Gap::Over(1)]);
        let said = counted(&[(&[Which::All], 10, 0, None), (&one, 1, 0, Some("rubbed"))]);
        assert_eq!(said.gaps(), []);
    }

    #[test]
    fn labels_without_serials_are_counted_and_not_named() {
        let count = counted(&[(&[Which::Unnumbered(8)], 8, 0, None)]);
        assert_eq!(count.gaps(), [Gap::Short(2)]);
        assert_eq!(count.labelled(), 8);
    }
}
