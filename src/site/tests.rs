//! What the pages promise, tried on a farm with odd names.

use std::collections::BTreeMap;

use crate::farm::{Amount, DeliveryKind, Farm, LotSort, PackKind, QrForm, RecallStep, Settings};

use super::fixture::{PRIVATE, SEAL, farm, lot, settings};
use super::makings::{PARTS, at, bed, delivery, draft, feed, hold, more, pack, recall, sieving};
use super::{Foot, Press};

pub type Pages = BTreeMap<String, String>;

pub fn pages_with(farm: &Farm, settings: &Settings) -> Pages {
    let press = Press::of(farm, settings);
    let last = u32::try_from(farm.entries().len()).expect("a small farm");
    let foot = Foot::of(farm, settings, last, SEAL).expect("the foot can be filled in");
    let mut pages = Pages::new();
    for job in press.jobs() {
        let printed = press.print(&job).expect("the templates can be filled in");
        let paths: Vec<&String> = printed.iter().map(|page| &page.path).collect();
        assert_eq!(paths, press.paths(&job).iter().collect::<Vec<_>>());
        for page in printed.iter().filter(|page| page.path.ends_with(".html")) {
            let text = String::from_utf8(page.with(&foot)).expect("pages are UTF-8");
            assert!(pages.insert(page.path.clone(), text).is_none());
        }
    }
    pages
}

pub fn pages(farm: &Farm) -> Pages {
    pages_with(farm, &settings(QrForm::Web))
}

pub fn page<'p>(pages: &'p Pages, farm: &Farm, mark: &str) -> &'p str {
    let code = farm.lot(lot(farm, mark)).code;
    &pages[&format!("{code}/index.html")]
}

/// A farm with everything that can stand over a page.
pub fn troubled() -> Farm {
    more(
        &farm(),
        vec![
            draft(at(25, 9), hold("mark-of-bed-2", PARTS)),
            draft(
                at(25, 9),
                recall(RecallStep::Open, "mark-of-run", Some((3, 5))),
            ),
        ],
    )
}

#[test]
fn no_page_names_a_supplier_a_buyer_or_a_worker_or_shows_a_mark_or_a_remark() {
    let all = pages_with(&troubled(), &settings(QrForm::Gs1));
    assert!(all.len() > 20, "{}", all.len());
    for (path, text) in &all {
        for private in PRIVATE {
            assert!(!text.contains(private), "`{private}` stands in {path}");
        }
    }
}

#[test]
fn what_was_typed_is_escaped() {
    let (farm, mut seen) = (troubled(), 0);
    for (path, text) in pages(&farm) {
        for raw in [
            "<script",
            "<b>fetida",
            "<i>test",
            "<Co>",
            "<Sons>",
            "& <",
            "\"Quay\"",
        ] {
            assert!(!text.contains(raw), "`{raw}` stands in {path}");
        }
        seen += usize::from(text.contains("Compost &#38; &#60;Co&#62;"));
    }
    assert!(seen >= 2, "the product's name was shown at all");
}

#[test]
fn every_code_that_a_label_carries_has_its_page() {
    let farm = troubled();
    let all = pages_with(&farm, &settings(QrForm::Gs1));
    for (_, lot) in farm.lots() {
        assert!(all.contains_key(&format!("{}/index.html", lot.code)));
    }
    let run = farm.lot(lot(&farm, "mark-of-run")).code;
    let link = format!("01/09520123456788/10/{run}");
    assert!(all.contains_key(&format!("{link}/index.html")));
    for serial in 1..=12 {
        let path = format!("{link}/21/{serial:04}/index.html");
        assert!(all[&path].contains(&format!("{run}/{serial:04}")));
    }
    assert!(!all.contains_key(&format!("{link}/21/0013/index.html")));
    for path in [
        "BIN/A01/index.html",
        "RACK/R2/index.html",
        "index.html",
        "404.html",
    ] {
        assert!(all.contains_key(path), "{path}");
    }
}

#[test]
fn bins_and_racks_have_no_pages_where_the_shed_answers_for_them() {
    let shed = Settings {
        shed: Some("http://192.168.1.20:8080".into()),
        ..settings(QrForm::Web)
    };
    let all = pages_with(&farm(), &shed);
    assert!(
        !all.keys()
            .any(|path| path.starts_with("BIN/") || path.starts_with("RACK/"))
    );
}

/// Returns what stands in every attribute of that name.
pub fn attributes<'t>(text: &'t str, name: &str) -> Vec<&'t str> {
    let start = format!(" {name}=\"");
    let values = text.split(start.as_str()).skip(1);
    values
        .map(|rest| rest.split('"').next().unwrap_or_default())
        .collect()
}

#[test]
fn every_link_leads_to_a_page_and_nothing_is_fetched_from_anywhere() {
    let all = pages_with(&troubled(), &settings(QrForm::Gs1));
    let mut followed = 0;
    for (path, text) in &all {
        assert!(attributes(text, "src").is_empty() && attributes(text, "style").is_empty());
        assert!(!text.contains("url(") && !text.contains("@import") && !text.contains("<script"));
        let mut from: Vec<&str> = path.split('/').collect();
        from.pop();
        for link in attributes(text, "href") {
            if link.starts_with("tel:") || link == "data:," {
                continue;
            }
            // The page for wrong addresses is shown under any of them: its links begin at the top of the host.
            let (mut to, link) = match link.strip_prefix('/') {
                Some("") => (Vec::new(), "index.html"),
                Some(link) => (Vec::new(), link),
                None => (from.clone(), link),
            };
            assert!(path != "404.html" || to.is_empty());
            for part in link.split('/') {
                match part {
                    ".." => drop(to.pop().expect("no link leads out of the folder")),
                    part => to.push(part),
                }
            }
            assert!(all.contains_key(&to.join("/")), "{link} in {path}");
            followed += 1;
        }
    }
    assert!(followed > 50, "{followed}");
}

