//! What stands on pages as the farm's list says, fact by fact; which holds are shown; and that no page grows large.

use crate::farm::{
    BatchKind, Clears, DeliveryKind, Event, Farm, HoldStep, Moment, PackKind, Public, PublicFact,
    QrForm, RecallStep, SerialRange, Settings,
};

use super::fixture::{farm, lot, settings};
use super::makings::{PARTS, at, bed, delivery, draft, feed, hold, more, pack, recall, said};
use super::makings::{sieving, test};
use super::tests::{Pages, page, pages, pages_with, troubled};

fn showing(facts: &[PublicFact]) -> Settings {
    let mut own = settings(QrForm::Gs1);
    own.public = Public::of(facts.iter().copied()).expect("the list has what it needs");
    own
}

/// Words by which a fact is known on the pages of the tests' farm.
fn signs(farm: &Farm, fact: PublicFact) -> Vec<String> {
    let code = |mark: &str| format!(">{}</a>", farm.lot(lot(farm, mark)).code);
    let said: &[&str] = match fact {
        PublicFact::MadeFrom => &[
            "What it was made from",
            "Made from</h2>",
            "What may have touched it",
        ],
        PublicFact::Shares => &["about two fifths", "38\u{a0}%"],
        PublicFact::Animals => &["donkey"],
        PublicFact::Months => &["<dt>Came in</dt>", "delivery, March 2026"],
        PublicFact::Deliveries => return vec![code("mark-of-manure")],
        PublicFact::Beds => &["Beds it came from"],
        PublicFact::Way => &["<circle", "The way it came"],
        PublicFact::Species => &["fetida"],
        PublicFact::Tests => &["id=\"tests\"", "31 seedlings"],
        PublicFact::BestBy => &["<dt>Best by</dt>"],
        PublicFact::Address => &["Quay&#34; Lane"],
        PublicFact::Phone => &["960123"],
        PublicFact::Amounts => &["<dt>Amount</dt>", "4\u{a0}kg"],
        PublicFact::Places => &["R1/S1/P1", "Beds before", "Bins on it"],
        PublicFact::Runs => &["Packed last"],
    };
    said.iter().map(|said| (*said).to_owned()).collect()
}

fn stands(pages: &Pages, sign: &str) -> bool {
    pages.values().any(|text| text.contains(sign))
}

#[test]
fn a_fact_stands_on_some_page_where_it_is_listed_and_on_none_where_it_is_not() {
    let farm = troubled();
    let all = pages_with(&farm, &showing(PublicFact::ALL));
    let none = pages_with(&farm, &showing(&[]));
    assert_eq!(
        all.keys().collect::<Vec<_>>(),
        none.keys().collect::<Vec<_>>()
    );
    for fact in PublicFact::ALL {
        // All but this, and what cannot stand without it.
        let mut others: Vec<PublicFact> = PublicFact::ALL.to_vec();
        others.retain(|other| other != fact && !other.needs().contains(fact));
        others.retain(|other| {
            !other
                .needs()
                .iter()
                .any(|needed| needed.needs().contains(fact))
        });
        let without = pages_with(&farm, &showing(&others));
        for sign in signs(&farm, *fact) {
            assert!(
                stands(&all, &sign),
                "{fact}: {sign} does not stand anywhere"
            );
            assert!(!stands(&without, &sign), "{fact}: {sign} stands");
            assert!(
                !stands(&none, &sign),
                "{fact}: {sign} stands with nothing listed"
            );
        }
    }
}

#[test]
fn pages_that_show_nothing_still_tell_of_recalls_and_holds_and_are_well_formed() {
    let farm = troubled();
    let none = pages_with(&farm, &showing(&[]));
    assert!(page(&none, &farm, "mark-of-run").contains("0003 to 0005"));
    assert!(page(&none, &farm, "mark-of-tubs").contains("On hold"));
    assert!(none["BIN/A01/index.html"].contains("is not shown here"));
    for (path, text) in &none {
        super::well_formed::check(text).unwrap_or_else(|wrong| panic!("{path}: {wrong}"));
    }
}

