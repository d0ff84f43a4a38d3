//! The packs of one run: which are in store, sold, thrown out or opened again.

use super::code::Serial;
use super::packs::{SerialRange, Which};

/// What has become of a pack.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Fate {
    /// It stands in store.
    InStore,
    /// It was sold.
    Sold,
    /// It came back because somebody complained.
    Complained,
    /// It was thrown out.
    Thrown,
    /// It was opened and used again.
    Opened,
}

/// What one entry did with packs of a run.
#[derive(Clone, Debug, PartialEq)]
pub struct ShelfLine {
    /// The entry, as its place in `Farm::entries`.
    pub entry: usize,
    /// What became of them.
    pub fate: Fate,
    /// Those whose serials are known.
    pub serials: Vec<SerialRange>,
    /// How many more whose serials nobody noted.
    pub unnumbered: u32,
}

/// The packs of one run.
#[derive(Clone, Debug, PartialEq)]
pub struct Shelf {
    fates: Vec<Fate>,
    /// Packs out of store whose serials nobody noted, by what became of them.
    sold_unnumbered: u32,
    thrown_unnumbered: u32,
    opened_unnumbered: u32,
    complained_unnumbered: u32,
    /// How many fewer a count found than the book said; negative where it found more.
    lost: i64,
    lines: Vec<ShelfLine>,
    sold: u32,
    returned: u32,
}

/// What is wrong with what a row does to a shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum ShelfFault {
    /// The run has no such serial.
    NoSuchSerial { serial: Serial, count: u32 },
    /// More packs are taken than there are.
    TooMany { wanted: u32, left: u32 },
    /// That pack is not in store (or, coming back, was not out).
    Elsewhere { serial: Serial, fate: Fate },
}

impl Shelf {
    pub(super) fn new(count: u32) -> Self {
        Self {
            fates: vec![Fate::InStore; count as usize],
            sold_unnumbered: 0,
            thrown_unnumbered: 0,
            opened_unnumbered: 0,
            complained_unnumbered: 0,
            lost: 0,
            lines: Vec::new(),
            sold: 0,
            returned: 0,
        }
    }

    /// Returns how many packs were made.
    pub fn made(&self) -> u32 {
        u32::try_from(self.fates.len()).expect("a run's count is 32 bits")
    }

    /// Returns how many were sold, in all, those that came back included.
    pub fn sold(&self) -> u32 {
        self.sold
    }

    /// Returns how many came back.
    pub fn returned(&self) -> u32 {
        self.returned
    }

    /// Returns how many were thrown out.
    pub fn thrown(&self) -> u32 {
        self.numbered(Fate::Thrown)
            .saturating_add(self.thrown_unnumbered)
    }

    /// Returns how many were opened and used again.
    pub fn opened(&self) -> u32 {
        self.numbered(Fate::Opened)
            .saturating_add(self.opened_unnumbered)
    }

    /// Returns how many came back with a complaint and are kept apart.
    pub fn complained(&self) -> u32 {
        self.numbered(Fate::Complained)
            .saturating_add(self.complained_unnumbered)
    }

    /// Returns how many fewer a count found than the book said.
    pub fn lost(&self) -> i64 {
        self.lost
    }

    /// Returns how many are with buyers now.
    pub fn out(&self) -> u32 {
        self.numbered(Fate::Sold)
            .saturating_add(self.sold_unnumbered)
    }

    /// Returns how many are in store.
    pub fn in_store(&self) -> u32 {
        let gone = i64::from(self.out())
            + i64::from(self.thrown())
            + i64::from(self.opened())
            + i64::from(self.complained());
        // A count may have found more than was made, and packs may have come back since.
        let left = (i64::from(self.made()) - gone - self.lost).clamp(0, i64::from(u32::MAX));
        u32::try_from(left).expect("clamped to 32 bits")
    }

    /// Returns what became of a pack; `None` where the run has no such serial.
    pub fn fate(&self, serial: Serial) -> Option<Fate> {
        self.fates.get(serial.number() as usize - 1).copied()
    }

    /// Tells whether any packs left without their serials noted, so that any pack may be among them.
    pub fn has_unnumbered(&self) -> bool {
        self.lines.iter().any(|line| line.unnumbered > 0)
    }

    /// Returns what each entry did with packs of the run, in the order of events.
    pub fn lines(&self) -> &[ShelfLine] {
        &self.lines
    }

    fn numbered(&self, fate: Fate) -> u32 {
        u32::try_from(self.fates.iter().filter(|f| **f == fate).count())
            .expect("a run's count is 32 bits")
    }

    /// Takes packs off the shelf; the faults are told, the taking is done as far as it can be.
    pub(super) fn take(&mut self, which: Which, fate: Fate, entry: usize) -> Vec<ShelfFault> {
        let mut faults = Vec::new();
        let left = self.in_store();
        let (serials, unnumbered) = match which {
            Which::All => self.all_left(left),
            Which::Unnumbered(count) => (Vec::new(), count),
            Which::Serials(range) => (vec![range], 0),
        };
        let numbered: u32 = serials.iter().map(|range| range.count()).sum();
        for serial in serials.iter().flat_map(|range| range.serials()) {
            match self.fates.get_mut(serial.number() as usize - 1) {
                None => {
                    faults.push(ShelfFault::NoSuchSerial {
                        serial,
                        count: self.made(),
                    });
                    break;
                }
                Some(was @ Fate::InStore) => *was = fate,
                Some(was) => {
                    faults.push(ShelfFault::Elsewhere { serial, fate: *was });
                    *was = fate;
                }
            }
        }
        if unnumbered > left || (faults.is_empty() && numbered > left) {
            faults.push(ShelfFault::TooMany {
                wanted: unnumbered.max(numbered),
                left,
            });
        }
        self.add_unnumbered(fate, unnumbered);
        if fate == Fate::Sold {
            let taken = numbered.saturating_add(unnumbered);
            self.sold = self.sold.saturating_add(taken);
        }
        self.lines.push(ShelfLine {
            entry,
            fate,
            serials,
            unnumbered,
        });
        faults
    }

