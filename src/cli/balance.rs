//! `castlot balance`: what came in is what went out, is in store, was thrown out, lost, written off, or is not
//! accounted for. The JSON of `--json` is in `balance_json`.

use jiff::civil::Date;

use crate::farm::{Farm, LotSort, Settings};
use crate::trace::{Account, books, books_between};

use super::failure::Failure;
use super::named::Asking;
use super::out;
use super::shed::Shed;
use super::{balance_json, balance_page};

/// Balance one lot, or all lots over a span of days.
///
/// In whole grams, millilitres, pieces or packs, so that it closes exactly: what came in (and what was there before) is
/// what was used, sold, thrown out, lost by counts, written off when a bed was cleared, kept apart, is in store, or is
/// not accounted for. Every gap is named: amounts nobody knew, guesses, litres without a density.
///
/// Example: `castlot balance manure-2`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The lot.
    #[arg(value_name = "LOT", required_unless_present_any = ["from", "to"])]
    lot: Option<String>,
    /// The first day.
    #[arg(long, value_name = "DATE", requires = "to", conflicts_with = "lot")]
    from: Option<Date>,
    /// The last day.
    #[arg(long, value_name = "DATE", requires = "from")]
    to: Option<Date>,
    /// Only lots of this kind: a kind of delivery or batch, `bed`, or `pack run`.
    #[arg(long, value_name = "KIND", requires = "from")]
    kind: Option<String>,
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let (farm, settings) = (shed.open()?, shed.settings()?);
    out::print(&text(&farm, &settings, shed, args)?)
}

fn text(farm: &Farm, settings: &Settings, shed: &Shed, args: &Args) -> Result<String, Failure> {
    if let (Some(first), Some(last)) = (args.from, args.to) {
        if last < first {
            return Err(Failure::refused(format!("{last} comes before {first}")));
        }
        let accounts = of_kind(books_between(farm, first, last), args.kind.as_deref())?;
        return Ok(if shed.json {
            balance_json::text(&accounts)
        } else {
            balance_page::span(farm, (first, last), &accounts)
        });
    }
    let asking = Asking {
        farm,
        settings,
        command: "balance",
    };
    let typed = args.lot.as_deref().unwrap_or_default();
    let (lot, _) = asking.find_lot(typed, None)?;
    let code = farm.lot(lot).code;
    let mut accounts = books(farm);
    accounts.retain(|account| account.code == code);
    Ok(if shed.json {
        balance_json::text(&accounts)
    } else {
        accounts
            .iter()
            .map(|account| balance_page::one(farm, account))
            .collect()
    })
}

fn of_kind(mut accounts: Vec<Account>, kind: Option<&str>) -> Result<Vec<Account>, Failure> {
    let Some(kind) = kind else {
        return Ok(accounts);
    };
    let known = LotSort::words();
    if !known.contains(&kind) {
        return Err(Failure::refused(format!(
            "`{kind}` is no kind of lot; write one of {}",
            known.join(", ")
        )));
    }
    accounts.retain(|account| account.sort.word() == kind);
    Ok(accounts)
}
