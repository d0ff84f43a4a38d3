//! A trace as the JSON object of the formats' page: its keys, their order, and nulls where it says so.

use serde::Serialize;

use crate::desk::mark;
use crate::farm::{Farm, PackCode, Serial};
use crate::trace::{Buyer, Source, Trace, Use};

use super::out;

#[derive(Serialize)]
struct Object {
    subject: Subject,
    #[serde(skip_serializing_if = "Option::is_none")]
    back: Option<Vec<Back>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    forward: Option<Vec<Forward>>,
    buyers: Vec<Sold>,
}

#[derive(Serialize)]
struct Subject {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    serial: Option<u32>,
    when: String,
}

#[derive(Serialize)]
struct Back {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    name: Option<String>,
    supplier: Option<String>,
    relation: &'static str,
    share: Option<f64>,
    basis: Option<&'static str>,
    first: String,
    last: String,
}

#[derive(Serialize)]
struct Forward {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    relation: &'static str,
    packs: Option<u32>,
    sold: Option<u32>,
    first: String,
    last: String,
}

#[derive(Serialize)]
struct Sold {
    buyer: Option<String>,
    market: Option<String>,
    contact: Option<String>,
    packs: Vec<String>,
    unnumbered: u32,
    when: String,
}

/// Shares are told to nine places.
const PLACES: f64 = 1e9;

/// Writes a trace.
pub fn text(farm: &Farm, trace: &Trace) -> String {
    let lot = farm.lot(trace.question.lot);
    let back = trace.back.as_ref();
    let forward = trace.forward.as_ref();
    out::json(&Object {
        subject: Subject {
            code: lot.code.to_string(),
            mark: mark(farm, trace.question.lot),
            kind: lot.sort.word(),
            serial: trace.question.serial.map(Serial::number),
            when: lot.when.to_string(),
        },
        back: back.map(|sources| sources.iter().map(|s| source(farm, s)).collect()),
        forward: forward.map(|uses| uses.iter().map(|u| used(farm, u)).collect()),
        buyers: trace.buyers.iter().map(|sale| sold(farm, sale)).collect(),
    })
}

fn source(farm: &Farm, source: &Source) -> Back {
    let reached = source.reached;
    let lot = farm.lot(reached.lot);
    let facts = farm.delivery(reached.lot);
    Back {
        code: lot.code.to_string(),
        mark: mark(farm, reached.lot),
        kind: lot.sort.word(),
        name: facts.map(|facts| facts.name.to_string()),
        supplier: facts.map(|facts| facts.supplier.to_string()),
        relation: reached.relation.word(),
        share: source.share.map(|share| (share * PLACES).round() / PLACES),
        basis: source.basis.map(|basis| basis.word()),
        first: reached.first.to_string(),
        last: reached.last.to_string(),
    }
}

fn used(farm: &Farm, used: &Use) -> Forward {
    let lot = farm.lot(used.reached.lot);
    Forward {
        code: lot.code.to_string(),
        mark: mark(farm, used.reached.lot),
        kind: lot.sort.word(),
        relation: used.reached.relation.word(),
        packs: used.packs.map(|(packs, _)| packs),
        sold: used.packs.map(|(_, sold)| sold),
        first: used.reached.first.to_string(),
        last: used.reached.last.to_string(),
    }
}

fn sold(farm: &Farm, sale: &Buyer) -> Sold {
    let word = |word: &Option<crate::farm::Word>| word.as_ref().map(ToString::to_string);
    let codes = sale.packs.iter().flat_map(|(run, range)| {
        let run = farm.lot(*run).code;
        range
            .serials()
            .map(move |serial| PackCode { run, serial }.to_string())
    });
    Sold {
        buyer: word(&sale.to.buyer),
        market: word(&sale.to.market),
        contact: word(&sale.to.contact),
        packs: codes.collect(),
        unnumbered: sale.unnumbered,
        when: sale.when.to_string(),
    }
}

#[cfg(test)]
#[path = "trace_json_test.rs"]
mod tests;