    /// Puts packs back that had been sold.
    pub(super) fn put_back(&mut self, which: Which, fate: Fate, entry: usize) -> Vec<ShelfFault> {
        let mut faults = Vec::new();
        let (serials, unnumbered) = match which {
            Which::All => (self.ranges_of(Fate::Sold), self.sold_unnumbered),
            Which::Unnumbered(count) => (Vec::new(), count),
            Which::Serials(range) => (vec![range], 0),
        };
        for serial in serials.iter().flat_map(|range| range.serials()) {
            match self.fates.get_mut(serial.number() as usize - 1) {
                None => {
                    faults.push(ShelfFault::NoSuchSerial {
                        serial,
                        count: self.made(),
                    });
                    break;
                }
                Some(was @ Fate::Sold) => *was = fate,
                // A pack sold without its serial noted comes home with it.
                Some(was @ Fate::InStore) if self.sold_unnumbered > 0 => {
                    self.sold_unnumbered -= 1;
                    *was = fate;
                }
                Some(was) => faults.push(ShelfFault::Elsewhere { serial, fate: *was }),
            }
        }
        if unnumbered > self.sold_unnumbered {
            faults.push(ShelfFault::TooMany {
                wanted: unnumbered,
                left: self.sold_unnumbered,
            });
        }
        self.sold_unnumbered = self.sold_unnumbered.saturating_sub(unnumbered);
        if fate != Fate::InStore {
            self.add_unnumbered(fate, unnumbered);
        }
        let numbered = serials.iter().map(|range| range.count());
        self.returned = numbered
            .chain([self.returned, unnumbered])
            .fold(0, u32::saturating_add);
        self.lines.push(ShelfLine {
            entry,
            fate,
            serials,
            unnumbered,
        });
        faults
    }

    /// Sets what is really in store.
    pub(super) fn recount(&mut self, found: u32) {
        self.lost += i64::from(self.in_store()) - i64::from(found);
    }

    /// Returns the packs in store: by serial where none left unnumbered, else by number alone.
    fn all_left(&self, left: u32) -> (Vec<SerialRange>, u32) {
        let unnumbered = [
            self.sold_unnumbered,
            self.thrown_unnumbered,
            self.opened_unnumbered,
            self.complained_unnumbered,
        ];
        if unnumbered == [0; 4] && self.lost == 0 {
            (self.ranges_of(Fate::InStore), 0)
        } else {
            (Vec::new(), left)
        }
    }

    /// Returns the serials of one fate as ranges.
    pub fn ranges_of(&self, fate: Fate) -> Vec<SerialRange> {
        let mut ranges: Vec<SerialRange> = Vec::new();
        let serials = self
            .fates
            .iter()
            .zip(1..)
            .filter(|(f, _)| **f == fate)
            .filter_map(|(_, n)| Serial::new(n));
        for serial in serials {
            let grown = ranges
                .last()
                .filter(|range| range.last().number() + 1 == serial.number())
                .and_then(|range| SerialRange::new(range.first(), serial));
            match grown {
                Some(range) => *ranges.last_mut().expect("a last range was just grown") = range,
                None => ranges.extend(SerialRange::new(serial, serial)),
            }
        }
        ranges
    }

    /// Adds packs to those of a fate whose serials nobody noted, as far as they can be counted.
    fn add_unnumbered(&mut self, fate: Fate, count: u32) {
        let of_fate = match fate {
            Fate::InStore | Fate::Sold => &mut self.sold_unnumbered,
            Fate::Complained => &mut self.complained_unnumbered,
            Fate::Thrown => &mut self.thrown_unnumbered,
            Fate::Opened => &mut self.opened_unnumbered,
        };
        *of_fate = of_fate.saturating_add(count);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_packs_than_can_be_counted_are_told_and_stop_nothing() {
        let mut shelf = Shelf::new(3);
        for _ in 0..2 {
            for fate in [Fate::Sold, Fate::Thrown, Fate::Opened] {
                let faults = shelf.take(Which::Unnumbered(u32::MAX), fate, 0);
                assert!(matches!(faults[..], [ShelfFault::TooMany { .. }]));
            }
            let faults = shelf.put_back(Which::Unnumbered(u32::MAX), Fate::Complained, 0);
            assert!(faults.is_empty());
        }
        assert_eq!((shelf.sold(), shelf.in_store()), (u32::MAX, 0));
    }

    #[test]
    fn a_count_of_more_than_can_be_counted_stops_nothing() {
        let mut shelf = Shelf::new(3);
        assert!(shelf.take(Which::Unnumbered(3), Fate::Sold, 0).is_empty());
        shelf.recount(u32::MAX);
        assert!(
            shelf
                .put_back(Which::Unnumbered(3), Fate::InStore, 0)
                .is_empty()
        );
        assert_eq!(shelf.in_store(), u32::MAX);
    }
}
