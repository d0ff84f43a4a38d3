//! Gathers why labels cannot be laid out, so that what many have in common is said once.

use super::field::Field;
use super::finding::{Finding, Refused};
use super::problem::Problem;
use super::span::Names;

/// Problems of many labels: what is wrong with them in the same way is said once, with the names of all of them.
#[derive(Default)]
pub struct Problems(Vec<(Problem, Names)>);

impl Problems {
    /// Takes a problem in.
    pub fn add(&mut self, problem: Problem) {
        let name = problem.label().to_owned();
        let kind = problem.of_label(String::new());
        match self.0.iter_mut().find(|(known, _)| are_alike(known, &kind)) {
            Some((_, names)) => names.add(&name),
            None => {
                let mut names = Names::default();
                names.add(&name);
                self.0.push((kind, names));
            }
        }
    }

    /// Returns what was found.
    pub fn found(self) -> impl Iterator<Item = Finding<Refused>> {
        self.0.into_iter().map(|(kind, names)| {
            let on = names.said();
            Finding {
                what: Refused::Layout(kind.of_label(on.clone())),
                on,
            }
        })
    }
}

/// Tells whether two are the same but for the number of the pack.
fn are_alike(one: &Problem, other: &Problem) -> bool {
    if one == other {
        return true;
    }
    let (Some(text), Some(other_text)) = (text_of(one), text_of(other)) else {
        return false;
    };
    if let (
        Problem::Overflow { field, cell, .. },
        Problem::Overflow {
            field: other_field,
            cell: other_cell,
            ..
        },
    ) = (one, other)
        && matches!(field, Some(Field::Serial | Field::Code))
        && field == other_field
    {
        return cell == other_cell;
    }
    same_but_digits(text, other_text) && without_text(one) == without_text(other)
}

/// The text that it is about, in which the number of the pack may stand.
fn text_of(problem: &Problem) -> Option<&str> {
    match problem {
        Problem::Overflow { text, .. } | Problem::CodeTooFine { text, .. } => Some(text),
        Problem::NoLayout { .. }
        | Problem::Missing { .. }
        | Problem::NoGlyph { .. }
        | Problem::NoCode { .. }
        | Problem::CodeTooLong { .. }
        | Problem::Crowded { .. }
        | Problem::Bars { .. } => None,
    }
}

fn without_text(problem: &Problem) -> Problem {
    let mut problem = problem.clone();
    if let Problem::Overflow { text, .. } | Problem::CodeTooFine { text, .. } = &mut problem {
        text.clear();
    }
    problem
}

/// Tells whether texts differ in no more than their digits, as those of packs do.
fn same_but_digits(one: &str, other: &str) -> bool {
    let alike = |(a, b): (u8, u8)| a == b || (a.is_ascii_digit() && b.is_ascii_digit());
    one.len() == other.len() && one.bytes().zip(other.bytes()).all(alike)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::label::{Length, Sheet};

    #[test]
    fn what_is_wrong_with_every_pack_is_said_once() {
        let missing = |label: &str| Problem::NoCode {
            label: label.to_owned(),
            template: "bin".to_owned(),
        };
        let packs = [
            "P26115-07-S/0001",
            "P26115-07-S/0002",
            "P26115-07-S/0003",
            "A07",
        ];
        let mut problems = Problems::default();
        packs
            .map(missing)
            .into_iter()
            .for_each(|problem| problems.add(problem));
        let found: Vec<_> = problems.found().map(|finding| finding.what).collect();
        let said = missing("P26115-07-S/0001 to P26115-07-S/0003, A07");
        assert_eq!(found, [Refused::Layout(said)]);
    }

    #[test]
    fn a_thousand_codes_too_fine_are_said_once() {
        let fine = |serial: u32| Problem::CodeTooFine {
            label: format!("P26115-07-S/{serial:04}"),
            template: "bag-small".to_owned(),
            cell: Sheet::ALL[0].cell(),
            modules: 29,
            text: format!("HTTPS://LOTS.MARLHYTHE.EXAMPLE/P26115-07-S?{serial:04}"),
            least: Length::of_mm(14),
            room: Length::of_mm(10),
        };
        let mut problems = Problems::default();
        (1..=1000).for_each(|serial| problems.add(fine(serial)));
        let found: Vec<_> = problems.found().map(|finding| finding.on).collect();
        assert_eq!(found, ["P26115-07-S/0001 to P26115-07-S/1000"]);
    }
}
