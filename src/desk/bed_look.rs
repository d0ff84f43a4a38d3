//! What the last checks of a bed say of its heat and moisture, against what its species likes.

use crate::farm::{CheckFacts, Moment, Squeeze};
use crate::trade::{Range, Species, Standing, climate};

/// The words for a reading below its limits, below the best, above it, and above its limits.
type Words = [&'static str; 4];

const HEAT: Words = ["cold", "cool", "warm", "hot"];
const MOISTURE: Words = ["dry", "rather dry", "rather wet", "wet"];

/// Says what is out of range, a line each; nothing of readings that are as is best.
pub fn look(species: Option<&str>, checks: &[(Moment, &CheckFacts)]) -> Vec<String> {
    let likes = species.and_then(Species::named).and_then(climate);
    let last = |of: &dyn Fn(&CheckFacts) -> Option<f64>| {
        let mut checks = checks.iter().rev();
        checks.find_map(|(when, facts)| Some((*when, of(facts)?)))
    };
    let mut lines = Vec::new();
    if let Some(likes) = likes {
        let heat = last(&|facts| number(facts.temperature_c.as_deref()));
        lines.extend(heat.and_then(|heat| told(heat, &likes.heat, HEAT, "°C")));
        let moisture = last(&|facts| number(facts.moisture.as_deref()));
        lines.extend(moisture.and_then(|moisture| told(moisture, &likes.moisture, MOISTURE, "%")));
    }
    let squeezed = checks
        .iter()
        .rev()
        .find_map(|(when, facts)| Some((*when, facts.squeeze?)));
    match squeezed {
        Some((when, Squeeze::Dry)) => lines.push(format!("dry when squeezed on {}", when.day())),
        Some((when, Squeeze::Stream)) => {
            lines.push(format!("runs when squeezed on {}", when.day()));
        }
        Some((_, Squeeze::Drops)) | None => {}
    }
    lines
}

fn number(text: Option<&str>) -> Option<f64> {
    let number: f64 = text?.trim().parse().ok()?;
    number.is_finite().then_some(number)
}

fn told((when, reading): (Moment, f64), range: &Range, words: Words, unit: &str) -> Option<String> {
    let [far_below, below, above, far_above] = words;
    let (low, high) = range.limits.unwrap_or(range.best);
    let best = format!("best {} to {}", range.best.0, range.best.1);
    let (word, against) = match range.standing(reading) {
        Standing::Best => return None,
        Standing::FarBelow => (far_below, format!("limit {low}")),
        Standing::Below => (below, best),
        Standing::Above => (above, best),
        Standing::FarAbove => (far_above, format!("limit {high}")),
    };
    Some(format!(
        "{word}: {reading} {unit} on {}, {against}",
        when.day()
    ))
}

#[cfg(test)]
mod tests {
    use jiff::civil::date;

    use super::*;

    fn read(species: &str, checks: &[CheckFacts]) -> Vec<String> {
        let days = (1_i8..).map(|day| Moment::day_only(date(2026, 5, day)));
        look(Some(species), &days.zip(checks).collect::<Vec<_>>())
    }

    fn check(heat: &str, moisture: &str, squeeze: Option<Squeeze>) -> CheckFacts {
        let said = |text: &str| (!text.is_empty()).then(|| text.into());
        CheckFacts {
            temperature_c: said(heat),
            moisture: said(moisture),
            squeeze,
            ..CheckFacts::default()
        }
    }

    #[test]
    fn the_last_reading_of_each_kind_counts() {
        let checks = [
            check("13", "91", Some(Squeeze::Stream)),
            check("18", "", Some(Squeeze::Drops)),
        ];
        let told = ["wet: 91 % on 2026-05-01, limit 90"];
        assert_eq!(read("Eisenia fetida", &checks), told);
    }

    #[test]
    fn each_species_goes_by_its_own_range() {
        let checks = [check("23", "", None)];
        let warm = ["warm: 23 °C on 2026-05-01, best 15 to 20"];
        assert_eq!(read("Eisenia fetida", &checks), warm);
        assert!(read("Eisenia andrei", &checks).is_empty());
        assert!(read("Dendrobaena veneta", &checks).is_empty());
    }

    #[test]
    fn what_is_no_number_and_a_species_nobody_knows_tell_nothing() {
        assert!(read("Eisenia fetida", &[check("warm", "NaN", None)]).is_empty());
        assert!(read("Lumbricus terrestris", &[check("40", "2", None)]).is_empty());
    }
}
