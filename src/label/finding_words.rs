//! How findings are said: their names for data, and the parts of their sentences.

use crate::trade::{Asked, Statement};

use super::field::Field;
use super::finding::{Against, Finding, Refused, Warned};

impl Refused {
    /// Returns its name, which never changes.
    pub fn key(&self) -> &'static str {
        match self {
            Self::Layout(problem) => problem.key(),
            Self::FineCode { .. } => "fine-code",
            Self::BrokenDots { .. } => "broken-dots",
            Self::BrokenBars { .. } => "broken-bars",
            Self::BarsQuietZone => "bars-quiet-zone",
            Self::QuietZone { .. } => "quiet-zone",
            Self::NearCut { .. } => "near-cut",
            Self::NotSaid { .. } => "not-said",
            Self::LotOnLid => "lot-on-lid",
            Self::LowFigures { .. } => "low-figures",
            Self::LowSign { .. } => "low-sign",
            Self::NotForSign { .. } => "not-for-sign",
            Self::CountAndWeight { .. } => "count-and-weight",
            Self::NoDensity { .. } => "no-density",
            Self::Stopped { .. } => "stopped",
            Self::NoGround { .. } => "no-ground",
            Self::OldGround { .. } => "old-ground",
            Self::SpokenAgainst { .. } => "spoken-against",
            Self::NotInIt { .. } => "not-in-it",
            Self::LeftOut { .. } => "left-out",
        }
    }
}

impl Warned {
    /// Returns its name, which never changes.
    pub fn key(&self) -> &'static str {
        match self {
            Self::FewDots { .. } => "few-dots",
            Self::Curved { .. } => "curved",
            Self::LateBestBy { .. } => "late-best-by",
            Self::Fades { .. } => "fades",
            Self::UnreadPicture { .. } => "unread-picture",
            Self::Despite { .. } => "despite",
            Self::Flagged { .. } => "flagged",
            Self::Order { .. } => "order",
            Self::NotHeld => "not-held",
        }
    }
}

impl std::fmt::Display for Against {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Called(name) => write!(f, "(`{name}`)"),
            Self::Manure(name) => write!(f, "(`{name}`, manure)"),
            Self::Sprayed(name) => write!(f, "(`{name}`, of hay that was sprayed)"),
            Self::NotSaid(name) => write!(
                f,
                "(`{name}`, of hay of which nobody says that it was not sprayed, without a bean test)"
            ),
            Self::BeanFailed => f.write_str("(its bean test failed)"),
            Self::Wormed(name) => write!(f, "(`{name}`, of animals that had a wormer)"),
        }
    }
}

impl std::fmt::Display for Finding<Refused> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match &self.what {
            // A problem says itself which label it is about.
            Refused::Layout(problem) => write!(f, "{problem}"),
            what => write!(f, "{}: {what}", self.on),
        }
    }
}

impl std::fmt::Display for Finding<Warned> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}: {}", self.on, self.what)
    }
}

/// Writes a number of hundredths without noughts at its end.
pub fn hundredths(value: i64) -> String {
    let text = format!("{}.{:02}", value / 100, value % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Writes thousandths as per cent, to the tenth.
pub fn tenths(per_mille: u32) -> String {
    format!("{}.{}", per_mille / 10, per_mille % 10)
}

/// Names a field, or says a template's own text.
pub fn words_of(field: Option<Field>, text: &str) -> String {
    field.map_or_else(
        || format!("the text `{text}`"),
        |field| format!("`{field}`"),
    )
}

/// Names a statement.
pub fn name_of(asked: &Asked) -> String {
    match asked.statement {
        Statement::Caution(key) => format!("the caution `{key}`"),
        other => other.name().to_owned(),
    }
}

/// Says what of a count and a weight was not checked.
pub fn unchecked(count: bool, weight: bool) -> &'static str {
    match (count, weight) {
        (false, false) => "either",
        (false, true) => "the count",
        (true, _) => "the weight",
    }
}

/// Lists what a product was made from.
pub fn list(parts: &[String]) -> String {
    match parts {
        [] => "nothing that is known".to_owned(),
        parts => parts.join(", "),
    }
}
