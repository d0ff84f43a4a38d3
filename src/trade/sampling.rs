//! Sampling plans for packers' checks: how many packs are measured, how many may be short, and how far the mean may lie.
//!
//! SI 2006/659, Schedule 2, and Directive 76/211/EEC, Annex II: the inspector's reference test, copied here so that a
//! packer can hold a run against it. A batch under 100 is looked at pack by pack, and its mean has to reach what is declared.

/// How packs are measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measuring {
    /// They stay whole.
    Whole,
    /// They are opened for it, and cannot be sold.
    Opened,
}

/// One look at some packs: how many have been measured by then, and how many of them may be short.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stage {
    /// How many packs have been measured by then, in all.
    pub measured: usize,
    /// With so many short, or fewer, the batch is accepted.
    pub accept: usize,
    /// With so many short, or more, it is rejected.
    pub reject: usize,
}

/// A plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Plan {
    /// The smallest batch it is for.
    pub from: u32,
    /// The largest, where there is one.
    pub to: Option<u32>,
    /// The first look.
    pub first: Stage,
    /// The second, where the first decides nothing.
    pub second: Option<Stage>,
    /// How many packs the mean is taken of.
    pub mean_of: usize,
    /// How many thousandths of the spread the mean may lie below what is declared.
    pub k_thousandths: u32,
}

const fn stage(measured: usize, accept: usize, reject: usize) -> Stage {
    Stage {
        measured,
        accept,
        reject,
    }
}

#[rustfmt::skip]
const WHOLE: [Plan; 3] = [
    Plan { from: 100, to: Some(500), first: stage(30, 1, 3), second: Some(stage(60, 4, 5)), mean_of: 30, k_thousandths: 503 },
    Plan { from: 501, to: Some(3_200), first: stage(50, 2, 5), second: Some(stage(100, 6, 7)), mean_of: 50, k_thousandths: 379 },
    Plan { from: 3_201, to: None, first: stage(80, 3, 7), second: Some(stage(160, 8, 9)), mean_of: 50, k_thousandths: 379 },
];

#[rustfmt::skip]
const OPENED: [Plan; 1] = [
    Plan { from: 100, to: None, first: stage(20, 1, 2), second: None, mean_of: 20, k_thousandths: 640 },
];

/// Returns the plan for a batch of so many packs; `None` under 100, where every pack is looked at.
pub fn plan(batch: u32, measuring: Measuring) -> Option<&'static Plan> {
    let plans: &[Plan] = match measuring {
        Measuring::Whole => &WHOLE,
        Measuring::Opened => &OPENED,
    };
    plans
        .iter()
        .find(|plan| batch >= plan.from && plan.to.is_none_or(|to| batch <= to))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::student;

    const REFERENCE: &str = include_str!("../../tests/reference/sampling_plans.csv");

    fn rows(begins: &str) -> Vec<csv::StringRecord> {
        let mut reader = csv::Reader::from_reader(REFERENCE.as_bytes());
        let rows = reader.records().map(|row| row.expect("a row"));
        rows.filter(|row| row[0].starts_with(begins)).collect()
    }

    fn batches(text: &str) -> Vec<u32> {
        let digits = |text: &str| -> Vec<u32> {
            let parts = text.split(|c: char| !c.is_ascii_digit());
            parts.filter_map(|part| part.parse().ok()).collect()
        };
        match digits(text).as_slice() {
            [from, to] => vec![*from, (from + to) / 2, *to],
            [from] if text.starts_with("over") => vec![from + 1, 3_200, 3_201, 90_000],
            [from] => vec![*from, from + 17, 90_000],
            other => panic!("{text}: {other:?}"),
        }
    }

    fn number(text: &str) -> usize {
        text.parse().expect("a number")
    }

    /// Directive 76/211/EEC, Annex II 2.2.1 and 2.2.2; SI 2006/659, Schedule 2.
    #[test]
    fn acceptance_and_rejection_numbers_are_those_of_the_reference() {
        let (double, single) = (
            rows("contents, non-destructive"),
            rows("contents, destructive"),
        );
        assert_eq!((double.len(), single.len()), (3, 1));
        for row in double {
            for batch in batches(&row[1]) {
                let plan = plan(batch, Measuring::Whole).expect("there is a plan");
                let wanted = (number(&row[2]), number(&row[3]), number(&row[4]));
                assert_eq!(plan.first, stage(wanted.0, wanted.1, wanted.2), "{row:?}");
                let wanted = (number(&row[5]), number(&row[6]), number(&row[7]));
                assert_eq!(plan.second, Some(stage(wanted.0, wanted.1, wanted.2)));
            }
        }
        for batch in batches(&single[0][1]) {
            let plan = plan(batch, Measuring::Opened).expect("there is a plan");
            assert_eq!((plan.first, plan.second), (stage(20, 1, 2), None));
        }
        assert_eq!(plan(99, Measuring::Whole), None);
        assert_eq!(plan(99, Measuring::Opened), None);
    }

    /// SI 2006/659, Schedule 2, paragraph 4: k as printed there; and k = t(0.995, n - 1) / sqrt(n), to three places.
    #[test]
    fn the_mean_test_has_the_k_of_the_reference_and_of_students_t() {
        let rows = rows("mean, accept");
        assert_eq!(rows.len(), 3);
        for row in rows {
            let measuring = if row[1].contains("(destructive)") {
                Measuring::Opened
            } else {
                Measuring::Whole
            };
            for batch in batches(&row[1]) {
                let plan = plan(batch, measuring).expect("there is a plan");
                let k: f64 = row[8].parse().expect("a number");
                assert_eq!(plan.mean_of, number(&row[2]));
                assert!((f64::from(plan.k_thousandths) / 1000.0 - k).abs() < 1e-9);
                let worked_out = student::k(plan.mean_of, student::MEAN).expect("enough packs");
                assert!((worked_out - k).abs() < 0.0005, "{worked_out} and {k}");
            }
        }
        assert!(REFERENCE.contains("\"mean, batch under 100\",1-99,all,,,,,,0,"));
    }

    /// Factors that scipy worked out: OIML R 87 Table 2 (99.5 %) and NIST Handbook 133 Table 2-1 (97.5 %). castlot
    /// applies neither; they check the quantile.
    #[test]
    fn factors_of_other_tables_come_out_of_the_same_quantile() {
        let mut seen = 0;
        for (begins, chance) in [("OIML", 0.995), ("NIST", 0.975)] {
            for row in rows(begins) {
                let factor: f64 = row[8].parse().expect("a number");
                let worked_out = student::k(number(&row[2]), chance).expect("enough packs");
                assert!(
                    (worked_out - factor).abs() < 0.00051,
                    "{row:?} {worked_out}"
                );
                seen += 1;
            }
        }
        assert_eq!(seen, 6);
    }
}