#[test]
fn a_word_that_names_somebody_beside_it_is_not_shown() {
    let mut named = delivery(DeliveryKind::Manure, "9kg", "named");
    if let Event::Delivery { facts, .. } = &mut named {
        facts.animal = Some("Quill’s horses".into());
    }
    let mut by_whom = test("named");
    if let Event::Test { facts, .. } = &mut by_whom {
        facts.result = Some("good, says Barnaby".into());
    }
    let farm = more(
        &farm(),
        vec![draft(at(23, 9), named), draft(at(24, 9), by_whom)],
    );
    let all = pages_with(&farm, &showing(PublicFact::ALL));
    let text = page(&all, &farm, "named");
    assert!(text.contains("<h1>Manure</h1>") && !text.contains("id=\"tests\""));
    assert!(!stands(&all, "Quill") && !stands(&all, "Barnaby"));
}

fn reasoned(lot: &str, reason: &str) -> Event<crate::farm::Typed> {
    match hold(lot, PARTS) {
        Event::Hold { lot, step, .. } => Event::Hold {
            lot,
            step,
            reason: said(reason),
        },
        other => other,
    }
}

fn bean(result: &str) -> Event<crate::farm::Typed> {
    match test("waits") {
        Event::Test { lot, mut facts } => {
            facts.test = "bean".into();
            facts.value = result.into();
            (facts.unit, facts.result) = (None, None);
            Event::Test { lot, facts }
        }
        other => other,
    }
}

/// A delivery held when it came, for that reason, and used all the same.
fn waiting(reason: &str) -> Farm {
    let came = at(23, 9);
    more(
        &farm(),
        vec![
            draft(came, delivery(DeliveryKind::Manure, "9kg", "waits")),
            draft(came, reasoned("waits", reason)),
        ],
    )
}

#[test]
fn a_hold_that_waits_for_the_test_of_its_kind_is_not_shown_and_one_for_a_reason_is() {
    let routine = waiting("until a bean test is recorded, due 2026-04-13");
    let text = page(&pages(&routine), &routine, "waits").to_owned();
    assert!(!text.contains("On hold") && text.contains("No hold or recall is recorded."));
    let smelled = waiting("smelled of diesel");
    assert!(page(&pages(&smelled), &smelled, "waits").contains("On hold since 23\u{a0}March 2026"));
    // A later hold of the same lot shows, though the first still waits.
    let both = more(
        &routine,
        vec![draft(at(25, 9), reasoned("waits", "smelled of diesel"))],
    );
    assert!(page(&pages(&both), &both, "waits").contains("On hold since 25\u{a0}March 2026"));
}

#[test]
fn a_routine_hold_that_ends_well_leaves_no_trace_and_one_that_fails_stands_from_that_day() {
    let routine = waiting("until a bean test is recorded, due 2026-04-13");
    let passed = more(
        &routine,
        vec![
            draft(at(28, 9), bean("pass")),
            draft(at(28, 9), hold("waits", HoldStep::Release)),
        ],
    );
    let text = page(&pages(&passed), &passed, "waits").to_owned();
    assert!(text.contains("No hold or recall is recorded."), "{text}");
    let failed = more(&routine, vec![draft(at(28, 9), bean("fail"))]);
    let text = page(&pages(&failed), &failed, "waits").to_owned();
    assert!(text.contains("On hold since 28\u{a0}March 2026"), "{text}");
}

#[test]
fn a_run_that_was_weighed_short_is_shown_as_held() {
    let short = more(
        &farm(),
        vec![draft(
            at(25, 9),
            reasoned("mark-of-run", "short fills: mean, 12 packs"),
        )],
    );
    let text = page(&pages(&short), &short, "mark-of-run").to_owned();
    assert!(text.contains("On hold since 25\u{a0}March 2026") && !text.contains("short fills"));
}

#[test]
fn recalled_serials_that_touch_are_one_range() {
    let farm = more(
        &farm(),
        vec![
            draft(
                at(25, 9),
                recall(RecallStep::Open, "mark-of-run", Some((3, 5))),
            ),
            draft(at(26, 9), recall_more((6, 7))),
            draft(at(26, 9), recall_more((10, 10))),
        ],
    );
    let all = pages(&farm);
    assert!(page(&all, &farm, "mark-of-run").contains("0003 to 0007, 0010. The number"));
    assert!(all["index.html"].contains("only 0003 to 0007, 0010"));
}

