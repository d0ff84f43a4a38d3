//! `castlot stock`: what was made, what became of it, and what is there, run by run and lot by lot.
//!
//! `--json` prints `{"runs": [...], "lots": [...]}`, oldest first, used up or not. A run has `code`, `ref`,
//! `product` (its key), `name`, `net`, `when`, `best_by`, `made`, `sold`, `returned`, `thrown`, `opened`,
//! `complained`, `lost` (negative where a count found more), `in_store`, `held` and `flagged` (something of a held lot
//! may have been carried over). A lot (a delivery or a batch)
//! has `code`, `ref`, `kind`, `name`, `when`, `unit` (`g`, `mL`, `pieces` or null), `made`, `used`, `thrown`,
//! `lost`, `left` (whole units, or null where nobody knows), `sure` (all of it weighed), `held` and `flagged`.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::farm::{Amount, Event, Farm, Lot, LotId, LotSort, Much, Quantity, Unit};
use crate::trace::{HeldBy, flagged, held};

use super::awaiting;
use super::failure::Failure;
use super::named::title;
use super::out;
use super::shed::Shed;
use super::stock_page;

/// List the stock: each pack run, delivery and batch, oldest first.
///
/// Of runs: made, sold, returned, thrown out, opened, complained of, lost, and in store. Of deliveries and
/// batches: made, used, thrown out, lost, and left; `~` marks a guess and `?` what nobody knows. What is used up is
/// left out unless `--all` asks for it.
///
/// Example: castlot stock --farm demo-farm
#[derive(Debug, clap::Args)]
pub struct Args {
    /// List what is used up as well.
    #[arg(long)]
    pub(super) all: bool,
}

#[derive(Debug, Serialize)]
pub(super) struct StockList {
    pub(super) runs: Vec<Run>,
    pub(super) lots: Vec<Stuff>,
}

#[derive(Debug, Serialize)]
pub(super) struct Run {
    pub(super) code: String,
    #[serde(rename = "ref")]
    pub(super) mark: Option<String>,
    pub(super) product: String,
    pub(super) name: String,
    pub(super) net: String,
    pub(super) when: String,
    pub(super) best_by: Option<String>,
    pub(super) made: u32,
    pub(super) sold: u32,
    pub(super) returned: u32,
    pub(super) thrown: u32,
    pub(super) opened: u32,
    pub(super) complained: u32,
    pub(super) lost: i64,
    pub(super) in_store: u32,
    pub(super) held: bool,
    pub(super) flagged: bool,
}

#[derive(Debug, Serialize)]
pub(super) struct Stuff {
    pub(super) code: String,
    #[serde(rename = "ref")]
    pub(super) mark: Option<String>,
    pub(super) kind: &'static str,
    pub(super) name: String,
    pub(super) when: String,
    pub(super) unit: Option<&'static str>,
    pub(super) made: Option<u64>,
    pub(super) used: Option<u64>,
    pub(super) thrown: u64,
    pub(super) lost: i64,
    pub(super) left: Option<u64>,
    pub(super) sure: bool,
    pub(super) held: bool,
    pub(super) flagged: bool,
    #[serde(skip)]
    pub(super) delivered: bool,
    #[serde(skip)]
    pub(super) made_amount: Option<Amount>,
    #[serde(skip)]
    pub(super) measure: Option<Unit>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    let mut text = text(&farm, shed, args);
    if !shed.json {
        text += &awaiting::lines(&farm, &settings, shed.stamp(&settings).now.day());
    }
    out::print(&text)
}

fn text(farm: &Farm, shed: &Shed, args: &Args) -> String {
    let stock = taken_stock(farm);
    if shed.json {
        out::json(&stock)
    } else {
        stock_page::page(&stock, args)
    }
}

