//! Who has packs of a recall, who was told, and what came back, as tables.

use crate::farm::{Farm, Meant, PackPick};
use crate::trace::{ListedSale, Reply, SoldPacks};

use super::phrase::at;
use super::table::{Set, Table};

/// Lists sales: who got what, and how to reach them.
pub fn sold_to(title: &str, sales: &[ListedSale]) -> String {
    if sales.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[("", Set::Whole), ("", Set::Text), ("", Set::Text)]);
    for sale in sales {
        let who = sale.to.buyer.as_ref().or(sale.to.market.as_ref());
        let who = who.map_or_else(|| "nobody noted who".to_owned(), ToString::to_string);
        let contact = sale.to.contact.as_ref();
        let contact = contact
            .map(|contact| format!(", {contact}"))
            .unwrap_or_default();
        let packs: Vec<String> = sale.packs.iter().map(packs).collect();
        table.row(vec![
            sale.when.day().to_string(),
            format!("{who}{contact}"),
            packs.join(", "),
        ]);
    }
    format!("\n{title}\n{}", table.indented())
}

/// Writes packs of one run: `run-7 #1-3 x2`.
fn packs(sold: &SoldPacks) -> String {
    let run = sold.mark.as_ref();
    let mut text = run.map_or_else(|| sold.run.to_string(), ToString::to_string);
    for range in &sold.serials {
        text += &format!(" #{range}");
    }
    if sold.unnumbered > 0 {
        text += &format!(" x{}", sold.unnumbered);
    }
    text
}

/// Lists what buyers were told, or what came back.
pub fn replies(farm: &Farm, title: &str, replies: &[Reply]) -> String {
    if replies.is_empty() {
        return String::new();
    }
    let mut table = Table::new(&[
        ("", Set::Whole),
        ("", Set::Text),
        ("", Set::Text),
        ("", Set::Text),
    ]);
    for reply in replies {
        let who = reply
            .who
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default();
        let why = reply
            .why
            .as_ref()
            .map(ToString::to_string)
            .unwrap_or_default();
        let packs: Vec<String> = reply.packs.iter().map(|pick| named(farm, pick)).collect();
        table.row(vec![at(reply.when), who, packs.join(", "), why]);
    }
    format!("\n{title}\n{}", table.indented())
}

/// Writes packs by the mark of their run, where it has one.
fn named(farm: &Farm, pick: &PackPick<Meant>) -> String {
    let mark = farm
        .lot_of(pick.run)
        .and_then(|run| farm.lot(run).mark.as_ref());
    let run = mark.map_or_else(|| pick.run.to_string(), ToString::to_string);
    format!("{run} {}", pick.which)
}
