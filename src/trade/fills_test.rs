//! Fills against the worked batches of the reference, and against cases worked by hand.

use super::*;
use crate::farm::Unit;
use crate::trade::packers::{Because, Ground};

const WORKED: &str = include_str!("../../tests/reference/packing_worked.csv");

fn tenths(values: &[u64]) -> Vec<Tenths> {
    values.iter().map(|value| Tenths::new(*value)).collect()
}

fn check(packs: u32, values: &[Tenths]) -> Judged {
    judge(&Check {
        rule: Rule::Average(Ground::Britain),
        net: Quantity::new(500, Unit::Grams),
        packs,
        measuring: Measuring::Whole,
        values,
    })
    .expect("something was measured")
}

fn outcome(judged: &Judged, point: usize) -> Outcome {
    judged.rulings[point].outcome
}

/// SI 2006/659, Schedule 2, batch of 100 to 500, first sample: the three worked batches of the reference.
#[test]
fn the_worked_batches_of_the_reference_come_out() {
    let mut seen = 0;
    for line in WORKED.lines().skip(1) {
        // The first cell may hold commas in quotes; none of the others does.
        let rest = line.rsplit_once('"').map_or(line, |(before, _)| before);
        let rest = rest.strip_suffix(",\"SI 2006/659 Sch 2, batch 100-500, first sample");
        let cells: Vec<&str> = rest.expect("the source stands last").rsplit(',').collect();
        let number = |from_end: usize| cells[from_end].parse::<f64>().expect("a number");
        let values: Vec<Tenths> = cells[0]
            .split(' ')
            .map(|v| Tenths::new(v.replace('.', "").parse().expect("a number with one place")))
            .collect();
        let judged = check(300, &values);
        assert_eq!(values.len(), 30);
        let Point::Mean { mean, limit, .. } = judged.rulings[0].point else {
            panic!("the first point is the mean");
        };
        assert!((mean - number(8)).abs() < 0.00005, "{line}: {mean}");
        let spread = judged.spread.expect("thirty values");
        assert!((spread - number(7)).abs() < 0.00005, "{line}: {spread}");
        assert!((limit - number(6)).abs() < 0.00006, "{line}: {limit}");
        assert_eq!(outcome(&judged, 0) == Outcome::Holds, cells[5] == "pass");
        assert_eq!(judged.tne.map(|t| t.to_units()), Some(number(4)));
        assert_eq!(judged.below_tne, number(3) as usize, "{line}");
        assert_eq!(judged.below_twice, number(2) as usize, "{line}");
        assert_eq!(outcome(&judged, 1) == Outcome::Holds, cells[1] == "accept");
        seen += 1;
    }
    assert_eq!(seen, 3);
}

/// By hand, 500 g, TNE 15 g, thirty packs of two hundred: two below 485 g are more than 1 and fewer than 3, so that
/// the plan looks at sixty; with four short of sixty it accepts, with five it rejects.
#[test]
fn between_the_numbers_of_the_first_look_the_second_decides() {
    let mut values = vec![Tenths::new(5_010); 28];
    values.extend(tenths(&[4_840, 4_840]));
    let judged = check(200, &values);
    assert_eq!(outcome(&judged, 1), Outcome::Open { more: 30 });
    let (accept, of) = match judged.rulings[1].point {
        Point::Few { accept, of, .. } => (accept, of),
        other => panic!("{other:?}"),
    };
    assert_eq!(
        (accept, of),
        (4, 60),
        "the second look is what is left open"
    );
    assert_eq!(judged.verdict, Verdict::TooFew { more: 30 });
    values.extend(tenths(&[4_840, 4_840]));
    values.extend(vec![Tenths::new(5_010); 28]);
    assert_eq!(outcome(&check(200, &values), 1), Outcome::Holds);
    values[59] = Tenths::new(4_840);
    let judged = check(200, &values);
    assert_eq!(outcome(&judged, 1), Outcome::Fails);
    assert_eq!(judged.verdict, Verdict::DoesNotMeet);
}

