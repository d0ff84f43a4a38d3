//! A farm's settings and small folders of sheets, for the tests of this folder.

use std::collections::BTreeMap;

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::error::SheetProblem;
use super::import::{AlreadyThere, Import, Importing, read_folder};
use crate::farm::{
    DateOrder, Farm, Measure, Measures, Moment, PackKind, Product, ProductSetting, QrForm,
    Quantity, Settings, Unit,
};

/// Files by name.
pub type Files = BTreeMap<String, Vec<u8>>;

/// What the tests' farm has in its castlot.toml.
pub fn settings() -> Settings {
    let net = |value, unit| Quantity::new(value, unit);
    let products = [
        product("bag20", PackKind::Bag, net(20_000, Unit::Millilitres), None),
        product("tub50", PackKind::Tub, net(50, Unit::Pieces), Some(14)),
    ];
    let scoop = Measure {
        quantity: Quantity::new(350, Unit::Grams),
        guess: true,
    };
    let zone = TimeZone::get("Europe/London").expect("the zone is bundled");
    Settings {
        address: vec!["The Old Drying Shed".to_owned()],
        form: QrForm::Web,
        base: Some("https://lots.marlhythe.example".to_owned()),
        shed: Some("http://192.168.1.20:8080".to_owned()),
        measures: Measures::from([("scoop".to_owned(), scoop)]),
        products: products.into(),
        ..Settings::of("Marlhythe Wormery", "GB", zone)
    }
}

fn product(
    key: &str,
    kind: PackKind,
    net: Quantity,
    best_by_days: Option<u32>,
) -> (String, ProductSetting) {
    let product = Product {
        key: key.into(),
        name: "Worm-worked compost".into(),
        kind,
        net,
        gtin: None,
        best_by_days,
        best_by_month_end: false,
    };
    (key.to_owned(), ProductSetting::of(product))
}

/// Returns a moment.
pub fn moment(text: &str) -> Moment {
    Moment::read(text, DateOrder::YearMonthDay, &settings().zone).expect("a moment")
}

/// Returns a folder of files.
pub fn folder(files: &[(&str, &str)]) -> Files {
    let file = |(name, text): &(&str, &str)| ((*name).to_owned(), text.as_bytes().to_vec());
    files.iter().map(file).collect()
}

/// Reads a folder for a farm.
pub fn read(
    files: &Files,
    farm: &Farm,
    already: AlreadyThere,
) -> Result<Import, Vec<SheetProblem>> {
    let with = Importing {
        settings: &settings(),
        farm,
        now: moment("2026-10-31T12:00"),
        already,
    };
    read_folder(files, with)
}

/// Imports a folder into a farm, or tells every problem as a person reads it.
pub fn import(files: &Files, farm: &Farm) -> Result<Farm, Vec<String>> {
    let told = |problems: Vec<SheetProblem>| -> Vec<String> {
        problems.iter().map(ToString::to_string).collect()
    };
    let import = read(files, farm, AlreadyThere::Refuse).map_err(told)?;
    let recording = import.record(farm, Timestamp::UNIX_EPOCH).map_err(told)?;
    Ok(recording.farm)
}

