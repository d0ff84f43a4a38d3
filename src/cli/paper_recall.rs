//! `castlot paper recall-notice`, `stall-sign` and `recall-report`: the papers of a recall.

use std::collections::BTreeSet;

use crate::farm::{SaleTo, Word};
use crate::papers::RecallPapers;

use super::failure::Failure;
use super::own_templates::own_templates;
use super::paper::{Desk, Files};
use super::phrase::count;
use super::recall::found;
use super::voice;
use super::whom::{self, Whom};

/// Write a letter to each buyer who has packs that are asked back: which packs, what to do, whom to ring, and a label
/// with its code ringed.
///
/// All letters are in one PDF, each with its own page numbers.
///
/// Example: `castlot paper recall-notice recall-1 --buyer "a nursery at the ferry landing"`
#[derive(Debug, clap::Args)]
pub struct NoticeArgs {
    /// The recall's name.
    recall: String,
    /// The one buyer to write to, or a part of the name that no other buyer has.
    #[arg(long, value_name = "NAME")]
    buyer: Option<String>,
    #[command(flatten)]
    files: Files,
}

/// Write a sign for each market at which packs were sold that are asked back: place, days, codes, and what to do.
///
/// It can be read from two metres. Why packs are asked back stands on it only where `--because` says so in words for
/// customers.
///
/// Example: `castlot paper stall-sign recall-1 --market "Quay market"`
#[derive(Debug, clap::Args)]
pub struct SignArgs {
    /// The recall's name.
    recall: String,
    /// The one market, or a part of its name.
    #[arg(long, value_name = "NAME")]
    market: Option<String>,
    /// A sentence that says why.
    #[arg(long, value_name = "TEXT")]
    because: Option<String>,
    #[command(flatten)]
    files: Files,
}

/// Write the report of a recall: packs made, traced, in store, with buyers, told, come back and not accounted for; who
/// has them; minutes taken; links that rest on guesses.
///
/// Example: `castlot paper recall-report recall-1 --csv recall-1.csv`
#[derive(Debug, clap::Args)]
pub struct ReportArgs {
    /// The recall's name.
    recall: String,
    #[command(flatten)]
    files: Files,
}

/// Writes the letters.
pub fn notice(desk: &Desk, args: &NoticeArgs) -> Result<(), Failure> {
    let imprint = desk.imprint();
    with_papers(desk, &args.recall, |papers| {
        let buyer = named(papers, args.buyer.as_deref(), |to| to.buyer.as_ref())?;
        let (bytes, letters) = papers.notices(buyer.as_deref(), &imprint)?;
        voice::note(count(letters, "letter", "letters"));
        let named = format!("{}.notice.pdf", args.recall);
        args.files
            .write(named, &bytes, &desk.farm, &papers.listing())
    })
}

/// Writes the signs.
pub fn sign(desk: &Desk, args: &SignArgs) -> Result<(), Failure> {
    let imprint = desk.imprint();
    with_papers(desk, &args.recall, |papers| {
        let market = named(papers, args.market.as_deref(), at_market)?;
        let (bytes, signs) = papers.signs(market.as_deref(), args.because.as_deref(), &imprint)?;
        voice::note(count(signs, "sign", "signs"));
        let named = format!("{}.sign.pdf", args.recall);
        args.files
            .write(named, &bytes, &desk.farm, &papers.listing())
    })
}

/// Writes the report.
pub fn report(desk: &Desk, args: &ReportArgs) -> Result<(), Failure> {
    let imprint = desk.imprint();
    with_papers(desk, &args.recall, |papers| {
        let bytes = papers.report(imprint)?;
        let named = format!("{}.report.pdf", args.recall);
        args.files
            .write(named, &bytes, &desk.farm, &papers.listing())
    })
}

/// Returns the market of a sale without a buyer's name.
fn at_market(to: &SaleTo) -> Option<&Word> {
    to.market.as_ref().filter(|_| to.buyer.is_none())
}

/// Returns the name as the recalled sales have it, where a part of it was typed; else what was typed.
fn named<'a>(
    papers: &RecallPapers<'a>,
    asked: Option<&str>,
    of: impl Fn(&'a SaleTo) -> Option<&'a Word>,
) -> Result<Option<String>, Failure> {
    let Some(asked) = asked else {
        return Ok(None);
    };
    let names = papers.sales().filter_map(|sale| of(&sale.to));
    let names: BTreeSet<String> = names.map(ToString::to_string).collect();
    match whom::whom(asked, &names) {
        Whom::One(name) => Ok(Some(name.to_owned())),
        Whom::Nobody => Ok(Some(asked.to_owned())),
        Whom::Several(names) => Err(whom::which(asked, &names)),
    }
}

fn with_papers(
    desk: &Desk,
    name: &str,
    make: impl FnOnce(&RecallPapers<'_>) -> Result<(), Failure>,
) -> Result<(), Failure> {
    let file = found(&desk.farm, name)?;
    let templates = own_templates(&desk.folder)?;
    make(&RecallPapers {
        farm: &desk.farm,
        settings: &desk.settings,
        templates: &templates,
        file: &file,
    })
}
