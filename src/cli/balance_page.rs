//! A mass balance as a page: of one lot, or of many by kind.

use std::collections::BTreeMap;

use jiff::civil::Date;

use crate::desk::called_in_list;
use crate::farm::{Farm, LotSort, Quantity, Rate, Unit};
use crate::trace::{Account, Counted, Filling, Gap, Terms};

use super::phrase::{count, paragraph};
use super::table::{Set, Table};

/// Gaps of one balance that are told one by one; more are counted.
const TOLD: usize = 8;

/// Shows the balance of one lot.
pub fn one(farm: &Farm, account: &Account) -> String {
    let mut text = format!("{}: {}\n\n", name(farm, account), account.code);
    let mut table = Table::new(&[("", Set::Text), ("", Set::Number), ("", Set::Number)]);
    let is_bed = account.sort == LotSort::Bed;
    for (word, value) in terms(&account.terms, is_bed) {
        if value == 0 && word != "unaccounted for" {
            continue;
        }
        let density = account.density.filter(|_| value != 0);
        let litres = density.map(|density| litres(account, value, density));
        table.row(vec![
            word.to_owned(),
            amount(account.counted, value),
            litres.unwrap_or_default(),
        ]);
    }
    text += &table.to_string();
    if let Some(filling) = &account.filling {
        text += &paragraph(&filled(filling), 0);
    }
    text += &gaps(account);
    text
}

/// Shows many balances, added up kind by kind, and then the gaps lot by lot.
pub fn span(farm: &Farm, (first, last): (Date, Date), accounts: &[Account]) -> String {
    let mut sums: BTreeMap<(LotSort, Counted), (usize, Terms)> = BTreeMap::new();
    for account in accounts {
        let sum = sums.entry((account.sort, account.counted)).or_default();
        sum.0 += 1;
        sum.1 = sum.1.plus(account.terms);
    }
    let mut text = format!("From {first} to {last}, both days in it\n");
    for ((sort, counted), (lots, sum)) in &sums {
        let number = count(*lots as u64, "lot", "lots");
        text += &format!("\n{} ({number})\n", heading(*sort, *counted));
        let mut table = Table::new(&[("", Set::Text), ("", Set::Number)]);
        for (word, value) in terms(sum, *sort == LotSort::Bed) {
            if value != 0 || word == "unaccounted for" {
                table.row(vec![word.to_owned(), amount(*counted, value)]);
            }
        }
        text += &table.to_string();
    }
    text + &open_ends(farm, accounts)
}

/// Lists the lots of which something is not accounted for.
fn open_ends(farm: &Farm, accounts: &[Account]) -> String {
    let mut table = Table::new(&[
        ("", Set::Text),
        ("", Set::Number),
        ("", Set::Text),
        ("", Set::Whole),
    ]);
    for account in accounts
        .iter()
        .filter(|account| account.terms.unaccounted != 0)
    {
        table.row(vec![
            name(farm, account),
            amount(account.counted, account.terms.unaccounted),
            account
                .gaps
                .iter()
                .filter_map(short)
                .collect::<Vec<_>>()
                .join("; "),
            account.code.to_string(),
        ]);
    }
    let guessed = accounts.iter().filter(|account| {
        account
            .gaps
            .iter()
            .any(|gap| matches!(gap, Gap::Guesses { .. }))
    });
    let guessed = guessed.count() as u64;
    let mut text = String::new();
    if !table.is_empty() {
        text += &format!("\nNot accounted for, lot by lot\n{}", table.indented());
    }
    if guessed > 0 {
        let lots = count(guessed, "lot", "lots");
        let line = format!(
            "In {lots} some amounts are guesses, turned by a test, or divided over beds; `castlot balance LOT` says how much."
        );
        text += &format!("\n{}", paragraph(&line, 0));
    }
    text
}

fn name(farm: &Farm, account: &Account) -> String {
    farm.lot_of(account.code)
        .map_or_else(|| account.code.to_string(), |lot| called_in_list(farm, lot))
}

fn heading(sort: LotSort, counted: Counted) -> String {
    let what = match sort {
        LotSort::Delivery(kind) => format!("Deliveries: {kind}"),
        LotSort::Bed => "Beds".to_owned(),
        LotSort::Batch(kind) => format!("Batches: {kind}"),
        LotSort::Run(kind) => format!("Packs: {kind}"),
    };
    match counted {
        Counted::In(Unit::Pieces) => format!("{what}, by count"),
        Counted::In(Unit::Millilitres) => format!("{what}, by volume"),
        Counted::In(Unit::Grams) | Counted::Packs => what,
    }
}