#[test]
fn every_page_carries_the_seal_and_says_how_far_the_diary_had_come() {
    for (path, text) in pages_with(&troubled(), &settings(QrForm::Gs1)) {
        assert!(text.replace("&#8203;", "").contains(SEAL), "{path}");
        assert!(
            text.contains("entry 22, written on 1\u{a0}April 2026"),
            "{path}"
        );
    }
}

#[test]
fn the_same_farm_gives_the_same_bytes() {
    let settings = settings(QrForm::Gs1);
    let once = pages_with(&troubled(), &settings);
    assert!(once == pages_with(&troubled(), &settings));
}

#[test]
fn pages_are_well_formed_with_one_heading_and_the_others_in_order() {
    for (path, text) in pages_with(&troubled(), &settings(QrForm::Gs1)) {
        super::well_formed::check(&text).unwrap_or_else(|wrong| panic!("{path}: {wrong}"));
        assert_eq!(text.matches("<h1").count(), 1, "{path}");
        let first = text.find("<h1").zip(text.find("<h2"));
        assert!(first.is_none_or(|(h1, h2)| h1 < h2), "{path}");
        let third = text.find("<h3");
        assert!(
            third.is_none_or(|third| first.is_some_and(|(_, h2)| h2 < third)),
            "{path}"
        );
        assert!(!text.contains("<h4"), "{path}");
        for landmark in ["<header", "<main", "<footer", "<html lang=\"en\">"] {
            assert_eq!(text.matches(landmark).count(), 1, "{path}: {landmark}");
        }
        let mut ids = attributes(&text, "id");
        let count = ids.len();
        ids.sort_unstable();
        ids.dedup();
        assert_eq!(ids.len(), count, "{path}: an id stands twice");
        for label in attributes(&text, "aria-labelledby") {
            assert!(
                label.split(' ').all(|id| ids.contains(&id)),
                "{path}: {label}"
            );
        }
    }
}

/// A bag with more than 200 lots upstream, in 80 months.
fn long_farm() -> Farm {
    let day = |n: usize| {
        crate::farm::Moment::day_only(jiff::civil::date(
            2019 + (n / 12) as i16,
            (n % 12 + 1) as i8,
            3,
        ))
    };
    let mut drafts = vec![draft(
        day(0),
        delivery(DeliveryKind::Bedding, "400kg", "straw"),
    )];
    drafts.push(draft(day(0), bed("A01", "straw 9kg", "old")));
    for n in 0..240 {
        let kind = [
            DeliveryKind::Manure,
            DeliveryKind::Feedstock,
            DeliveryKind::Grit,
        ][n % 3];
        let mark = format!("d{n}");
        drafts.push(draft(day(n / 3), delivery(kind, "9kg", &mark)));
        drafts.push(draft(day(n / 3), feed("old", &format!("{mark} 9kg"))));
    }
    let cast = sieving(
        crate::farm::BatchKind::Castings,
        &[("old", "500kg")],
        crate::farm::Clears::All,
        "cast",
    );
    drafts.push(draft(day(90), cast));
    drafts.push(draft(day(91), pack(PackKind::Bag, 9, "cast 90kg", "run")));
    more(&Farm::default(), drafts)
}

#[test]
fn a_page_stays_small_and_its_drawing_short_with_more_than_200_lots_behind_it() {
    let farm = long_farm();
    let all = pages(&farm);
    let run = page(&all, &farm, "run");
    assert!(run.len() < 60_000, "{}", run.len());
    assert!(run.matches("<circle").count() <= 25);
    assert!(all.values().all(|text| text.len() < 60_000));
}

#[test]
fn a_farm_with_nothing_in_it_has_its_front_page_and_one_for_wrong_addresses() {
    let all = pages(&Farm::default());
    assert_eq!(all.keys().collect::<Vec<_>>(), ["404.html", "index.html"]);
    assert!(all["404.html"].contains("There is no page at this address"));
}

#[test]
fn what_every_lot_is_made_of_is_the_same_in_one_pass_as_one_by_one() {
    use crate::trace::{Relation, Start, back, balance, balances};
    for farm in [farm(), long_farm()] {
        let all = balances(&farm);
        let mut compared = 0;
        for (id, lot) in farm.lots() {
            let start = Start {
                lot: id,
                serial: None,
                when: None,
            };
            let reached = back(&farm, start);
            let parts = reached
                .iter()
                .filter(|r| r.relation == Relation::Part)
                .map(|r| r.lot);
            let one = balance(&farm, id, parts, None);
            if matches!(lot.sort, LotSort::Delivery(_)) {
                continue;
            }
            assert_eq!(all.of(&farm, id).shares, one.shares, "{}", lot.code);
            compared += usize::from(one.shares.is_some());
        }
        assert!(compared > 2);
    }
    assert!(matches!(
        farm().made_amount(lot(&farm(), "mark-of-cast")),
        Some(Amount::Weighed(_))
    ));
}
