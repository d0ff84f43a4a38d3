//! From what was typed to what it means: every lot by its code. And back: which lots an event names.

use super::code::LotCode;
use super::entry::{Clears, Draw, Event, NewLot, Sieved, Thrown};
use super::naming::{BedName, LotName, Meant, TipTo, Typed};
use super::packs::{PackName, PackPick};

/// Finds lots by their names; what it cannot find it notes, and gives a stand-in.
pub(super) trait Finder {
    /// Returns the code of the lot that a name means.
    fn find(&mut self, name: &LotName) -> LotCode;
}

impl Event<Typed> {
    /// Puts codes in place of names; `made` is the code of the lot the event makes, if it makes one.
    pub(super) fn meant(self, made: Option<LotCode>, find: &mut impl Finder) -> Event<Meant> {
        let new = |lot: NewLot<Typed>| NewLot {
            code: made.expect("a code was allotted to every event that makes a lot"),
            mark: lot.mark,
        };
        match self {
            Self::Bin { bin, place, facts } => Event::Bin { bin, place, facts },
            Self::Delivery { lot, amount, facts } => Event::Delivery {
                lot: new(lot),
                amount,
                facts,
            },
            Self::Bed {
                lot,
                bin,
                takes,
                species,
            } => Event::Bed {
                lot: new(lot),
                bin,
                takes: draws(takes, find),
                species,
            },
            Self::Feed { bed: b, takes } => Event::Feed {
                bed: bed(b, find),
                takes: draws(takes, find),
            },
            Self::Skip { bed: b, why } => Event::Skip {
                bed: bed(b, find),
                why,
            },
            Self::Check { bed: b, facts } => Event::Check {
                bed: bed(b, find),
                facts,
            },
            Self::Split {
                bed: b,
                share,
                to,
                lot,
            } => Event::Split {
                bed: bed(b, find),
                share,
                to,
                lot: new(lot),
            },
            Self::Tip { bed: b, to } => Event::Tip {
                bed: bed(b, find),
                to: match to {
                    TipTo::Typed(bin) => TipTo::Typed(bin),
                    TipTo::Empty(bin) => TipTo::Empty(bin),
                    TipTo::Into(into) => TipTo::Into(bed(into, find)),
                },
            },
            Self::Move { bin, place } => Event::Move { bin, place },
            Self::Sieving {
                lot,
                kind,
                from,
                whole,
                clears,
            } => Event::Sieving {
                lot: new(lot),
                kind,
                from: from
                    .into_iter()
                    .map(|s| Sieved {
                        bed: bed(s.bed, find),
                        amount: s.amount,
                    })
                    .collect(),
                whole,
                clears: match clears {
                    Clears::All => Clears::All,
                    Clears::Named(beds) => {
                        Clears::Named(beds.into_iter().map(|b| bed(b, find)).collect())
                    }
                },
            },
            Self::Blend { lot, kind, from } => Event::Blend {
                lot: new(lot),
                kind,
                from: draws(from, find),
            },
            Self::Test { lot, facts } => Event::Test {
                lot: find.find(&lot),
                facts,
            },
            Self::Pack {
                lot,
                product,
                count,
                from,
                best_by,
                despite,
            } => Event::Pack {
                lot: new(lot),
                product,
                count,
                from: draws(from, find),
                best_by,
                despite,
            },
            Self::Weighing { run, values, tare } => Event::Weighing {
                run: find.find(&run),
                values,
                tare,
            },
            Self::Sale {
                packs: p,
                to,
                despite,
            } => Event::Sale {
                packs: packs(p, find),
                to,
                despite,
            },
            Self::Return {
                packs: p,
                state,
                buyer,
                market,
            } => Event::Return {
                packs: packs(p, find),
                state,
                buyer,
                market,
            },
            Self::Count { lot, found, why } => Event::Count {
                lot: find.find(&lot),
                found,
                why,
            },
            Self::Thrown { what, why } => Event::Thrown {
                what: thrown(what, find),
                why,
            },
            Self::Complaint { pack, facts } => Event::Complaint {
                pack: pack.map(|pack| PackName {
                    run: find.find(&pack.run),
                    serial: pack.serial,
                }),
                facts,
            },
            Self::Settlement { complaint, why } => Event::Settlement { complaint, why },
            Self::Hold { lot, step, reason } => Event::Hold {
                lot: find.find(&lot),
                step,
                reason,
            },
            Self::Recall {
                recall,
                step,
                lots,
                packs: p,
                buyer,
                why,
            } => Event::Recall {
                recall,
                step,
                lots: lots.iter().map(|lot| find.find(lot)).collect(),
                packs: packs(p, find),
                buyer,
                why,
            },
            Self::Print { packs: p, facts } => Event::Print {
                packs: packs(p, find),
                facts,
            },
        }
    }
}