fn recall_more(serials: (u32, u32)) -> Event<crate::farm::Typed> {
    match recall(RecallStep::Open, "mark-of-run", Some(serials)) {
        Event::Recall {
            step,
            lots,
            packs,
            buyer,
            why,
            ..
        } => Event::Recall {
            recall: format!("recall-{}", serials.0).as_str().into(),
            step,
            lots,
            packs,
            buyer,
            why,
        },
        other => other,
    }
}

#[test]
fn a_list_of_serials_too_long_to_look_through_names_all_between() {
    let serial = |n| crate::farm::Serial::new(n).unwrap();
    let every_other = |count: u32| -> Vec<SerialRange> {
        let odd = (0..count).map(|n| serial(2 * n + 1));
        odd.filter_map(|serial| SerialRange::new(serial, serial))
            .collect()
    };
    let listed = super::banner::numbers(&every_other(1_000));
    assert!(listed.starts_with("0001, 0003, ") && listed.ends_with("1999"));
    let over = super::banner::numbers(&every_other(5_000));
    assert_eq!(over, "take every pack from 0001 to 9999 for one of them");
}

#[test]
fn robots_are_kept_out_until_the_farm_wants_a_sitemap() {
    let farm = farm();
    let texts = |settings: &Settings| -> Vec<(String, String)> {
        let press = super::Press::of(&farm, settings);
        let foot = super::Foot::of(&farm, settings, 1, super::fixture::SEAL).unwrap();
        let printed = press.jobs().into_iter().map(|job| press.print(&job));
        let read = |page: super::Page| {
            let text = String::from_utf8(page.with(&foot)).unwrap();
            (page.path, text)
        };
        printed.flat_map(|pages| pages.unwrap()).map(read).collect()
    };
    let mut own = settings(QrForm::Gs1);
    let off = texts(&own);
    let find = |all: &[(String, String)], path: &str| {
        all.iter()
            .find(|(at, _)| at == path)
            .map(|(_, text)| text.clone())
    };
    assert_eq!(
        find(&off, "robots.txt").as_deref(),
        Some("User-agent: *\nDisallow: /\n")
    );
    assert_eq!(find(&off, "sitemap.xml"), None);
    let html = |all: &[(String, String)]| {
        let pages = all.iter().filter(|(path, _)| path.ends_with(".html"));
        pages
            .filter(|(_, text)| !text.contains("content=\"noindex\""))
            .count()
    };
    assert_eq!(html(&off), 0);
    own.public.sitemap = true;
    let on = texts(&own);
    let map = find(&on, "sitemap.xml").unwrap();
    let run = farm.lot(lot(&farm, "mark-of-run")).code;
    assert!(map.contains(&format!("<loc>https://lots.marlhythe.example/{run}/</loc>")));
    assert!(
        find(&on, "robots.txt")
            .unwrap()
            .contains("Sitemap: https://lots.marlhythe.example/sitemap.xml")
    );
    // The front page and two runs, by their shorter address alone.
    assert_eq!((html(&on), map.matches("<loc>").count()), (3, 3));
}

fn day(n: i64) -> Moment {
    use jiff::ToSpan;
    Moment::day_only(jiff::civil::date(2019, 1, 1).saturating_add(n.days()))
}

fn largest(pages: &Pages) -> (usize, &str) {
    let sizes = pages.iter().map(|(path, text)| (text.len(), path.as_str()));
    sizes.max().unwrap_or_default()
}

/// What a page may weigh at most.
const MOST: usize = 60_000;

