//! `castlot forget`: erases a name or a remark, while the entries and the chain stay as they are.

use jiff::civil::Date;
use serde::Serialize;

use crate::diary::WhichWord;
use crate::farm::{Event, Farm, RecallStep, Word};
use crate::serve::{Initials, Phones, Pins};

use super::failure::Failure;
use super::phrase::count;
use super::shed::Shed;
use super::{out, voice};

/// Erase a name or a remark for good, as a person may ask.
///
/// The entries stay, the diary still verifies, and packs still trace to a buyer since forgotten; but nothing is left
/// to tell or to guess who it was. Refused without `--yes` while packs could still be recalled from that buyer.
///
/// Example: `castlot forget "the yard manager"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The name or remark, exactly as it stands in the diary.
    #[arg(
        value_name = "TEXT",
        required_unless_present = "key",
        conflicts_with = "key"
    )]
    text: Option<String>,
    /// The key of the name or remark, as castlot tells it of similar ones.
    #[arg(long, value_name = "KEY")]
    key: Option<u64>,
    /// Forget it even though packs could then not be recalled by name.
    #[arg(long)]
    yes: bool,
}

/// How long packs are taken to be about: some waste records are kept two years (gov.uk), and most compost is used by then.
const RECALL_DAYS: i64 = 730;

/// Forgets a word.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let settings = shed.settings()?;
    let mut book = shed.book()?;
    let which = match (&args.text, args.key) {
        (Some(text), _) => WhichWord::Text(text.trim()),
        (None, Some(key)) => WhichWord::Key(key),
        (None, None) => return Err(Failure::refused("nothing is said of what to forget")),
    };
    let text = match which {
        WhichWord::Text(text) => Some(text.to_owned()),
        WhichWord::Key(key) => book.word(key)?.map(|word| word.to_string()),
    };
    if let Some(text) = text {
        let today = shed.stamp(&settings).now.day();
        let still = still_needed(&book.farm()?, &text, today);
        if !still.is_empty() && !args.yes {
            let typed = args.text.as_ref().map_or_else(
                || format!("--key {}", args.key.unwrap_or_default()),
                |text| format!("{text:?}"),
            );
            return Err(Failure::refused_for(still).hint(format!(
                "if it has to be forgotten all the same: `castlot forget {typed} --yes`"
            )));
        }
        for reason in still {
            voice::note(format!("warning: {reason}"));
        }
    }
    let forgotten = book.forget(which)?;
    for similar in &forgotten.similar {
        let (key, text) = (similar.key, &similar.text);
        voice::note(format!(
            "note: `{text}` stays; to forget it too: `castlot forget --key {key}`"
        ));
    }
    if forgotten.keys.is_empty() {
        return Err(Failure::refused("no name or remark in the diary is that")
            .hint("write it exactly as it stands, as `castlot log` shows it"));
    }
    if let Some(worker) = with_pin(shed, args) {
        voice::note(format!(
            "note: {worker} still has a PIN, in whose file these initials stand; `castlot pin {worker} --forget`"
        ));
    }
    tell(shed, &forgotten.keys)
}

/// Returns whose initials were forgotten, where they stand beside a PIN too.
fn with_pin(shed: &Shed, args: &Args) -> Option<Initials> {
    let worker: Initials = args.text.as_ref()?.parse().ok()?;
    // The name is forgotten already; a file of PINs that does not read is told of by `castlot pin`.
    let pins = Pins::read(&Phones::of(&shed.folder)).ok()?;
    pins.of(&worker).map(|(worker, _)| worker.clone())
}

/// What was forgotten, as `--json` tells of it.
#[derive(Serialize)]
struct Told {
    forgotten: Vec<String>,
}

fn tell(shed: &Shed, keys: &[u64]) -> Result<(), Failure> {
    let names: Vec<String> = keys
        .iter()
        .map(|key| Word::Forgotten(*key).to_string())
        .collect();
    if shed.json {
        return out::print(&out::json(&Told { forgotten: names }));
    }
    for name in names {
        voice::say(format!("it stands as {name} from now on"));
    }
    Ok(())
}

/// Tells why a word may still be needed: packs that were sold to whom it names, and recalls that are open.
fn still_needed(farm: &Farm, text: &str, today: Date) -> Vec<String> {
    let names = |word: &Option<Word>| word.as_ref().and_then(Word::said) == Some(text);
    let (mut sales, mut last) = (0_u32, None);
    let mut open: Vec<&str> = Vec::new();
    for place in farm.order() {
        let entry = &farm.entries()[*place];
        match &entry.event {
            Some(Event::Sale { to, .. })
                if (names(&to.buyer) || names(&to.contact) || names(&to.market))
                    && is_recent(entry.when.day(), today) =>
            {
                sales += 1;
                last = last.max(Some(entry.when.day()));
            }
            Some(Event::Recall {
                recall,
                step,
                buyer,
                ..
            }) => match step {
                RecallStep::Close => open.retain(|other| **other != **recall),
                RecallStep::Open | RecallStep::Told | RecallStep::Returned => {
                    if names(buyer) && !open.contains(&&**recall) {
                        open.push(recall);
                    }
                }
            },
            _ => {}
        }
    }
    let sold = last.map(|last| {
        let sales = count(sales, "sale", "sales");
        format!("`{text}` stands in {sales}, the last on {last}; packs of it could then not be recalled by name")
    });
    let recalls = open
        .iter()
        .map(|recall| format!("`{text}` is part of {recall}, which is not closed"));
    sold.into_iter().chain(recalls).collect()
}

fn is_recent(day: Date, today: Date) -> bool {
    day.until(today)
        .is_ok_and(|span| i64::from(span.get_days()) <= RECALL_DAYS)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sale_of_two_years_ago_may_still_be_recalled_and_an_older_one_not() {
        let today = jiff::civil::date(2026, 10, 31);
        assert!(is_recent(jiff::civil::date(2024, 10, 31), today));
        assert!(!is_recent(jiff::civil::date(2024, 10, 30), today));
        assert!(is_recent(jiff::civil::date(2026, 11, 5), today));
    }
}
