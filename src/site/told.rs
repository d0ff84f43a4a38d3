//! What pages tell of a lot, tried on a farm with odd names: shares, worms, films, holds and recalls.

use crate::farm::{HoldStep, QrForm, RecallStep};

use super::fixture::{farm, lot, settings};
use super::makings::{PARTS, at, draft, feed, hold, more, recall};
use super::tests::{attributes, page, pages, pages_with, troubled};

#[test]
fn shares_stand_in_per_cent_and_in_words_by_kind() {
    let farm = farm();
    let all = pages(&farm);
    let bag = page(&all, &farm, "mark-of-run");
    // Straw 4 kg, manure 3 kg, greens 1 kg.
    for (what, percent, words) in [
        ("Bedding", "50", "about half"),
        ("Horse &#38; donkey manure", "38", "about two fifths"),
        ("Worm feed", "13", "about a tenth"),
    ] {
        let line = format!("<span class=\"name\">{what}</span> <b>{percent}\u{a0}%</b>");
        assert!(bag.contains(&line) && bag.contains(words), "{line}");
    }
    assert!(bag.contains("March 2026") && bag.contains("By weight as recorded"));
    assert!(!bag.contains("Some was judged by eye"));
}

#[test]
fn the_worms_in_a_tub_and_what_was_only_carried_are_told_apart_from_its_stuff() {
    let farm = farm();
    let all = pages(&farm);
    let tub = page(&all, &farm, "mark-of-tubs");
    let after = |heading: &str| {
        let (_, rest) = tub
            .split_once(heading)
            .unwrap_or_else(|| panic!("no {heading}"));
        rest.split("</section>").next().unwrap_or_default()
    };
    assert!(after("Where the worms came from</h2>").contains("Worms, Eisenia"));
    assert!(after("What they lie in</h2>").contains("Packing bedding"));
    let film = after("What may have touched it</h2>");
    assert!(film.contains("Worm feed") && film.contains("Bedding"));
    assert!(!tub.contains("donkey"), "bed 2 was never fed with it");
    let drawn: Vec<&str> = attributes(tub, "class");
    assert!(
        ["part", "live", "film"]
            .iter()
            .all(|style| drawn.contains(style))
    );
}

#[test]
fn an_amount_nobody_knows_is_said_to_be_unknown_and_no_share_is_shown() {
    let farm = more(
        &farm(),
        vec![draft(at(22, 9), feed("mark-of-bed-2", "mark-of-manure ?"))],
    );
    let all = pages(&farm);
    let bed = page(&all, &farm, "mark-of-bed-2");
    assert!(bed.contains("How much of each is not known"));
    assert!(bed.contains("share unknown") && !bed.contains("\u{a0}%"));
}

#[test]
fn a_hold_stands_on_what_it_reaches_and_on_nothing_else_until_it_is_released() {
    let held = more(
        &farm(),
        vec![draft(at(25, 9), hold("mark-of-manure", PARTS))],
    );
    let all = pages(&held);
    for mark in [
        "mark-of-manure",
        "mark-of-bed-1",
        "mark-of-cast",
        "mark-of-run",
    ] {
        assert!(page(&all, &held, mark).contains("On hold"), "{mark}");
    }
    for mark in ["mark-of-tubs", "mark-of-straw", "mark-of-bed-2"] {
        let text = page(&all, &held, mark);
        assert!(!text.contains("On hold") && text.contains("No hold or recall is recorded."));
    }
    let free = more(
        &held,
        vec![draft(at(26, 9), hold("mark-of-manure", HoldStep::Release))],
    );
    let all = pages(&free);
    assert!(!page(&all, &free, "mark-of-run").contains("On hold"));
    assert!(page(&all, &free, "mark-of-manure").contains("No hold or recall stands now."));
}

