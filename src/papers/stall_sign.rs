//! The sign for a stall: place, days and lot codes large enough to be read from two metres, and what to do. No
//! blame, no law.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::farm::LotCode;
use crate::trace::ListedSale;

use super::error::PaperError;
use super::format::Format;
use super::paper::{Imprint, Paper};
use super::recall_notice::RecallPapers;
use super::style::Style;
use super::wording::{date, listed};

impl RecallPapers<'_> {
    /// Writes a sign for each market on the list, or for one of them, as one PDF. Tells how many signs there are.
    ///
    /// Why packs are asked back stands on it only where the farm says it in words for customers.
    pub fn signs(
        &self,
        only: Option<&str>,
        because: Option<&str>,
        imprint: &Imprint,
    ) -> Result<(Vec<u8>, usize), PaperError> {
        let mut markets: BTreeMap<String, Vec<&ListedSale>> = BTreeMap::new();
        for sale in self.sales().filter(|sale| sale.to.buyer.is_none()) {
            let Some(market) = &sale.to.market else {
                continue;
            };
            let market = market.to_string();
            let wanted = |only: &str| only.trim().to_lowercase() == market.to_lowercase();
            if only.is_none_or(wanted) {
                markets.entry(market).or_default().push(sale);
            }
        }
        if markets.is_empty() {
            return Err(PaperError::NoSuchMarket {
                market: only.map(str::to_owned),
                recall: self.file.name.clone(),
            });
        }
        let signs: Vec<Paper> = markets
            .iter()
            .map(|(market, sales)| self.sign(market, sales, because, imprint))
            .collect();
        Ok((Paper::bind(&signs)?, signs.len()))
    }

    fn sign(
        &self,
        market: &str,
        sales: &[&ListedSale],
        because: Option<&str>,
        imprint: &Imprint,
    ) -> Paper {
        let title = format!("Sign for {market}");
        let mut paper = Paper::sign(Format::A4, &title, imprint.clone());
        paper.set(Style::SIGN, "Please check");
        paper.set(
            Style::SIGN_TEXT,
            format!("{} bought here", self.products(sales)),
        );
        paper.set(
            Style::SIGN_SMALL,
            format!("{market}, from {}", imprint.farm),
        );
        let mut by_day: BTreeMap<Date, Vec<LotCode>> = BTreeMap::new();
        for sale in sales {
            let codes = by_day.entry(sale.when.day()).or_default();
            codes.extend(sale.packs.iter().map(|sold| sold.run));
        }
        if let Some(because) = because {
            paper.set(Style::SIGN_SMALL, because);
        }
        paper.steps_in(Style::SIGN_SMALL, what_to_do(imprint));
        paper.rule();
        let posts = by_day.into_iter().map(|(day, mut codes)| {
            codes.sort_unstable();
            codes.dedup();
            let codes = codes.iter().map(ToString::to_string).collect();
            (date(day), codes)
        });
        paper.signposts(posts.collect());
        paper
    }

    /// Names what was sold there, each product once.
    fn products(&self, sales: &[&ListedSale]) -> String {
        let mut names: Vec<String> = Vec::new();
        for sold in sales.iter().flat_map(|sale| &sale.packs) {
            if let Some(run) = self.runs().find(|run| run.code == sold.run) {
                let name = run.product.name.to_string();
                if !names.contains(&name) {
                    names.push(name);
                }
            }
        }
        match names.is_empty() {
            true => "Packs".to_owned(),
            false => listed(&names),
        }
    }
}

fn what_to_do(imprint: &Imprint) -> Vec<String> {
    let ring = imprint.phone.as_ref();
    let ring = ring.map_or_else(String::new, |phone| format!(", or ring {phone}"));
    vec![
        "Look on the label for the code that begins with P. Is it one of those below?".to_owned(),
        "Please do not use what is left. Keep it in its pack.".to_owned(),
        format!("Bring it to us here{ring}. We take it back."),
    ]
}
