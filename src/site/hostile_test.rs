//! What was typed to do harm: it stands on pages as it was typed, and changes nothing about their markup.

use std::collections::BTreeSet;

use crate::farm::{
    BatchKind, BinFacts, Clears, Draft, Event, Farm, HoldStep, PackKind, QrForm, RecallStep,
    Settings,
};

use super::fixture::settings;
use super::makings::{PARTS, at, bed, delivery, draft, feed, hold, more, pack, recall, said};
use super::makings::{sale, sieving, test};
use super::tests::{Pages, pages_with};
use super::well_formed;

const HOSTILE: &str = "x\"'><script>alert(1)</script><img src=x onerror=alert(2)>&lt;{{7*7}}--></title></style>\u{202e}evil";

/// Puts words into every field of an event that takes free text and that a page could show.
fn with_words(event: Event<crate::farm::Typed>, words: &str) -> Event<crate::farm::Typed> {
    let some = || Some(words.into());
    let mut event = event;
    match &mut event {
        Event::Delivery { facts, .. } => {
            facts.name = words.into();
            facts.supplier = said("Zebedee");
            facts.species = facts.species.is_some().then(|| words.into());
            facts.animal = facts.animal.is_some().then(|| words.into());
            // Names beside them would keep them off the page.
            (facts.origin, facts.hay_from) = (None, None);
            facts.said_by = None;
            (facts.supplier_lot, facts.certificate, facts.wormer) = (some(), some(), some());
            facts.kept_sample = some();
        }
        Event::Bed { species, .. } => *species = some(),
        Event::Test { facts, .. } => {
            facts.test = words.into();
            facts.value = words.into();
            (facts.unit, facts.result, facts.method) = (some(), some(), some());
            facts.lab = None;
        }
        Event::Pack { product, .. } => product.name = words.into(),
        Event::Bin { facts, .. } => {
            **facts = BinFacts {
                species: some(),
                ..BinFacts::default()
            }
        }
        Event::Sale { to, .. } => {
            (to.buyer, to.contact) = (Some(said(words)), Some(said(words)));
            to.document = some();
        }
        Event::Hold { reason, .. } => *reason = said(words),
        Event::Recall { why, .. } => *why = Some(said(words)),
        _ => {}
    }
    event
}

fn farm(words: &str) -> Farm {
    use crate::farm::DeliveryKind::{Bedding, Feedstock, Manure, Worms};
    let bin = Event::Bin {
        bin: "A01".parse().unwrap(),
        place: "R1/S1/P1".parse().unwrap(),
        facts: Box::default(),
    };
    let cast = sieving(
        BatchKind::Castings,
        &[("bed-1", "4kg")],
        Clears::Named(Vec::new()),
        "cast",
    );
    let taken = sieving(
        BatchKind::Worms,
        &[("bed-1", "300g")],
        Clears::Named(Vec::new()),
        "sw",
    );
    let events = vec![
        (1, bin),
        (1, delivery(Manure, "40kg", "manure")),
        (1, delivery(Bedding, "30kg", "straw")),
        (1, delivery(Feedstock, "30kg", "greens")),
        (1, delivery(Worms, "3kg", "worms")),
        (2, bed("A01", "straw 4kg; worms 1kg", "bed-1")),
        (3, feed("bed-1", "manure 3kg; greens 1kg")),
        (20, cast),
        (20, taken),
        (20, test("cast")),
        (21, pack(PackKind::Bag, 4, "cast 3kg", "run")),
        (21, pack(PackKind::Tub, 2, "sw 200g; straw 1kg", "tubs")),
        (22, sale("run", (1, 2))),
        (23, hold("bed-1", PARTS)),
        (23, hold("bed-1", HoldStep::Release)),
        (24, hold("sw", PARTS)),
        (25, recall(RecallStep::Open, "run", Some((1, 2)))),
    ];
    let drafts = events.into_iter().map(|(day, event)| Draft {
        note: Some(said(words)),
        ..draft(at(day, 9), with_words(event, words))
    });
    more(&Farm::default(), drafts.collect())
}

fn farms_settings(words: &str) -> Settings {
    let mut own = settings(QrForm::Gs1);
    own.name = words.to_owned();
    own.address = vec![words.to_owned()];
    own.phone = Some(format!("javascript:{words} 01632 960123"));
    own.wording.using = Some(words.to_owned());
    own.wording.keeping = Some(words.to_owned());
    own.wording
        .cautions
        .insert("gloves".to_owned(), words.to_owned());
    let every = crate::farm::PublicFact::ALL.iter().copied();
    own.public = crate::farm::Public::of(every).unwrap();
    own
}

fn pages(words: &str) -> Pages {
    pages_with(&farm(words), &farms_settings(words))
}

/// Returns every tag with the name of each of its attributes; the page is well formed.
fn markup(pages: &Pages) -> BTreeSet<String> {
    let mut found = BTreeSet::new();
    for text in pages.values() {
        for tag in text.split('<').skip(1) {
            let name = tag.split([' ', '\n', '>']).next().unwrap_or_default();
            found.insert(name.to_owned());
            // Outside quotes, which hold no `<` and no `>`.
            let inside = tag.split('>').next().unwrap_or_default();
            for attribute in inside
                .split('"')
                .step_by(2)
                .filter(|part| part.ends_with('='))
            {
                found.insert(format!("{name} {}", attribute.trim()));
            }
        }
    }
    found
}

#[test]
fn hostile_words_in_every_field_add_no_tag_and_no_attribute_anywhere() {
    let (plain, hostile) = (pages("words"), pages(HOSTILE));
    assert_eq!(
        plain.keys().collect::<Vec<_>>(),
        hostile.keys().collect::<Vec<_>>()
    );
    let mut shown = 0;
    for (path, text) in &hostile {
        well_formed::check(text).unwrap_or_else(|wrong| panic!("{path}: {wrong}"));
        assert!(!text.contains('\u{202e}'), "{path} turns its text round");
        for link in super::tests::attributes(text, "href") {
            assert!(!link.contains("javascript"), "{path}: {link}");
        }
        shown += usize::from(text.contains("&#60;script&#62;alert(1)"));
    }
    assert_eq!(shown, hostile.len(), "the farm's own name stands on each");
    let (before, after) = (markup(&plain), markup(&hostile));
    assert!(
        before.contains("circle") && before.contains("a href=") && before.len() > 60,
        "{before:?}"
    );
    assert_eq!(
        after.difference(&before).collect::<Vec<_>>(),
        Vec::<&String>::new()
    );
}

#[test]
fn hostile_words_are_shown_as_typed_wherever_words_are_shown_at_all() {
    let hostile = pages(HOSTILE);
    let farm = farm(HOSTILE);
    let code = |mark: &str| farm.lot(super::fixture::lot(&farm, mark)).code;
    let page = |mark: &str| &hostile[&format!("{}/index.html", code(mark))];
    let count = |text: &str, what: &str| text.matches(what).count();
    let typed = "&#60;script&#62;alert(1)";
    // The name of the product, a manure, a species, a test, the farm's words.
    assert!(
        count(page("run"), typed) >= 6,
        "{}",
        count(page("run"), typed)
    );
    assert!(page("manure").contains("<h1>X&#34;&#39;&#62;&#60;script&#62;"));
    assert!(page("worms").contains("<h1>Worms, x&#34;&#39;&#62;&#60;script&#62;"));
    let drawn = page("cast").split("<div class=\"way").nth(1);
    let drawn = drawn.expect("a drawing").split("</div></section>").next();
    let drawn = drawn.unwrap_or_default();
    assert!(drawn.contains("&#60;script") && !drawn.contains("<script"));
}
