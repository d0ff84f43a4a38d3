//! The page that answers "what is in this bag": shares, beds, what is only live or carried, and who else got it.

use std::collections::BTreeSet;

use crate::farm::{Basis, Farm, LotId, LotSort, Moment, Serial};
use crate::trace::{Buyer, Question, Reached, Relation, Source, Start, forward};

use super::alert::alerts;
use super::beds::short_species;
use super::named::{called, title};
use super::phrase::{at, count, days, listed, paragraph, per_cent};
use super::sales;
use super::table::{Set, Table};

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

impl Page<'_> {
    /// Writes it.
    pub fn text(&self, hidden: Option<String>) -> String {
        let mut text = self.head();
        text += &self.contents(hidden);
        text += &self.living();
        text += &self.beds();
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
        let mut text = format!(
            "{}, {}: {subject}\n",
            called(self.farm, lot),
            self.made(lot, serial)
        );
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
            (LotSort::Run(_), Some(shelf)) => {
                let packs = count(shelf.made(), "pack", "packs");
                let here = shelf.in_store();
                match serial {
                    None => format!("{packs} filled {when}, {here} in store"),
                    Some(_) => format!("filled {when}"),
                }
            }
            (LotSort::Delivery(_), _) => format!("came {when}"),
            (LotSort::Bed, _) => format!("bedded up {when}"),
            (LotSort::Batch(_) | LotSort::Run(_), _) => format!("made {when}"),
        }
    }

    fn of(&self, relation: Relation) -> impl Iterator<Item = &Source> {
        let of = move |source: &&Source| source.reached.relation == relation;
        self.sources.iter().filter(of)
    }

    fn deliveries(&self, relation: Relation) -> Vec<&Source> {
        let is_delivery = |lot: LotId| matches!(self.farm.lot(lot).sort, LotSort::Delivery(_));
        self.of(relation)
            .filter(|source| is_delivery(source.reached.lot))
            .collect()
    }

    /// What is in it, the largest share first.
    fn contents(&self, hidden: Option<String>) -> String {
        let mut parts = self.deliveries(Relation::Part);
        if parts.is_empty() {
            return "\nNothing that was weighed or measured is known to be in it.\n".to_owned();
        }
        parts.sort_by(|a, b| b.share.unwrap_or(2.0).total_cmp(&a.share.unwrap_or(2.0)));
        let unknown = parts.iter().all(|part| part.share.is_none());
        let guessed = parts.iter().any(|part| part.basis == Some(Basis::Guess));
        let weak = parts
            .iter()
            .any(|part| part.share.is_some() && part.basis == Some(Basis::Unknown));
        let mut text = "\nWhat is in it".to_owned();
        text += match (unknown, guessed) {
            (true, _) => "; the shares cannot be told, as an amount on the way is not known:\n",
            (false, true) => ", by weight as recorded (~ rests on a guess):\n",
            (false, false) => ", by weight as recorded:\n",
        };
        let mut table = Table::new(&[
            ("", Set::Number),
            ("", Set::Text),
            ("", Set::Text),
            ("", Set::Whole),
            ("", Set::Whole),
        ]);
        for part in parts {
            table.row(self.delivery(part));
        }
        text += &table.to_string();
        if weak {
            text += "  ? an amount on one of its ways is not known\n";
        }
        if let Some(hidden) = hidden {
            text += &format!("  {hidden}\n");
        }
        text
    }

    fn delivery(&self, source: &Source) -> Vec<String> {
        let id = source.reached.lot;
        let lot = self.farm.lot(id);
        let mark = match source.basis {
            Some(Basis::Guess) => "~",
            Some(Basis::Unknown) => "?",
            Some(Basis::Weighed) | None => "",
        };
        let share = source
            .share
            .map_or_else(String::new, |share| format!("{mark}{}", per_cent(share)));
        let from = self
            .farm
            .delivery(id)
            .map(|facts| facts.supplier.to_string());
        vec![
            share,
            called(self.farm, id),
            from.unwrap_or_default(),
            lot.when.day().to_string(),
            lot.code.to_string(),
        ]
    }

    /// Where live animals came from.
    fn living(&self) -> String {
        let live = self.deliveries(Relation::Live);
        if live.is_empty() {
            return String::new();
        }
        let mut text = "\nThe worms are, or come of, these:\n".to_owned();
        let mut table = Table::new(&[
            ("", Set::Text),
            ("", Set::Text),
            ("", Set::Whole),
            ("", Set::Whole),
        ]);
        for source in live {
            table.row(self.delivery(source).split_off(1));
        }
        text += &table.to_string();
        text
    }

    fn beds(&self) -> String {
        let mut text = String::new();
        for (relation, told) in [
            (Relation::Part, "Beds it was sieved or drawn from"),
            (Relation::Live, "Beds its worms came from"),
        ] {
            let all: BTreeSet<LotId> = self.of(relation).map(|source| source.reached.lot).collect();
            let is_bed = |id: &LotId| self.farm.lot(*id).sort == LotSort::Bed;
            let near = self.nearest_beds(&all);
            let sources: Vec<Reached> = self.of(relation).map(|source| source.reached).collect();
            let mut table = Table::new(&[
                ("bin", Set::Whole),
                ("species", Set::Whole),
                ("lived", Set::Whole),
                ("taken", Set::Whole),
                ("bed", Set::Whole),
            ]);
            for reached in sources.iter().filter(|reached| near.contains(&reached.lot)) {
                table.row(self.bed(reached));
            }
            if !table.is_empty() {
                text += &format!("\n{told}:\n{table}");
            }
            let before: Vec<LotId> = all
                .iter()
                .copied()
                .filter(is_bed)
                .filter(|id| !near.contains(id))
                .collect();
            if !before.is_empty() {
                let beds: Vec<String> = before.iter().map(|id| self.earlier(*id)).collect();
                let beds = format!(
                    "before those, through splits, tips, cocoons, overs or worms moved on: {}",
                    beds.join("; ")
                );
                text += &paragraph(&beds, 2);
            }
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

    fn bed(&self, reached: &Reached) -> Vec<String> {
        let lot = self.farm.lot(reached.lot);
        let bins: Vec<String> = lot.stays.iter().map(|stay| stay.bin.to_string()).collect();
        let species = self.farm.species(reached.lot).map(short_species);
        vec![
            bins.join(", "),
            species.unwrap_or_default(),
            lived(lot.when, lot.ended.map(|ending| ending.when)),
            days(reached.first, reached.last),
            lot.code.to_string(),
        ]
    }

    fn earlier(&self, id: LotId) -> String {
        let lot = self.farm.lot(id);
        let bins: Vec<String> = lot.stays.iter().map(|stay| stay.bin.to_string()).collect();
        format!(
            "{} {}",
            bins.join(", "),
            lived(lot.when, lot.ended.map(|ending| ending.when))
        )
    }

    /// What may only have been carried along.
    fn carried(&self) -> String {
        let deliveries = self.deliveries(Relation::Carried);
        let beds = self
            .of(Relation::Carried)
            .filter(|s| self.farm.lot(s.reached.lot).sort == LotSort::Bed)
            .count();
        if deliveries.is_empty() && beds == 0 {
            return String::new();
        }
        let names: Vec<String> = deliveries
            .iter()
            .map(|source| called(self.farm, source.reached.lot))
            .collect();
        let mut text =
            "\nOnly carried, as a film at most, on worms that were moved or inside a bag or tub:\n"
                .to_owned();
        text += &paragraph(&listed(&names), 2);
        if beds > 0 {
            text += &format!(
                "  and whatever else was in {}\n",
                count(beds as u64, "bed", "beds")
            );
        }
        text
    }

    fn buyers(&self) -> String {
        let Some(shelf) = &self.farm.lot(self.question.lot).shelf else {
            return String::new();
        };
        if self.buyers.is_empty() {
            return match self.question.serial {
                Some(serial) => format!("\nThis pack: {}.\n", sales::fate_word(shelf.fate(serial))),
                None => "\nNobody has packs of it: none was sold.\n".to_owned(),
            };
        }
        let head = match self.question.serial {
            Some(serial) if shelf.fate(serial) == Some(crate::farm::Fate::InStore) => {
                "This pack is in store, or among those sold without their serials noted"
            }
            Some(_) => "Who has this pack, or had it",
            None => "Who has packs of it",
        };
        format!("\n{head}:\n{}", sales::table(self.farm, self.buyers))
    }

    /// Who else has packs from the same deliveries.
    fn others(&self) -> String {
        let mut shared: Vec<&Source> = self.deliveries(Relation::Part);
        shared.sort_by(|a, b| b.share.unwrap_or(2.0).total_cmp(&a.share.unwrap_or(2.0)));
        shared.extend(self.deliveries(Relation::Live));
        let affordable = FLOWS_SEARCHED / self.farm.flows().len().max(1);
        let searched = affordable.max(FEWEST_SEARCHED).min(shared.len());
        let mut table = Table::new(&[
            ("", Set::Text),
            ("runs", Set::Number),
            ("packs", Set::Number),
            ("sold", Set::Number),
            ("in store", Set::Number),
            ("see all with", Set::Whole),
        ]);
        for source in &shared[..searched] {
            table.row(self.elsewhere(source.reached.lot));
        }
        if table.is_empty() {
            return String::new();
        }
        let mut text = format!("\nWho else has packs from these deliveries:\n{table}");
        let left = shared.len() - searched;
        if left > 0 {
            text += &format!(
                "  and the same for {} more\n",
                count(left as u64, "delivery", "deliveries")
            );
        }
        text
    }

    fn elsewhere(&self, delivery: LotId) -> Vec<String> {
        let start = Start {
            lot: delivery,
            serial: None,
            when: None,
        };
        let (mut runs, mut packs, mut sold, mut here) = (0_u32, 0, 0, 0);
        for reached in forward(self.farm, start) {
            let Some(shelf) = &self.farm.lot(reached.lot).shelf else {
                continue;
            };
            if reached.relation != Relation::Carried {
                runs += 1;
                packs += shelf.made();
                sold += shelf.sold();
                here += shelf.in_store();
            }
        }
        let lot = self.farm.lot(delivery);
        let name = lot
            .mark
            .as_ref()
            .map_or_else(|| title(self.farm, delivery), ToString::to_string);
        vec![
            name,
            runs.to_string(),
            packs.to_string(),
            sold.to_string(),
            here.to_string(),
            format!("castlot trace {}", lot.code),
        ]
    }
}

/// Writes the days a bed lived.
pub fn lived(from: Moment, to: Option<Moment>) -> String {
    match to {
        Some(to) => days(from, to),
        None => format!("{} on", from.day()),
    }
}