fn taken_stock(farm: &Farm) -> StockList {
    let holds = Holds {
        held: held(farm),
        flagged: flagged(farm),
    };
    let mut lots: Vec<(LotId, &Lot)> = farm.lots().collect();
    lots.sort_by_key(|(id, lot)| (lot.when.earliest(), lot.when.latest(), *id));
    let (mut runs, mut stuff) = (Vec::new(), Vec::new());
    for (id, lot) in lots {
        match lot.sort {
            LotSort::Run(_) => runs.extend(run_of(farm, id, &holds)),
            LotSort::Delivery(_) | LotSort::Batch(_) => stuff.push(stuff_of(farm, id, &holds)),
            LotSort::Bed => {}
        }
    }
    StockList { runs, lots: stuff }
}

/// What holds stop, and what they only flag.
struct Holds {
    held: BTreeMap<LotId, Vec<HeldBy>>,
    flagged: BTreeMap<LotId, Vec<HeldBy>>,
}

fn run_of(farm: &Farm, id: LotId, holds: &Holds) -> Option<Run> {
    let lot = farm.lot(id);
    let shelf = lot.shelf.as_ref()?;
    let Event::Pack {
        product, best_by, ..
    } = farm.making(id)
    else {
        return None;
    };
    Some(Run {
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        product: product.key.to_string(),
        name: product.name.to_string(),
        net: product.net.to_string(),
        when: lot.when.to_string(),
        best_by: best_by.map(|day| day.to_string()),
        made: shelf.made(),
        sold: shelf.sold(),
        returned: shelf.returned(),
        thrown: shelf.thrown(),
        opened: shelf.opened(),
        complained: shelf.complained(),
        lost: shelf.lost(),
        in_store: shelf.in_store(),
        held: holds.held.contains_key(&id),
        flagged: holds.flagged.contains_key(&id),
    })
}

fn stuff_of(farm: &Farm, id: LotId, holds: &Holds) -> Stuff {
    let lot = farm.lot(id);
    let left = left(farm, id);
    let made = lot.made.and_then(Amount::quantity).map(Quantity::value);
    let gone = i64::try_from(lot.stock.thrown).unwrap_or(i64::MAX) + lot.stock.lost;
    let used = made.zip(left).map(|(made, left)| {
        let used = i128::from(made) - i128::from(left) - i128::from(gone);
        u64::try_from(used.max(0)).unwrap_or(u64::MAX)
    });
    Stuff {
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        kind: lot.sort.word(),
        name: title(farm, id),
        when: lot.when.to_string(),
        unit: lot.stock.unit.map(unit_word),
        made,
        used,
        thrown: lot.stock.thrown,
        lost: lot.stock.lost,
        left,
        sure: lot.stock.is_sure(),
        held: holds.held.contains_key(&id),
        flagged: holds.flagged.contains_key(&id),
        delivered: matches!(lot.sort, LotSort::Delivery(_)),
        made_amount: lot.made,
        measure: lot.stock.unit,
    }
}

/// Returns what is left of a delivery or batch in whole units; `None` where an unknown amount went in or out since
/// it was last counted.
pub fn left(farm: &Farm, id: LotId) -> Option<u64> {
    let lot = farm.lot(id);
    let counted = farm.recounts().iter().rev().find(|count| count.lot == id);
    let since = counted.map_or(0, |count| count.after);
    let mut drawn = lot.outflows.iter().filter(|flow| flow.index() >= since);
    if drawn.any(|flow| farm.flow(*flow).much == Much::Amount(Amount::Unknown)) {
        return None;
    }
    lot.stock.left().map(Quantity::value)
}

