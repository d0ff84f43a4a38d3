//! What a person is told of labels that cannot be made, and what to do next.

use crate::label::LabelError;

use super::failure::{Failure, Kind};

impl From<LabelError> for Failure {
    fn from(error: LabelError) -> Self {
        let kind = match &error {
            LabelError::Problems { .. } => Kind::Found,
            LabelError::NoSuchTemplate { .. }
            | LabelError::Template { .. }
            | LabelError::NoSuchSheet { .. }
            | LabelError::NoSuchPlace { .. }
            | LabelError::NoSuchPrinter { .. }
            | LabelError::WhichPrinter { .. }
            | LabelError::NoPreview { .. }
            | LabelError::NotForSale { .. }
            | LabelError::NotHeld { .. }
            | LabelError::BedEnded { .. }
            | LabelError::NoSuchPack { .. }
            | LabelError::Nothing
            | LabelError::OtherSize { .. }
            | LabelError::Pdf { .. } => Kind::Refused,
        };
        let hints = match &error {
            LabelError::NotForSale { lots } => lots
                .iter()
                .map(|lot| format!("to hang a tag on it: `castlot label --hold {}`", lot.code))
                .collect(),
            LabelError::NotHeld { code } => vec![format!(
                "hold it with `castlot record hold --lot {code} --state hold --reason …`"
            )],
            LabelError::WhichPrinter { names, .. } => {
                let first = names.first().map_or("NAME", String::as_str);
                vec![format!(
                    "say which with `--printer {first}`, or give each printer its `sheets` in castlot.toml"
                )]
            }
            LabelError::Problems { .. }
            | LabelError::NoSuchTemplate { .. }
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
