//! A recall as JSON. `recall list` prints `{"recalls": [...]}`; `recall show` one object with `recall`, `opened`, `entry`,
//! `why`, `from`, `closed`, `figures`, `frozen`, `since`, `told`, `returned` and `not_told`.

use serde::Serialize;

use crate::farm::{Relation, SerialRange, Word};
use crate::trace::{Figures, ListedSale, Listing, PackCount, RecallFile, Reply};

use super::out;

#[derive(Serialize)]
struct All {
    recalls: Vec<Short>,
}

#[derive(Serialize)]
struct Short {
    recall: String,
    opened: String,
    closed: Option<String>,
    figures: Numbers,
}

#[derive(Serialize)]
struct Long {
    recall: String,
    opened: String,
    entry: u32,
    why: Option<String>,
    from: Vec<String>,
    closed: Option<String>,
    figures: Numbers,
    frozen: Lists,
    since: Lists,
    told: Vec<Row>,
    returned: Vec<Row>,
    not_told: Vec<Sale>,
}

/// `then`: when the recall was opened; `now`: where the same packs are now.
#[derive(Serialize)]
struct Numbers {
    then: Count,
    now: Count,
    buyers: usize,
    buyers_told: usize,
    packs_told: u32,
    packs_returned: u32,
}

#[derive(Serialize)]
struct Count {
    made: u32,
    traced: u32,
    in_store: u32,
    sold: u32,
    back: u32,
    thrown: u32,
    opened: u32,
    not_found: u32,
    unplaced: u32,
}

#[derive(Serialize)]
struct Lists {
    lots: Vec<Lot>,
    runs: Vec<Run>,
    sales: Vec<Sale>,
}

#[derive(Serialize)]
struct Lot {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    relation: Option<&'static str>,
}

#[derive(Serialize)]
struct Run {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    product: String,
    when: String,
    relation: Option<&'static str>,
    only: Vec<String>,
    packs: Count,
}

#[derive(Serialize)]
struct Sale {
    entry: u32,
    when: String,
    buyer: Option<String>,
    market: Option<String>,
    contact: Option<String>,
    packs: Vec<Packs>,
    told: bool,
}

#[derive(Serialize)]
struct Packs {
    run: String,
    serials: Vec<String>,
    unnumbered: u32,
}

#[derive(Serialize)]
struct Row {
    entry: u32,
    when: String,
    who: Option<String>,
    packs: Vec<String>,
    why: Option<String>,
}

/// Writes the list of recalls.
pub fn list(files: &[RecallFile]) -> String {
    let short = |file: &RecallFile| Short {
        recall: file.name.clone(),
        opened: file.opened.to_string(),
        closed: closed(file),
        figures: numbers(&file.figures()),
    };
    out::json(&All {
        recalls: files.iter().map(short).collect(),
    })
}

/// Writes a recall.
pub fn show(file: &RecallFile) -> String {
    let not_told = file.not_told().into_iter();
    out::json(&Long {
        recall: file.name.clone(),
        opened: file.opened.to_string(),
        entry: file.entry,
        why: word(file.why.as_ref()),
        from: file.from.iter().map(ToString::to_string).collect(),
        closed: closed(file),
        figures: numbers(&file.figures()),
        frozen: lists(file, &file.frozen),
        since: lists(file, &file.since),
        told: file.told.iter().map(row).collect(),
        returned: file.returned.iter().map(row).collect(),
        not_told: not_told.map(|sale| self::sale(file, sale)).collect(),
    })
}

fn closed(file: &RecallFile) -> Option<String> {
    file.closed.as_ref().map(|closed| closed.when.to_string())
}

fn word(word: Option<&Word>) -> Option<String> {
    word.map(ToString::to_string)
}

fn numbers(figures: &Figures) -> Numbers {
    Numbers {
        then: count(&figures.then),
        now: count(&figures.now),
        buyers: figures.buyers,
        buyers_told: figures.buyers_told,
        packs_told: figures.told,
        packs_returned: figures.returned,
    }
}

fn count(count: &PackCount) -> Count {
    Count {
        made: count.made,
        traced: count.traced(),
        in_store: count.in_store,
        sold: count.sold,
        back: count.back,
        thrown: count.thrown,
        opened: count.opened,
        not_found: count.not_found,
        unplaced: count.unplaced,
    }
}

fn lists(file: &RecallFile, listing: &Listing) -> Lists {
    let lots = listing.lots.iter().map(|lot| Lot {
        code: lot.code.to_string(),
        mark: lot.mark.as_ref().map(ToString::to_string),
        kind: lot.sort.word(),
        relation: lot.relation.map(Relation::word),
    });
    let runs = listing.runs.iter().map(|run| Run {
        code: run.code.to_string(),
        mark: run.mark.as_ref().map(ToString::to_string),
        product: run.product.key.to_string(),
        when: run.when.to_string(),
        relation: run.relation.map(Relation::word),
        only: serials(&run.only),
        packs: count(&run.count),
    });
    Lists {
        lots: lots.collect(),
        runs: runs.collect(),
        sales: listing
            .sales
            .iter()
            .map(|sale| self::sale(file, sale))
            .collect(),
    }
}

fn sale(file: &RecallFile, sale: &ListedSale) -> Sale {
    let packs = sale.packs.iter().map(|packs| Packs {
        run: packs.run.to_string(),
        serials: serials(&packs.serials),
        unnumbered: packs.unnumbered,
    });
    Sale {
        entry: sale.entry,
        when: sale.when.to_string(),
        buyer: word(sale.to.buyer.as_ref()),
        market: word(sale.to.market.as_ref()),
        contact: word(sale.to.contact.as_ref()),
        packs: packs.collect(),
        told: file.is_told(sale),
    }
}

fn serials(ranges: &[SerialRange]) -> Vec<String> {
    ranges.iter().map(ToString::to_string).collect()
}

fn row(reply: &Reply) -> Row {
    let packs = reply.packs.iter();
    Row {
        entry: reply.entry,
        when: reply.when.to_string(),
        who: word(reply.who.as_ref()),
        packs: packs
            .map(|pick| format!("{} {}", pick.run, pick.which))
            .collect(),
        why: word(reply.why.as_ref()),
    }
}
