//! What a person is told of labels that cannot be made, and what to do next.

use crate::label::{Finding, LabelError, Problem, Proof, Refused, Sheet, Size};

use super::failure::{Failure, Kind};

impl From<LabelError> for Failure {
    fn from(error: LabelError) -> Self {
        let kind = match &error {
            LabelError::Refused { .. } => Kind::Found,
            LabelError::NoSuchTemplate { .. }
            | LabelError::Template { .. }
            | LabelError::NoSuchSheet { .. }
            | LabelError::NoSuchPlace { .. }
            | LabelError::NoSuchPrinter { .. }
            | LabelError::WhichPrinter { .. }
            | LabelError::NoPreview { .. }
            | LabelError::NotHeld { .. }
            | LabelError::BedEnded { .. }
            | LabelError::NoSuchPack { .. }
            | LabelError::TooMany { .. }
            | LabelError::Nothing
            | LabelError::OtherSize { .. }
            | LabelError::Pdf { .. } => Kind::Refused,
        };
        let hints = match &error {
            LabelError::Refused { proof } => proof_hints(proof),
            LabelError::NotHeld { code } => {
                vec![format!("hold it with `castlot hold {code} --why …`")]
            }
            LabelError::TooMany { most, .. } => vec![format!(
                "print them in parts, as in `castlot label run-7/1-{most}`"
            )],
            LabelError::WhichPrinter { names, .. } => {
                let first = names.first().map_or("NAME", String::as_str);
                vec![format!(
                    "say which with `--printer {first}`, or give each printer its `sheets` in castlot.toml"
                )]
            }
            LabelError::NoSuchTemplate { .. }
            | LabelError::Template { .. }
            | LabelError::NoSuchSheet { .. }
            | LabelError::NoSuchPlace { .. }
            | LabelError::NoSuchPrinter { .. }
            | LabelError::NoPreview { .. }
            | LabelError::BedEnded { .. }
            | LabelError::NoSuchPack { .. }
            | LabelError::Nothing
            | LabelError::OtherSize { .. }
            | LabelError::Pdf { .. } => Vec::new(),
        };
        let texts = error.to_string().lines().map(str::to_owned).collect();
        Self { kind, texts, hints }
    }
}

/// What to do next about what a proof refuses, each once.
pub fn proof_hints(proof: &Proof) -> Vec<String> {
    let mut hints = Vec::new();
    for finding in &proof.refused {
        if let Some(hint) = hint(finding).filter(|hint| !hints.contains(hint)) {
            hints.push(hint);
        }
    }
    hints
}

fn hint(finding: &Finding<Refused>) -> Option<String> {
    match &finding.what {
        Refused::Stopped { .. } => Some(format!(
            "to hang a tag on it: `castlot label --hold {}`",
            finding.on
        )),
        Refused::NoGround { claim, .. } => Some(format!(
            "if the farm has ground for it, say so in castlot.toml: `[claim.\"{claim}\"]`, and under it `ground = \"…\"`"
        )),
        Refused::NoDensity { batch } => Some(format!(
            "weigh a litre and record it: `castlot record test --lot {batch} --test density --value 600 --unit g/L`"
        )),
        Refused::Layout(Problem::NoLayout {
            template, suits, ..
        }) => sheets_for(template, suits),
        Refused::Layout(
            Problem::Missing { .. }
            | Problem::Overflow { .. }
            | Problem::NoGlyph { .. }
            | Problem::NoCode { .. }
            | Problem::CodeTooLong { .. }
            | Problem::CodeTooFine { .. }
            | Problem::Crowded { .. }
            | Problem::Bars { .. },
        )
        | Refused::FineCode { .. }
        | Refused::BrokenDots { .. }
        | Refused::BrokenBars { .. }
        | Refused::BarsQuietZone
        | Refused::QuietZone { .. }
        | Refused::NearCut { .. }
        | Refused::NotSaid { .. }
        | Refused::LotOnLid
        | Refused::LowFigures { .. }
        | Refused::LowSign { .. }
        | Refused::NotForSign { .. }
        | Refused::CountAndWeight { .. }
        | Refused::OldGround { .. }
        | Refused::SpokenAgainst { .. }
        | Refused::NotInIt { .. }
        | Refused::LeftOut { .. } => None,
    }
}

/// Names the sheets whose labels a template is for.
fn sheets_for(template: &str, suits: &[(Size, Size)]) -> Option<String> {
    let fits = |sheet: &&Sheet| {
        let cell = sheet.cell();
        suits.iter().any(|(least, most)| {
            (least.width..=most.width).contains(&cell.width)
                && (least.height..=most.height).contains(&cell.height)
        })
    };
    let names: Vec<&str> = Sheet::ALL.iter().filter(fits).map(Sheet::name).collect();
    let names = names.join(", ");
    (!names.is_empty()).then(|| format!("`{template}` goes on {names}: name one with `--sheet`"))
}