/// A small farm with a row of every kind.
pub fn small() -> Files {
    folder(&[
        (
            "bins.csv",
            "bin,place,length_mm\nA01,R1/S1/P1,600\nA02,R1/S1/P2,\nA03,R1/S1/P3,\n",
        ),
        (
            "deliveries.csv",
            "when,kind,name,supplier,amount,ref,note\n\
             2026-02-01,bedding,chopped straw,a farm on the levels,100kg,straw-1,\n\
             2026-02-01,worms,red worms,a grower inland,4kg,worms-1,\"lively, well packed\"\n\
             2026-02-01,manure,horse manure,a livery yard upriver,~200kg,manure-1,\n\
             2026-02-01,packing,20 L sacks,a bag maker,500,sacks-1,\n",
        ),
        (
            "beds.csv",
            "when,bin,takes,species\n\
             2026-02-02T09:00,A01,straw-1 4kg; worms-1 500g,Eisenia fetida\n\
             2026-02-02T09:10,A02,straw-1 4kg; worms-1 500g,\n",
        ),
        (
            "blends.csv",
            "when,kind,from,ref\n2026-02-05T08:00,feed,manure-1 20kg; straw-1 2 kg,mix-1\n\
             2026-03-21T11:00,castings,sift-1 5kg; run-1/2 18L,blend-1\n",
        ),
        (
            "feeds.csv",
            "when,bin,takes\n2026-02-05T09:00,A01,mix-1 480g\n2026-02-05T09:00,A02,mix-1 2 scoop\n\
             2026-02-08,A01,mix-1 480g\n2026-02-08,A01,mix-1 480g\n",
        ),
        ("skips.csv", "when,bin,why\n2026-02-12,A02,food left\n"),
        (
            "checks.csv",
            "when,bin,feed_left,squeeze,temperature_c,ph,smell\n2026-02-12,A01,some,drops,18.5,7.0,earth\n",
        ),
        (
            "splits.csv",
            "when,bin,share,to_bin\n2026-02-20T10:00,A01,1 of 3,A03\n",
        ),
        ("moves.csv", "when,bin,place\n2026-02-21,A03,R2/S1/P1\n"),
        (
            "tips.csv",
            "when,bin,to_bin\n2026-03-01T10:00,A03,A02\n2026-03-02T10:00,A02,A03\n",
        ),
        (
            "sievings.csv",
            "when,kind,from,amount,clears,ref\n\
             2026-03-10T10:00,castings,A01; A03,22kg,all,sift-1\n\
             2026-03-10T10:00,worms,A01 400g; A03 ~500g,,,sw-1\n\
             2026-03-10T10:00,overs,A01 400g,,,\n",
        ),
        (
            "tests.csv",
            "when,lot,test,value,unit,result\n2026-03-11,sift-1,density,610,g/L,\n2026-03-12,manure-1,bean,pass,,pass\n",
        ),
        (
            "packs.csv",
            "when,product,count,from,best_by,despite,ref\n\
             2026-03-12T14:00,bag20,12,sift-1 12kg; sacks-1 12,,,run-1\n\
             2026-03-14T14:00,tub50,4,sw-1 100g,,a trial,run-2\n",
        ),
        (
            "weighings.csv",
            "when,run,values,tare\n2026-03-12T14:30,run-1,20.1L; 19.9L,40g\n",
        ),
        (
            "sales.csv",
            "when,packs,buyer,market,contact,document\n\
             2026-03-15,run-1 #1-3 ; run-2 x2,,Quay market,,\n\
             2026-03-16,run-1/4,a houseplant shop in the arcade,,01632 960508,inv-1\n",
        ),
        (
            "returns.csv",
            "when,packs,state,market\n2026-03-17,run-1 #2,unsold,Quay market\n",
        ),
        (
            "counts.csv",
            "when,lot,found,why\n2026-03-18T08:00,straw-1,80 kg,mice\n2026-03-18T09:00,mix-1,0,used up\n",
        ),
        (
            "thrown.csv",
            "when,what,why\n2026-03-19T08:00,sift-1 500g,stones\n2026-03-19T09:00,run-1 #5; run-2 x1,torn\n",
        ),
        (
            "complaints.csv",
            "when,sign,pack,contact\n2026-03-20,sour smell,run-1 #1,01632 960829\n2026-03-20,flies,run-2,\n",
        ),
        (
            "settlements.csv",
            "when,complaint,why\n2026-03-21,call-1,aired and dried\n2026-03-22,call-1,rang again\n",
        ),
        (
            "holds.csv",
            "when,lot,state,reason,reach\n2026-03-22,manure-1,hold,bean test again,\n2026-03-24,manure-1,release,passed,\n",
        ),
        (
            "recalls.csv",
            "when,recall,step,lots,packs,buyer,why\n\
             2026-03-25,recall-1,open,manure-1,,,a drill\n\
             2026-03-26,recall-1,told,run-1; run-2,run-1 #4,a houseplant shop in the arcade,\n",
        ),
        (
            "prints.csv",
            "when,packs,template,printer,printed,spoiled,digest\n2026-03-12,run-1 all,bag-front,shed laser,12,0,35798cc8\n",
        ),
    ])
}
