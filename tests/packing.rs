//! Packing, reworking and counting end to end: what the packer at the bench reads, and what is refused.

use insta::assert_snapshot;

use super::dsl::{DEMO_END, TestFarm, packed, refused};

/// A farm of two runs of bags, tubs of worms, and a batch with a density.
pub fn shop() -> TestFarm {
    let farm = packed();
    for (day, line) in [
        (
            "2026-04-05",
            "record delivery --kind packing --name '5 L bags' --supplier 'a merchant' --amount 50 --ref bags-1",
        ),
        (
            "2026-04-05",
            "record delivery --kind packing --name 'bait tubs' --supplier 'a merchant' --amount 20 --ref tubs-1",
        ),
        (
            "2026-04-05",
            "record delivery --kind worms --name 'bait worms' --supplier 'a breeder' --amount 2kg --ref worms-2",
        ),
        (
            "2026-04-05",
            "record test --lot worms-2 --test per_kg --value 800",
        ),
        ("2026-04-05", "bed A01 straw-1 20kg"),
        (
            "2026-04-06",
            "sieve A01 --castings 30kg --ref castings=cast-2",
        ),
    ] {
        farm.did(day, line);
    }
    farm
}

#[test]
fn pack_works_out_amounts_and_tells_what_is_left() {
    let farm = shop();
    assert_snapshot!(farm.on("2026-04-07", "pack bag5 4 --from cast-2:12kg bags-1 --ref run-2"), @"
    entry 20: P26097-01-V
    4 bags of Worm-worked compost 5L: run-2 #1-4, best by 2027-04-07
      from              taken  left
      cast-2  castings   12kg  18kg  H26096-01-4
      bags-1  5 L bags      4    46  G26095-01-9
    --- stderr ---
    warning: castings (cast-2) has no density test: nothing tells how many litres its kilograms are
    ");
    // The check stands in the diary as an entry of its own, written in the same step.
    assert_snapshot!(farm.on("2026-04-07T10:00", "pack tub50 3 --from worms-2 tubs-1 --check '50; 51; 49'"), @"
    entry 21: P26097-02-T
    entry 22
    entry 23
    3 tubs of Dendrobaena bait worms, 50: P26097-02-T #1-3, best by 2026-04-21
      from                 taken      left
      worms-2  bait worms  ~187g  ~1.813kg  G26095-03-5
      tubs-1   bait tubs       3        17  G26095-02-7
    --- stderr ---
    warning: Dendrobaena bait worms, 50 (P26097-02-T) does not meet what castlot asks for (1 pack below 50); it is held until it is worked over and weighed again
    ");
    assert_snapshot!(farm.on("2026-04-07T11:00", "log P26097-02-T"), @"
    2026-04-07
      21  11:00    3 tubs of Dendrobaena bait worms 50 packed from worms-2 150,
                   tubs-1 3, best by 2026-04-21: P26097-02-T
      22  11:00    P26097-02-T measured: 50, 51, 49
      23  11:00    P26097-02-T put on hold, with all it is part of: short fills: 1
                   pack below 50, 3 of 3 packs measured
    ");
    assert_snapshot!(refused(&farm, "2026-04-08", "pack bag5 2 --from cast-1 cast-2"), @"
    --- stderr ---
    error: nothing is said of how much of cast-1 and cast-2
    hint: castlot works out an amount where one lot fills the packs; write each, as in `cast-9:40kg`
    --- exit 2 ---
    ");
    assert_snapshot!(refused(&farm, "2026-04-08", "pack bag5 2 --from cast-2 --check '4 apples'"), @"
    --- stderr ---
    error: `4 apples` has the unit `apples`, which is not known; use g, kg, mL, L, none for pieces, or one from [measure]
    --- exit 2 ---
    ");
}

#[test]
fn what_no_permission_answers_for_is_told_with_whom_to_ask() {
    let farm = TestFarm::demo();
    farm.did(DEMO_END, "sieve C11 --castings 10kg --ref castings=own-1");
    assert_snapshot!(farm.on("2026-11-01T10:00", "pack bag5 3 --from own-1:9kg pouches-1"), @"
    entry 4136: P26305-01-5
    3 bags of Worm-worked compost 5L: P26305-01-5 #1-3, best by 2027-11-01
      from                         taken  left
      own-1      castings            9kg   1kg  H26305-01-N
      pouches-1  5 L bags, handle      3    63  G26061-04-9
    --- stderr ---
    warning: castings (own-1) has no density test: nothing tells how many litres its kilograms are
    warning: P26305-01-5 holds kitchen waste, from kitchen peelings (kitchen-1) and kitchen peelings (kitchen-2); before any of it is sold, ask the environment regulator (Environment Agency, Natural Resources Wales, SEPA or NIEA) and the animal health agency (APHA; in Northern Ireland DAERA), and note the answer under [permission.NAME] in castlot.toml
    ");
    assert_snapshot!(farm.on("2026-11-01T11:00", "permissions"), @"
    1 permission

    yard-manure
      covers       manure of named riding yards, through worms, sold in bags
      number       MW-0117
      days         2026-01-15 to 2026-12-20 (ends in 49 days)
      asked        the county's animal health inspector, by letter
      answers for  manure

    permission `yard-manure` (manure of named riding yards, through worms, sold in
    bags) ends on 2026-12-20, in 49 days

    Packs of what no permission answers for on the day they were filled:
      Worm-worked compost 5L, 3 in store, 0 sold: kitchen waste, from kitchen
      peelings (kitchen-1) and kitchen peelings (kitchen-2)

    Whom to ask: the environment regulator (Environment Agency, Natural Resources
    Wales, SEPA or NIEA) and the animal health agency (APHA; in Northern Ireland
    DAERA)

    Of manure that was not heat treated, as far as is known, sources say (copied
    here, and no advice):
      processed manure has been at 70 C for 60 minutes [Regulation 142/2011 Annex XI
      Ch I s 2(b)]
      for sale into the EU it is heated to 70 C for 60 minutes at a plant that has
      approval for it [GOV.UK guidance]

    Of kitchen waste, sources say (copied here, and no advice):
      England's exemption T26 speaks of 6 tonnes of kitchen waste and card in 12
      months [GOV.UK T26]
      T25 and T26 keep farmed animals away from the composting area and from where
      the compost is used [GOV.UK T26]
      a compost site under the animal by-product rules gives 4 clear tests before it
      sells or uses [GOV.UK, APHA]
      the national standard heats catering waste in a closed reactor to 60 C for 2
      days, pieces up to 40 cm [national standard (Wales SI 2006/1293 Sch 1 Pt II)]
      or to 70 C for 1 hour, pieces up to 6 cm [national standard (Wales SI
      2006/1293 Sch 1 Pt II)]
    ");
    let json = farm.on("2026-11-01T11:00", "permissions --json");
    let json: serde_json::Value = serde_json::from_str(&json).expect("it is JSON");
    assert_eq!(json["permissions"][0]["days_left"], 49);
    assert_eq!(
        json["unanswered"][0]["holds"][0]["material"],
        "kitchen waste"
    );
    assert_eq!(
        json["unanswered"][0]["holds"][0]["deliveries"]
            .as_array()
            .map(Vec::len),
        Some(2)
    );
}

#[test]
fn manure_packed_before_a_permission_holds_is_told_of() {
    let farm = packed();
    let settings =
        std::fs::read_to_string(farm.path("castlot.toml")).expect("the farm has settings");
    let line = |farm: &TestFarm| farm.on("2026-04-10", "pack bag5 1 --from cast-1:100g");
    farm.put("castlot.toml", settings.replace("2026-01-15", "2026-04-11"));
    farm.did("2026-03-03", "feed A01 mix-1 1kg");
    assert!(line(&farm).contains(
        "holds manure that was not heat treated, as far as is known, from horse manure (manure-1)"
    ));
    farm.put("castlot.toml", settings.replace("2026-01-15", "2026-04-10"));
    assert!(!line(&farm).contains("permission"));
}

#[test]
fn packs_are_opened_into_a_blend_and_the_trace_goes_on_through_them() {
    let farm = shop();
    assert_snapshot!(farm.on("2026-04-12", "blend castings run-1/2 cast-2 2kg --ref again-1"), @"entry 20: H26102-01-Z");
    assert_snapshot!(farm.on("2026-04-12T10:00", "show run-1"), @"
    Worm-worked compost 5L (run-1): P26093-01-Q
    packed 2026-04-03 10:00, best by 2027-04-03
    2 packs, 1 sold, 1 opened and used again, 0 in store

    2026-04-03
      12  10:00    2 bags of Worm-worked compost 5L packed from cast-1 5.9kg, as
                   run-1, best by 2027-04-03: P26093-01-Q
    2026-04-04
      13  10:00    run-1 #1 sold to a nursery
    2026-04-12
      20  10:00    castings mixed from run-1 #2 ~5L, cast-2 2kg, as again-1:
                   H26102-01-Z
    ");
    assert_snapshot!(farm.on("2026-04-12T10:00", "trace again-1"), @"
    castings (again-1), made 2026-04-12 10:00: H26102-01-Z

    What is in it, by weight as recorded (~ rests on a guess):
      ~100.0%  straw (straw-1)  a farm  G26060-01-N

    Beds it was sieved or drawn from:
      bin  lived                     taken       bed
      A01  2026-03-02 to 2026-04-01  2026-04-01  B26061-01-B
      A02  2026-03-02 to 2026-04-01  2026-04-01  B26061-02-9
      A01  2026-04-05 on             2026-04-06  B26095-01-5

    Carried at most, as a film on worms that were moved, or inside a bag or tub:
      worms (worms-1)

    Who else has packs from these deliveries (out: with buyers):
               runs  packs  out  in store  gone  see all with
      straw-1     1      2    1         0     1  castlot trace G26060-01-N
    ");
    assert_snapshot!(refused(&farm, "2026-04-13", "blend castings run-1/9"), @"
    --- stderr ---
    error: P26093-01-Q has 2 packs; there is no #9
    hint: see what it is with `castlot show P26093-01-Q`
    --- exit 2 ---
    ");
}

#[test]
fn count_sets_what_is_left_with_its_reason() {
    let farm = shop();
    assert_snapshot!(farm.on("2026-04-12", "count cast-2 28.5 kg --why 'dried out'"), @"
    entry 20
    castings (cast-2) counted: 1.5kg less than the diary had
    ");
    assert_snapshot!(farm.on("2026-04-12T10:00", "count run-1 0 --why 'the last one split'"), @"
    entry 21
    Worm-worked compost 5L (run-1) counted: 1 pack less than the diary had
    ");
    assert_snapshot!(farm.on("2026-04-12T11:00", "count bags-1 52 --why 'miscounted at delivery'"), @"
    entry 22
    5 L bags (bags-1) counted: 2 more than the diary had
    ");
    assert_snapshot!(refused(&farm, "2026-04-13", "count run-1/1 1 --why x"), @"
    --- stderr ---
    error: `run-1/1` is one pack; a run is counted whole
    hint: say how many stand in store, as in `castlot count P26093-01-Q 12 --why WHY`
    --- exit 2 ---
    ");
    assert_snapshot!(farm.on("2026-04-13", "stock"), @"
    0 packs in store, oldest first

    and 1 run with none in store

    What is left, oldest first (~ rests on a guess, ? nobody knows)

    Deliveries
                 made  used  lost  left
      straw-1    50kg  33kg        17kg  G26060-01-N
      worms-1     5kg   3kg         2kg  G26060-02-L
      manure-1  100kg  10kg        90kg  G26060-03-J
      bags-1       50          -2    52  G26095-01-9
      tubs-1       20                20  G26095-02-7
      worms-2     2kg               2kg  G26095-03-5

    Castings
              made   used   lost    left
      cast-1   6kg  5.9kg           100g  H26091-01-7
      cast-2  30kg         1.5kg  28.5kg  H26096-01-4

    Worms
             made  left
      worms   2kg   2kg  H26091-02-5

    Feed
             made  left
      mix-1  11kg  11kg  H26062-01-A
    List everything with: castlot stock --all
    ");
}
