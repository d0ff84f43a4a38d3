//! A small farm with one large pack run: a thousand bags, and so a thousand labels that differ.

use std::collections::BTreeMap;

/// How many packs the run has.
pub const PACKS: usize = 1000;

/// The ref of the run.
pub const RUN: &str = "run-1";

/// The farm's sheets, by file name.
pub fn sheets() -> BTreeMap<String, Vec<u8>> {
    let packs =
        format!("when,product,count,from,ref\n2026-06-01T10:00,bag5,{PACKS},cast-1 3000kg,{RUN}\n");
    let sheets = [
        ("bins", "bin,place,when\nA01,R1/S1/P1,2026-03-01\n"),
        (
            "deliveries",
            "when,kind,name,supplier,amount,ref\n\
             2026-03-01T07:00,worms,Red worms,a wormery,120kg,stock\n\
             2026-03-01T07:00,bedding,Leaf mould,a park,1100kg,mould\n\
             2026-03-01T07:00,bedding,Shredded cardboard,a shop,300kg,card\n\
             2026-03-01T07:00,manure,Horse manure on straw,a yard,3000kg,manure\n\
             2026-03-01T07:00,feedstock,Coffee grounds,a cafe,600kg,coffee\n",
        ),
        (
            "beds",
            "when,bin,takes,ref\n2026-03-01T08:00,A01,mould 1100kg; card 250kg; stock 100kg,bed-1\n",
        ),
        (
            "feeds",
            "when,bin,takes\n2026-03-02T08:00,A01,manure 3000kg; coffee 600kg\n",
        ),
        (
            "sievings",
            "when,kind,from,amount,clears,ref\n2026-06-01T08:00,castings,A01,3200kg,,cast-1\n",
        ),
        ("packs", &packs),
    ];
    sheets
        .into_iter()
        .map(|(name, text)| (format!("{name}.csv"), text.as_bytes().to_vec()))
        .collect()
}
