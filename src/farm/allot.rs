//! Gives new lots their codes, and finds the lots that a row names.

use rustc_hash::FxHashMap;

use super::bin_code::Mark;
use super::code::{LotCode, LotLetter};
use super::entry::{Draft, Entry, EntryNumber};
use super::farm::Farm;
use super::meaning::Finder;
use super::moment::Moment;
use super::naming::LotName;
use super::record::Problem;
use super::refusal::Refusal;

/// Gives codes out and knows every name, old and new.
pub(super) struct Allotter<'a> {
    farm: &'a Farm,
    codes: FxHashMap<LotCode, Option<EntryNumber>>,
    marks: FxHashMap<Mark, LotCode>,
    highest: FxHashMap<(LotLetter, u8, u16), u32>,
    /// Names that a correction gives up before it takes them again.
    freed: Option<LotCode>,
    pub problems: Vec<Problem>,
}

impl<'a> Allotter<'a> {
    pub(super) fn of(farm: &'a Farm) -> Self {
        let (codes, marks, highest) = (
            FxHashMap::default(),
            FxHashMap::default(),
            FxHashMap::default(),
        );
        Self {
            farm,
            codes,
            marks,
            highest,
            freed: None,
            problems: Vec::new(),
        }
    }

    pub(super) fn free(&mut self, struck: &Entry) {
        self.freed = struck.made();
    }

    fn refuse(&mut self, draft: usize, refusal: Refusal) {
        self.problems.push(Problem {
            draft: Some(draft),
            refusal,
        });
    }

    /// Gives the lot that a draft makes its code: the one typed, or the next of its kind and day.
    pub(super) fn allot(&mut self, index: usize, draft: &Draft) -> Option<LotCode> {
        let (lot, sort) = draft.event.makes_what()?;
        let letter = sort.letter();
        let code = match lot.code {
            Some(code) => code,
            None => match self.next(letter, draft.when) {
                Some(code) => code,
                None => {
                    self.refuse(
                        index,
                        Refusal::NoCodeLeft {
                            day: draft.when.day(),
                        },
                    );
                    return LotCode::from_number_on(letter, draft.when.day(), 1);
                }
            },
        };
        if code.letter() != letter {
            self.refuse(
                index,
                Refusal::CodeLetter {
                    code,
                    made: letter_word(letter),
                },
            );
        }
        if let Some(entry) = self.farm.giver(code) {
            self.refuse(index, Refusal::CodeTaken { code, entry });
        } else if self.codes.insert(code, None).is_some() {
            self.refuse(index, Refusal::Twice { code });
        }
        let (year, day) = code.year_and_day();
        let highest = self.highest.entry((letter, year, day)).or_default();
        *highest = (*highest).max(code.number());
        if let Some(mark) = lot.mark.clone() {
            self.mark(index, mark, code);
        }
        Some(code)
    }

    pub(super) fn mark(&mut self, index: usize, mark: Mark, code: LotCode) {
        let old = self
            .farm
            .marked(&mark)
            .map(|id| self.farm.lot(id).code)
            .filter(|old| Some(*old) != self.freed);
        let taken = old.or_else(|| self.marks.get(&mark).copied());
        match taken {
            Some(code) => self.refuse(index, Refusal::MarkTaken { mark, code }),
            None => {
                self.marks.insert(mark, code);
            }
        }
    }

    fn next(&self, letter: LotLetter, when: Moment) -> Option<LotCode> {
        let day = when.day();
        let key = LotCode::from_number_on(letter, day, 1)?.year_and_day();
        let key = (letter, key.0, key.1);
        let highest = |map: &FxHashMap<_, u32>| map.get(&key).copied().unwrap_or_default();
        LotCode::from_number_on(
            letter,
            day,
            highest(&self.highest).max(highest(&self.farm.highest)) + 1,
        )
    }
}

/// Looks names up on behalf of one draft.
pub(super) struct Lookup<'a, 'b> {
    pub allotter: &'b mut Allotter<'a>,
    pub draft: usize,
}

impl Finder for Lookup<'_, '_> {
    fn find(&mut self, name: &LotName) -> LotCode {
        let farm = self.allotter.farm;
        let stand_in = || {
            LotCode::from_number_on(LotLetter::Goods, jiff::civil::date(2000, 1, 1), 1)
                .expect("the first code of a day can be given")
        };
        let refusal = match name {
            LotName::Code(code)
                if farm.lot_of(*code).is_some() || self.allotter.codes.contains_key(code) =>
            {
                return *code;
            }
            LotName::Code(code) => {
                match farm.giver(*code).and_then(|entry| farm.struck_by(entry)) {
                    Some(by) => Refusal::StruckLot { code: *code, by },
                    None => Refusal::NoSuchLot {
                        code: *code,
                        nearest: farm.nearest_codes(&code.to_string()),
                    },
                }
            }
            LotName::Mark(mark) => {
                let new = self.allotter.marks.get(mark).copied();
                match new.or_else(|| farm.marked(mark).map(|id| farm.lot(id).code)) {
                    Some(code) => return code,
                    None => Refusal::NoSuchMark {
                        mark: mark.clone(),
                        nearest: farm.nearest_marks(mark.as_str()),
                    },
                }
            }
        };
        self.allotter.refuse(self.draft, refusal);
        stand_in()
    }
}

fn letter_word(letter: LotLetter) -> &'static str {
    match letter {
        LotLetter::Goods => "delivery",
        LotLetter::Bed => "bed",
        LotLetter::Harvest => "batch",
        LotLetter::Packs => "pack run",
    }
}

impl Farm {
    /// Returns the code that the next lot of a kind gets on a day, where there is one left.
    pub fn next_code(&self, letter: LotLetter, when: Moment) -> Option<LotCode> {
        Allotter::of(self).next(letter, when)
    }
}
