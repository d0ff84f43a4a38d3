//! Tables of a recall's report.

use crate::farm::LotSort;
use crate::trace::{Listing, Reply};

use super::lot_words::manner;
use super::paper::Paper;
use super::table::{Column, Table};
use super::wording::at;

/// Adds the deliveries, beds and batches of a list.
pub fn lots_table(listing: &Listing, paper: &mut Paper) {
    if listing.lots.is_empty() {
        return;
    }
    let columns = [
        Column::code("lot"),
        Column::text("what"),
        Column::code("made"),
        Column::text("how"),
        Column::text("bin"),
        Column::number("left"),
    ];
    let rows = listing.lots.iter().map(|lot| {
        let mark = lot
            .mark
            .as_ref()
            .map_or_else(String::new, |mark| format!(" ({mark})"));
        let left = match (lot.sort, lot.left) {
            (LotSort::Bed, _) => String::new(),
            (_, Some(left)) => left.to_string(),
            (_, None) => "?".to_owned(),
        };
        [
            lot.code.to_string(),
            format!("{}{mark}", lot.sort.word()),
            lot.when.day().to_string(),
            manner(lot.relation).to_owned(),
            lot.bin.map_or_else(String::new, |bin| bin.to_string()),
            left,
        ]
    });
    paper.sub_heading("Deliveries, beds and batches on the list");
    paper.table(rows.fold(Table::new(columns), Table::row));
}

/// Adds what buyers were told, or what came back.
pub fn replies(heading: &str, replies: &[Reply], paper: &mut Paper) {
    if replies.is_empty() {
        return;
    }
    let columns = [
        Column::code("when"),
        Column::text("who"),
        Column::text("packs"),
        Column::text("what was said"),
        Column::number("entry"),
    ];
    let rows = replies.iter().map(|reply| {
        let packs = reply
            .packs
            .iter()
            .map(|pick| format!("{} {}", pick.run, pick.which));
        [
            at(reply.when),
            reply
                .who
                .as_ref()
                .map_or_else(String::new, ToString::to_string),
            packs.collect::<Vec<_>>().join("; "),
            reply
                .why
                .as_ref()
                .map_or_else(String::new, ToString::to_string),
            reply.entry.to_string(),
        ]
    });
    paper.heading(heading);
    paper.table(rows.fold(Table::new(columns), Table::row));
}
