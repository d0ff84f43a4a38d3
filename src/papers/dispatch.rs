//! The dispatch note of what a buyer got, and the list of what went to a market: packs by run and serials, cautions, seal.
//!
//! It is the farm's one step forward, and its copy for whoever got the packs.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::Date;

use crate::farm::{Event, Farm, LotId, PackKind, ReturnState, SaleTo, Settings, Which};
use crate::trace::{Buyer, buyers, held, recalled};
use crate::trade::{NO_SUBSTITUTE, cautions};

use super::error::PaperError;
use super::format::Format;
use super::lot_words::packed;
use super::paper::{Imprint, Paper};
use super::table::{Column, Table};
use super::wording::{at, listed};

/// What a dispatch note is made from.
#[derive(Clone, Copy)]
pub struct Dispatch<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings: the country picks the cautions, and the farm may have its own words for them.
    pub settings: &'a Settings,
    /// The sales it is about, as places in `Farm::entries`; all to one buyer or at one market, on one day.
    pub sales: &'a [usize],
}

/// One line of the note: packs of a run.
struct Line {
    run: LotId,
    picks: String,
    many: u64,
}

impl Dispatch<'_> {
    /// Lays the paper out and writes it as a PDF.
    pub fn to_pdf(&self, imprint: Imprint) -> Result<Vec<u8>, PaperError> {
        self.paper(imprint).to_pdf()
    }

    pub(super) fn paper(&self, imprint: Imprint) -> Paper {
        let phone = imprint.phone.clone();
        let at_market = self.to().is_some_and(|to| to.buyer.is_none());
        let title = if at_market {
            "Market list"
        } else {
            "Dispatch note"
        };
        let mut paper = Paper::new(Format::A4, title, imprint);
        paper.facts(self.facts());
        let lines = self.lines();
        self.stopped(&mut paper, &lines);
        paper.heading(if at_market {
            "Packs taken to the stall"
        } else {
            "Packs"
        });
        paper.table(self.table(&lines));
        if at_market {
            self.came_back(&mut paper);
        }
        self.handling(&mut paper, &lines);
        paper.heading("If something is wrong");
        let ring = phone.map_or_else(|| "tell us".to_owned(), |phone| format!("ring {phone}"));
        paper.text(format!(
            "Every pack bears the code that stands here. Keep this paper, and note whom you pass packs on to: should \
             one turn out wrong, {ring} with its code, and we can tell which others it concerns."
        ));
        if at_market {
            paper.text(
                "No names are kept at a stall. The day, the place and the codes above are what the farm can say of who \
                 got these packs.",
            );
        } else {
            paper.facts([("handed over by", ""), ("received by, and when", "")]);
        }
        paper
    }

    fn to(&self) -> Option<&SaleTo> {
        let first = self.sales.first()?;
        match &self.farm.entries()[*first].event {
            Some(Event::Sale { to, .. }) => Some(to),
            _ => None,
        }
    }

    fn day(&self) -> Option<Date> {
        let first = self.sales.first()?;
        Some(self.farm.entries()[*first].when.day())
    }

    fn facts(&self) -> Vec<(&'static str, String)> {
        let sales = self.sales.iter().map(|place| &self.farm.entries()[*place]);
        let to = sales.clone().filter_map(|entry| match &entry.event {
            Some(Event::Sale { to, .. }) => Some(&**to),
            _ => None,
        });
        let each = |of: fn(&SaleTo) -> Option<String>| {
            let said: BTreeSet<String> = to.clone().filter_map(of).collect();
            listed(&said.into_iter().collect::<Vec<_>>())
        };
        let numbers: Vec<String> = sales
            .clone()
            .map(|entry| entry.number.to_string())
            .collect();
        let when: BTreeSet<String> = sales.map(|entry| at(entry.when)).collect();
        let facts = [
            ("to", each(|to| Some(to.buyer.as_ref()?.to_string()))),
            ("market", each(|to| Some(to.market.as_ref()?.to_string()))),
            (
                "reached by",
                each(|to| Some(to.contact.as_ref()?.to_string())),
            ),
            ("when", listed(&when.into_iter().collect::<Vec<_>>())),
            ("paper", each(|to| Some(to.document.as_ref()?.to_string()))),
            ("in the diary", format!("entry {}", listed(&numbers))),
        ];
        facts
            .into_iter()
            .filter(|(_, said)| !said.is_empty())
            .collect()
    }

    /// Returns the packs run by run, in the order in which the runs were filled.
    fn lines(&self) -> Vec<Line> {
        let runs: Vec<LotId> = self
            .farm
            .lots()
            .filter(|(_, lot)| lot.shelf.is_some())
            .map(|(id, _)| id)
            .collect();
        let all = buyers(self.farm, &runs, None);
        let ours = all.iter().filter(|sale| self.holds(sale));
        let mut picks: BTreeMap<LotId, (Vec<String>, u64)> = BTreeMap::new();
        for sale in ours {
            for (run, range) in &sale.packs {
                let (told, many) = picks.entry(*run).or_default();
                told.push(format!("#{range}"));
                *many += u64::from(range.count());
            }
            for (run, loose) in &sale.loose {
                let (told, many) = picks.entry(*run).or_default();
                told.push(format!("{loose} without serials noted"));
                *many += u64::from(*loose);
            }
        }
        let lines = picks.into_iter().map(|(run, (told, many))| Line {
            run,
            picks: told.join(", "),
            many,
        });
        let mut lines: Vec<Line> = lines.collect();
        lines.sort_by_key(|line| (self.farm.lot(line.run).when.earliest(), line.run));
        lines
    }

    /// Tells whether a sale is one of those that the note is about.
    fn holds(&self, sale: &Buyer<'_>) -> bool {
        self.sales
            .iter()
            .any(|place| match &self.farm.entries()[*place].event {
                Some(Event::Sale { to, .. }) => std::ptr::eq(&**to, sale.to),
                _ => false,
            })
    }

    fn table(&self, lines: &[Line]) -> Table {
        let mut table = Table::new([
            Column::code("code"),
            Column::text("packs"),
            Column::text("product"),
            Column::number("number"),
            Column::code("packed"),
            Column::code("best by"),
        ]);
        for line in lines {
            let lot = self.farm.lot(line.run);
            let best_by = self.farm.best_by(line.run);
            table = table.row([
                lot.code.to_string(),
                line.picks.clone(),
                self.farm.product(line.run).map(packed).unwrap_or_default(),
                line.many.to_string(),
                lot.when.day().to_string(),
                best_by.map(|day| day.to_string()).unwrap_or_default(),
            ]);
        }
        let all: u64 = lines.iter().map(|line| line.many).sum();
        table.sum(["", "together", "", &all.to_string(), "", ""])
    }

    /// Says at the top what has been stopped since: a note printed later must not pass for a clean one.
    fn stopped(&self, paper: &mut Paper, lines: &[Line]) {
        let (holds, recalls) = (held(self.farm), recalled(self.farm));
        let told = lines.iter().filter_map(|line| {
            let code = self.farm.lot(line.run).code;
            let back = recalls.get(&line.run).map(|by| by.since);
            let hold = holds
                .get(&line.run)
                .and_then(|by| by.first())
                .map(|by| by.hold.since);
            match (back, hold) {
                (Some(since), _) => Some(format!("{code} has been asked back since {}", at(since))),
                (None, Some(since)) => Some(format!("{code} has been on hold since {}", at(since))),
                (None, None) => None,
            }
        });
        let told: Vec<String> = told.collect();
        if !told.is_empty() {
            paper.callout("Stopped: set these packs aside, and ring us", told);
        }
    }

    /// Lists what came home from the market that day.
    fn came_back(&self, paper: &mut Paper) {
        let (Some(market), Some(day)) = (self.to().and_then(|to| to.market.as_ref()), self.day())
        else {
            return;
        };
        let mut table = Table::new([
            Column::code("code"),
            Column::text("packs"),
            Column::text("state"),
        ]);
        let mut any = false;
        for place in self.farm.order() {
            let entry = &self.farm.entries()[*place];
            let Some(Event::Return {
                packs,
                state,
                market: from,
                ..
            }) = &entry.event
            else {
                continue;
            };
            if entry.when.day() != day || from.as_ref() != Some(market) {
                continue;
            }
            for pick in packs {
                let which = match pick.which {
                    Which::Unnumbered(many) => format!("{many} without serials noted"),
                    which @ (Which::Serials(_) | Which::All) => which.to_string(),
                };
                let state = match state {
                    ReturnState::Unsold => "unsold",
                    ReturnState::Complained => "with a complaint",
                };
                table = table.row([pick.run.to_string(), which, state.to_owned()]);
                any = true;
            }
        }
        if any {
            paper.heading("Came home again");
            paper.table(table);
        }
    }

    /// Writes the cautions in full: those of every kind of product that is there, then those of one or another.
    fn handling(&self, paper: &mut Paper, lines: &[Line]) {
        let kinds = self.cautions(lines);
        let in_all = |long: &&String| kinds.values().all(|of| of.contains(*long));
        let first = kinds.values().next().into_iter().flatten();
        let common: Vec<&str> = first.filter(in_all).map(String::as_str).collect();
        if kinds.len() > 1 && !common.is_empty() {
            paper.heading("Handling all of these");
            paper.steps(common.iter().copied());
        }
        for (kind, of) in &kinds {
            let own = of.iter().map(String::as_str);
            let own: Vec<&str> = own
                .filter(|long| kinds.len() == 1 || !common.contains(long))
                .collect();
            if !own.is_empty() {
                paper.heading(match kind {
                    PackKind::Bag => "Handling the bags",
                    PackKind::Tub => "Handling the tubs",
                    PackKind::Bottle => "Handling the bottles",
                });
                paper.steps(own);
            }
        }
        paper.small(NO_SUBSTITUTE);
    }

    /// Returns the cautions of each kind of product, those that the farm replaced in its words, each text once.
    fn cautions(&self, lines: &[Line]) -> BTreeMap<PackKind, Vec<String>> {
        let mut kinds: BTreeMap<PackKind, Vec<String>> = BTreeMap::new();
        for product in lines.iter().filter_map(|line| self.farm.product(line.run)) {
            let said = kinds.entry(product.kind).or_default();
            let wording = self.settings.wording_of(&product.key);
            for caution in cautions(product.kind, &self.settings.country) {
                let own = wording.cautions.get(caution.key);
                let long = own.map_or(caution.long, |own| own.trim());
                if !long.is_empty() && !said.iter().any(|other| other == long) {
                    said.push(long.to_owned());
                }
            }
        }
        kinds
    }
}

/// Returns how a note's file is called: after the day of its sales, and the number of the first.
pub fn file_name(farm: &Farm, sales: &[usize]) -> String {
    let first = sales.first().map(|place| &farm.entries()[*place]);
    first.map_or_else(
        || "dispatch.pdf".to_owned(),
        |entry| format!("dispatch-{}-{}.pdf", entry.when.day(), entry.number),
    )
}

#[cfg(test)]
#[path = "dispatch_test.rs"]
mod tests;
