//! Tests of claims against their ground and against what is upstream, through whole orders of labels.

use jiff::civil::date;

use super::*;
use crate::farm::{
    BatchKind, LotName, OwnClaim, PackKind, Product, QrForm, Quantity, TestFacts, Typed,
};
use crate::label::example::{draw, farm_of, grams, id, new, settings};
use crate::label::{Conditions, Order, Proof, Subject, Templates};

const PACKED: Date = date(2026, 4, 22);
const TODAY: Date = date(2026, 4, 30);

fn facts(kind: DeliveryKind, name: &str) -> DeliveryFacts {
    DeliveryFacts::of(kind, name, "a secret farm")
}

fn straw() -> DeliveryFacts {
    facts(DeliveryKind::Bedding, "barley straw")
}

fn manure(hay: Option<HaySprayed>) -> DeliveryFacts {
    DeliveryFacts {
        hay_sprayed: hay,
        ..facts(DeliveryKind::Manure, "horse dung")
    }
}

/// A run of bags called so, of one delivery; a test of the delivery, if there is one.
fn farm(name: &str, stuff: DeliveryFacts, bean: Option<&str>) -> Farm {
    let test = |lot: &str, test: &str, value: &str| Event::Test {
        lot: LotName::Mark(lot.parse().unwrap()),
        facts: Box::new(TestFacts {
            test: test.into(),
            value: value.into(),
            unit: None,
            method: None,
            lab: None,
            result: None,
        }),
    };
    let mut rows: Vec<Event<Typed>> = vec![
        Event::Delivery {
            lot: new("load"),
            amount: grams(50_000),
            facts: Box::new(stuff),
        },
        Event::Blend {
            lot: new("heap"),
            kind: BatchKind::Castings,
            from: vec![draw("load", 9000)],
        },
        Event::Pack {
            lot: new("run-1"),
            product: Box::new(Product {
                key: "it".into(),
                name: name.into(),
                kind: PackKind::Bag,
                net: Quantity::read("20L", &Default::default()).unwrap(),
                gtin: None,
                best_by_days: None,
                best_by_month_end: false,
            }),
            count: 2,
            from: vec![draw("heap", 4000)],
            best_by: None,
            despite: None,
        },
        test("heap", "density", "600"),
    ];
    rows.extend(bean.map(|value| test("load", "bean", value)));
    farm_of(rows)
}

fn proof(farm: &Farm, claims: &[(&str, OwnClaim)], today: Date) -> Proof {
    let mut settings = settings(QrForm::Text, None, None);
    for (name, claim) in claims {
        settings.claims.insert((*name).to_owned(), claim.clone());
    }
    let order = Order {
        subjects: vec![Subject::Packs(id(farm, "run-1"), None)],
        ..Order::default()
    };
    let proofed = order.proof(
        farm,
        &settings,
        &Templates::default(),
        &Conditions::on(today),
    );
    proofed.unwrap().proof().clone()
}

fn said(farm: &Farm, claims: &[(&str, OwnClaim)], today: Date) -> Vec<String> {
    let proof = proof(farm, claims, today);
    proof.refused.iter().map(ToString::to_string).collect()
}

fn ground(until: Option<Date>) -> OwnClaim {
    OwnClaim {
        words: Vec::new(),
        ground: Some("all bedding is straw of our own".to_owned()),
        until,
    }
}

fn keys(farm: &Farm, claims: &[(&str, OwnClaim)]) -> Vec<&'static str> {
    let proof = proof(farm, claims, TODAY);
    proof
        .refused
        .iter()
        .map(|finding| finding.what.key())
        .collect()
}

#[test]
fn a_name_without_a_claim_passes() {
    let farm = farm("Worm-worked compost", straw(), None);
    assert_eq!(proof(&farm, &[], TODAY), Proof::default());
}

#[test]
fn a_claim_is_said_once_for_all_packs_and_both_sides() {
    let farm = farm("Peat-free compost", straw(), None);
    let code = farm.lot(id(&farm, "run-1")).code;
    assert_eq!(
        said(&farm, &[], TODAY),
        [format!(
            "{code}/0001, {code}/0002: `Peat-free` is a claim that needs ground (`peat-free`)"
        )]
    );
}

