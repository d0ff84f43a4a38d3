//! Tests of the lists in a cell.

use super::super::fixture::{folder, import, moment, settings};
use super::super::known::Known;
use super::*;
use crate::farm::{Farm, Settings};

/// Asks a reader that knows bin A07, and the refs `straw-1`, `b20260401` and `c3`.
fn asked<T>(ask: impl FnOnce(&Reader) -> T) -> T {
    let (farm, settings): (Farm, Settings) = (farm(), settings());
    let known = Known::of(&farm);
    ask(&Reader::new(&settings, &known, moment("2026-02-01")))
}

fn farm() -> Farm {
    let rows = ["straw-1", "b20260401", "c3"]
        .map(|mark| format!("2026-02-01,bedding,straw,a farm,9kg,{mark}\n"));
    let deliveries = format!("when,kind,name,supplier,amount,ref\n{}", rows.concat());
    let bins = "bin,place\nA07,R1/S1/P1\nC3,R1/S1/P2\n";
    let files = folder(&[("deliveries.csv", &deliveries), ("bins.csv", bins)]);
    import(&files, &Farm::default()).expect("a sound farm")
}

fn lot(lot: &LotName) -> String {
    match lot {
        LotName::Code(code) => code.to_string(),
        LotName::Mark(mark) => format!("ref {mark}"),
    }
}

fn bed(name: &BedName<LotName>) -> String {
    match name {
        BedName::Bin(bin) => format!("bin {bin}"),
        BedName::Bed(name) => lot(name),
        BedName::Found { .. } => "found".to_owned(),
    }
}

#[test]
fn a_draw_is_a_lot_and_a_quantity_however_they_are_parted() {
    for (typed, kept) in [
        ("straw-may 4.5kg", "ref straw-may - 4.5kg"),
        ("straw-may   4.5 kg", "ref straw-may - 4.5kg"),
        ("cast-9:800kg", "ref cast-9 - 800kg"),
        ("cast-9: ~800 kg", "ref cast-9 - ~800kg"),
        ("mix-1 2 scoop", "ref mix-1 - ~700g"),
        ("mix-1 ?", "ref mix-1 - ?"),
        ("sw-3 802", "ref sw-3 - 802"),
        ("p2611507s 4kg", "P26115-07-S - 4kg"),
        ("P26115 O7 S 4 kg", "P26115-07-S - 4kg"),
        ("run-7/1-3 6L", "ref run-7 1-3 6L"),
        ("run-7 #1-3 6L", "ref run-7 1-3 6L"),
        ("run-7/0012 500 mL", "ref run-7 12 500mL"),
        ("P26115-07-S/2–4:6L", "P26115-07-S 2-4 6L"),
        (
            "HTTPS://LOTS.MARLHYTHE.EXAMPLE/P26115-07-S 4kg",
            "P26115-07-S - 4kg",
        ),
    ] {
        let draw = asked(|reader| reader.draw(typed));
        let told = draw.map(|draw| {
            let packs = draw.packs.map_or("-".to_owned(), |range| range.to_string());
            format!("{} {packs} {}", lot(&draw.lot), draw.amount)
        });
        assert_eq!(told, Ok(kept.to_owned()), "{typed}");
    }
}

#[test]
fn what_is_wrong_with_a_draw_is_told_by_its_part() {
    let told = |typed: &str| asked(|reader| reader.draw(typed)).map_err(|error| error.to_string());
    for (typed, part) in [
        ("straw-may", "has no quantity"),
        ("straw-may 2,5kg", "has a comma"),
        ("straw-may 3 buckets", "the unit `buckets`"),
        ("P26115-07-X 4kg", "has a slip in it"),
        ("Straw 4kg", "is not a lot code"),
        ("run-7/3-1 6L", "runs backwards"),
        ("run-7/0 6L", "is not a pack's serial"),
        ("run-7/1-4294967295 6L", "is not a whole number from 1 to"),
    ] {
        let told = told(typed);
        assert!(
            told.as_ref().is_err_and(|told| told.contains(part)),
            "{typed}: {told:?}"
        );
    }
}