#[test]
fn a_lot_of_many_kinds_over_many_months_keeps_its_page_small() {
    let mut drafts = vec![
        draft(day(0), delivery(DeliveryKind::Bedding, "40kg", "straw")),
        draft(day(0), bed("A01", "straw 9kg", "old")),
    ];
    let mut takes = Vec::new();
    for n in 0..18 * 16 * 3 {
        let mark = format!("d{n}");
        let mut came = delivery(DeliveryKind::Manure, "9kg", &mark);
        if let Event::Delivery { facts, .. } = &mut came {
            facts.animal = Some(format!("goats of the {} meadow", n % 18).as_str().into());
        }
        drafts.push(draft(day(i64::from(n / 54) * 30 + 1), came));
        takes.push(format!("{mark} 1kg"));
    }
    drafts.push(draft(day(600), feed("old", &takes.join("; "))));
    let cast = sieving(BatchKind::Castings, &[("old", "90kg")], Clears::All, "cast");
    drafts.push(draft(day(610), cast));
    drafts.push(draft(day(611), pack(PackKind::Bag, 9, "cast 9kg", "run")));
    let farm = more(&Farm::default(), drafts);
    let all = pages_with(&farm, &showing(PublicFact::ALL));
    let (size, path) = largest(&all);
    assert!(size < MOST, "{path}: {size}");
    assert!(page(&all, &farm, "run").contains("more kinds"));
}

#[test]
fn a_bin_with_500_past_beds_and_a_rack_of_400_bins_keep_their_pages_small() {
    let mut drafts = vec![draft(
        day(0),
        delivery(DeliveryKind::Bedding, "4000kg", "straw"),
    )];
    for n in 0..400 {
        let bin = Event::Bin {
            bin: format!("BIN-{n:04}").parse().unwrap(),
            place: format!("R1/S{}/P{}", n / 20, n % 20).parse().unwrap(),
            facts: Box::default(),
        };
        drafts.push(draft(day(0), bin));
        drafts.push(draft(
            day(1),
            bed(&format!("BIN-{n:04}"), "straw 1kg", &format!("bed-{n}")),
        ));
    }
    for n in 0..500 {
        let mark = format!("past-{n}");
        drafts.push(draft(day(2 + n), bed("A01", "straw 1kg", &mark)));
        let cast = sieving(
            BatchKind::Castings,
            &[(&mark, "1kg")],
            Clears::All,
            &format!("c{n}"),
        );
        drafts.push(draft(day(2 + n), cast));
    }
    let farm = more(&Farm::default(), drafts);
    let all = pages_with(&farm, &showing(PublicFact::ALL));
    let (size, path) = largest(&all);
    assert!(size < MOST, "{path}: {size}");
    assert!(all["BIN/A01/index.html"].contains("And 480 earlier."));
    assert!(all["RACK/R1/index.html"].contains("And 250 more."));
}

#[test]
fn a_run_of_2000_packs_of_which_every_other_is_recalled_keeps_its_pages_small() {
    let mut drafts = vec![
        draft(day(0), delivery(DeliveryKind::Bedding, "400kg", "straw")),
        draft(day(0), bed("A01", "straw 90kg", "old")),
        draft(
            day(9),
            sieving(BatchKind::Castings, &[("old", "90kg")], Clears::All, "cast"),
        ),
        draft(day(10), pack(PackKind::Bag, 2_000, "cast 9kg", "run")),
    ];
    let mut event = recall(RecallStep::Open, "run", Some((1, 1)));
    if let Event::Recall { packs, .. } = &mut event {
        let odd = (1..1_000).map(|n| 2 * n + 1);
        let picks = odd.map(|n| match recall(RecallStep::Open, "run", Some((n, n))) {
            Event::Recall { packs, .. } => packs,
            _ => Vec::new(),
        });
        packs.extend(picks.flatten());
    }
    drafts.push(draft(day(20), event));
    let farm = more(&Farm::default(), drafts);
    let all = pages_with(&farm, &showing(PublicFact::ALL));
    assert!(all.len() > 2_000, "{}", all.len());
    let (size, path) = largest(&all);
    assert!(size < MOST, "{path}: {size}");
    let code = farm.lot(lot(&farm, "run")).code;
    let pack = |n| &all[&format!("01/09520123456788/10/{code}/21/{n:04}/index.html")];
    assert!(pack(1_999).contains("<h2 id=\"banner\">Recalled</h2>"));
    assert!(pack(2_000).contains("not among them") && !pack(2_000).contains("id=\"banner\""));
    assert!(page(&all, &farm, "run").contains("1997, 1999. The number"));
}
