//! Which rows of an import stand in the diary already: equal in all columns but `by` and `note`.
//!
//! A bed named by its bin is the same as that bed named by its code; a code or a complaint's name left out is one castlot gave; and what
//! was forgotten may have been anything.

use std::collections::HashMap;

use super::column::columns;
use super::names::Names;
use super::row::Row;
use super::write::{name_complaint, row};
use crate::farm::{
    BedName, BinCode, Draft, Entry, EntryNumber, Farm, LotCode, LotName, Meant, Moment, Noun,
    TipTo, Typed,
};

/// The entries of a diary, by what they are and when, each to be found once.
pub(super) struct Seen<'a> {
    farm: &'a Farm,
    /// Places in `Farm::entries`; bins stand under no moment, because a sheet may leave it out.
    entries: HashMap<(Noun, Option<Moment>), Vec<usize>>,
}

impl<'a> Seen<'a> {
    pub fn of(farm: &'a Farm) -> Self {
        let mut entries: HashMap<_, Vec<usize>> = HashMap::new();
        // Struck ones too: a season's spreadsheet keeps a slip long after it was put right in the diary.
        for (place, entry) in farm.entries().iter().enumerate() {
            if let Some(event) = &entry.event {
                let key = key(event.noun(), entry.when);
                entries.entry(key).or_default().push(place);
            }
        }
        Self { farm, entries }
    }

    /// Finds an entry that says the same as a draft, and does not find it again; `dated` tells whether the row said when.
    pub fn find(&mut self, draft: &Draft, dated: bool) -> Option<EntryNumber> {
        let farm = self.farm;
        let alike = self.entries.get_mut(&key(draft.event.noun(), draft.when))?;
        if alike.is_empty() {
            return None;
        }
        let mut names = Compared::new(farm);
        let typed = row(draft.when, (None, None), &draft.event, &mut names);
        let typed = (typed, names.beds);
        let same = |place: &usize| is_same(farm, &typed, &farm.entries()[*place], dated);
        let at = alike.iter().position(same)?;
        Some(farm.entries()[alike.remove(at)].number)
    }
}

fn key(noun: Noun, when: Moment) -> (Noun, Option<Moment>) {
    (noun, (noun != Noun::Bin).then_some(when))
}

/// A bed as it is compared: by the bin, by the bed, or by both.
#[derive(Clone, Copy, Debug)]
struct Place {
    bin: Option<BinCode>,
    bed: Option<LotCode>,
}

fn is_same(farm: &Farm, typed: &(Row, Vec<Place>), entry: &Entry, dated: bool) -> bool {
    let Some(event) = &entry.event else {
        return false;
    };
    let mut names = Compared::new(farm);
    let mut kept = row(entry.when, (None, None), event, &mut names);
    name_complaint(&mut kept, farm, entry);
    let (typed, beds) = typed;
    let cells = columns(typed.noun())
        .iter()
        .zip(typed.cells().zip(kept.cells()));
    let mut cells = cells.map(|(column, (typed, kept))| match column.name {
        "code" => typed.is_empty() || typed == kept,
        "complaint" if event.noun() == Noun::Complaint => typed.is_empty() || typed == kept,
        "when" => !dated || typed == kept,
        _ => typed == kept || is_forgotten(kept),
    });
    cells.all(|same| same)
        && beds.len() == names.beds.len()
        && beds
            .iter()
            .zip(&names.beds)
            .all(|(typed, kept)| is_same_place(farm, *typed, *kept, entry.when))
}

fn is_forgotten(text: &str) -> bool {
    text.strip_prefix("forgotten-")
        .is_some_and(|key| !key.is_empty() && key.bytes().all(|byte| byte.is_ascii_digit()))
}

fn is_same_place(farm: &Farm, typed: Place, kept: Place, when: Moment) -> bool {
    match (typed.bin, typed.bed) {
        (_, Some(bed)) => kept.bed == Some(bed),
        (Some(bin), None) if kept.bin.is_some() => kept.bin == Some(bin),
        // The diary names the bed alone, and the sheet its bin: was it in there?
        (Some(bin), None) => kept.bed.and_then(|bed| farm.lot_of(bed)).is_some_and(|id| {
            farm.lot(id).stays.iter().any(|stay| {
                let until = stay.to.is_none_or(|to| when.could_precede(to));
                stay.bin == bin && stay.from.could_precede(when) && until
            })
        }),
        (None, None) => false,
    }
}

/// Names lots by code where the farm knows one, and sets beds aside to be compared one by one.
struct Compared<'a> {
    farm: &'a Farm,
    beds: Vec<Place>,
}

impl<'a> Compared<'a> {
    fn new(farm: &'a Farm) -> Self {
        Self {
            farm,
            beds: Vec::new(),
        }
    }

    fn code(&self, name: &LotName) -> Option<LotCode> {
        match name {
            LotName::Code(code) => Some(*code),
            LotName::Mark(mark) => self.farm.marked(mark).map(|id| self.farm.lot(id).code),
        }
    }

    /// Sets a bed aside; what stands in the row is the same for every bed.
    fn aside(&mut self, bin: Option<BinCode>, bed: Option<LotCode>) -> String {
        self.beds.push(Place { bin, bed });
        "bed".to_owned()
    }
}

impl Names<Typed> for Compared<'_> {
    fn lot(&mut self, lot: &LotName) -> String {
        match (self.code(lot), lot) {
            (Some(code), _) => code.to_string(),
            (None, LotName::Code(code)) => code.to_string(),
            (None, LotName::Mark(mark)) => mark.to_string(),
        }
    }

    fn bed(&mut self, bed: &BedName<LotName>) -> String {
        match bed {
            BedName::Bin(bin) => self.aside(Some(*bin), None),
            BedName::Bed(bed) => {
                let code = self.code(bed);
                self.aside(None, code)
            }
            BedName::Found { bin, bed } => {
                let code = self.code(bed);
                self.aside(Some(*bin), code)
            }
        }
    }

    fn tip_to(&mut self, to: &TipTo<LotName>) -> String {
        match to {
            TipTo::Typed(bin) | TipTo::Empty(bin) => self.aside(Some(*bin), None),
            TipTo::Into(bed) => Names::<Typed>::bed(self, bed),
        }
    }

    fn made(&mut self, code: &Option<LotCode>) -> String {
        code.map(|code| code.to_string()).unwrap_or_default()
    }
}

impl Names<Meant> for Compared<'_> {
    fn lot(&mut self, lot: &LotCode) -> String {
        lot.to_string()
    }

    fn bed(&mut self, bed: &BedName<LotCode>) -> String {
        match bed {
            BedName::Bin(bin) => self.aside(Some(*bin), None),
            BedName::Bed(bed) => self.aside(None, Some(*bed)),
            BedName::Found { bin, bed } => self.aside(Some(*bin), Some(*bed)),
        }
    }

    fn tip_to(&mut self, to: &TipTo<LotCode>) -> String {
        match to {
            TipTo::Typed(bin) | TipTo::Empty(bin) => self.aside(Some(*bin), None),
            TipTo::Into(bed) => Names::<Meant>::bed(self, bed),
        }
    }

    fn made(&mut self, code: &LotCode) -> String {
        code.to_string()
    }
}
