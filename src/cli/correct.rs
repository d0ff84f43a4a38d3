//! `castlot correct`: strikes an entry and puts a replacement of the same kind in its place, in one step.

use crate::farm::{Entry, EntryNumber, Event, Farm, ProductSetting, Refusal, Settings, Strike};
use crate::sheets::{Known, Reader, Row, row_of};

use super::failure::Failure;
use super::hint;
use super::refusing::{misread, refused};
use super::shed::Shed;
use super::strike::why;
use super::write_down::Typing;

/// Put an entry right.
///
/// Strikes the entry out and records it again with other values, in one step. The lot that it made keeps its code, and
/// everything that names the lot stays as it is. COLUMN is a column of the entry's sheet; without a value it is emptied.
///
/// Example: `castlot correct 4134 --set temperature_c=17 --why "thermometer read wrongly"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The entry's number.
    #[arg(value_name = "ENTRY")]
    entry: EntryNumber,
    /// What it should have said; may be given several times.
    #[arg(long, value_name = "COLUMN=VALUE", required = true)]
    set: Vec<String>,
    /// Why it is put right.
    #[arg(long, value_name = "WHY")]
    why: String,
}

/// Corrects an entry.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let why = why(&args.why)?;
    let mut settings = shed.settings()?;
    let stamp = shed.stamp(&settings);
    let zone = settings.clone();
    shed.put_right(&zone, |farm| {
        let entry = standing(farm, args.entry)?;
        let (row, typed) = replacement(farm, entry, &args.set)?;
        keep_product(&mut settings, entry, &typed);
        let known = Known::of(farm);
        let reader = Reader::new(&settings, &known, entry.when);
        let draft = reader.read(&row);
        let draft = draft.map_err(|problems| misread(&problems, Typing::Flags))?;
        let strike = Strike {
            entry: args.entry,
            why,
        };
        farm.correct(strike, draft, &stamp).map_err(refused)
    })
}

/// Returns an entry that holds something of its own.
fn standing(farm: &Farm, number: EntryNumber) -> Result<&Entry, Failure> {
    let entry = farm.entry(number);
    let refusal = match entry {
        Some(entry) if entry.event.is_some() => return Ok(entry),
        Some(_) => Refusal::StrikesOnly { entry: number },
        None => Refusal::NoSuchEntry { entry: number },
    };
    let mut failure = Failure::refused(refusal.to_string());
    failure.hints = hint::of(&refusal);
    Err(failure)
}

/// Returns the entry's row with other values, and the columns that were set.
pub(super) fn replacement<'a>(
    farm: &Farm,
    entry: &Entry,
    set: &'a [String],
) -> Result<(Row<'static>, Vec<&'a str>), Failure> {
    let mut row = row_of(farm, entry).expect("an entry with an event is a row");
    let mut columns = Vec::new();
    for typed in set {
        let (column, value) = typed.split_once('=').ok_or_else(|| {
            Failure::refused(format!("`{typed}` sets no column"))
                .hint("write the column, `=` and the value, as in `--set temperature_c=17`")
        })?;
        let column = column.trim();
        match column.to_ascii_lowercase().as_str() {
            "code" => {
                return Err(Failure::refused(
                    "a lot keeps its code, whatever is put right",
                ));
            }
            "by" => {
                return Err(Failure::refused("a correction is by whoever makes it")
                    .hint("say who that is with `--by INITIALS`"));
            }
            _ => {}
        }
        let value = value.trim().to_owned();
        row.set(column, value)
            .map_err(|error| Failure::refused(error.to_string()))?;
        columns.push(column);
    }
    renew_best_by(&mut row, entry, &columns);
    Ok((row, columns))
}

fn is_set(columns: &[&str], column: &str) -> bool {
    columns
        .iter()
        .any(|set| set.replace('-', "_").eq_ignore_ascii_case(column))
}

/// Lets a best-by date that castlot worked out be worked out again, where what it goes by is put right.
fn renew_best_by(row: &mut Row<'static>, entry: &Entry, columns: &[&str]) {
    let Some(Event::Pack {
        product,
        best_by: Some(best_by),
        ..
    }) = &entry.event
    else {
        return;
    };
    let worked_out = product.best_by(entry.when.day()) == Some(*best_by);
    let moved = is_set(columns, "when") || is_set(columns, "product");
    if worked_out && moved && !is_set(columns, "best_by") {
        row.set("best_by", "").expect("packs have a best-by column");
    }
}

/// Keeps the product as it was when it was packed, unless another is named: castlot.toml may have changed since.
fn keep_product(settings: &mut Settings, entry: &Entry, columns: &[&str]) {
    let Some(Event::Pack { product, .. }) = &entry.event else {
        return;
    };
    if !is_set(columns, "product") {
        let kept = ProductSetting::of((**product).clone());
        settings.products.insert(product.key.to_string(), kept);
    }
}
