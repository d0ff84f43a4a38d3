//! The packs of a listing, a row each: the same on papers as in a CSV file.

use crate::farm::{Farm, SerialRange};
use crate::trace::{ListedRun, ListedSale, Listing, SoldPacks, Whereabouts};

use super::lot_words::packed;
use super::wording::at;

/// The columns, in order.
pub const COLUMNS: [&str; 10] = [
    "code", "serial", "product", "packed", "best_by", "state", "buyer", "market", "date",
    "relation",
];

/// Returns a row for each pack. A pack that was sold without its serial noted has a row without one; the serials it
/// may be stand as `in store or gone`.
pub fn rows<'a>(farm: &'a Farm, listing: &'a Listing) -> impl Iterator<Item = [String; 10]> + 'a {
    listing.runs.iter().flat_map(move |run| {
        let numbered = run.packs.iter().flat_map(move |packs| {
            let (state, sale) = state(listing, packs.at);
            let serials = packs.serials.serials();
            serials.map(move |serial| row(farm, run, serial.to_string(), state, sale))
        });
        let loose = listing.sales.iter().flat_map(move |sale| {
            let sold = sale.packs.iter().filter(|packs| packs.run == run.code);
            let unnumbered: u32 = sold.map(|packs| packs.unnumbered).sum();
            let state = "sold, serial not noted";
            (0..unnumbered).map(move |_| row(farm, run, String::new(), state, Some(sale)))
        });
        numbered.chain(loose)
    })
}

fn state(listing: &Listing, at: Whereabouts) -> (&'static str, Option<&ListedSale>) {
    match at {
        Whereabouts::InStore => ("in store", None),
        Whereabouts::Sold(entry) => {
            let sale = listing.sales.iter().find(|sale| sale.entry == entry);
            ("sold", sale)
        }
        Whereabouts::Back => ("came back with a complaint", None),
        Whereabouts::Thrown => ("thrown out", None),
        Whereabouts::Opened => ("opened and used again", None),
        Whereabouts::Unplaced => ("in store or gone", None),
    }
}

fn row(
    farm: &Farm,
    run: &ListedRun,
    serial: String,
    state: &str,
    sale: Option<&ListedSale>,
) -> [String; 10] {
    let best_by = farm.lot_of(run.code).and_then(|lot| farm.best_by(lot));
    let to = sale.map(|sale| &sale.to);
    let said = |word: Option<String>| word.unwrap_or_default();
    [
        run.code.to_string(),
        serial,
        packed(&run.product),
        at(run.when),
        said(best_by.map(|day| day.to_string())),
        state.to_owned(),
        said(to.and_then(|to| to.buyer.as_ref()).map(ToString::to_string)),
        said(
            to.and_then(|to| to.market.as_ref())
                .map(ToString::to_string),
        ),
        said(sale.map(|sale| at(sale.when))),
        run.relation
            .map_or("itself", |relation| relation.word())
            .to_owned(),
    ]
}

/// Writes serials for reading: `#1-12, #15`, with those nobody noted as `3 without serial`.
pub fn serials(ranges: &[SerialRange], unnumbered: u32) -> String {
    let mut parts: Vec<String> = ranges.iter().map(|range| format!("#{range}")).collect();
    if unnumbered > 0 {
        parts.push(format!("{unnumbered} without serial"));
    }
    parts.join(", ")
}

/// Writes the packs of a sale, run by run: `P26170-01-D #1-2; P26184-03-X 3 without serial`.
pub fn of_sale(sale: &ListedSale) -> String {
    let of_run = |sold: &SoldPacks| {
        let which = serials(&sold.serials, sold.unnumbered);
        format!("{} {which}", sold.run)
    };
    sale.packs.iter().map(of_run).collect::<Vec<_>>().join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::farm::scenario::Scenario;
    use crate::trace::{Carried, Scope};

    #[test]
    fn every_pack_has_a_row_and_one_sold_without_its_serial_has_another() {
        let scenario = Scenario::of(&[
            "2026-03-01 delivery dung manure 50kg",
            "2026-03-02 bed b1 A01 dung=4kg",
            "2026-03-20 sieve c1 castings 2kg - A01",
            "2026-03-21 pack p1 3 c1=1kg",
            "2026-04-01 sale p1/1",
            "2026-04-02 sale p1/x1",
        ]);
        let farm = &scenario.farm;
        let scope = Scope {
            from: &[scenario.id("dung")],
            packs: &[],
            carried: Carried::Out,
        };
        let listing = Listing::of(farm, scope);
        let rows: Vec<_> = rows(farm, &listing).collect();
        let told: Vec<_> = rows
            .iter()
            .map(|row| (row[1].as_str(), row[5].as_str(), row[9].as_str()))
            .collect();
        assert_eq!(
            told,
            [
                ("0001", "sold", "part"),
                ("0002", "in store or gone", "part"),
                ("0003", "in store or gone", "part"),
                ("", "sold, serial not noted", "part"),
            ]
        );
    }
}