fn bed(name: BedName<LotName>, find: &mut impl Finder) -> BedName<LotCode> {
    match name {
        BedName::Bin(bin) => BedName::Bin(bin),
        BedName::Bed(lot) => BedName::Bed(find.find(&lot)),
        BedName::Found { bin, bed } => BedName::Found {
            bin,
            bed: find.find(&bed),
        },
    }
}

fn draws(draws: Vec<Draw<Typed>>, find: &mut impl Finder) -> Vec<Draw<Meant>> {
    draws.into_iter().map(|d| draw(d, find)).collect()
}

fn draw(draw: Draw<Typed>, find: &mut impl Finder) -> Draw<Meant> {
    Draw {
        lot: find.find(&draw.lot),
        packs: draw.packs,
        amount: draw.amount,
    }
}

fn packs(packs: Vec<PackPick<Typed>>, find: &mut impl Finder) -> Vec<PackPick<Meant>> {
    packs
        .into_iter()
        .map(|pick| PackPick {
            run: find.find(&pick.run),
            which: pick.which,
        })
        .collect()
}

fn thrown(what: Thrown<Typed>, find: &mut impl Finder) -> Thrown<Meant> {
    match what {
        Thrown::Some(some) => Thrown::Some(draw(some, find)),
        Thrown::Packs(picks) => Thrown::Packs(packs(picks, find)),
        Thrown::Bed(name) => Thrown::Bed(bed(name, find)),
    }
}

impl Event<Meant> {
    /// Returns every lot that the event names, apart from one it makes.
    pub fn lots_named(&self) -> Vec<LotCode> {
        let bed = |name: &BedName<LotCode>| match name {
            BedName::Bin(_) => None,
            BedName::Bed(bed) | BedName::Found { bed, .. } => Some(*bed),
        };
        let drawn = |draws: &[Draw<Meant>]| draws.iter().map(|draw| draw.lot).collect::<Vec<_>>();
        let picked =
            |packs: &[PackPick<Meant>]| packs.iter().map(|pick| pick.run).collect::<Vec<_>>();
        match self {
            Self::Bin { .. }
            | Self::Delivery { .. }
            | Self::Move { .. }
            | Self::Settlement { .. } => Vec::new(),
            Self::Bed { takes, .. } => drawn(takes),
            Self::Feed { bed: b, takes } => bed(b).into_iter().chain(drawn(takes)).collect(),
            Self::Skip { bed: b, .. } | Self::Check { bed: b, .. } | Self::Split { bed: b, .. } => {
                bed(b).into_iter().collect()
            }
            Self::Tip { bed: b, to } => match to {
                TipTo::Into(into) => bed(b).into_iter().chain(bed(into)).collect(),
                TipTo::Typed(_) | TipTo::Empty(_) => bed(b).into_iter().collect(),
            },
            Self::Sieving { from, .. } => {
                from.iter().filter_map(|sieved| bed(&sieved.bed)).collect()
            }
            Self::Blend { from, .. } | Self::Pack { from, .. } => drawn(from),
            Self::Test { lot, .. } | Self::Count { lot, .. } | Self::Hold { lot, .. } => vec![*lot],
            Self::Weighing { run, .. } => vec![*run],
            Self::Sale { packs, .. } | Self::Return { packs, .. } | Self::Print { packs, .. } => {
                picked(packs)
            }
            Self::Thrown { what, .. } => match what {
                Thrown::Some(draw) => vec![draw.lot],
                Thrown::Packs(packs) => picked(packs),
                Thrown::Bed(b) => bed(b).into_iter().collect(),
            },
            Self::Complaint { pack, .. } => pack.iter().map(|pack| pack.run).collect(),
            Self::Recall { lots, packs, .. } => lots.iter().copied().chain(picked(packs)).collect(),
        }
    }
}
