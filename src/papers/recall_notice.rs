//! The letter to a trade buyer when packs are asked back: which packs they had, what to do, whom to ring, and a
//! label with its code ringed. It tells; it blames nobody and states no law.

use crate::farm::{Farm, Serial, Settings};
use crate::label::{Specimen, Templates, specimen};
use crate::trace::{ListedRun, ListedSale, Listing, RecallFile, SoldPacks};

use super::error::PaperError;
use super::format::Format;
use super::lot_words::packed;
use super::pack_list;
use super::paper::{Imprint, Paper};
use super::table::{Column, Table};
use super::trace_file::NO_SUBSTITUTE;
use super::wording::{count, listed};

/// What recall papers are made from.
#[derive(Clone, Copy)]
pub struct RecallPapers<'a> {
    /// The farm.
    pub farm: &'a Farm,
    /// Its settings.
    pub settings: &'a Settings,
    /// Its own templates, for the label that is shown.
    pub templates: &'a Templates,
    /// The recall.
    pub file: &'a RecallFile,
}

/// To whom a letter goes, and what they had.
struct Letter<'a> {
    to: Option<&'a ListedSale>,
    sales: Vec<&'a ListedSale>,
}

impl<'a> RecallPapers<'a> {
    /// Returns every sale that is on the list: those frozen at its opening, and those found since.
    pub fn sales(&self) -> impl Iterator<Item = &'a ListedSale> {
        self.file.frozen.sales.iter().chain(&self.file.since.sales)
    }

    /// Returns the runs of the list.
    pub fn runs(&self) -> impl Iterator<Item = &'a ListedRun> {
        self.file.frozen.runs.iter().chain(&self.file.since.runs)
    }

    /// Returns the whole list as one, for a file of its packs.
    pub fn listing(&self) -> Listing {
        let both = |listing: &Listing, since: &Listing| Listing {
            lots: [&listing.lots[..], &since.lots].concat(),
            runs: [&listing.runs[..], &since.runs].concat(),
            sales: [&listing.sales[..], &since.sales].concat(),
        };
        both(&self.file.frozen, &self.file.since)
    }

    /// Writes a letter to each buyer with a name, or to one of them, as one PDF; where no buyer has one, a letter
    /// to whom it concerns. Tells how many letters there are.
    pub fn notices(
        &self,
        only: Option<&str>,
        imprint: &Imprint,
    ) -> Result<(Vec<u8>, usize), PaperError> {
        let letters = self.letters();
        let wanted: Vec<&Letter<'_>> = letters
            .iter()
            .filter(|letter| only.is_none_or(|name| letter.is_to(name)))
            .collect();
        if let (Some(buyer), []) = (only, &wanted[..]) {
            return Err(PaperError::NoSuchBuyer {
                buyer: buyer.to_owned(),
                recall: self.file.name.clone(),
            });
        }
        let general = Letter {
            to: None,
            sales: Vec::new(),
        };
        let wanted = if wanted.is_empty() {
            vec![&general]
        } else {
            wanted
        };
        let papers: Vec<Paper> = wanted
            .iter()
            .map(|letter| self.letter(letter, imprint))
            .collect::<Result<_, _>>()?;
        Ok((Paper::bind(&papers)?, papers.len()))
    }

    fn letters(&self) -> Vec<Letter<'a>> {
        let mut letters: Vec<Letter<'a>> = Vec::new();
        for sale in self.sales().filter(|sale| sale.to.buyer.is_some()) {
            let same = |letter: &&mut Letter<'_>| {
                letter
                    .to
                    .is_some_and(|first| first.to.buyer == sale.to.buyer)
            };
            match letters.iter_mut().find(same) {
                Some(letter) => letter.sales.push(sale),
                None => letters.push(Letter {
                    to: Some(sale),
                    sales: vec![sale],
                }),
            }
        }
        letters
    }

    fn letter(&self, letter: &Letter<'a>, imprint: &Imprint) -> Result<Paper, PaperError> {
        let mut paper = Paper::new(Format::A4, "Please keep these packs back", imprint.clone());
        let to = letter.to.and_then(|sale| sale.to.buyer.as_ref());
        let contacts = letter
            .sales
            .iter()
            .rev()
            .find_map(|sale| sale.to.contact.as_ref());
        let everybody = || "everybody who had packs of us".to_owned();
        let mut facts = vec![("To", to.map_or_else(everybody, ToString::to_string))];
        facts.extend(contacts.map(|contact| ("Reached at", contact.to_string())));
        let opened = self.file.opened.day();
        facts.push(("Recall", format!("{}, opened {opened}", self.file.name)));
        paper.facts(facts);
        paper.text(self.what_for(letter));
        paper.heading("Which packs");
        paper.table(match letter.to {
            Some(_) => self.packs_of(letter),
            None => self.all_runs(),
        });
        paper.heading("What we ask of you");
        paper.steps(steps(imprint));
        paper.heading("Your reply");
        let blanks = [
            "Packs still with you",
            "Passed on, and to whom",
            "Name and date",
        ];
        paper.facts(blanks.map(|name| (name, "")));
        paper.small(NO_SUBSTITUTE);
        paper.heading("Where the code is");
        self.show(letter, &mut paper)?;
        Ok(paper)
    }

    fn what_for(&self, letter: &Letter<'_>) -> String {
        let packs: u32 = letter.sales.iter().map(|sale| sale.count()).sum();
        let had = match letter.to {
            Some(_) => format!(
                "you had {} of us that we ask back",
                count(packs, "pack", "packs")
            ),
            None => "we ask back the packs below".to_owned(),
        };
        let why = self.file.why.as_ref().and_then(|why| why.said());
        let why = why.map_or_else(String::new, |why| format!(" The reason: {why}."));
        format!(
            "By our diary {had}.{why} We do not know that anything is wrong with each of them; what could hold the \
             trouble is on the list, however small its share."
        )
    }

    /// The packs one buyer had, sale by sale.
    fn packs_of(&self, letter: &Letter<'_>) -> Table {
        let columns = [
            Column::code("lot"),
            Column::text("product"),
            Column::text("serials"),
            Column::number("packs"),
            Column::code("sold"),
            Column::text("note"),
        ];
        let mut table = Table::new(columns);
        for sale in &letter.sales {
            for sold in &sale.packs {
                table = table.row([
                    sold.run.to_string(),
                    self.product(sold),
                    pack_list::serials(&sold.serials, sold.unnumbered),
                    sold.count().to_string(),
                    sale.when.day().to_string(),
                    sale.to.document.as_deref().unwrap_or_default().to_owned(),
                ]);
            }
        }
        table
    }

    fn product(&self, sold: &SoldPacks) -> String {
        let run = self.runs().find(|run| run.code == sold.run);
        run.map_or_else(String::new, |run| packed(&run.product))
    }

    fn all_runs(&self) -> Table {
        let columns = [
            Column::code("lot"),
            Column::text("product"),
            Column::text("serials"),
            Column::code("packed"),
        ];
        let rows = self.runs().map(|run| {
            let which = match &run.only[..] {
                [] => "all".to_owned(),
                some => pack_list::serials(some, 0),
            };
            [
                run.code.to_string(),
                packed(&run.product),
                which,
                run.when.day().to_string(),
            ]
        });
        rows.fold(Table::new(columns), Table::row)
    }

    /// Shows a label of each product among the packs, with its code ringed.
    fn show(&self, letter: &Letter<'_>, paper: &mut Paper) -> Result<(), PaperError> {
        let mut shown: Vec<&str> = Vec::new();
        let had = |run: &&ListedRun| {
            let mut sold = letter.sales.iter().flat_map(|sale| &sale.packs);
            letter.to.is_none() || sold.any(|sold| sold.run == run.code)
        };
        for run in self.runs().filter(had) {
            if shown.contains(&&*run.product.key) {
                continue;
            }
            if let Some(Specimen { label, code }) = self.label_of(run, letter)? {
                shown.push(&run.product.key);
                paper.lead_in(format!(
                    "On {}, as below, at its real size. The ring is drawn here and is not on the pack.",
                    packed(&run.product)
                ));
                paper.label(label, code);
            }
        }
        if shown.is_empty() {
            paper.text("The code begins with P and stands on the label beside the square code.");
        }
        Ok(())
    }

    fn label_of(
        &self,
        run: &ListedRun,
        letter: &Letter<'_>,
    ) -> Result<Option<Specimen>, PaperError> {
        let Some(lot) = self.farm.lot_of(run.code) else {
            return Ok(None);
        };
        let mut sold = letter.sales.iter().flat_map(|sale| &sale.packs);
        let theirs = sold.find(|sold| sold.run == run.code);
        let theirs = theirs.and_then(|sold| sold.serials.first());
        let serial = theirs.map(|range| range.first());
        let serial = serial.or_else(|| run.packs.first().map(|packs| packs.serials.first()));
        let serial = serial.or_else(|| Serial::new(1));
        Ok(match serial {
            Some(serial) => specimen(self.farm, (lot, serial), self.settings, self.templates)?,
            None => None,
        })
    }
}

impl Letter<'_> {
    fn is_to(&self, name: &str) -> bool {
        let to = self.to.and_then(|sale| sale.to.buyer.as_ref());
        to.is_some_and(|to| to.to_string().to_lowercase() == name.trim().to_lowercase())
    }
}

fn steps(imprint: &Imprint) -> Vec<String> {
    let reach = match &imprint.phone {
        Some(phone) => format!("Ring us on {phone}"),
        None => format!("Write to us: {}", listed(&imprint.address)),
    };
    vec![
        "Stop selling and using these packs, and put what is left apart.".to_owned(),
        "Look for the lot code that is ringed below; every pack has it.".to_owned(),
        format!(
            "{reach}, today if you can, and say how many you still have and how many you passed on."
        ),
        "Where you sold them on, tell those who bought them, or give us their names and we do."
            .to_owned(),
        "Keep what is left until we fetch it or tell you more. Please do not tip it out."
            .to_owned(),
    ]
}
