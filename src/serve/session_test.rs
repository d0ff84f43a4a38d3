//! Tests of phones that are signed in: for how long, after a restart, with a new PIN, and after a file was cut off.

use super::*;

/// A farm's folder, and one worker's PIN.
struct Shed {
    _farm: tempfile::TempDir,
    phones: Phones,
    pins: Pins,
    by: Initials,
    hash: PinHash,
}

fn shed() -> Shed {
    let farm = tempfile::tempdir().unwrap();
    let phones = Phones::of(farm.path());
    let (by, hash): (Initials, _) = ("MV".parse().unwrap(), PinHash::decoy().unwrap());
    let mut pins = Pins::default();
    pins.set(by.clone(), hash.clone());
    Shed {
        _farm: farm,
        phones,
        pins,
        by,
        hash,
    }
}

fn day(days: i64) -> Timestamp {
    let start: Timestamp = "2026-10-31T12:00:00Z".parse().unwrap();
    start + SignedDuration::from_hours(24 * days)
}

#[test]
fn a_restart_signs_nobody_out_and_the_file_holds_no_cookie() {
    let shed = shed();
    let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
    let cookie = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
    let other = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
    sessions.sign_out(&other).unwrap();
    for days in [0, 2] {
        let mut sessions = Sessions::open(&shed.phones, day(days)).unwrap();
        assert_eq!(
            sessions.who(&cookie, &shed.pins, day(days)),
            Some(shed.by.clone())
        );
        assert_eq!(sessions.who(&other, &shed.pins, day(days)), None);
    }
    let kept = String::from_utf8(shed.phones.read(FILE).unwrap().unwrap()).unwrap();
    assert!(kept.contains("MV") && !kept.contains(&cookie) && !kept.contains(&cookie[..16]));
    assert_eq!(
        Sessions::open(&shed.phones, day(2)).unwrap().phones.len(),
        1
    );
}

#[test]
fn it_ends_unused_after_three_days_and_used_after_fourteen() {
    let shed = shed();
    let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
    let unused = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
    assert_eq!(sessions.who(&unused, &shed.pins, day(3)), None);
    let used = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
    for days in [2, 4, 6, 8, 10, 12, 13] {
        assert!(
            sessions.who(&used, &shed.pins, day(days)).is_some(),
            "{days}"
        );
    }
    assert_eq!(sessions.who(&used, &shed.pins, day(14)), None);
    let mut again = Sessions::open(&shed.phones, day(13)).unwrap();
    assert!(again.who(&used, &shed.pins, day(13)).is_some());
    assert_eq!(again.phones.len(), 1);
}

#[test]
fn a_new_pin_signs_the_worker_out_everywhere_and_so_does_none() {
    let shed = shed();
    let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
    let cookie = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
    let mut pins = shed.pins.clone();
    pins.set(shed.by.clone(), PinHash::decoy().unwrap());
    assert_eq!(sessions.who(&cookie, &pins, day(0)), None);
    assert_eq!(sessions.who(&cookie, &Pins::default(), day(0)), None);
    assert!(sessions.who(&cookie, &shed.pins, day(0)).is_some());
}

#[test]
fn made_up_cookies_sign_nobody_in() {
    let shed = shed();
    let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
    let cookie = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
    let kept = kept_of(&cookie);
    for made_up in [
        "",
        "MV",
        &kept,
        &cookie[1..],
        &"0".repeat(64),
        &cookie.to_uppercase(),
    ] {
        if made_up != cookie {
            assert_eq!(sessions.who(made_up, &shed.pins, day(0)), None, "{made_up}");
        }
    }
}

#[test]
fn a_worker_has_so_many_phones_and_the_first_of_them_goes() {
    let shed = shed();
    let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
    let first = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
    for _ in 0..MOST_OF_A_WORKER {
        sessions.sign_in(&shed.by, &shed.hash, day(1)).unwrap();
    }
    assert_eq!(sessions.who(&first, &shed.pins, day(1)), None);
    assert_eq!(sessions.phones.len(), MOST_OF_A_WORKER);
}

#[test]
fn a_file_cut_off_anywhere_is_read_up_to_its_last_whole_line() {
    let shed = shed();
    let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
    let cookie = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
    let first = shed.phones.read(FILE).unwrap().unwrap();
    let other = sessions.sign_in(&shed.by, &shed.hash, day(0)).unwrap();
    let whole = shed.phones.read(FILE).unwrap().unwrap();
    for cut in 0..=whole.len() {
        shed.phones.replace(FILE, &whole[..cut]).unwrap();
        let mut sessions = Sessions::open(&shed.phones, day(0)).unwrap();
        let mut is_in = |cookie: &str| sessions.who(cookie, &shed.pins, day(0)).is_some();
        assert_eq!(is_in(&cookie), cut >= first.len(), "cut at {cut}");
        assert_eq!(is_in(&other), cut == whole.len(), "cut at {cut}");
    }
}

#[test]
fn a_spoilt_line_is_told_and_not_passed_over() {
    let shed = shed();
    shed.phones
        .replace(FILE, b"{\"out\":{\"phone\":\"0\"}}\n{\"uot\":{}}\n")
        .unwrap();
    let error = Sessions::open(&shed.phones, day(0)).unwrap_err();
    assert!(
        matches!(error, PhonesError::Damaged { line: 2, .. }),
        "{error}"
    );
}