/// Returns the word for a unit in data.
pub fn unit_word(unit: Unit) -> &'static str {
    match unit {
        Unit::Grams => "g",
        Unit::Millilitres => "mL",
        Unit::Pieces => "pieces",
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_farm::{Print, farm, shed};
    use super::*;

    #[test]
    fn what_is_used_up_is_left_out_unless_asked_for() {
        insta::assert_snapshot!(text(&farm(), &shed(Print::Text), &Args { all: false }), @"
        5 packs in store, oldest first

        bag5: Worm-worked compost
                 made  sold  in store
          run-1     3     2         1  HOLD  P26104-01-R
          run-2     2     1         1  HOLD  P26105-01-J

        tub50: Bait worms
                  made  sold  back  in store
          tubs-1     4     2     1         3  FLAG  P26106-01-B

        What is left, oldest first (~ rests on a guess, ? nobody knows)

        Deliveries
                     made  used  lost  left
          straw-1    20kg  12kg   1kg   7kg        G26060-01-N
          manure-1   30kg     ?           ?  HOLD  G26060-02-L
          worms-1     4kg   2kg         2kg        G26060-03-J
          grain-1   ~10kg   1kg        ~9kg        G26060-04-H
          bags-1       50     5          45        G26060-05-F

        Castings
                   made   used  left
          cast-1    4kg  3.9kg  100g  HOLD  H26100-01-G
          blend-1   5kg    3kg   2kg  HOLD  H26103-01-T

        Worms
                     made  used  left
          worms-out  900g  400g  500g  FLAG  H26100-02-E

        and 1 lot used up
        List everything with: castlot stock --all
        ");
        insta::assert_snapshot!(text(&farm(), &shed(Print::Text), &Args { all: true }), @"
        5 packs in store, oldest first

        bag5: Worm-worked compost
                 made  sold  in store
          run-1     3     2         1  HOLD  P26104-01-R
          run-2     2     1         1  HOLD  P26105-01-J

        tub50: Bait worms
                  made  sold  back  in store
          tubs-1     4     2     1         3  FLAG  P26106-01-B

        What is left, oldest first (~ rests on a guess, ? nobody knows)

        Deliveries
                     made  used  lost  left
          straw-1    20kg  12kg   1kg   7kg        G26060-01-N
          manure-1   30kg     ?           ?  HOLD  G26060-02-L
          worms-1     4kg   2kg         2kg        G26060-03-J
          grain-1   ~10kg   1kg        ~9kg        G26060-04-H
          bags-1       50     5          45        G26060-05-F

        Castings
                   made   used  left
          cast-1    4kg  3.9kg  100g  HOLD  H26100-01-G
          cast-2    2kg    2kg     0  HOLD  H26102-01-Z
          blend-1   5kg    3kg   2kg  HOLD  H26103-01-T

        Worms
                     made  used  left
          worms-out  900g  400g  500g  FLAG  H26100-02-E
        ");
    }

    #[test]
    fn stock_as_json_has_its_keys() {
        let json = text(&farm(), &shed(Print::Json), &Args { all: false });
        let stock: serde_json::Value = serde_json::from_str(&json).expect("it is JSON");
        insta::assert_snapshot!(out::json(&stock["runs"][0]), @r#"
        {
          "best_by": null,
          "code": "P26104-01-R",
          "complained": 0,
          "flagged": false,
          "held": true,
          "in_store": 1,
          "lost": 0,
          "made": 3,
          "name": "Worm-worked compost",
          "net": "5L",
          "opened": 0,
          "product": "bag5",
          "ref": "run-1",
          "returned": 0,
          "sold": 2,
          "thrown": 0,
          "when": "2026-04-14T09:00"
        }
        "#);
        insta::assert_snapshot!(out::json(&stock["lots"][1]), @r#"
        {
          "code": "G26060-02-L",
          "flagged": false,
          "held": true,
          "kind": "manure",
          "left": null,
          "lost": 0,
          "made": 30000,
          "name": "horse manure",
          "ref": "manure-1",
          "sure": false,
          "thrown": 0,
          "unit": "g",
          "used": null,
          "when": "2026-03-01"
        }
        "#);
    }

    #[test]
    fn what_was_drawn_unknown_leaves_an_unknown_amount() {
        let farm = farm();
        let id = farm
            .marked(&"manure-1".parse().expect("a mark"))
            .expect("a lot");
        assert_eq!(left(&farm, id), None);
    }
}
