//! What entries do with packs: sold, thrown out, opened, put back; and whether there are such packs.

use super::code::{LotCode, Serial};
use super::draws::MOST_DRAWN_PER_CENT;
use super::fold::{Fold, Site};
use super::lot::LotId;
use super::naming::Meant;
use super::packs::{PackPick, Which};
use super::refusal::Refusal;
use super::shelf::Fate;
use super::shelf_moves::ShelfFault;
use super::warning::Warning;

impl Fold {
    /// Sells or throws out packs.
    pub(super) fn take_packs(
        &mut self,
        site: Site,
        pick: &PackPick<Meant>,
        fate: Fate,
        despite: Option<&str>,
    ) {
        let Some(id) = self.find_run(site, pick.run) else {
            return;
        };
        if fate == Fate::Sold {
            self.refuse_held(site, id, despite, true);
        }
        let Some(shelf) = &mut self.farm.lots[id.index()].shelf else {
            return;
        };
        let made = shelf.made();
        let faults = shelf.take(pick.which, fate, site.entry);
        self.tell_of_shelf(site, pick.run, made, (faults, despite));
    }

    /// Opens packs, whose stuff is used again.
    pub(super) fn open_packs_of(&mut self, site: Site, id: LotId, pick: &PackPick<Meant>) {
        let Some(shelf) = &mut self.farm.lots[id.index()].shelf else {
            return;
        };
        let made = shelf.made();
        let faults = shelf.take(pick.which, Fate::Opened, site.entry);
        self.tell_of_shelf(site, pick.run, made, (faults, None));
    }

    /// Puts packs back.
    pub(super) fn put_back(&mut self, site: Site, pick: &PackPick<Meant>, fate: Fate) {
        let Some(id) = self.find_run(site, pick.run) else {
            return;
        };
        let Some(shelf) = &mut self.farm.lots[id.index()].shelf else {
            return;
        };
        let made = shelf.made();
        let faults = shelf.put_back(pick.which, fate, site.entry);
        self.tell_of_shelf(site, pick.run, made, (faults, None));
    }

    fn tell_of_shelf(
        &mut self,
        site: Site,
        code: LotCode,
        made: u32,
        (faults, despite): (Vec<ShelfFault>, Option<&str>),
    ) {
        for fault in faults {
            match fault {
                ShelfFault::KeptApart { serials } => match despite {
                    None => {
                        let serial = serials.first();
                        self.fault(site.entry, Refusal::KeptApart { code, serial });
                    }
                    Some(_) => {
                        let fate = Fate::Complained;
                        self.warn(
                            site.entry,
                            Warning::PackElsewhere {
                                code,
                                serials,
                                fate,
                            },
                        );
                    }
                },
                ShelfFault::NoSuchSerial { serial, count } => {
                    self.fault(
                        site.entry,
                        Refusal::NoSuchSerial {
                            code,
                            serial,
                            count,
                        },
                    );
                }
                ShelfFault::TooMany { wanted, left } => {
                    let out = u128::from(made - left.min(made)) + u128::from(wanted);
                    if out * 100 > u128::from(made) * MOST_DRAWN_PER_CENT {
                        self.fault(site.entry, Refusal::TooManyPacks { code, left, wanted });
                    } else {
                        self.warn(site.entry, Warning::MorePacks { code, left, wanted });
                    }
                }
                ShelfFault::Elsewhere { serials, fate } => {
                    self.warn(
                        site.entry,
                        Warning::PackElsewhere {
                            code,
                            serials,
                            fate,
                        },
                    );
                }
            }
        }
    }

    /// Checks that a pack is one there is.
    pub(super) fn find_pack(&mut self, site: Site, run: LotCode, serial: Option<Serial>) {
        let Some(id) = self.find_run(site, run) else {
            return;
        };
        let Some((serial, shelf)) = serial.zip(self.farm.lot(id).shelf.as_ref()) else {
            return;
        };
        let count = shelf.made();
        if shelf.fate(serial).is_none() {
            self.fault(
                site.entry,
                Refusal::NoSuchSerial {
                    code: run,
                    serial,
                    count,
                },
            );
        }
    }

    pub(super) fn find_pick(&mut self, site: Site, pick: &PackPick<Meant>) {
        let serial = match pick.which {
            Which::Serials(range) => Some(range.last()),
            Which::Unnumbered(_) | Which::All => None,
        };
        self.find_pack(site, pick.run, serial);
    }
}
