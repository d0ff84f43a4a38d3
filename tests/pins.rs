//! PINs of the workers: given, refused, taken away, and what of them is kept.

use insta::assert_snapshot;

use crate::dsl::TestFarm;

const DAY: &str = "2026-10-31";

#[test]
fn a_pin_is_given_listed_changed_and_taken_away() {
    let farm = TestFarm::new();
    assert_snapshot!(farm.on(DAY, "pin --list"), @"
    --- stderr ---
    nobody has a PIN; give one with `castlot pin INITIALS`
    ");
    assert_snapshot!(farm.typed(DAY, "pin MV", "407193\n"), @"MV has a PIN");
    assert_snapshot!(farm.typed(DAY, "pin RB --json", "580264"), @r#"
    {
      "pins": [
        "MV",
        "RB"
      ]
    }
    "#);
    assert_snapshot!(farm.typed(DAY, "pin mv", "407194\r\n"), @"mv has a new PIN, and is signed out on every phone");
    assert_snapshot!(farm.on(DAY, "pin --list"), @"
    mv
    RB
    ");
    assert_snapshot!(farm.on(DAY, "pin MV --forget"), @"MV has no PIN any more, and is signed out on every phone");
    assert_snapshot!(farm.on(DAY, "pin MV --forget"), @"
    --- stderr ---
    error: MV has no PIN
    hint: see who has one with `castlot pin --list`
    --- exit 2 ---
    ");
    assert_eq!(farm.inside("phones"), ["pins.lock", "pins.toml"]);
    let kept = std::fs::read_to_string(farm.path("phones/pins.toml")).expect("it was written");
    assert!(
        kept.contains("RB = \"$argon2id$v=19$m=19456,t=2,p=1$"),
        "{kept}"
    );
    assert!(!kept.contains("580264") && !kept.to_uppercase().contains("MV"));
}

#[test]
fn a_pin_that_people_try_first_is_refused_and_never_repeated() {
    let farm = TestFarm::new();
    let mut told = String::new();
    for pin in ["12345", "123456", "111111", "250426", "12a456", ""] {
        let said = farm.typed(DAY, "pin MV", pin);
        assert!(pin.is_empty() || !said.contains(pin), "{said}");
        assert!(said.ends_with("--- exit 2 ---\n"), "{said}");
        told.extend(
            said.lines()
                .filter(|line| !line.starts_with("---"))
                .map(|line| format!("{line}\n")),
        );
    }
    assert_snapshot!(told, @"
    error: a PIN has 6 to 12 digits, and this one has 5
    error: this PIN counts up or down, and is one of the first that people try
    error: this PIN says the same over and over, and is one of the first that people try
    error: this PIN reads as a date, and days that matter to you are among the first that people try
    error: a PIN is made of the digits 0 to 9 alone
    error: no PIN came
    hint: give the command at a terminal, and type the PIN when it asks
    ");
    assert!(!farm.path("phones").exists());
}

#[test]
fn a_pin_is_for_a_worker_of_a_farm() {
    let farm = TestFarm::new();
    assert_snapshot!(farm.typed(DAY, "pin '<b>'", "407193"), @"
    --- stderr ---
    error: invalid value '<b>' for '[WORKER]': initials have letters, digits, spaces, `.`, `'` and `-`; `<` is none of them

    For more information, try '--help'.
    --- exit 2 ---
    ");
    assert_snapshot!(TestFarm::nowhere().typed(DAY, "pin MV", "407193"), @"
    --- stderr ---
    error: there is no `./castlot.toml`, which says who the farm is
    hint: start a farm with `castlot new DIR`, or name its folder with `--farm DIR` (tried `.`)
    --- exit 2 ---
    ");
    farm.put("phones/pins.toml", "MV = 407193\n");
    assert_snapshot!(farm.typed(DAY, "pin MV", "407193"), @"
    --- stderr ---
    error: `./phones/pins.toml` is not as castlot wrote it
    hint: move the file away, and give each worker a PIN anew with `castlot pin INITIALS`
    --- exit 2 ---
    ");
}

#[test]
fn initials_that_are_forgotten_are_told_of_where_they_still_stand_beside_a_pin() {
    let farm = TestFarm::with(&["2026-10-30 record bin --bin A01 --place R1/S1/P1 --by MV"]);
    farm.typed(DAY, "pin MV", "407193");
    assert_snapshot!(farm.on(DAY, "forget MV"), @"
    it stands as forgotten-1 from now on
    --- stderr ---
    note: MV still has a PIN, in whose file these initials stand; `castlot pin MV --forget`
    ");
    farm.did(DAY, "pin MV --forget");
    assert!(!farm.on(DAY, "log").contains("MV"));
}
