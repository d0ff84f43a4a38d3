//! Beds: made up, fed, split, tipped, sieved and ended.

use super::amount::{Amount, Quantity, Unit};
use super::bin_code::BinCode;
use super::code::LotCode;
use super::entry::{Clears, Draw, Sieved};
use super::flow::{Class, Flow, Much};
use super::fold::{Fold, Site};
use super::kinds::BatchKind;
use super::lot::{Ending, LotId, Stay, Stock};
use super::naming::{BedName, Meant, TipTo};
use super::portion::Portion;
use super::refusal::Refusal;
use super::warning::Warning;

/// What one row of sievings.csv makes.
#[derive(Clone, Copy)]
pub(super) struct Sieving {
    pub code: LotCode,
    pub kind: BatchKind,
    pub whole: Option<Amount>,
}

impl Fold {
    /// Notes that a lot is there, and how much of it.
    pub(super) fn bear(&mut self, code: LotCode, amount: Amount) {
        if let Some(id) = self.farm.lot_of(code) {
            let lot = &mut self.farm.lots[id.index()];
            lot.born = true;
            lot.made = Some(amount);
            lot.stock = Stock::of(amount);
        }
    }

    pub(super) fn make_bed(
        &mut self,
        site: Site,
        code: LotCode,
        bin: BinCode,
        takes: &[Draw<Meant>],
    ) {
        let Some(bed) = self.farm.lot_of(code) else {
            return;
        };
        self.farm.lots[bed.index()].born = true;
        if self.put_in(site, bed, bin) {
            self.take_all(site, takes, bed, None);
        }
    }

    /// Puts a bed into an empty bin; tells whether it was empty.
    fn put_in(&mut self, site: Site, bed: LotId, bin: BinCode) -> bool {
        if let Some(other) = self.occupant(bin) {
            let refusal = Refusal::BinTaken {
                bin,
                bed: self.farm.lot(other).code,
                when: site.when,
            };
            self.fault(site.entry, refusal);
            return false;
        }
        if !self.farm.bins.contains_key(&bin) && !self.set_up.contains(&bin) {
            self.warn(site.entry, Warning::UnknownBin { bin });
        }
        let entry = self.farm.bins.entry(bin).or_default();
        entry.bed = Some(bed);
        entry.beds.push(bed);
        self.today.beds.entry(bin).or_default().push(bed);
        self.farm.lots[bed.index()].stays.push(Stay {
            bin,
            from: site.when,
            to: None,
        });
        true
    }

    /// Takes a bed out of its bin.
    fn take_out(&mut self, bed: LotId, site: Site) {
        let Some(bin) = self.farm.lot(bed).bin() else {
            return;
        };
        let changed = self.today.beds.entry(bin).or_default();
        if changed.is_empty() {
            changed.push(bed);
        }
        if let Some(entry) = self.farm.bins.get_mut(&bin) {
            entry.bed = None;
        }
        if let Some(stay) = self.farm.lots[bed.index()].stays.last_mut() {
            stay.to = Some(site.when);
        }
    }

    /// Ends a bed.
    pub(super) fn end_bed(&mut self, bed: LotId, site: Site) {
        self.take_out(bed, site);
        self.farm.lots[bed.index()].ended = Some(Ending {
            when: site.when,
            entry: site.entry,
        });
    }

    pub(super) fn split(
        &mut self,
        site: Site,
        bed: &mut BedName<LotCode>,
        share: Portion,
        to: BinCode,
        code: LotCode,
    ) {
        let Some(new) = self.farm.lot_of(code) else {
            return;
        };
        self.farm.lots[new.index()].born = true;
        let Some(from) = self.find_bed(site, bed, true) else {
            return;
        };
        self.refuse_held(site, from, None, false);
        if self.put_in(site, new, to) {
            let (class, much) = (Class::Whole, Much::Portion(share));
            self.flow(Flow {
                entry: site.entry,
                when: site.when,
                from,
                to: Some(new),
                class,
                much,
                packs: None,
            });
        }
    }

    pub(super) fn tip(&mut self, site: Site, bed: &mut BedName<LotCode>, to: &mut TipTo<LotCode>) {
        let Some(from) = self.find_bed(site, bed, true) else {
            return;
        };
        self.refuse_held(site, from, None, false);
        let empty = match to {
            TipTo::Typed(bin) => match self.occupant(*bin) {
                None => Some(*bin),
                Some(there) => {
                    *to = TipTo::Into(BedName::Found {
                        bin: *bin,
                        bed: self.farm.lot(there).code,
                    });
                    None
                }
            },
            TipTo::Empty(bin) => Some(*bin),
            TipTo::Into(_) => None,
        };
        if let Some(bin) = empty {
            *to = TipTo::Empty(bin);
            if self.occupant(bin).is_none() {
                self.take_out(from, site);
            }
            self.put_in(site, from, bin);
            return;
        }
        let TipTo::Into(name) = to else { return };
        let Some(into) = self.find_bed(site, name, false) else {
            return;
        };
        if into == from {
            self.fault(
                site.entry,
                Refusal::IntoItself {
                    bed: self.farm.lot(from).code,
                },
            );
            return;
        }
        let (class, much) = (Class::Whole, Much::All);
        self.flow(Flow {
            entry: site.entry,
            when: site.when,
            from,
            to: Some(into),
            class,
            much,
            packs: None,
        });
        self.end_bed(from, site);
    }

