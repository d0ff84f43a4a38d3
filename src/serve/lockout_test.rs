//! Tests of the waits and limits of typed PINs: what a guesser gets in a day, and whom a clock that is set back keeps out.

use proptest::prelude::*;

use super::*;

const DAY: i64 = 24 * 60 * 60;

fn start() -> Timestamp {
    "2026-10-31T12:00:00Z".parse().unwrap()
}

fn at(seconds: i64) -> Timestamp {
    start() + SignedDuration::from_secs(seconds)
}

fn address(last: u8) -> IpAddr {
    IpAddr::from([192, 168, 1, last])
}

/// Tries a name once a second and more for a day, and returns how many tries got through.
fn guesses_in_a_day(mut name: impl FnMut(i64) -> String, addresses: u8) -> usize {
    let mut lockout = Lockout::default();
    let tries = (0..DAY).flat_map(|second| [second, second]);
    tries
        .enumerate()
        .filter(|(index, second)| {
            let from = address(u8::try_from(index % usize::from(addresses)).unwrap());
            lockout.ask(&name(*second), from, at(*second)).is_ok()
        })
        .count()
}

#[test]
fn a_day_of_guessing_one_workers_pin_gets_about_a_hundred_tries() {
    // 3 free, 9 with waits of 2 s to 512 s, then one in 900 s: 3 + 9 + (86400 - 1022) / 900.
    let guesses = guesses_in_a_day(|_| "MV".to_owned(), 200);
    assert!((100..=108).contains(&guesses), "{guesses}");
}

#[test]
fn a_day_of_guessing_from_everywhere_at_everybody_keeps_to_the_limit_for_all() {
    let mut n = 0;
    let somebody = |_| {
        n += 1;
        format!("nobody {n}")
    };
    let guesses = guesses_in_a_day(somebody, 200);
    assert!((43_000..=43_260).contains(&guesses), "{guesses}");
    let of_one = guesses_in_a_day(|second| format!("nobody {second}"), 1);
    assert!((17_000..=17_292).contains(&of_one), "{of_one}");
}

#[test]
fn ten_thousand_wrong_pins_at_once_are_three_tries() {
    let mut lockout = Lockout::default();
    let through = (0..10_000)
        .filter(|n| lockout.ask("MV", address((n % 250) as u8), at(0)).is_ok())
        .count();
    assert_eq!(through, 3);
}

#[test]
fn the_wait_doubles_and_a_right_pin_ends_it_but_is_refused_while_it_lasts() {
    let mut lockout = Lockout::default();
    let (mut now, mut waits) = (0, Vec::new());
    for _ in 0..16 {
        assert_eq!(lockout.ask("MV", address(1), at(now)), Ok(()));
        let next = lockout.names["MV"].next;
        let wait = at(now).duration_until(next).as_secs();
        if wait > 0 {
            let early = lockout.ask("MV", address(2), at(now + wait - 1));
            assert_eq!(early, Err(SignedDuration::from_secs(1)));
        }
        waits.push(wait);
        now += wait;
    }
    assert_eq!(
        waits,
        [
            0, 0, 2, 4, 8, 16, 32, 64, 128, 256, 512, 900, 900, 900, 900, 900
        ]
    );
    assert!(
        lockout.ask("RB", address(1), at(now)).is_ok(),
        "another worker does not wait"
    );
    lockout.ask("MV", address(1), at(now)).unwrap();
    lockout.right("MV");
    assert_eq!(lockout.ask("MV", address(1), at(now)), Ok(()));
}

#[test]
fn a_clock_that_was_set_back_locks_nobody_out_for_longer() {
    for back in [DAY / 2, 2 * DAY] {
        let mut lockout = Lockout::default();
        for n in 0..12 {
            lockout
                .ask(&format!("nobody {n}"), address(1), at(DAY))
                .unwrap();
        }
        for _ in 0..3 {
            lockout.ask("MV", address(2), at(DAY)).unwrap();
        }
        let now = DAY - back;
        // A worker's wait is at most the longest; it is forgotten where more than a day is gone, and the limit for all
        // is what is left.
        let wait = if back < DAY {
            LONGEST_WAIT
        } else {
            OF_ALL.every
        };
        assert_eq!(lockout.ask("MV", address(3), at(now)), Err(wait));
        // The limits fill up from now on as they ever did.
        let wait = OF_AN_ADDRESS.every;
        assert_eq!(lockout.ask("RB", address(1), at(now)), Err(wait));
        assert_eq!(lockout.ask("RB", address(1), at(now + 5)), Ok(()));
        let then = now + LONGEST_WAIT.as_secs();
        assert_eq!(lockout.ask("MV", address(3), at(then)), Ok(()));
    }
}

#[test]
fn phones_of_one_household_share_a_limit() {
    let network = |text: &str| network_of(text.parse().unwrap());
    assert_eq!(network("2001:db8::1"), network("2001:db8::ffff:2"));
    assert_ne!(network("2001:db8::1"), network("2001:db8:0:1::1"));
    assert_eq!(network("::ffff:192.168.1.7"), address(7));
}

#[test]
fn names_and_addresses_do_not_fill_the_memory() {
    let mut lockout = Lockout::default();
    for n in 0..20_000_u32 {
        let from = IpAddr::from(n.to_be_bytes());
        let _ = lockout.ask(&n.to_string(), from, at(i64::from(n) * 100));
    }
    assert!(lockout.addresses.len() < 5, "{}", lockout.addresses.len());
    assert!(lockout.names.len() < 900, "{}", lockout.names.len());
}

proptest! {
    /// Whatever is tried, by whomever and when: no worker's PIN is tried before its wait is over.
    #[test]
    fn no_try_comes_before_its_time(tries in prop::collection::vec((0_u8..3, 0_u8..4, 0_i64..400), 1..200)) {
        let mut lockout = Lockout::default();
        let mut seen: HashMap<u8, (u32, i64)> = HashMap::new();
        let mut now = 0;
        for (name, from, later) in tries {
            now += later;
            if lockout.ask(&name.to_string(), address(from), at(now)).is_ok() {
                let (wrong, last) = seen.get(&name).copied().unwrap_or((0, now - DAY));
                prop_assert!(now - last >= wait_after(wrong).as_secs());
                seen.insert(name, (wrong + 1, now));
            }
        }
    }

    /// Known or not, a name is treated alike: what comes of a try depends on the tries alone.
    #[test]
    fn all_names_are_treated_alike(tries in prop::collection::vec(0_i64..400, 1..60)) {
        let (mut one, mut other) = (Lockout::default(), Lockout::default());
        let mut now = 0;
        for later in tries {
            now += later;
            prop_assert_eq!(
                one.ask("MV", address(1), at(now)),
                other.ask("nobody", address(1), at(now))
            );
        }
    }

    #[test]
    fn a_wait_is_never_shorter_than_the_one_before(wrong in 0_u32..u32::MAX) {
        prop_assert!(wait_after(wrong) <= wait_after(wrong + 1));
        prop_assert!(wait_after(wrong) <= LONGEST_WAIT);
    }
}
