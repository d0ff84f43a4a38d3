//! Who has packs: the sales of the runs a trace reached.

use crate::farm::{Event, Farm, Fate, LotId, Moment, SaleTo, Serial, SerialRange};

/// One sale of packs of one or more runs.
#[derive(Clone, Debug, PartialEq)]
pub struct Buyer<'a> {
    /// Who got them, or where.
    pub to: &'a SaleTo,
    /// When.
    pub when: Moment,
    /// The packs whose serials are known, by run.
    pub packs: Vec<(LotId, SerialRange)>,
    /// How many more whose serials nobody noted.
    pub unnumbered: u32,
    /// The same by run.
    pub loose: Vec<(LotId, u32)>,
}

/// Returns the sales of these runs, in the order of events; of one pack only, where one is named.
pub fn buyers<'a>(farm: &'a Farm, runs: &[LotId], only: Option<Serial>) -> Vec<Buyer<'a>> {
    let mut sales: Vec<(usize, Buyer<'a>)> = Vec::new();
    for run in runs {
        let Some(shelf) = &farm.lot(*run).shelf else {
            continue;
        };
        for line in shelf.lines().iter().filter(|line| line.fate == Fate::Sold) {
            let Some(Event::Sale { to, .. }) = &farm.entries()[line.entry].event else {
                continue;
            };
            let packs: Vec<(LotId, SerialRange)> = match only {
                None => line.serials.iter().map(|range| (*run, *range)).collect(),
                Some(serial) => {
                    let named = line.serials.iter().any(|range| range.holds(serial));
                    let one = SerialRange::new(serial, serial).filter(|_| named);
                    one.map(|range| (*run, range)).into_iter().collect()
                }
            };
            // Any pack that is not accounted for may be among those whose serials nobody noted.
            let may_be_among = only.is_none_or(|serial| shelf.fate(serial) == Some(Fate::InStore));
            let unnumbered = if may_be_among { line.unnumbered } else { 0 };
            if packs.is_empty() && unnumbered == 0 {
                continue;
            }
            let when = farm.entries()[line.entry].when;
            let loose = (unnumbered > 0).then_some((*run, unnumbered));
            match sales.iter_mut().find(|(entry, _)| *entry == line.entry) {
                Some((_, sale)) => {
                    sale.packs.extend(packs);
                    sale.unnumbered += unnumbered;
                    sale.loose.extend(loose);
                }
                None => sales.push((
                    line.entry,
                    Buyer {
                        to,
                        when,
                        packs,
                        unnumbered,
                        loose: loose.into_iter().collect(),
                    },
                )),
            }
        }
    }
    sales.sort_by_key(|(entry, sale)| (sale.when.earliest(), sale.when.latest(), *entry));
    sales.into_iter().map(|(_, sale)| sale).collect()
}