#[test]
fn a_lot_that_was_freed_alone_and_one_that_is_only_flagged_are_told_of() {
    let held = more(
        &farm(),
        vec![draft(at(25, 9), hold("mark-of-manure", PARTS))],
    );
    let free = more(
        &held,
        vec![draft(at(26, 9), hold("mark-of-run", HoldStep::Release))],
    );
    let all = pages(&free);
    assert!(page(&all, &free, "mark-of-run").contains("No hold or recall stands now."));
    assert!(page(&all, &free, "mark-of-cast").contains("On hold"));
    let fed = more(
        &farm(),
        vec![draft(at(25, 9), hold("mark-of-straw", PARTS))],
    );
    let all = pages(&fed);
    let tub = page(&all, &fed, "mark-of-tubs");
    assert!(tub.contains("may have been carried to it") && !tub.contains("id=\"banner\""));
}

#[test]
fn a_recall_of_some_packs_lists_them_and_spares_the_others() {
    let farm = troubled();
    let all = pages_with(&farm, &settings(QrForm::Gs1));
    let run = page(&all, &farm, "mark-of-run");
    assert!(run.contains("Some packs are recalled") && run.contains("0003 to 0005"));
    let code = farm.lot(lot(&farm, "mark-of-run")).code;
    let pack = |serial: &str| &all[&format!("01/09520123456788/10/{code}/21/{serial}/index.html")];
    assert!(pack("0003").contains("<h2 id=\"banner\">Recalled</h2>"));
    assert!(!pack("0006").contains("id=\"banner\"") && pack("0006").contains("not among them"));
    assert!(all["index.html"].contains(&format!("{code}</a>")));
    assert!(!page(&all, &farm, "mark-of-cast").contains("Recalled"));
}

#[test]
fn a_recall_reaches_every_run_it_is_part_of_and_is_told_of_after_it_is_closed() {
    let open = more(
        &farm(),
        vec![draft(
            at(25, 9),
            recall(RecallStep::Open, "mark-of-straw", None),
        )],
    );
    let all = pages(&open);
    assert!(page(&all, &open, "mark-of-run").contains("Recalled since 25\u{a0}March 2026"));
    assert!(
        !page(&all, &open, "mark-of-tubs").contains("Recalled"),
        "only carried into the tubs"
    );
    let closed = recall(RecallStep::Close, "mark-of-straw", None);
    let shut = more(&open, vec![draft(at(29, 9), closed)]);
    let all = pages(&shut);
    let run = page(&all, &shut, "mark-of-run");
    assert!(!run.contains("id=\"banner\"") && run.contains("closed on 29\u{a0}March 2026"));
}

#[test]
fn a_page_says_how_to_use_it_and_what_to_heed_in_the_farms_words() {
    let farm = farm();
    let mut own = settings(QrForm::Web);
    own.wording.using = Some("Dig it in & water.".to_owned());
    own.wording.keeping = Some(String::new());
    for (key, words) in [("gloves", "Gloves on."), ("hands", "")] {
        own.wording
            .cautions
            .insert(key.to_owned(), words.to_owned());
    }
    let usual = pages(&farm);
    let said = pages_with(&farm, &own);
    let (before, after) = (
        page(&usual, &farm, "mark-of-run"),
        page(&said, &farm, "mark-of-run"),
    );
    assert!(before.contains("Mix one part into four") && !after.contains("Mix one part"));
    assert!(after.contains("<p>Dig it in &#38; water.</p></section>"));
    assert!(!after.contains("Keep under cover"));
    assert!(before.contains("Wear gloves, and do not eat") && !after.contains("Wear gloves"));
    assert!(after.contains("<li>Gloves on.</li>"));
    assert!(before.contains("Wash your hands") && !after.contains("Wash your hands"));
    // A lot that is no pack has the words that are for all.
    let straw = page(&said, &farm, "mark-of-straw");
    assert!(straw.contains("<li>Gloves on.</li>") && !straw.contains("Wash your hands"));
}
