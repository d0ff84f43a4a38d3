//! Selling, bringing back, dispatch notes and stock end to end: what the seller reads, and what is refused.

use insta::assert_snapshot;

use super::dsl::{DEMO_END, TestFarm, refused};
use super::packing::shop;

#[test]
fn sell_tells_what_went_and_where_older_packs_stand() {
    let farm = shop();
    farm.did(
        "2026-04-07",
        "pack bag5 4 --from cast-2:12kg bags-1 --ref run-2",
    );
    farm.did(
        "2026-04-08",
        "pack tub50 3 --from worms-2 tubs-1 --ref tubs-7",
    );
    assert_snapshot!(farm.on("2026-04-09", "sell run-2/1-2 run-2 x1 --to 'a nursery'"), @"
    entry 22
    3 packs sold to a nursery, 2026-04-09
                                             best by     in store
      run-2 #1-2 x1  Worm-worked compost 5L  2027-04-07         1  P26097-01-V
    --- stderr ---
    warning: 1 older pack stands in store still: run-1, filled 2026-04-03, before P26097-01-V
    ");
    assert_snapshot!(farm.on("2026-04-10", "sell bag5 x2 --market 'Quay market'"), @"
    entry 23
    2 packs sold at Quay market, 2026-04-10
                                        best by     in store
      run-1 x1  Worm-worked compost 5L  2027-04-03         0  P26093-01-Q
      run-2 x1  Worm-worked compost 5L  2027-04-07         0  P26097-01-V
    ");
    assert_snapshot!(farm.on("2026-05-10", "sell tubs-7 x1 --market 'Quay market'"), @"
    entry 24
    1 pack sold at Quay market, 2026-05-10
                                             best by     in store
      tubs-7 x1  Dendrobaena bait worms, 50  2026-04-22         2  P26098-01-N
    --- stderr ---
    warning: P26098-01-N was best by 2026-04-22, 18 days before it was sold
    ");
    assert_snapshot!(refused(&farm, "2026-05-11", "sell tub50 x1 --market 'Quay market'"), @"
    --- stderr ---
    error: of 1 asked for, no packs of `tub50` can be picked on 2026-05-11; what is held, recalled or past its best by is left out
    hint: see what stands in store with `castlot stock`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-05-11", "sell bag5 '#1' --market 'Quay market'"), @"
    --- stderr ---
    error: `bag5` is a product; of a product only a number can be sold, oldest first
    hint: say how many, as in `bag5 x3`, or name the run and its packs
    --- exit 2 ---
    ");
}

#[test]
fn a_complained_pack_is_not_sold_again_until_it_is_put_back() {
    let farm = shop();
    farm.did(
        "2026-04-20",
        "return run-1/1 --complained --buyer 'a nursery'",
    );
    assert_snapshot!(refused(&farm, "2026-04-21", "sell run-1/1 --to 'a school'"), @"
    --- stderr ---
    error: P26093-01-Q/0001 came back with a complaint and is kept apart
    hint: if it was looked at and is good, put it back: `castlot return P26093-01-Q/0001`
    hint: if it has to be sold, say why, as in `--despite WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-04-21", "stock"), @"
    1 pack in store, oldest first

    bag5: Worm-worked compost
             age  made  sold  back  apart  store
      run-1   18     2     1     1      1      1  P26093-01-Q

    What is left, oldest first (~ rests on a guess, ? nobody knows)

    Deliveries
                 made  used  left
      straw-1    50kg  33kg  17kg  G26060-01-N
      worms-1     5kg   3kg   2kg  G26060-02-L
      manure-1  100kg  10kg  90kg  G26060-03-J
      bags-1       50          50  G26095-01-9
      tubs-1       20          20  G26095-02-7
      worms-2     2kg         2kg  G26095-03-5

    Castings
              made   used  left
      cast-1   6kg  5.9kg  100g  H26091-01-7
      cast-2  30kg         30kg  H26096-01-4

    Worms
             made  left
      worms   2kg   2kg  H26091-02-5

    Feed
             made  left
      mix-1  11kg  11kg  H26062-01-A
    ");
    farm.did("2026-04-22", "return run-1/1");
    assert_snapshot!(farm.on("2026-04-23", "sell run-1/1 --to 'a school'"), @"
    entry 22
    1 pack sold to a school, 2026-04-23
                                        best by     in store
      run-1 #1  Worm-worked compost 5L  2027-04-03         1  P26093-01-Q
    ");
}

#[test]
fn a_dispatch_note_is_written_for_a_buyer_and_a_day() {
    let farm = TestFarm::demo();
    assert_snapshot!(farm.on(DEMO_END, "paper dispatch-note --buyer 'school garden' --day 2026-09-03"), @"dispatch-2026-09-03-3166.pdf");
    assert_snapshot!(farm.on(DEMO_END, "paper dispatch-note --market 'Quay market' --out stall.pdf"), @"stall.pdf");
    assert_snapshot!(farm.on(DEMO_END, "paper dispatch-note --buyer a"), @"
    --- stderr ---
    error: `a` stands in more than one name: `a bait shop on the sea wall`, `a community orchard up the valley`, `a houseplant shop in the arcade`, `a nursery at the ferry landing`, `a pot-plant grower under glass`, `a school garden on the hill`, `a tackle hut by the lock`, and `an allotment society behind the chapel`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "paper dispatch-note --buyer nobody"), @"
    --- stderr ---
    error: nothing was sold to or at `nobody`
    hint: find the sales with `castlot log`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "paper dispatch-note --market 'Quay market' --day 2026-09-04"), @"
    --- stderr ---
    error: nothing was sold to or at `Quay market` on 2026-09-04
    hint: the last was on 2026-10-31: say `--day 2026-10-31`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on(DEMO_END, "paper dispatch-note --entry 1"), @"
    --- stderr ---
    error: entry 1 is no sale that stands
    hint: find the sales with `castlot log`
    --- exit 2 ---
    ");
    let pdf = std::fs::read(farm.path("stall.pdf")).expect("it was written");
    assert!(pdf.starts_with(b"%PDF-"));
    farm.did(
        DEMO_END,
        "paper dispatch-note --market 'Quay market' --out again.pdf",
    );
    assert!(std::fs::read(farm.path("again.pdf")).expect("it was written") == pdf);
}

#[test]
fn a_pack_is_labelled_when_it_has_a_good_label_of_every_template_printed() {
    let farm = shop();
    farm.did("2026-04-07", "pack bag20 4 --from cast-2:20kg --ref run-2");
    let labelled = |when: &str| {
        let json: serde_json::Value =
            serde_json::from_str(&farm.on(when, "stock --json")).expect("it is JSON");
        json["runs"][1]["labelled"].clone()
    };
    let print = |when: &str, packs: &str, template: &str, printed: u32, spoiled: u32| {
        let row = format!(
            "record print --packs 'run-2 {packs}' --template {template} --printer bench --printed {printed} \
             --spoiled {spoiled} --digest none"
        );
        farm.did(when, &row);
    };
    assert_eq!(labelled("2026-04-08"), serde_json::Value::Null);
    print("2026-04-08", "#1-4", "bag-front", 4, 1);
    assert_eq!(labelled("2026-04-08T10:00"), 3);
    print("2026-04-08T11:00", "#2", "bag-front", 1, 0);
    assert_eq!(labelled("2026-04-08T12:00"), 4);
    // The back has its labels on two packs only; one of them was printed twice.
    print("2026-04-08T13:00", "#1-2", "bag-back", 2, 0);
    print("2026-04-08T14:00", "#1", "bag-back", 1, 0);
    assert_eq!(labelled("2026-04-08T15:00"), 2);
}
