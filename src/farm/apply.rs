//! What each kind of entry does to the farm, and what is wrong with it in its place.

use super::entry::{Event, Thrown};
use super::facts::BinStanding;
use super::flow::{Class, Flow, Much};
use super::fold::{Fold, Site};
use super::kinds::{HoldStep, ReturnState};
use super::lot::{Hold, LotSort};
use super::naming::Meant;
use super::refusal::Refusal;
use super::shelf::{Fate, Shelf};
use super::warning::Warning;

impl Fold {
    /// Lets an entry happen as far as it can, and notes what is wrong with it.
    pub(super) fn apply(&mut self, site: Site, event: &mut Event<Meant>) {
        match event {
            Event::Bin { bin, place, facts } => {
                self.warn_of_place(site, *bin, place);
                let standing = BinStanding {
                    place: place.clone(),
                    facts: (**facts).clone(),
                };
                self.farm.bins.entry(*bin).or_default().standing = Some(standing);
            }
            Event::Move { bin, place } => {
                self.warn_of_place(site, *bin, place);
                let standing = &mut self.farm.bins.entry(*bin).or_default().standing;
                let facts = standing.take().map(|s| s.facts).unwrap_or_default();
                *standing = Some(BinStanding {
                    place: place.clone(),
                    facts,
                });
            }
            Event::Delivery { lot, amount, .. } => self.bear(lot.code, *amount),
            Event::Bed {
                lot, bin, takes, ..
            } => self.make_bed(site, lot.code, *bin, takes),
            Event::Feed { bed, takes } => {
                if let Some(bed) = self.find_unsure(site, bed) {
                    self.take_all(site, takes, bed, None);
                }
            }
            Event::Skip { bed, .. } | Event::Check { bed, .. } => {
                self.find_unsure(site, bed);
            }
            Event::Split {
                bed,
                share,
                to,
                lot,
            } => self.split(site, bed, *share, *to, lot.code),
            Event::Tip { bed, to } => self.tip(site, bed, to),
            Event::Sieving {
                lot,
                kind,
                from,
                whole,
                clears,
            } => {
                let sieved = super::beds::Sieving {
                    code: lot.code,
                    kind: *kind,
                    whole: *whole,
                };
                self.sieve(site, sieved, from, clears);
            }
            Event::Blend { lot, from, .. } => self.blend(site, lot.code, from),
            Event::Pack {
                lot,
                count,
                from,
                despite,
                ..
            } => {
                self.bear_run(lot.code, *count);
                if let Some(run) = self.farm.lot_of(lot.code) {
                    self.take_all(site, from, run, despite.as_deref());
                }
            }
            Event::Test { lot, .. } => {
                if let Some(id) = self.find_lot(site, *lot) {
                    self.farm.lots[id.index()].tests.push(site.entry);
                }
            }
            Event::Weighing { run, .. } => {
                self.find_run(site, *run);
            }
            Event::Sale { packs, despite, .. } => {
                for pick in packs.iter() {
                    self.take_packs(site, pick, Fate::Sold, despite.as_deref());
                }
            }
            Event::Return { packs, state, .. } => {
                let fate = match state {
                    ReturnState::Unsold => Fate::InStore,
                    ReturnState::Complained => Fate::Complained,
                };
                for pick in packs.iter() {
                    self.put_back(site, pick, fate);
                }
            }
            Event::Count { lot, found, .. } => self.count(site, *lot, *found),
            Event::Thrown { what, .. } => self.throw(site, what),
            Event::Complaint { pack, .. } => {
                if let Some(pack) = pack {
                    self.find_pack(site, pack.run, pack.serial);
                }
                self.take_complaint(site);
            }
            Event::Settlement { complaint, .. } => self.settle(site, complaint),
            Event::Hold { lot, step, .. } => self.hold(site, *lot, *step),
            Event::Recall { lots, packs, .. } => {
                for lot in lots.iter() {
                    self.find_lot(site, *lot);
                }
                packs.iter().for_each(|pick| self.find_pick(site, pick));
            }
            Event::Print { packs, .. } => packs.iter().for_each(|pick| self.find_pick(site, pick)),
        }
    }