/// A batch under 100: every pack, and the mean has to reach what is declared (Schedule 2, paragraphs 2.8 and 4.7).
#[test]
fn a_small_run_is_looked_at_pack_by_pack_and_its_mean_has_to_reach_what_is_declared() {
    assert_eq!(
        check(3, &tenths(&[5_000, 4_990, 5_010])).verdict,
        Verdict::Meets
    );
    let judged = check(3, &tenths(&[5_000, 4_990, 5_009]));
    assert_eq!(
        (outcome(&judged, 0), judged.verdict),
        (Outcome::Fails, Verdict::DoesNotMeet)
    );
    // Two of three, both full: nothing is against it, and one pack is left to measure.
    let judged = check(3, &tenths(&[5_010, 5_020]));
    assert_eq!(judged.verdict, Verdict::TooFew { more: 1 });
    // One in forty may be short by more than the TNE: none of 39, one of 40, and not two.
    let mut values = vec![Tenths::new(5_020); 39];
    values[7] = Tenths::new(4_840);
    assert_eq!(check(39, &values).verdict, Verdict::DoesNotMeet);
    values.push(Tenths::new(5_020));
    assert_eq!(check(40, &values).verdict, Verdict::Meets);
    values[8] = Tenths::new(4_840);
    assert_eq!(check(40, &values).verdict, Verdict::DoesNotMeet);
}

/// By hand: 490, 491, 492 g have mean 491 and spread 1; k of three is t(0.995, 2) / √3 = 9.9248 / 1.7321 = 5.7301, so
/// that the mean may lie 5.73 g under 500 before three of ten tell that the run is short.
#[test]
fn a_few_packs_can_show_a_run_short_but_never_full() {
    let judged = check(10, &tenths(&[4_900, 4_910, 4_920]));
    let Point::Mean { limit, k, .. } = judged.rulings[0].point else {
        panic!("the first point is the mean");
    };
    assert!(
        (k - 5.7301).abs() < 0.0001 && (limit - 494.2699).abs() < 0.0001,
        "{k} {limit}"
    );
    assert_eq!(judged.verdict, Verdict::DoesNotMeet);
    let judged = check(10, &tenths(&[4_960, 4_970, 4_980]));
    assert_eq!(judged.verdict, Verdict::TooFew { more: 7 });
    // Two readings alike say nothing of how packs differ.
    let judged = check(10, &tenths(&[4_960, 4_960]));
    assert_eq!(judged.verdict, Verdict::TooFew { more: 8 });
    // One pack far below is enough, however many are left.
    assert_eq!(check(10, &tenths(&[4_699])).verdict, Verdict::DoesNotMeet);
    // 470 g are short by twice the TNE, and not by more: but in so small a run none may be short by more than it.
    let judged = check(10, &tenths(&[4_700]));
    assert_eq!((judged.below_tne, judged.below_twice), (1, 0));
}

#[test]
fn worms_are_counted_pack_by_pack() {
    let judge_tubs = |values: &[u64]| {
        let values = tenths(values);
        let rule = Rule::EachPack(Because::Number);
        let net = Quantity::new(50, Unit::Pieces);
        let check = Check {
            rule,
            net,
            packs: 3,
            measuring: Measuring::Whole,
            values: &values,
        };
        judge(&check).map(|judged| judged.verdict)
    };
    assert_eq!(judge_tubs(&[500, 520, 510]), Some(Verdict::Meets));
    assert_eq!(judge_tubs(&[500, 520]), Some(Verdict::TooFew { more: 1 }));
    assert_eq!(judge_tubs(&[490, 600]), Some(Verdict::DoesNotMeet));
    assert_eq!(judge_tubs(&[]), None);
}

/// Directive 76/211/EEC, Annex II 2.2.2: twenty packs are opened, one may be short, two may not.
#[test]
fn packs_that_are_opened_go_by_the_single_plan() {
    let mut values = vec![Tenths::new(5_020); 20];
    values[3] = Tenths::new(4_849);
    let judge_opened = |values: &[Tenths]| {
        judge(&Check {
            rule: Rule::Average(Ground::Union),
            net: Quantity::new(500, Unit::Grams),
            packs: 4_000,
            measuring: Measuring::Opened,
            values,
        })
        .map(|judged| judged.verdict)
    };
    assert_eq!(judge_opened(&values), Some(Verdict::Meets));
    values[4] = Tenths::new(4_849);
    assert_eq!(judge_opened(&values), Some(Verdict::DoesNotMeet));
}
