//! Tests of whole proofs: what stops a run, what is told all at once, and what is told once.

use std::sync::LazyLock;

use jiff::civil::date;

use crate::farm::{
    BatchKind, Event, Farm, HoldStep, LotName, PackKind, Product, QrForm, Quantity, Reach,
    RecallStep, Settings, TestFacts, Typed, Word,
};
use crate::label::example::{delivery, draw, farm_of, id, new, settings};
use crate::label::{Conditions, Order, Proofed, Subject, Templates};

fn lot(mark: &str) -> LotName {
    LotName::Mark(mark.parse().unwrap())
}

fn hold() -> Event<Typed> {
    Event::Hold {
        lot: lot("straw-1"),
        step: HoldStep::Hold(Reach::Parts),
        reason: Word::of("smells").unwrap(),
    }
}

fn recall() -> Event<Typed> {
    Event::Recall {
        recall: "recall-1".into(),
        step: RecallStep::Open,
        lots: vec![lot("straw-1")],
        packs: Vec::new(),
        buyer: None,
        why: Word::of("bean test failed"),
    }
}

/// A run of three bags, packed from straw, and what came after.
fn farm(name: &str, more: Vec<Event<Typed>>) -> Farm {
    let mut rows = vec![
        delivery("straw-1", "barley straw"),
        Event::Blend {
            lot: new("heap"),
            kind: BatchKind::Castings,
            from: vec![draw("straw-1", 9000)],
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
            count: 3,
            from: vec![draw("heap", 4000)],
            best_by: None,
            despite: None,
        },
        Event::Test {
            lot: lot("heap"),
            facts: Box::new(TestFacts {
                test: "density".into(),
                value: "600".into(),
                unit: None,
                method: None,
                lab: None,
                result: None,
            }),
        },
    ];
    rows.extend(more);
    farm_of(rows)
}

static SETTINGS: LazyLock<Settings> = LazyLock::new(|| settings(QrForm::Text, None, None));

fn proof<'a>(farm: &'a Farm, templates: &Templates, despite: Option<&str>) -> Proofed<'a> {
    let order = Order {
        subjects: vec![Subject::Packs(id(farm, "run-1"), None)],
        ..Order::default()
    };
    let conditions = Conditions {
        despite,
        ..Conditions::on(date(2026, 5, 1))
    };
    order
        .proof(farm, &SETTINGS, templates, &conditions)
        .unwrap()
}

fn refused(proofed: &Proofed) -> Vec<String> {
    proofed
        .proof()
        .refused
        .iter()
        .map(ToString::to_string)
        .collect()
}

fn warned(proofed: &Proofed) -> Vec<String> {
    proofed
        .proof()
        .warned
        .iter()
        .map(ToString::to_string)
        .collect()
}

#[test]
fn a_free_run_is_let_through_with_nothing_to_say() {
    let farm = farm("Compost", Vec::new());
    let proofed = proof(&farm, &Templates::default(), None);
    assert_eq!((refused(&proofed), warned(&proofed)), (vec![], vec![]));
    let sheaves = proofed.to_print().unwrap();
    let labels: Vec<usize> = sheaves.iter().map(|sheaf| sheaf.labels.len()).collect();
    let made = sheaves.iter().map(|sheaf| sheaf.labels.iter().count());
    assert!(made.eq(labels.iter().copied()));
    assert_eq!(labels, [3, 3]);
}

#[test]
fn a_run_downstream_of_a_hold_or_a_recall_is_refused_and_let_through_despite_it_with_a_word() {
    for (row, line) in [
        (hold(), "ON HOLD since 2026-04-24, for G26110-01-Y (smells)"),
        (
            recall(),
            "RECALLED since 2026-04-24, for G26110-01-Y (bean test failed)",
        ),
    ] {
        let farm = farm("Compost", vec![row]);
        let code = farm.lot(id(&farm, "run-1")).code;
        let stopped = proof(&farm, &Templates::default(), None);
        assert_eq!(
            refused(&stopped),
            [format!("{code}: no label to sell it with: {line}")]
        );
        assert!(stopped.to_print().is_err());
        let despite = proof(&farm, &Templates::default(), Some("for the bean test"));
        assert_eq!(refused(&despite), [""; 0]);
        assert_eq!(
            warned(&despite),
            [format!(
                "{code}: {line}; labelled despite that: for the bean test"
            )]
        );
        assert!(despite.to_print().is_ok());
    }
}

#[test]
fn everything_is_told_at_once_and_what_all_packs_share_once() {
    let farm = farm(
        "A sterile compost of the north and the south rack",
        vec![hold()],
    );
    let code = farm.lot(id(&farm, "run-1")).code;
    let mut templates = Templates::default();
    let front = "[[size]]\nwidth = 90\nheight = 100\n[[size.text]]\nat = { left = 1, width = 60, top = 3, height = 60 }\n\
                 lines = [{ text = \"{product}\", size = 12 }]\n";
    let back = "[[size]]\nwidth = 90\nheight = 100\n[[size.text]]\nat = { left = 3, width = 20, top = 3, height = 5 }\n\
                lines = [{ text = \"{product}\", size = 12 }, { text = \"{best_by}\", size = 8 }]\n";
    templates.add("bag-front", "templates/bag-front.toml", front.to_owned());
    templates.add("bag-back", "templates/bag-back.toml", back.to_owned());
    let refused = refused(&proof(&farm, &templates, None));
    let all = format!("{code}/0001 to {code}/0003");
    assert_eq!(
        refused,
        [
            format!("label `{all}`: template `bag-back` needs `best_by`, which is missing"),
            format!("{all}: `product` is 1 mm from the cut edge; castlot asks for 2 mm"),
            format!("{all}: `sterile` is a claim that needs ground (`sterile`)"),
            format!(
                "{code}: no label to sell it with: ON HOLD since 2026-04-24, for G26110-01-Y (smells)"
            ),
        ]
    );
}
