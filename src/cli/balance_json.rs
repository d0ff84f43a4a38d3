//! Mass balances as JSON: `{"balances": [...]}`, each with `code`, `ref`, `kind`, `unit` (`g`, `mL`, `pieces` or `packs`), the terms
//! `opening`, `came_in`, `used`, `sold`, `thrown`, `lost`, `written_off`, `apart`, `in_store`, `unaccounted`, and `gaps`.

use serde::Serialize;

use crate::farm::Unit;
use crate::trace::{Account, Counted, Gap};

use super::out;

#[derive(Serialize)]
struct All {
    balances: Vec<Balance>,
}

#[derive(Serialize)]
struct Balance {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    unit: &'static str,
    opening: i64,
    came_in: i64,
    used: i64,
    sold: i64,
    thrown: i64,
    lost: i64,
    written_off: i64,
    apart: i64,
    in_store: i64,
    unaccounted: i64,
    gaps: Vec<Missing>,
}

/// What is not known: `what` is `unknown in`, `unknown out`, `guesses`, `no density`, `no weight`, `over` or `unknown left`.
#[derive(Serialize)]
struct Missing {
    what: &'static str,
    entry: Option<u32>,
    amount: Option<i64>,
}

/// Writes balances.
pub fn text(accounts: &[Account]) -> String {
    out::json(&All {
        balances: accounts.iter().map(balance).collect(),
    })
}

fn balance(account: &Account) -> Balance {
    let terms = account.terms;
    Balance {
        code: account.code.to_string(),
        mark: account.mark.as_ref().map(ToString::to_string),
        kind: account.sort.word(),
        unit: match account.counted {
            Counted::In(Unit::Grams) => "g",
            Counted::In(Unit::Millilitres) => "mL",
            Counted::In(Unit::Pieces) => "pieces",
            Counted::Packs => "packs",
        },
        opening: terms.opening,
        came_in: terms.came_in,
        used: terms.used,
        sold: terms.sold,
        thrown: terms.thrown,
        lost: terms.lost,
        written_off: terms.written_off,
        apart: terms.apart,
        in_store: terms.in_store,
        unaccounted: terms.unaccounted,
        gaps: account.gaps.iter().map(missing).collect(),
    }
}

fn missing(gap: &Gap) -> Missing {
    let (what, entry, amount) = match gap {
        Gap::UnknownIn { entry } => ("unknown in", Some(*entry), None),
        Gap::UnknownOut { entry } => ("unknown out", Some(*entry), None),
        Gap::Guesses { amount, .. } => ("guesses", None, Some(*amount)),
        Gap::NoDensity { entry } => ("no density", Some(*entry), None),
        Gap::NoWeight { entry } => ("no weight", Some(*entry), None),
        Gap::Over => ("over", None, None),
        Gap::UnknownLeft => ("unknown left", None, None),
    };
    Missing {
        what,
        entry,
        amount,
    }
}
