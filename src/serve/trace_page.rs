//! A trace behind the sign-in: where a lot came from and where it went, with shares, and who bought it.

use askama::Template;

use crate::desk::alert::alerts;
use crate::desk::called;
use crate::farm::phrase::per_cent;
use crate::farm::{Farm, LotId, Serial};
use crate::trace::{Buyer, Question, Side, Source, Use, trace};

use super::find_page::with_serial;
use super::frame::{Frame, Worker};

/// More lines than this of one side are counted rather than shown.
const SHOWN: usize = 200;

/// The page.
#[derive(Template)]
#[template(path = "shed/trace.html")]
pub struct TracePage {
    frame: Frame,
    name: String,
    code: String,
    alerts: Vec<String>,
    bin: Option<String>,
    is_run: bool,
    back: Vec<Traced>,
    more_back: usize,
    forward: Vec<Traced>,
    more_forward: usize,
    sold: Vec<Sold>,
}

/// A lot on one of the sides.
struct Traced {
    code: String,
    name: String,
    /// How it is reached, and how much of it.
    how: String,
    /// From when to when.
    when: String,
}

/// A sale.
struct Sold {
    who: String,
    contact: Option<String>,
    when: String,
    packs: String,
}

impl TracePage {
    /// Traces a lot, or one pack of it, both ways.
    pub fn of(
        farm: &Farm,
        farm_name: &str,
        (lot, serial): (LotId, Option<Serial>),
        worker: &Worker,
    ) -> Self {
        let asked = |side| Question {
            lot,
            serial,
            when: None,
            side,
        };
        let (back, forward) = (
            trace(farm, asked(Side::Back)),
            trace(farm, asked(Side::Forward)),
        );
        let sources = back.back.unwrap_or_default();
        let uses = forward.forward.unwrap_or_default();
        let there = farm.lot(lot);
        let code = with_serial(there.code, serial);
        Self {
            frame: worker.frame(farm_name, format!("Trace of {code}")),
            name: called(farm, lot),
            code,
            alerts: alerts(farm, lot),
            bin: there.bin().map(|bin| bin.to_string()),
            is_run: there.shelf.is_some(),
            more_back: sources.len().saturating_sub(SHOWN),
            back: sources
                .iter()
                .take(SHOWN)
                .map(|source| Traced::source(farm, source))
                .collect(),
            more_forward: uses.len().saturating_sub(SHOWN),
            forward: uses
                .iter()
                .take(SHOWN)
                .map(|used| Traced::used(farm, used))
                .collect(),
            sold: forward
                .buyers
                .iter()
                .map(|buyer| Sold::of(farm, buyer))
                .collect(),
        }
    }
}

impl Traced {
    fn source(farm: &Farm, source: &Source) -> Self {
        let share = source.share.map(per_cent);
        let relation = source.reached.relation.word().to_owned();
        let how = [Some(relation), share].into_iter().flatten();
        Self {
            code: farm.lot(source.reached.lot).code.to_string(),
            name: match farm.delivery(source.reached.lot) {
                Some(facts) => {
                    format!(
                        "{} from {}",
                        called(farm, source.reached.lot),
                        facts.supplier
                    )
                }
                None => called(farm, source.reached.lot),
            },
            how: how.collect::<Vec<_>>().join(", "),
            when: crate::farm::phrase::days(source.reached.first, source.reached.last),
        }
    }

    fn used(farm: &Farm, used: &Use) -> Self {
        let relation = used.reached.relation.word().to_owned();
        let packs = used
            .packs
            .map(|(made, sold)| format!("{made} packs, {sold} sold"));
        let how = [Some(relation), packs].into_iter().flatten();
        Self {
            code: farm.lot(used.reached.lot).code.to_string(),
            name: called(farm, used.reached.lot),
            how: how.collect::<Vec<_>>().join(", "),
            when: crate::farm::phrase::days(used.reached.first, used.reached.last),
        }
    }
}

impl Sold {
    fn of(farm: &Farm, buyer: &Buyer<'_>) -> Self {
        let who = buyer.to.buyer.as_ref().or(buyer.to.market.as_ref());
        let numbered = buyer.packs.iter().map(|(run, range)| {
            let name = crate::trade::lot_name(farm, *run);
            format!("{name} {range}")
        });
        let unnumbered = (buyer.unnumbered > 0)
            .then(|| format!("{} without their serials noted", buyer.unnumbered));
        Self {
            who: who.map_or_else(|| "nobody noted to whom".to_owned(), ToString::to_string),
            contact: buyer.to.contact.as_ref().map(ToString::to_string),
            when: buyer.when.to_string().replace('T', " "),
            packs: numbered.chain(unnumbered).collect::<Vec<_>>().join("; "),
        }
    }
}