/// Returns the terms with their words, those that came in first.
fn terms(terms: &Terms, is_bed: bool) -> [(&'static str, i64); 10] {
    let (used, in_store) = if is_bed {
        ("taken out", "in the bed by the book")
    } else {
        ("used", "in store")
    };
    [
        ("there before", terms.opening),
        ("came in", terms.came_in),
        (used, terms.used),
        ("sold and not back", terms.sold),
        ("thrown out", terms.thrown),
        (
            if terms.lost < 0 {
                "found when counted"
            } else {
                "lost, by counts"
            },
            terms.lost,
        ),
        ("written off when cleared", terms.written_off),
        ("back and kept apart", terms.apart),
        (in_store, terms.in_store),
        ("unaccounted for", terms.unaccounted),
    ]
}

/// Writes a whole number of units: `2.4kg`, `-120g`, `31 packs`.
pub fn amount(counted: Counted, value: i64) -> String {
    let sign = if value < 0 { "-" } else { "" };
    match counted {
        Counted::In(unit) => format!("{sign}{}", Quantity::new(value.unsigned_abs(), unit)),
        Counted::Packs => format!("{sign}{}", count(value.unsigned_abs(), "pack", "packs")),
    }
}

/// Writes grams as litres, or litres as grams, by a density.
fn litres(account: &Account, value: i64, density: Rate) -> String {
    let (mass, rate) = (
        u128::from(value.unsigned_abs()),
        u128::from(density.thousandths()),
    );
    let (turned, unit) = match account.counted {
        Counted::In(Unit::Grams) => (mass * 1_000_000 / rate, Unit::Millilitres),
        Counted::In(Unit::Millilitres) => (mass * rate / 1_000_000, Unit::Grams),
        Counted::In(Unit::Pieces) | Counted::Packs => return String::new(),
    };
    let turned = Quantity::new(u64::try_from(turned).unwrap_or(u64::MAX), unit);
    let sign = if value < 0 { "-" } else { "" };
    format!("~{sign}{turned}")
}

fn filled(filling: &Filling) -> String {
    let counted = Counted::In(filling.unit);
    let guess = if filling.guessed { "~" } else { "" };
    let (put_in, sold_as) = (
        amount(counted, filling.put_in),
        amount(counted, filling.sold_as),
    );
    let over = filling.over();
    let rest = match over {
        0 => "which is the same".to_owned(),
        1.. => format!(
            "{guess}{} more: filled over, or spilt",
            amount(counted, over)
        ),
        _ => format!("{guess}{} short", amount(counted, -over)),
    };
    let mut text =
        format!("{guess}{put_in} were put in, and the packs are sold as {sold_as}: {rest}");
    if !filling.unknown.is_empty() {
        let numbers: Vec<String> = filling.unknown.iter().map(ToString::to_string).collect();
        text += &format!(
            "; not counted, for want of an amount or a test: entry {}",
            numbers.join(", ")
        );
    }
    text
}

fn gaps(account: &Account) -> String {
    if account.gaps.is_empty() {
        return paragraph("Nothing rests on a guess.", 0);
    }
    let told = account.gaps.iter().take(TOLD);
    let mut text: String = told.map(|gap| paragraph(&long(account, gap), 0)).collect();
    if account.gaps.len() > TOLD {
        text += &format!("and {} more gaps\n", account.gaps.len() - TOLD);
    }
    text
}

fn long(account: &Account, gap: &Gap) -> String {
    match gap {
        Gap::UnknownIn { entry } => {
            format!("nobody knows how much came in by entry {entry}: it counts as nothing here")
        }
        Gap::UnknownOut { entry } => {
            format!("nobody knows how much went out by entry {entry}: it counts as nothing here")
        }
        Gap::Guesses {
            count: number,
            amount: value,
        } => {
            let number = count(*number as u64, "amount rests", "amounts rest");
            format!(
                "{number} on a guess, a test, or a division over beds: {} in all",
                amount(account.counted, *value)
            )
        }
        Gap::NoDensity { entry } => format!(
            "entry {entry} is in litres and has no density: a litre was taken for a kilogram"
        ),
        Gap::NoWeight { entry } => format!(
            "entry {entry} counts animals, and nobody counted how many make a kilogram: they weigh nothing here"
        ),
        Gap::Over => match account.sort {
            LotSort::Bed => {
                "more came out than was put in: a bed takes up water, and worms breed".to_owned()
            }
            LotSort::Delivery(_) | LotSort::Batch(_) | LotSort::Run(_) => {
                "more went out than came in: scales differ, or something was not written down"
                    .to_owned()
            }
        },
        Gap::UnknownLeft => "nobody knows how much is left".to_owned(),
    }
}

fn short(gap: &Gap) -> Option<String> {
    match gap {
        Gap::UnknownIn { entry } => Some(format!("`?` in, entry {entry}")),
        Gap::UnknownOut { entry } => Some(format!("`?` out, entry {entry}")),
        Gap::Over => Some("more out than in".to_owned()),
        Gap::NoDensity { .. } => Some("no density".to_owned()),
        Gap::NoWeight { .. } => Some("no count to the kilogram".to_owned()),
        Gap::Guesses { .. } | Gap::UnknownLeft => None,
    }
}
