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
    /// Packs out of store whose serials nobody noted, by what became of them. Of those sold it is below nothing
    /// where packs sold by serial came back without.
    sold_unnumbered: i64,
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
    /// That pack came back with a complaint, and is to be sold.
    KeptApart { serial: Serial },
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

    /// Returns how many came back: by a return, or because the farm threw out or opened what it had sold.
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
        counted(i64::from(self.numbered(Fate::Sold)) + self.sold_unnumbered)
    }

    /// Returns how many are in store.
    pub fn in_store(&self) -> u32 {
        counted(self.left())
    }

    /// Returns how many more were taken than there were.
    ///
    /// So a shelf closes: made and over are with buyers, in store, thrown out, opened, complained of and lost.
    pub fn over(&self) -> u32 {
        counted(-self.left())
    }

    /// Returns how many are in store by the book; below nothing where more were taken than there were.
    fn left(&self) -> i64 {
        let gone = i64::from(self.out())
            + i64::from(self.thrown())
            + i64::from(self.opened())
            + i64::from(self.complained());
        // A count may have found more than was made, and packs may have come back since.
        i64::from(self.made()) - gone - self.lost
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
        let mut taken = unnumbered;
        for serial in serials.iter().flat_map(|range| range.serials()) {
            if self.fate(serial).is_none() {
                faults.push(self.no_such(serial));
                break;
            }
            faults.extend(self.take_one(serial, fate));
            taken = taken.saturating_add(1);
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
        for serial in serials.iter().flat_map(|range| range.serials()) {
            if self.fate(serial).is_none() {
                faults.push(self.no_such(serial));
                break;
            }
            faults.extend(self.put_back_one(serial, fate, &mut out));
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

    fn no_such(&self, serial: Serial) -> ShelfFault {
        let count = self.made();
        ShelfFault::NoSuchSerial { serial, count }
    }

    /// Takes one pack off the shelf, wherever it was.
    fn take_one(&mut self, serial: Serial, fate: Fate) -> Option<ShelfFault> {
        let place = serial.number() as usize - 1;
        let was = std::mem::replace(&mut self.fates[place], fate);
        match was {
            Fate::InStore => None,
            // A pack that came back without its serial noted goes out again with it.
            Fate::Sold if self.sold_unnumbered < 0 => {
                self.sold_unnumbered += 1;
                None
            }
            Fate::Complained if fate == Fate::Sold => Some(ShelfFault::KeptApart { serial }),
            Fate::Sold | Fate::Complained | Fate::Thrown | Fate::Opened => {
                // Whatever happens to it now, it had come back before.
                self.returned += u32::from(was == Fate::Sold);
                Some(ShelfFault::Elsewhere { serial, fate: was })
            }
        }
    }

    /// Puts one pack back, if it can be one of those that are out.
    fn put_back_one(&mut self, serial: Serial, fate: Fate, out: &mut u32) -> Option<ShelfFault> {
        let place = serial.number() as usize - 1;
        let was = std::mem::replace(&mut self.fates[place], fate);
        match was {
            Fate::Sold if *out > 0 => {
                *out -= 1;
                self.returned += 1;
                None
            }
            // It had come back before, among those whose serials nobody noted.
            Fate::Sold => {
                self.sold_unnumbered += 1;
                let fate = Fate::InStore;
                Some(ShelfFault::Elsewhere { serial, fate })
            }
            // A pack sold without its serial noted comes home with it.
            Fate::InStore if self.sold_unnumbered > 0 => {
                self.sold_unnumbered -= 1;
                *out -= 1;
                self.returned += 1;
                None
            }
            // Looked at and found good, it goes back on the shelf.
            Fate::Complained if fate == Fate::InStore => None,
            Fate::InStore | Fate::Complained | Fate::Thrown | Fate::Opened => {
                self.fates[place] = was;
                Some(ShelfFault::Elsewhere { serial, fate: was })
            }
        }
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

/// Returns a number of packs as far as it can be counted; none where it is below nothing.
fn counted(number: i64) -> u32 {
    u32::try_from(number.clamp(0, i64::from(u32::MAX))).expect("clamped to 32 bits")
}

#[cfg(test)]
#[path = "shelf_test.rs"]
mod tests;
