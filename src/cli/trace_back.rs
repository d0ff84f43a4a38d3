//! The page that answers "what is in this bag": shares, beds, what is only live or carried, and who else got it.

use std::collections::BTreeSet;

use crate::desk::alert::alerts;
use crate::desk::{called, called_in_list, title};
use crate::farm::{Basis, Farm, Fate, LotId, LotSort, Serial};
use crate::trace::{Buyer, Question, Reached, Relation, Source, Start, forward};

use super::phrase::{at, count, listed, paragraph, per_cent};
use super::shelves::Shelves;
use super::table::{Set, Table};
use super::{bed_list, sales};

/// Where a lot came from, ready to be told.
pub struct Page<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// What was asked.
    pub question: Question,
    /// Where it came from, in the order of time.
    pub sources: &'a [Source],
    /// Who has packs of it.
    pub buyers: &'a [Buyer<'a>],
}

/// Forward searches that the part about others may cost, as flows looked at: a few milliseconds.
const FLOWS_SEARCHED: usize = 400_000;
/// Deliveries whose other packs are looked for even on the largest farm.
const FEWEST_SEARCHED: usize = 3;
/// Deliveries listed with the packs that others have of them; as many are listed of those too small for a figure.
const LISTED: usize = 12;
/// Parts smaller than this, which is shown as 0.1%, are told without a figure.
const TINY: f64 = 0.000_5;
/// Parts smaller than this, which is shown as 1.0%, are told in one paragraph.
const SMALL: f64 = 0.009_5;

