//! What a farm adds up to, as lines that two farms can be compared by.

use castlot::farm::{Farm, LotId};
use castlot::trace::Side;

use super::random_farm::ask;

/// No difference.
pub const NONE: [String; 0] = [];

/// Returns the lines that only one of two has, or the first that stands elsewhere.
pub fn differences(new: &[String], old: &[String]) -> Vec<String> {
    let only = |sign: &'static str, these: &[String], those: &[String]| {
        let alone = these.iter().filter(|line| !those.contains(line));
        let told: Vec<String> = alone.map(|line| format!("{sign} {line}")).collect();
        told
    };
    let told = [only("+", new, old), only("-", old, new)].concat();
    let moved = new.iter().zip(old).find(|(a, b)| told.is_empty() && a != b);
    let moved = moved.map(|(a, b)| format!("{a} stands where {b} did"));
    told.into_iter().chain(moved).collect()
}

/// What a farm adds up to: lots with their stock, flows in order, and both sides of every trace.
pub fn sum_of(farm: &Farm, name: impl Fn(&Farm, LotId) -> String) -> Vec<String> {
    let named = |lot: LotId| name(farm, lot);
    let mut told: Vec<String> = Vec::new();
    for (id, lot) in farm.lots() {
        let packs = lot.shelf.as_ref().map(|shelf| {
            (
                shelf.in_store(),
                shelf.sold(),
                shelf.opened(),
                shelf.thrown(),
            )
        });
        let ended = lot.ended.map(|ending| ending.when);
        told.push(format!(
            "{} {:?} {} {ended:?} {:?} {:?} {:?} {packs:?}",
            named(id),
            lot.sort,
            lot.when,
            lot.stays,
            lot.made,
            lot.stock
        ));
        let trace = ask(farm, id, Side::Back, None);
        for source in trace.back.unwrap_or_default() {
            let share = source.share.map(|share| format!("{share:.9}"));
            told.push(format!(
                "{} from {} {:?} {share:?} {:?}",
                named(id),
                named(source.reached.lot),
                source.reached.relation,
                source.basis
            ));
        }
        let trace = ask(farm, id, Side::Forward, None);
        for used in trace.forward.unwrap_or_default() {
            let (first, last) = (used.reached.first, used.reached.last);
            told.push(format!(
                "{} into {} {first} {last} {:?}",
                named(id),
                named(used.reached.lot),
                used.packs
            ));
        }
        told.extend(trace.buyers.iter().map(|buyer| {
            format!(
                "{} sold {} {:?} {}",
                named(id),
                buyer.when,
                buyer.to,
                buyer.unnumbered
            )
        }));
    }
    told.sort();
    told.extend(farm.flows().iter().map(|flow| {
        let to = flow.to.map(named);
        format!(
            "{} {} {to:?} {:?} {:?} {:?}",
            flow.when,
            named(flow.from),
            flow.class,
            flow.much,
            flow.packs
        )
    }));
    told.extend(
        farm.bins()
            .iter()
            .map(|(bin, held)| format!("{bin} {:?}", held.bed.map(named))),
    );
    told
}