    fn warn_of_place(
        &mut self,
        site: Site,
        bin: super::bin_code::BinCode,
        place: &super::bin_code::Place,
    ) {
        let stands =
            |other: &super::farm::Bin| other.standing.as_ref().is_some_and(|s| s.place == *place);
        let other = self
            .farm
            .bins
            .iter()
            .find(|(code, other)| **code != bin && stands(other))
            .map(|(code, _)| *code);
        if let Some(other) = other {
            self.warn(
                site.entry,
                Warning::PlaceTaken {
                    place: place.clone(),
                    other,
                    bin,
                },
            );
        }
    }

    fn bear_run(&mut self, code: super::code::LotCode, count: u32) {
        if let Some(id) = self.farm.lot_of(code) {
            let lot = &mut self.farm.lots[id.index()];
            lot.born = true;
            lot.shelf = Some(Box::new(Shelf::new(count)));
        }
    }

    fn throw(&mut self, site: Site, what: &mut Thrown<Meant>) {
        match what {
            Thrown::Packs(packs) => {
                for pick in packs.iter() {
                    self.take_packs(site, pick, Fate::Thrown, None);
                }
            }
            Thrown::Bed(bed) => {
                if let Some(id) = self.find_bed(site, bed, true) {
                    let (class, much) = (Class::Whole, Much::All);
                    self.flow(Flow {
                        entry: site.entry,
                        when: site.when,
                        from: id,
                        to: None,
                        class,
                        much,
                        packs: None,
                    });
                    self.end_bed(id, site);
                }
            }
            Thrown::Some(draw) => {
                // What is thrown out may well be held: that is how a held lot ends.
                if let Some(taken) = self.take(site, draw) {
                    let before = self.farm.lot(taken.from).stock.unit;
                    if let (Much::Amount(amount), Some(unit)) = (taken.much, before) {
                        let thrown = amount
                            .quantity()
                            .filter(|q| q.unit() == unit)
                            .map_or(0, |q| q.value());
                        self.farm.lots[taken.from.index()].stock.thrown += thrown;
                    }
                    self.flow(taken.to(None, site));
                }
            }
        }
    }

    fn hold(&mut self, site: Site, code: super::code::LotCode, step: HoldStep) {
        let Some(id) = self.find_lot(site, code) else {
            return;
        };
        match step {
            HoldStep::Hold(reach) => {
                let hold = Hold {
                    entry: site.entry,
                    since: site.when,
                    reach,
                    released: None,
                };
                self.farm.put_on_hold(id, hold);
            }
            HoldStep::Release if self.farm.lot(id).is_held() => {
                self.farm.lift_holds(id, site.when);
            }
            // Not held itself: it is freed of what reaches it, and nothing else is.
            HoldStep::Release => {
                if !self.farm.free(id) {
                    self.warn(site.entry, Warning::NotHeld { code });
                }
            }
        }
    }

    /// Returns the lot of a code, if it has been made by then.
    pub(super) fn find_lot(
        &mut self,
        site: Site,
        code: super::code::LotCode,
    ) -> Option<super::lot::LotId> {
        let Some(id) = self.farm.lot_of(code) else {
            let refusal = match self
                .farm
                .giver(code)
                .and_then(|entry| self.farm.struck_by(entry))
            {
                Some(by) => Refusal::StruckLot { code, by },
                None => Refusal::NoSuchLot {
                    code,
                    nearest: Vec::new(),
                },
            };
            self.fault(site.entry, refusal);
            return None;
        };
        let lot = self.farm.lot(id);
        if !lot.born {
            let made = lot.when;
            self.fault(site.entry, Refusal::NotYet { code, made });
            return None;
        }
        Some(id)
    }

    /// Returns the pack run of a code.
    pub(super) fn find_run(
        &mut self,
        site: Site,
        code: super::code::LotCode,
    ) -> Option<super::lot::LotId> {
        let id = self.find_lot(site, code)?;
        match self.farm.lot(id).sort {
            LotSort::Run(_) => Some(id),
            sort => {
                self.fault(
                    site.entry,
                    Refusal::WrongSort {
                        code,
                        is: sort.word(),
                        wanted: "a pack run",
                    },
                );
                None
            }
        }
    }
}