#[test]
fn a_ground_lets_a_claim_through_until_its_last_day() {
    let farm = farm("Peat-free compost", straw(), None);
    assert_eq!(keys(&farm, &[("peat-free", ground(None))]), [""; 0]);
    assert_eq!(keys(&farm, &[("peat-free", ground(Some(TODAY)))]), [""; 0]);
    let yesterday = TODAY.yesterday().unwrap();
    assert_eq!(
        keys(&farm, &[("peat-free", ground(Some(yesterday)))]),
        ["old-ground"]
    );
    // Packed after it held, whatever day it is printed.
    let before = PACKED.yesterday().unwrap();
    let lapsed = [("peat-free", ground(Some(before)))];
    assert_eq!(
        proof(&farm, &lapsed, before).refused[0].what.key(),
        "old-ground"
    );
    // Words without a ground let nothing through.
    assert_eq!(
        keys(&farm, &[("peat-free", OwnClaim::default())]),
        ["no-ground"]
    );
}

#[test]
fn peat_upstream_speaks_against_peat_free_whatever_the_ground() {
    let claims = [("peat-free", ground(None))];
    let peat = farm(
        "Peat-free compost",
        facts(DeliveryKind::Bedding, "moss peat, fine"),
        None,
    );
    let load = peat.lot(id(&peat, "load")).code;
    let refused = said(&peat, &claims, TODAY);
    assert!(
        refused[0].ends_with(&format!(
            "`Peat-free` (`peat-free`): {load} (`moss peat, fine`) is upstream"
        )),
        "{refused:?}"
    );
    let mut from_a_bog = straw();
    from_a_bog.origin = Some("a peat bog".into());
    assert_eq!(
        keys(&farm("Peat-free compost", from_a_bog, None), &claims),
        ["spoken-against"]
    );
    let bought = facts(DeliveryKind::Bedding, "peat-free potting mix");
    assert_eq!(
        keys(&farm("Peat-free compost", bought, None), &claims),
        [""; 0]
    );
}

#[test]
fn manure_upstream_speaks_against_manure_free() {
    let claims = [("manure-free", ground(None))];
    assert_eq!(
        keys(&farm("No manure compost", manure(None), None), &claims),
        ["spoken-against"]
    );
    assert_eq!(
        keys(&farm("No manure compost", straw(), None), &claims),
        [""; 0]
    );
}

#[test]
fn herbicide_free_is_held_against_the_hay_and_the_bean_test() {
    let claims = [("herbicide-free", ground(None))];
    let against = |hay, bean| keys(&farm("Herbicide-free compost", manure(hay), bean), &claims);
    assert_eq!(against(Some(HaySprayed::SaidNo), None), [""; 0]);
    assert_eq!(
        against(Some(HaySprayed::SaidYes), Some("pass")),
        ["spoken-against"]
    );
    assert_eq!(
        against(Some(HaySprayed::NotKnown), None),
        ["spoken-against"]
    );
    assert_eq!(against(None, None), ["spoken-against"]);
    assert_eq!(against(None, Some("pass")), [""; 0]);
    assert_eq!(
        against(Some(HaySprayed::SaidNo), Some("fail")),
        ["spoken-against"]
    );
    assert_eq!(
        keys(&farm("Herbicide-free compost", straw(), None), &claims),
        [""; 0]
    );
}

#[test]
fn chemical_free_is_held_against_wormer_too() {
    let claims = [("chemical-free", ground(None))];
    let wormed = |wormer: &str| DeliveryFacts {
        wormer: Some(wormer.into()),
        ..manure(Some(HaySprayed::SaidNo))
    };
    let against = |wormer| {
        keys(
            &farm("Chemical-free compost", wormed(wormer), None),
            &claims,
        )
    };
    assert_eq!(against("ivermectin"), ["spoken-against"]);
    assert_eq!(against("None"), [""; 0]);
}

#[test]
fn a_claim_in_the_farms_own_words_and_in_its_template_is_found() {
    let farm = farm("Worm-worked compost", straw(), None);
    let mut settings = settings(QrForm::Text, None, None);
    settings.wording.using = Some("A safe mix: one part in four.".to_owned());
    let mut templates = Templates::default();
    let template = "[[size]]\nwidth = 90\nheight = 60\n[[size.text]]\nat = { left = 3, width = 40, top = 3, bottom = 3 }\n\
                    lines = [{ text = \"feeds\", size = 20 }, { text = \"plants\", size = 20 }, { text = \"{use}\", size = 8 }]\n";
    templates.add("own", "templates/own.toml", template.to_owned());
    let order = Order {
        subjects: vec![Subject::Packs(id(&farm, "run-1"), None)],
        template: Some("own".to_owned()),
        sheet: None,
    };
    let proofed = order
        .proof(&farm, &settings, &templates, &Conditions::on(TODAY))
        .unwrap();
    let claims = proofed
        .proof()
        .refused
        .iter()
        .filter_map(|finding| match &finding.what {
            Refused::NoGround { words, .. } => Some(words.as_str()),
            _ => None,
        });
    assert_eq!(claims.collect::<Vec<_>>(), ["safe", "feeds plants"]);
}