impl Page<'_> {
    /// Writes it; `hidden` tells of parts that were left out.
    pub fn text(&self, hidden: Option<String>) -> String {
        let mut text = self.head();
        text += &self.contents(hidden);
        text += &self.living();
        let taken = match self.farm.lot(self.question.lot).sort {
            LotSort::Bed => "Beds of which something went into it",
            LotSort::Delivery(_) | LotSort::Batch(_) | LotSort::Run(_) => {
                "Beds it was sieved or drawn from"
            }
        };
        text += &self.beds(Relation::Part, taken);
        text += &self.beds(Relation::Live, "Beds its worms came from");
        text += &self.carried();
        text += &self.buyers();
        text += &self.others();
        text
    }

    fn head(&self) -> String {
        let Question {
            lot, serial, when, ..
        } = self.question;
        let code = self.farm.lot(lot).code;
        let subject = serial.map_or_else(|| code.to_string(), |serial| format!("{code}/{serial}"));
        let what = called(self.farm, lot);
        let mut text = paragraph(&format!("{what}, {}: {subject}", self.made(lot, serial)), 0);
        for alert in alerts(self.farm, lot) {
            text += &paragraph(&alert, 0);
        }
        if let Some(when) = when {
            text += &format!("as it stood {}\n", at(when));
        }
        text
    }

    fn made(&self, lot: LotId, serial: Option<Serial>) -> String {
        let facts = self.farm.lot(lot);
        let when = at(facts.when);
        match (facts.sort, &facts.shelf) {
            (LotSort::Run(_), Some(shelf)) => match serial {
                Some(_) => format!("one pack, filled {when}"),
                None => {
                    let packs = count(shelf.made(), "pack", "packs");
                    format!("{packs} filled {when}, {} in store", shelf.in_store())
                }
            },
            (LotSort::Delivery(_), _) => format!("came {when}"),
            (LotSort::Bed, _) => format!("bedded up {when}"),
            (LotSort::Batch(_) | LotSort::Run(_), _) => format!("made {when}"),
        }
    }

    fn of(&self, relation: Relation) -> impl Iterator<Item = &Source> {
        let of = move |source: &&Source| source.reached.relation == relation;
        self.sources.iter().filter(of)
    }

    /// Returns the deliveries of a relation, the largest share first, and those whose share is not known before all.
    fn deliveries(&self, relation: Relation) -> Vec<&Source> {
        let is_delivery = |id: LotId| matches!(self.farm.lot(id).sort, LotSort::Delivery(_));
        let of = self.of(relation);
        let mut deliveries: Vec<&Source> = of.filter(|s| is_delivery(s.reached.lot)).collect();
        let share = |source: &Source| source.share.unwrap_or(f64::INFINITY);
        deliveries.sort_by(|a, b| share(b).total_cmp(&share(a)));
        deliveries
    }

    /// What is in it, the largest share first.
    fn contents(&self, hidden: Option<String>) -> String {
        let lot = self.farm.lot(self.question.lot);
        if let LotSort::Delivery(_) = lot.sort {
            let told = "It was delivered; what is known of it before that stands in its own entry";
            return format!("\n{told}:\ncastlot show {}\n", lot.code);
        }
        let parts = self.deliveries(Relation::Part);
        if parts.is_empty() {
            return "\nNo delivery is known to be part of it.\n".to_owned();
        }
        let unknown = parts.iter().all(|part| part.share.is_none());
        let guessed = parts.iter().any(|part| part.basis == Some(Basis::Guess));
        let mut text = "\nWhat is in it".to_owned();
        text += match (unknown, guessed) {
            (true, _) => "; the shares cannot be told, as an amount on the way is not known:\n",
            (false, true) => ", by weight as recorded (~ rests on a guess):\n",
            (false, false) => ", by weight as recorded:\n",
        };
        let is_small = |part: &&Source| part.share.is_some_and(|share| share < SMALL);
        let (small, large): (Vec<&Source>, Vec<&Source>) = parts.into_iter().partition(is_small);
        text += &self.table(&large);
        text += &self.small(&small);
        if let Some(hidden) = hidden {
            text += &format!("  {hidden}\n");
        }
        text
    }

    /// Tells of small parts in a paragraph, and of those too small for a figure in another.
    fn small(&self, parts: &[&Source]) -> String {
        let is_tiny = |part: &&&Source| part.share.is_some_and(|share| share < TINY);
        let (tiny, small): (Vec<&Source>, Vec<&Source>) = parts.iter().partition(is_tiny);
        let mut text = String::new();
        if !small.is_empty() {
            let told = small.iter().map(|part| {
                let lot = called_in_list(self.farm, part.reached.lot);
                format!("{} {lot}", share(part))
            });
            let told: Vec<String> = told.collect();
            text += &paragraph(&format!("and less than 1% each: {}", told.join("; ")), 2);
        }
        if tiny.len() > LISTED {
            let more = count(tiny.len() as u64, "more", "more");
            text += &format!("  and less than 0.1% each, {more}, which `--json` lists\n");
        } else if !tiny.is_empty() {
            let told = tiny
                .iter()
                .map(|part| called_in_list(self.farm, part.reached.lot));
            let told: Vec<String> = told.collect();
            text += &paragraph(&format!("and less than 0.1% each: {}", told.join("; ")), 2);
        }
        text
    }

    /// Lists deliveries, each with its share, its supplier and its code.
    fn table(&self, deliveries: &[&Source]) -> String {
        let mut table = Table::new(&[
            ("", Set::Number),
            ("", Set::Text),
            ("", Set::Text),
            ("", Set::Whole),
        ]);
        for source in deliveries {
            let id = source.reached.lot;
            let facts = self.farm.delivery(id);
            table.row(vec![
                share(source),
                called(self.farm, id),
                facts
                    .map(|facts| facts.supplier.to_string())
                    .unwrap_or_default(),
                self.farm.lot(id).code.to_string(),
            ]);
        }
        table.to_string()
    }

    /// Where live animals came from.
    fn living(&self) -> String {
        let live = self.deliveries(Relation::Live);
        if live.is_empty() {
            return String::new();
        }
        format!("\nThe worms are, or come of, these:\n{}", self.table(&live))
    }

    fn beds(&self, relation: Relation, head: &str) -> String {
        let among: BTreeSet<LotId> = self.of(relation).map(|source| source.reached.lot).collect();
        let nearest = self.nearest_beds(&among);
        let is_bed = |reached: &Reached| self.farm.lot(reached.lot).sort == LotSort::Bed;
        let beds = self
            .of(relation)
            .map(|source| source.reached)
            .filter(is_bed);
        let (near, before): (Vec<Reached>, Vec<Reached>) =
            beds.partition(|reached| nearest.contains(&reached.lot));
        let mut text = String::new();
        if !near.is_empty() {
            text += &format!("\n{head}:\n{}", bed_list::page(self.farm, &near, "taken"));
        }
        if !before.is_empty() {
            let way = match relation {
                Relation::Part => "through splits, tips, cocoons or overs",
                Relation::Live | Relation::Carried => "from which worms were moved on",
            };
            let beds = bed_list::page(self.farm, &before, "taken");
            text += &format!("\nBeds before those, {way}:\n{beds}");
        }
        text
    }

    /// Returns the beds that come first on the ways back.
    fn nearest_beds(&self, among: &BTreeSet<LotId>) -> BTreeSet<LotId> {
        let mut beds = BTreeSet::new();
        let mut seen = BTreeSet::from([self.question.lot]);
        let mut waiting = vec![self.question.lot];
        while let Some(lot) = waiting.pop() {
            for flow in &self.farm.lot(lot).inflows {
                let from = self.farm.flow(*flow).from;
                if !among.contains(&from) || !seen.insert(from) {
                    continue;
                }
                if self.farm.lot(from).sort == LotSort::Bed {
                    beds.insert(from);
                } else {
                    waiting.push(from);
                }
            }
        }
        beds
    }

    /// What may only have been carried along.
    fn carried(&self) -> String {
        let deliveries = self.deliveries(Relation::Carried);
        let is_bed = |source: &&Source| self.farm.lot(source.reached.lot).sort == LotSort::Bed;
        let beds = self.of(Relation::Carried).filter(is_bed).count();
        if deliveries.is_empty() && beds == 0 {
            return String::new();
        }
        let names = deliveries
            .iter()
            .map(|s| called_in_list(self.farm, s.reached.lot));
        let names: Vec<String> = names.collect();
        let mut text =
            "\nCarried at most, as a film on worms that were moved, or inside a bag or tub:\n"
                .to_owned();
        if !names.is_empty() {
            text += &paragraph(&listed(&names), 2);
        }
        if beds > 0 {
            let beds = count(beds as u64, "bed", "beds");
            text += &format!("  whatever else was in {beds} that the worms lived in\n");
        }
        text
    }

    fn buyers(&self) -> String {
        let Some(shelf) = &self.farm.lot(self.question.lot).shelf else {
            return String::new();
        };
        let fate = self.question.serial.map(|serial| shelf.fate(serial));
        if self.buyers.is_empty() {
            return match fate {
                Some(fate) => format!("\nThis pack: {}.\n", sales::fate_word(fate)),
                None => "\nNobody has packs of it: none was sold.\n".to_owned(),
            };
        }
        let gone = match fate {
            Some(fate @ Some(Fate::Complained | Fate::Thrown | Fate::Opened)) => {
                format!("\nThis pack: {}.\n", sales::fate_word(fate))
            }
            _ => String::new(),
        };
        let head = match fate {
            Some(Some(Fate::InStore)) => {
                "This pack is in store, or among those sold without their serials noted"
            }
            Some(_) => "Who has this pack, or had it",
            None => "Who has packs of it, or had them",
        };
        let all = sales::page(self.farm, self.buyers, |_| true);
        format!("{gone}\n{head}:\n{all}")
    }

    /// Who else has packs from the same deliveries.
    fn others(&self) -> String {
        let mut shared = self.deliveries(Relation::Part);
        shared.extend(self.deliveries(Relation::Live));
        let affordable = FLOWS_SEARCHED / self.farm.flows().len().max(1);
        let searched = affordable.clamp(FEWEST_SEARCHED, LISTED).min(shared.len());
        if searched == 0 {
            return String::new();
        }
        let mut table = Table::new(&[
            ("", Set::Text),
            ("runs", Set::Number),
            ("packs", Set::Number),
            ("out", Set::Number),
            ("in store", Set::Number),
            ("gone", Set::Number),
            ("see all with", Set::Whole),
        ]);
        for source in &shared[..searched] {
            let delivery = source.reached.lot;
            let lot = self.farm.lot(delivery);
            let shelves = self.elsewhere(delivery);
            let mark = lot.mark.as_ref().map(ToString::to_string);
            let mut row = vec![mark.unwrap_or_else(|| title(self.farm, delivery))];
            row.push(shelves.runs.to_string());
            row.extend(shelves.cells());
            row.push(format!("castlot trace {}", lot.code));
            table.row(row);
        }
        let mut text =
            format!("\nWho else has packs from these deliveries (out: with buyers):\n{table}");
        let left = shared.len() - searched;
        if left > 0 {
            let left = count(left as u64, "more delivery", "more deliveries");
            text += &format!("  and of {left}, each of which `castlot trace` follows on alike\n");
        }
        text
    }

    /// Adds up all packs that a delivery is part of, or alive in.
    fn elsewhere(&self, delivery: LotId) -> Shelves {
        let start = Start {
            lot: delivery,
            serial: None,
            when: None,
        };
        let reached = forward(self.farm, start).into_iter();
        let within = reached.filter(|reached| reached.relation != Relation::Carried);
        Shelves::of(self.farm, within.map(|reached| reached.lot))
    }
}

/// Writes a share, with what it rests on.
fn share(source: &Source) -> String {
    let mark = match source.basis {
        Some(Basis::Guess) => "~",
        Some(Basis::Unknown) => "?",
        Some(Basis::Weighed) | None => "",
    };
    match (source.share, source.basis) {
        (Some(share), _) => format!("{mark}{}", per_cent(share)),
        (None, Some(_)) => "?".to_owned(),
        (None, None) => String::new(),
    }
}
