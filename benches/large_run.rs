//! A small farm with one large pack run: so many bags, and so many labels that differ.

use std::collections::BTreeMap;

/// The ref of the run.
pub const RUN: &str = "run-1";

/// The farm's sheets, by file name, with a run of so many packs.
pub fn sheets(packs: usize) -> BTreeMap<String, Vec<u8>> {
    let kg = |for_a_thousand: usize| format!("{}kg", (for_a_thousand * packs).div_ceil(1000));
    let deliveries = format!(
        "when,kind,name,supplier,amount,ref\n\
         2026-03-01T07:00,worms,Red worms,a wormery,{},stock\n\
         2026-03-01T07:00,bedding,Leaf mould,a park,{},mould\n\
         2026-03-01T07:00,bedding,Shredded cardboard,a shop,{},card\n\
         2026-03-01T07:00,manure,Horse manure on straw,a yard,{},manure\n\
         2026-03-01T07:00,feedstock,Coffee grounds,a cafe,{},coffee\n",
        kg(120),
        kg(1100),
        kg(300),
        kg(3000),
        kg(600)
    );
    let beds = format!(
        "when,bin,takes,ref\n2026-03-01T08:00,A01,mould {}; card {}; stock {},bed-1\n",
        kg(1100),
        kg(250),
        kg(100)
    );
    let feeds = format!(
        "when,bin,takes\n2026-03-02T08:00,A01,manure {}; coffee {}\n",
        kg(3000),
        kg(600)
    );
    let sievings = format!(
        "when,kind,from,amount,clears,ref\n2026-06-01T08:00,castings,A01,{},,cast-1\n",
        kg(3200)
    );
    let runs = format!(
        "when,product,count,from,ref\n2026-06-01T10:00,bag5,{packs},cast-1 {},{RUN}\n",
        kg(3000)
    );
    let tests = "when,lot,test,value,unit\n2026-06-01T09:00,cast-1,density,600,g/L\n".to_owned();
    let bins = "bin,place,when\nA01,R1/S1/P1,2026-03-01\n".to_owned();
    let sheets = [
        ("bins", bins),
        ("deliveries", deliveries),
        ("beds", beds),
        ("feeds", feeds),
        ("sievings", sievings),
        ("packs", runs),
        ("tests", tests),
    ];
    sheets
        .into_iter()
        .map(|(name, text)| (format!("{name}.csv"), text.into_bytes()))
        .collect()
}
