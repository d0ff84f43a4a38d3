//! The packs of one run: which are in store, sold, thrown out or opened again.

use super::code::Serial;
use super::packs::SerialRange;
use super::spans::Spans;

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
    pub(super) fates: Spans<Fate>,
    /// Packs out of store whose serials nobody noted, by what became of them. Of those sold it is below nothing
    /// where packs sold by serial came back without.
    pub(super) sold_unnumbered: i64,
    pub(super) thrown_unnumbered: u32,
    pub(super) opened_unnumbered: u32,
    pub(super) complained_unnumbered: u32,
    /// How many fewer a count found than the book said; negative where it found more.
    pub(super) lost: i64,
    pub(super) lines: Vec<ShelfLine>,
    pub(super) sold: u32,
    pub(super) returned: u32,
}

impl Shelf {
    pub(super) fn new(count: u32) -> Self {
        Self {
            fates: Spans::new(count, Fate::InStore),
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
        self.fates.count()
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
    pub(super) fn left(&self) -> i64 {
        let gone = i64::from(self.out())
            + i64::from(self.thrown())
            + i64::from(self.opened())
            + i64::from(self.complained());
        // A count may have found more than was made, and packs may have come back since.
        i64::from(self.made()) - gone - self.lost
    }

    /// Returns what became of a pack; `None` where the run has no such serial.
    pub fn fate(&self, serial: Serial) -> Option<Fate> {
        self.fates.at(serial)
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
        let ranges = self.ranges_of(fate);
        ranges.iter().map(|range| range.count()).sum()
    }

    /// Returns the serials of one fate as ranges.
    pub fn ranges_of(&self, fate: Fate) -> Vec<SerialRange> {
        let alike = self.fates.iter().filter(|(_, found)| *found == fate);
        alike.map(|(range, _)| range).collect()
    }
}

/// Returns a number of packs as far as it can be counted; none where it is below nothing.
pub(super) fn counted(number: i64) -> u32 {
    u32::try_from(number.clamp(0, i64::from(u32::MAX))).expect("clamped to 32 bits")
}
