//! What the page of `castlot suspects` concludes: whether anything stands out, and which test would tell most.

use crate::desk::{called, called_in_list};
use crate::farm::LotId;
use crate::trace::{TELLING, Verdict, tested};

use super::phrase::{count, paragraph, per_cent};
use super::suspects::Inquiry;
use super::suspects_page::{chance, some_names};

/// Tells whether the first of them stands out.
pub(super) fn verdict(inquiry: &Inquiry) -> String {
    let (farm, lineup) = (inquiry.farm, &inquiry.lineup);
    let Some(first) = lineup.starters().next() else {
        return match lineup.verdict() {
            Verdict::NoPack => "No call names its pack or run, so nothing can be told apart.",
            _ => "Nothing upstream of these packs can have started it; the sign may be another one, or the pack.",
        }
        .to_owned();
    };
    if let Some(failed) =
        verdict_of_test(inquiry, first.lot).filter(|told| told.ends_with("failed"))
    {
        return format!("{}: {failed}.", called(farm, first.lot));
    }
    match lineup.verdict() {
        Verdict::NoPack | Verdict::NoSuspect => {
            "No call names its pack or run, so nothing can be told apart yet; the order is by how many calls each may be behind."
                .to_owned()
        }
        Verdict::TooFew if lineup.complained < 2 => {
            "One complaint is too little to tell anything apart; the order is by how few packs each reached."
                .to_owned()
        }
        Verdict::TooFew => format!(
            "Too few complaints to tell anything apart: even the first would come about by chance with p {}, and {TELLING} is what usually counts.",
            chance(first.p)
        ),
        Verdict::Alike(lots) => format!(
            "These cannot be told apart by the complaints: {}.",
            some_names(farm, &lots)
        ),
        Verdict::Leads(lot) => {
            let compared = lineup.starters().count();
            let bound = lineup.chance_of_best().unwrap_or(1.0);
            let called = called(farm, lot);
            if compared == 1 {
                format!("{called} is the only one upstream that it can have started with.")
            } else if bound < TELLING {
                format!("{called} stands out, even for the best of {compared} that were compared.")
            } else {
                format!(
                    "{called} stands out; but {compared} were compared, and by chance alone the best of so many may look as bad (at most {}): that is a reason to hold it and to test it, not a proof.",
                    per_cent(bound)
                )
            }
        }
    }
}

/// Tells which test would tell most.
pub(super) fn test(inquiry: &Inquiry) -> String {
    let Some(test) = inquiry.sign.and_then(|sign| sign.test) else {
        return String::new();
    };
    let (farm, lineup) = (inquiry.farm, &inquiry.lineup);
    let first = lineup.starters().next();
    let failed = first.and_then(|first| tested(farm, first.lot, test));
    if failed.is_some_and(|found| !found.passed) {
        return String::new();
    }
    let Some(sample) = lineup.most_telling(farm, test) else {
        return paragraph(
            &format!("Nothing is kept or left that a {test} test could tell of."),
            0,
        );
    };
    let of = called_in_list(farm, sample.lot);
    let what = match &sample.kept {
        Some(kept) => format!("the kept sample of {of}, {kept}"),
        None => format!("what is left of {of}"),
    };
    let weight = per_cent(sample.weight);
    let told = if sample.covers == [sample.lot] && sample.weight >= 1.0 {
        "nothing else that leads has a sample to test".to_owned()
    } else if sample.covers == [sample.lot] {
        format!("by the complaints alone it has {weight} of the weight of all that can be tested")
    } else {
        let parts = count(sample.covers.len() as u64, "suspect", "suspects");
        format!("it holds {parts} with {weight} of the weight")
    };
    paragraph(
        &format!("The {test} test that would tell most: {what}; {told}."),
        0,
    )
}

/// Tells what a lot's own test found.
pub(super) fn verdict_of_test(inquiry: &Inquiry, lot: LotId) -> Option<String> {
    let test = inquiry.sign?.test?;
    let found = tested(inquiry.farm, lot, test)?;
    let when = found.when.day();
    Some(match found.passed {
        true => format!("its {test} test of {when} passed"),
        false => format!("its {test} test of {when} failed"),
    })
}
