//! What entries do with the packs of a run: taken off the shelf, put back, counted.

use super::code::Serial;
use super::packs::{SerialRange, Which};
use super::shelf::{Fate, Shelf, ShelfLine, counted};

/// What is wrong with what a row does to a shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum ShelfFault {
    /// The run has no such serial.
    NoSuchSerial { serial: Serial, count: u32 },
    /// More packs are taken than there are.
    TooMany { wanted: u32, left: u32 },
    /// Those packs came back with a complaint, and are to be sold.
    KeptApart { serials: SerialRange },
    /// Those packs are not in store (or, coming back, were not out).
    Elsewhere { serials: SerialRange, fate: Fate },
}

impl Shelf {
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
        let mut taken = unnumbered;
        for range in &serials {
            for (packs, was) in self.fates.within(*range) {
                faults.extend(self.take_alike(packs, was, fate));
                taken = taken.saturating_add(packs.count());
            }
            faults.extend(self.no_such(*range));
        }
        if unnumbered > left || (faults.is_empty() && numbered > left) {
            faults.push(ShelfFault::TooMany {
                wanted: unnumbered.max(numbered),
                left,
            });
        }
        self.add_unnumbered(fate, unnumbered);
        if fate == Fate::Sold {
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
            Which::All if self.sold_unnumbered < 0 => (Vec::new(), self.out()),
            Which::All => (self.ranges_of(Fate::Sold), counted(self.sold_unnumbered)),
            Which::Unnumbered(count) => (Vec::new(), count),
            Which::Serials(range) => (vec![range], 0),
        };
        let mut out = self.out();
        for range in &serials {
            for alike in self.fates.within(*range) {
                faults.extend(self.put_back_alike(alike, fate, &mut out));
            }
            faults.extend(self.no_such(*range));
        }
        faults.extend(self.put_back_unnumbered(unnumbered, fate));
        self.lines.push(ShelfLine {
            entry,
            fate,
            serials,
            unnumbered,
        });
        faults
    }

    /// Tells of the first serial of a range that the run has not.
    fn no_such(&self, range: SerialRange) -> Option<ShelfFault> {
        let count = self.made();
        let serial = Serial::new(range.first().number().max(count.saturating_add(1)))?;
        range
            .holds(serial)
            .then_some(ShelfFault::NoSuchSerial { serial, count })
    }

    /// Takes packs that were all in one place off the shelf, wherever that was.
    fn take_alike(&mut self, packs: SerialRange, was: Fate, fate: Fate) -> Option<ShelfFault> {
        self.fates.set(packs, fate);
        match was {
            Fate::InStore => None,
            Fate::Sold => {
                // A pack that came back without its serial noted goes out again with it.
                let home = counted(-self.sold_unnumbered).min(packs.count());
                self.sold_unnumbered += i64::from(home);
                let (_, rest) = packs.split(home);
                // Whatever happens to the rest now, they had come back before.
                self.returned = self
                    .returned
                    .saturating_add(rest.map_or(0, |rest| rest.count()));
                rest.map(|serials| ShelfFault::Elsewhere { serials, fate: was })
            }
            Fate::Complained if fate == Fate::Sold => {
                Some(ShelfFault::KeptApart { serials: packs })
            }
            Fate::Complained | Fate::Thrown | Fate::Opened => Some(ShelfFault::Elsewhere {
                serials: packs,
                fate: was,
            }),
        }
    }

    /// Puts packs back that were all in one place, as far as they can be some of those that are out.
    fn put_back_alike(
        &mut self,
        (packs, was): (SerialRange, Fate),
        fate: Fate,
        out: &mut u32,
    ) -> Option<ShelfFault> {
        let (theirs, rest) = match was {
            Fate::Sold => packs.split(*out),
            // A pack sold without its serial noted comes home with it.
            Fate::InStore => packs.split(counted(self.sold_unnumbered).min(*out)),
            // Looked at and found good, it goes back on the shelf.
            Fate::Complained if fate == Fate::InStore => {
                self.fates.set(packs, fate);
                return None;
            }
            Fate::Complained | Fate::Thrown | Fate::Opened => (None, Some(packs)),
        };
        if let Some(theirs) = theirs {
            self.fates.set(theirs, fate);
            *out -= theirs.count();
            self.returned = self.returned.saturating_add(theirs.count());
            if was == Fate::InStore {
                self.sold_unnumbered -= i64::from(theirs.count());
            }
        }
        let serials = rest?;
        if was != Fate::Sold {
            return Some(ShelfFault::Elsewhere { serials, fate: was });
        }
        // They had come back before, among those whose serials nobody noted.
        self.fates.set(serials, fate);
        self.sold_unnumbered += i64::from(serials.count());
        let fate = Fate::InStore;
        Some(ShelfFault::Elsewhere { serials, fate })
    }

    /// Puts packs back of which nobody noted the serials: those sold, then those that were complained of.
    fn put_back_unnumbered(&mut self, count: u32, fate: Fate) -> Option<ShelfFault> {
        let from_buyers = count.min(self.out());
        self.sold_unnumbered -= i64::from(from_buyers);
        self.returned = self.returned.saturating_add(from_buyers);
        let mut back = from_buyers;
        if fate == Fate::InStore {
            let looked_at = (count - from_buyers).min(self.complained_unnumbered);
            self.complained_unnumbered -= looked_at;
            back += looked_at;
        } else {
            self.add_unnumbered(fate, from_buyers);
        }
        (back < count).then_some(ShelfFault::TooMany {
            wanted: count,
            left: back,
        })
    }

    /// Sets what is really in store.
    pub(super) fn recount(&mut self, found: u32) {
        self.lost += self.left() - i64::from(found);
    }

    /// Returns the packs in store: by serial where none left unnumbered, else by number alone.
    fn all_left(&self, left: u32) -> (Vec<SerialRange>, u32) {
        let unnumbered = [
            self.thrown_unnumbered,
            self.opened_unnumbered,
            self.complained_unnumbered,
        ];
        if unnumbered == [0; 3] && self.sold_unnumbered == 0 && self.lost == 0 {
            (self.ranges_of(Fate::InStore), 0)
        } else {
            (Vec::new(), left)
        }
    }

    /// Adds packs to those of a fate whose serials nobody noted, as far as they can be counted.
    fn add_unnumbered(&mut self, fate: Fate, count: u32) {
        let of_fate = match fate {
            Fate::InStore => return,
            Fate::Sold => {
                self.sold_unnumbered += i64::from(count);
                return;
            }
            Fate::Complained => &mut self.complained_unnumbered,
            Fate::Thrown => &mut self.thrown_unnumbered,
            Fate::Opened => &mut self.opened_unnumbered,
        };
        *of_fate = of_fate.saturating_add(count);
    }
}

#[cfg(test)]
#[path = "shelf_test.rs"]
mod tests;