#[test]
fn a_bed_is_its_bin_or_its_code_or_its_ref() {
    for (typed, kept) in [
        ("A07", "bin A07"),
        ("a07", "bin A07"),
        ("B99", "bin B99"),
        ("c3", "ref c3"),
        ("C3", "bin C3"),
        ("nobody", "ref nobody"),
        ("b20260401", "ref b20260401"),
        ("P26115-07-S", "P26115-07-S"),
        ("p26115 07 s", "P26115-07-S"),
        ("HTTP://192.168.1.20:8080/BIN/A07", "bin A07"),
    ] {
        let told = asked(|reader| reader.bed(typed)).map(|name| bed(&name));
        assert_eq!(told, Ok(kept.to_owned()), "{typed}");
    }
    for typed in ["A 07", "", "ÄÖ", "P26115-07-X", "b26115-07-x"] {
        assert!(asked(|reader| reader.bed(typed)).is_err(), "{typed}");
    }
}

#[test]
fn a_bed_is_sieved_with_an_amount_or_without() {
    for (typed, kept) in [
        ("A07", "bin A07 -"),
        ("A07 5.28kg", "bin A07 5.28kg"),
        ("a07:~5 kg", "bin A07 ~5kg"),
        ("P26115 07 S", "P26115-07-S -"),
        ("P26115 07 S 4 kg", "P26115-07-S 4kg"),
    ] {
        let told = asked(|reader| reader.sieved(typed)).map(|sieved| {
            let amount = sieved
                .amount
                .map_or("-".to_owned(), |amount| amount.to_string());
            format!("{} {amount}", bed(&sieved.bed))
        });
        assert_eq!(told, Ok(kept.to_owned()), "{typed}");
    }
}

#[test]
fn packs_are_picked_by_serial_by_number_or_all() {
    for (typed, kept) in [
        ("run-7 #1-12", "ref run-7 #1-12"),
        ("run-8#5", "ref run-8 #5"),
        ("tub-3 x31", "ref tub-3 x31"),
        ("tub-3 X31", "ref tub-3 x31"),
        ("run-9 all", "ref run-9 all"),
        ("run-9 ALL", "ref run-9 all"),
        ("run-7/12", "ref run-7 #12"),
        ("P26115-07-S/0012", "P26115-07-S #12"),
        ("p26115 07 s x3", "P26115-07-S x3"),
        ("P26115-07-S/3-10", "P26115-07-S #3-10"),
        (
            "https://lots.marlhythe.example/P26115-07-S?0012",
            "P26115-07-S #12",
        ),
        (
            "P26115-07-S/0012 Worm-worked compost 20 L, packed 2026-04-25",
            "P26115-07-S #12",
        ),
    ] {
        let told = asked(|reader| reader.pick(typed));
        let told = told.map(|pick| format!("{} {}", lot(&pick.run), pick.which));
        assert_eq!(told, Ok(kept.to_owned()), "{typed}");
    }
    for typed in [
        "run-7",
        "run-7 x0",
        "run-7 #0",
        "run-7 #4-2",
        "run-7 x9999999",
        "",
        "#",
        "x",
        " all",
    ] {
        assert!(asked(|reader| reader.pick(typed)).is_err(), "{typed}");
    }
}

#[test]
fn a_pack_is_a_run_with_its_serial_or_without() {
    for (typed, kept) in [
        ("run-38 #2", "ref run-38 Some(Serial(2))"),
        ("run-38", "ref run-38 None"),
        ("p26115-07-s/0012", "P26115-07-S Some(Serial(12))"),
    ] {
        let told = asked(|reader| reader.pack(typed));
        let told = told.map(|pack| format!("{} {:?}", lot(&pack.run), pack.serial));
        assert_eq!(told, Ok(kept.to_owned()), "{typed}");
    }
}
