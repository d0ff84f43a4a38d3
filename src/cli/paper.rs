//! `castlot paper`: papers for inspectors, buyers and market customers, as PDF files.

use std::path::{Path, PathBuf};

use crate::diary::Book;
use crate::farm::{Farm, Settings};
use crate::papers::{Imprint, PaperError, pack_list};
use crate::sheets;
use crate::trace::Listing;

use super::failure::Failure;
use super::label_file::write_whole;
use super::out;
use super::phrase::count;
use super::shed::Shed;
use super::{paper_dispatch, paper_recall, paper_round, paper_trace_file};

/// Make a paper: the trace file of a lot, the letters, signs and report of a recall, a round sheet, a rack card.
///
/// Each is a PDF on A4 that bears the diary's seal, so that whoever keeps it can tell later whether the diary was
/// changed.
///
/// Example: `castlot paper trace-file run-36 --out run-36.pdf`
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(subcommand)]
    which: Which,
}

#[derive(Debug, clap::Subcommand)]
enum Which {
    TraceFile(paper_trace_file::Args),
    RecallNotice(paper_recall::NoticeArgs),
    StallSign(paper_recall::SignArgs),
    RecallReport(paper_recall::ReportArgs),
    DispatchNote(paper_dispatch::Args),
    RoundSheet(paper_round::SheetArgs),
    RackCard(paper_round::CardArgs),
}

/// Runs the command.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let desk = Desk::of(shed)?;
    match &args.which {
        Which::TraceFile(args) => paper_trace_file::run(&desk, args),
        Which::RecallNotice(args) => paper_recall::notice(&desk, args),
        Which::StallSign(args) => paper_recall::sign(&desk, args),
        Which::RecallReport(args) => paper_recall::report(&desk, args),
        Which::DispatchNote(args) => paper_dispatch::run(&desk, args),
        Which::RoundSheet(args) => paper_round::sheet(shed, &desk, args),
        Which::RackCard(args) => paper_round::card(shed, &desk, args),
    }
}

/// Where papers go.
#[derive(Debug, clap::Args)]
pub struct Files {
    /// The file to write; named after what it is about where it is not given.
    #[arg(long, value_name = "FILE.pdf")]
    pub out: Option<PathBuf>,
    /// Write the packs of it too, a row each.
    #[arg(long, value_name = "FILE.csv")]
    pub csv: Option<PathBuf>,
}

/// What papers are made from.
pub struct Desk {
    /// The farm.
    pub farm: Farm,
    /// Its settings.
    pub settings: Settings,
    /// The farm's folder.
    pub folder: PathBuf,
    /// The diary's seal.
    pub seal: String,
}

impl Desk {
    /// Opens the diary.
    pub fn of(shed: &Shed) -> Result<Self, Failure> {
        let book: Book = shed.book()?;
        // The seal first: an entry that is written in between is on the paper, which then names one more than sealed.
        let seal = book.seal()?.to_string();
        Ok(Self {
            farm: book.farm()?,
            settings: shed.settings()?,
            folder: shed.folder.clone(),
            seal,
        })
    }

    /// Returns what stands on every page.
    pub fn imprint(&self) -> Imprint {
        let entries = self.farm.entries();
        let zone = &self.settings.zone;
        let newest = entries
            .last()
            .map(|entry| zone.to_datetime(entry.written).date());
        Imprint {
            farm: self.settings.name.clone(),
            address: self.settings.address.clone(),
            phone: self.settings.phone.clone(),
            seal: self.seal.clone(),
            entries: entries.len(),
            date: newest.unwrap_or_default(),
            printed: None,
        }
    }
}

impl Files {
    /// Returns the file of a paper.
    pub fn pdf(&self, named: String) -> PathBuf {
        self.out.clone().unwrap_or_else(|| PathBuf::from(named))
    }

    /// Writes a paper, and the packs of it where that is asked for.
    pub fn write(
        &self,
        named: String,
        bytes: &[u8],
        farm: &Farm,
        listing: &Listing,
    ) -> Result<(), Failure> {
        put(&self.pdf(named), bytes)?;
        match &self.csv {
            Some(path) => put_packs(path, farm, listing),
            None => Ok(()),
        }
    }
}

/// Writes a paper and says where it is.
pub fn put(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    write_whole(path, bytes)?;
    out::print(&format!("{}\n", path.display()))
}

/// Writes packs as CSV, a row each, and says how many.
pub fn put_packs(path: &Path, farm: &Farm, listing: &Listing) -> Result<(), Failure> {
    let mut written = 0_usize;
    let rows = pack_list::rows(farm, listing).inspect(|_| written += 1);
    write_whole(path, &sheets::list(pack_list::COLUMNS, rows))?;
    let rows = count(written, "row", "rows");
    out::print(&format!("{rows}: {}\n", path.display()))
}

impl From<PaperError> for Failure {
    fn from(error: PaperError) -> Self {
        let failure = Self::refused(error.to_string());
        match error {
            PaperError::Label { source } => Self::from(source),
            PaperError::NoSuchBuyer { recall, .. } | PaperError::NoSuchMarket { recall, .. } => {
                failure.hint(format!(
                    "see who has packs with `castlot recall show {recall}`"
                ))
            }
            PaperError::NoGlyph { .. } => failure.hint(
                "write the word anew without that character: `castlot correct` puts an entry right",
            ),
            PaperError::Pdf { .. } => failure,
            PaperError::Code { .. } => failure.hint("give a shorter `shed` in castlot.toml"),
        }
    }
}
