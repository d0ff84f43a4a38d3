//! What a drill could not find: the gaps that an inspector would find too.

use crate::farm::{Basis, DeliveryKind, Farm, LotId, LotSort};
use crate::trace::{Listing, Source};

use super::evidence::Link;
use super::lot_words::{called, whom};
use super::wording::count;

/// Names every gap, a sentence each.
pub fn gaps(farm: &Farm, back: &[Source], links: &[Link], listing: &Listing) -> Vec<String> {
    let mut gaps = Vec::new();
    packs(listing, &mut gaps);
    sales(listing, &mut gaps);
    for run in &listing.runs {
        if let Some(lot) = farm.lot_of(run.code)
            && !has_packaging(farm, lot)
        {
            gaps.push(format!(
                "No bag, tub or bottle is named that {} was packed in.",
                run.code
            ));
        }
    }
    for source in back {
        of_delivery(farm, source.reached.lot, &mut gaps);
    }
    let unknown = links
        .iter()
        .filter(|link| link.basis == Basis::Unknown)
        .count();
    if unknown > 0 {
        gaps.push(format!(
            "Of {} nobody knows how much went over.",
            count(unknown, "link", "links")
        ));
    }
    gaps
}

fn packs(listing: &Listing, gaps: &mut Vec<String>) {
    for run in &listing.runs {
        if run.count.not_found > 0 {
            let missing = count(run.count.not_found, "pack", "packs");
            gaps.push(format!(
                "{missing} of {} cannot be accounted for.",
                run.code
            ));
        }
        if run.count.unplaced > 0 {
            let missing = count(run.count.unplaced, "pack", "packs");
            gaps.push(format!(
                "{missing} of {} may be in store or gone: some left without their serials noted.",
                run.code
            ));
        }
    }
}

fn sales(listing: &Listing, gaps: &mut Vec<String>) {
    for sale in &listing.sales {
        let unnumbered: u32 = sale.packs.iter().map(|sold| sold.unnumbered).sum();
        let (who, day, entry) = (whom(&sale.to), sale.when.day(), sale.entry);
        if unnumbered > 0 {
            let packs = count(unnumbered, "pack", "packs");
            gaps.push(format!(
                "No serial was noted of {packs} sold to {who} on {day} (entry {entry})."
            ));
        }
        if sale.to.buyer.is_some() && sale.to.contact.is_none() {
            gaps.push(format!(
                "No telephone number or address was noted of {who}, {day} (entry {entry})."
            ));
        }
        if sale.to.buyer.is_none() {
            gaps.push(format!(
                "Nobody can be rung for what was sold at {who} on {day} (entry {entry}); a sign has to do."
            ));
        }
    }
}

fn has_packaging(farm: &Farm, run: LotId) -> bool {
    let packing = LotSort::Delivery(DeliveryKind::Packing);
    let mut inflows = farm.lot(run).inflows.iter().map(|id| farm.flow(*id).from);
    inflows.any(|from| farm.lot(from).sort == packing)
}

/// What a complaint about a manure asks first.
fn of_delivery(farm: &Farm, id: LotId, gaps: &mut Vec<String>) {
    let Some(facts) = farm.delivery(id) else {
        return;
    };
    if facts.kind != DeliveryKind::Manure {
        return;
    }
    let lot = farm.lot(id);
    let mut missing = Vec::new();
    if facts.hay_from.is_none() {
        missing.push("where its hay came from");
    }
    if facts.hay_sprayed.is_none() {
        missing.push("whether that was sprayed");
    }
    if facts.wormer.is_none() {
        missing.push("which wormer the animals had");
    }
    if facts.kept_sample.is_none() {
        missing.push("where a sample is kept");
    }
    if !missing.is_empty() {
        gaps.push(format!(
            "{} {}: nobody noted {}.",
            lot.code,
            called(farm, id),
            super::wording::listed(&missing)
        ));
    }
}
