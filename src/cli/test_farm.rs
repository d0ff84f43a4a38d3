//! A small farm for the tests of what is printed: two beds, one manure, two runs, a tub, a strike, a hold.

use std::collections::BTreeMap;
use std::path::PathBuf;

use crate::farm::{Farm, Moment, Settings, Stamp, Strike, Word};
use crate::sheets::{AlreadyThere, Importing, read_folder};

use super::out::Ink;
use super::settings_file;
use super::shed::Shed;

const SETTINGS: &str = r#"
[farm]
name = "Test Wormery"
country = "GB"
timezone = "Europe/London"

[qr]
form = "web"
base = "https://lots.marlhythe.example"

[product.bag5]
name = "Worm-worked compost"
kind = "bag"
net = "5L"

[product.tub50]
name = "Bait worms"
kind = "tub"
net = "50"
"#;

const SHEETS: [(&str, &str); 17] = [
    (
        "bins.csv",
        "bin,place,when,species\nA01,R1/S1/P1,2026-03-01,Eisenia fetida\nA10,R1/S1/P10,2026-03-01,Eisenia fetida\nA02,R1/S1/P2,2026-03-01,Eisenia fetida\n",
    ),
    (
        "deliveries.csv",
        "when,kind,name,supplier,amount,ref,hay_sprayed,by\n\
        2026-03-01,bedding,straw,a farm on the levels,20kg,straw-1,,NT\n\
        2026-03-01,manure,horse manure,a livery yard upriver,30kg,manure-1,not known,NT\n\
        2026-03-01,worms,composting worms,a worm farm,4kg,worms-1,,RB\n\
        2026-03-01,feedstock,grain,a brewery,~10kg,grain-1,,RB\n\
        2026-03-01,packing,5 L bags,a sack merchant,50,bags-1,,RB\n",
    ),
    (
        "beds.csv",
        "when,bin,takes\n\
        2026-03-02T09:00,A01,straw-1 6kg; worms-1 1kg\n\
        2026-03-02T09:10,A02,straw-1 6kg; worms-1 1kg\n",
    ),
    (
        "feeds.csv",
        "when,bin,takes,by\n\
        2026-03-05T09:00,A01,manure-1 2kg,NT\n\
        2026-03-05T09:05,A02,manure-1 2kg,NT\n\
        2026-03-12T09:00,A01,grain-1 ~1kg,NT\n\
        2026-04-20T09:00,A02,manure-1 1kg,RB\n",
    ),
    (
        "skips.csv",
        "when,bin,why,by\n2026-03-20,A01,lots of feed left,RB\n",
    ),
    (
        "checks.csv",
        "when,bin,feed_left,temperature_c\n2026-04-21,A02,some,17.5\n",
    ),
    (
        "splits.csv",
        "when,bin,share,to_bin\n2026-03-25T10:00,A02,1 of 3,A10\n",
    ),
    (
        "sievings.csv",
        "when,kind,from,amount,clears,ref\n\
        2026-04-10T09:00,castings,A01,4kg,A01,cast-1\n\
        2026-04-10T09:00,worms,A01,900g,,worms-out\n\
        2026-04-12T09:00,castings,A02,2kg,,cast-2\n",
    ),
    (
        "blends.csv",
        "when,kind,from,ref\n2026-04-13T09:00,castings,cast-1 3kg; cast-2 2kg,blend-1\n",
    ),
    (
        "tests.csv",
        "when,lot,test,value,unit,method\n2026-04-13T10:00,blend-1,density,600,g/L,5 L jug\n",
    ),
    (
        "packs.csv",
        "when,product,count,from,ref,best_by\n\
        2026-04-14T09:00,bag5,3,blend-1 3kg; bags-1 3,run-1,\n\
        2026-04-15T09:00,bag5,2,cast-1 900g; bags-1 2,run-2,\n\
        2026-04-16T09:00,tub50,4,worms-out 400g,tubs-1,2026-04-30\n",
    ),
    (
        "sales.csv",
        "when,packs,buyer,market,contact\n\
        2026-04-18,run-1 #1,a nursery,,01632 960214\n\
        2026-04-19,run-1 x1; tubs-1 #1-2,,Quay market,\n\
        2026-04-25,run-2 #1,a nursery,,01632 960214\n",
    ),
    (
        "returns.csv",
        "when,packs,state,market\n2026-04-19T17:00,tubs-1 #2,unsold,Quay market\n",
    ),
    (
        "counts.csv",
        "when,lot,found,why\n2026-04-30,straw-1,7kg,mice\n",
    ),
    (
        "thrown.csv",
        "when,what,why\n2026-04-29,manure-1 ?,went sour\n",
    ),
    (
        "complaints.csv",
        "when,sign,pack,contact\n2026-05-20T10:00,curled leaves,run-1 #1,01632 960847\n",
    ),
    (
        "holds.csv",
        "when,lot,state,reason,reach\n2026-05-21T10:00,manure-1,hold,hay was never vouched for,parts\n",
    ),
];

/// Returns the settings.
pub fn settings() -> Settings {
    settings_file::parse(SETTINGS).expect("the settings are sound")
}

/// Returns the farm.
pub fn farm() -> Farm {
    let settings = settings();
    let files = SHEETS.iter().map(|(name, text)| {
        let text = text.replace("\n        ", "\n");
        ((*name).to_owned(), text.into_bytes())
    });
    let farm = with_sheets(&Farm::default(), &settings, &files.collect());
    let skip = farm
        .entries()
        .iter()
        .find(|entry| {
            entry
                .event
                .as_ref()
                .is_some_and(|e| e.noun().word() == "skip")
        })
        .expect("there is a skip");
    let strike = Strike {
        entry: skip.number,
        why: Word::of("wrong bin").expect("not empty"),
    };
    let stamp = stamp();
    farm.strike(strike, &stamp).expect("nothing names it").farm
}

/// Records sheets on a farm.
pub fn with_sheets(farm: &Farm, settings: &Settings, files: &BTreeMap<String, Vec<u8>>) -> Farm {
    let stamp = stamp();
    let with = Importing {
        settings,
        farm,
        now: stamp.now,
        already: AlreadyThere::Refuse,
    };
    let import = read_folder(files, with).expect("the sheets are sound");
    let recording = farm.record(import.drafts, stamp.written);
    recording.expect("the rows fit").farm
}

/// Returns a shed that prints text, or JSON.
pub fn shed(print: Print) -> Shed {
    Shed {
        folder: PathBuf::from("farm"),
        json: print == Print::Json,
        ink: Ink::Plain,
        by: None,
        asked_by: None,
        now: stamp().written,
    }
}

/// How a test's shed prints.
#[derive(Clone, Copy, PartialEq)]
pub enum Print {
    Text,
    Json,
}

fn stamp() -> Stamp {
    Stamp {
        written: "2026-06-01T12:00:00Z".parse().expect("an instant"),
        now: Moment::minute_of(jiff::civil::datetime(2026, 6, 1, 13, 0, 0, 0)),
        by: Word::of("NT"),
    }
}