    pub(super) fn sieve(
        &mut self,
        site: Site,
        made: Sieving,
        from: &mut [Sieved<Meant>],
        clears: &mut Clears<Meant>,
    ) {
        let parts: Vec<Amount> = from.iter().filter_map(|sieved| sieved.amount).collect();
        if made.whole.is_some() && !parts.is_empty() {
            self.fault(site.entry, Refusal::TwoAmounts);
        }
        let whole = made.whole.unwrap_or_else(|| {
            if parts.len() == from.len() {
                sum(&parts)
            } else {
                Amount::Unknown
            }
        });
        self.bear(made.code, whole);
        let Some(batch) = self.farm.lot_of(made.code) else {
            return;
        };
        let alone = from.len() == 1;
        let mut beds = Vec::new();
        for sieved in from.iter_mut() {
            let Some(bed) = self.find_bed(site, &mut sieved.bed, true) else {
                continue;
            };
            if beds.contains(&bed) {
                self.fault(
                    site.entry,
                    Refusal::Twice {
                        code: self.farm.lot(bed).code,
                    },
                );
                continue;
            }
            beds.push(bed);
            let much = match (made.whole, sieved.amount) {
                (Some(whole), _) if alone => Much::Amount(whole),
                (Some(whole), _) => Much::Divided(whole),
                (None, Some(amount)) => Much::Amount(amount),
                (None, None) => Much::Amount(Amount::Unknown),
            };
            let class = Class::of_sieving(made.kind);
            self.flow(Flow {
                entry: site.entry,
                when: site.when,
                from: bed,
                to: Some(batch),
                class,
                much,
                packs: None,
            });
        }
        self.mark_cleared(site, &beds, clears);
    }

    fn mark_cleared(&mut self, site: Site, sieved: &[LotId], clears: &mut Clears<Meant>) {
        let cleared: Vec<LotId> = match clears {
            Clears::All => sieved.to_vec(),
            Clears::Named(names) => {
                let mut beds = Vec::new();
                for name in names {
                    // Whatever else was in the bin that day, the row clears the bed that it sieves.
                    match sieved.iter().find(|bed| self.names(name, **bed)) {
                        Some(bed) => beds.push(self.keep_cleared(name, *bed)),
                        None => {
                            let bin = written(name);
                            self.fault(site.entry, Refusal::ClearsUnsieved { bin });
                        }
                    }
                }
                beds
            }
        };
        for bed in cleared {
            if !self
                .today
                .clearing
                .iter()
                .any(|(_, other, _)| *other == bed)
            {
                self.today.clearing.push((site.when, bed, site.entry));
            }
        }
    }

    /// Keeps what was found in the bin that a row clears.
    fn keep_cleared(&self, name: &mut BedName<LotCode>, bed: LotId) -> LotId {
        if let BedName::Bin(bin) = *name {
            let bed = self.farm.lot(bed).code;
            *name = BedName::Found { bin, bed };
        }
        bed
    }
}

/// Writes a bed's name as it was typed.
fn written(name: &BedName<LotCode>) -> String {
    match name {
        BedName::Bin(bin) | BedName::Found { bin, .. } => bin.to_string(),
        BedName::Bed(bed) => bed.to_string(),
    }
}

/// Adds amounts of one unit up; unknown where one is, or where the units differ.
pub(super) fn sum(amounts: &[Amount]) -> Amount {
    let mut total: Option<(u64, Unit)> = None;
    let mut sure = true;
    for amount in amounts {
        let Some(quantity) = amount.quantity() else {
            return Amount::Unknown;
        };
        sure &= amount.is_weighed();
        total = match total {
            None => Some((quantity.value(), quantity.unit())),
            Some((value, unit)) if unit == quantity.unit() => {
                Some((value.saturating_add(quantity.value()), unit))
            }
            Some(_) => return Amount::Unknown,
        };
    }
    match total {
        None => Amount::Unknown,
        Some((value, unit)) if sure => Amount::Weighed(Quantity::new(value, unit)),
        Some((value, unit)) => Amount::Guess(Quantity::new(value, unit)),
    }
}
