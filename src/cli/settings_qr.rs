//! Reads `[qr]` of castlot.toml: what QR codes hold, and the addresses in them.

use serde::Deserialize;
use toml::Spanned;

use crate::farm::QrForm;

use super::settings_permission::Wrong;

/// `[qr]`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct QrTable {
    #[serde(default)]
    form: Form,
    base: Option<Spanned<String>>,
    shed: Option<Spanned<String>>,
    #[serde(default)]
    old_bases: Vec<Spanned<String>>,
}

#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Form {
    #[default]
    Text,
    Web,
    Gs1,
}

/// What QR codes hold.
pub struct Qr {
    /// The form.
    pub form: QrForm,
    /// The address of packs and lots.
    pub base: Option<String>,
    /// The address of bins and racks.
    pub shed: Option<String>,
    /// Addresses of older labels.
    pub old_bases: Vec<String>,
}

impl QrTable {
    /// Reads the table.
    pub fn read(&self) -> Result<Qr, Wrong> {
        Ok(Qr {
            form: match self.form {
                Form::Text => QrForm::Text,
                Form::Web => QrForm::Web,
                Form::Gs1 => QrForm::Gs1,
            },
            base: self.base.as_ref().map(address).transpose()?,
            shed: self.shed.as_ref().map(address).transpose()?,
            old_bases: self
                .old_bases
                .iter()
                .map(address)
                .collect::<Result<_, _>>()?,
        })
    }
}

/// Reads an address: scheme, host, and a path in upper case, so that a code of it stays small.
fn address(value: &Spanned<String>) -> Result<String, Wrong> {
    let base = value.get_ref().trim_end_matches('/');
    let rest = base
        .strip_prefix("https://")
        .or_else(|| base.strip_prefix("http://"));
    let Some(rest) =
        rest.filter(|rest| !rest.is_empty() && !rest.contains([' ', '?', '#', '"', '<', '>']))
    else {
        let wanted =
            format!("`{base}` is not an address; write one as in `https://lots.marlhythe.example`");
        return Err((value.span(), wanted));
    };
    let path = rest.split_once('/').map_or("", |(_, path)| path);
    if path.chars().any(|c| c.is_lowercase()) {
        let wanted =
            format!("the path of `{base}` must be in upper case, because codes are printed so");
        return Err((value.span(), wanted));
    }
    Ok(base.to_owned())
}
