//! Papers: documents of pages for inspectors, buyers and the farm itself, laid out with the label's items.
//!
//! A paper is put together block by block and written as a PDF:
//!
//! ```text
//! let mut paper = Paper::new(Format::A4, "Trace file of P26115-07-S", imprint);
//! paper
//!     .heading("One step back")
//!     .text("Deliveries that are in it, or touched it.")
//!     .table(Table::new([Column::code("lot"), Column::text("what"), Column::number("share")])
//!         .row(["G26061-01-F", "horse manure", "18.3%"]));
//! let bytes = paper.to_pdf()?;
//! ```
//!
//! Text wraps and is never cut; a table goes on over pages under its header; a character that no font has is
//! refused by name. Every page bears the farm's name, the title, `page x of y` and the diary's seal, shortened;
//! the last one bears it in full. The same paper is the same bytes. Papers tell; what is due, reached or
//! recalled is decided by `farm` and `trace`, and nothing here reads the clock, the disk or the diary.

mod block;
mod dispatch;
mod drill_gaps;
mod drill_report;
mod drill_tables;
mod error;
mod evidence;
mod flow;
mod format;
mod frame;
mod lineage;
mod lot_words;
mod outlook_paper;
pub mod pack_list;
mod paper;
#[cfg(test)]
mod paper_test;
mod rack_card;
mod recall_notice;
mod recall_report;
mod recall_tables;
mod round_rows;
mod round_sheet;
mod set;
mod slab;
mod stall_sign;
mod step_back;
mod step_forward;
mod steps;
mod strokes;
mod style;
mod table;
mod trace_file;
mod width;
mod wording;

pub use dispatch::{Dispatch, file_name as dispatch_file_name};
pub use drill_report::{Drill, DrillClock};
pub use error::PaperError;
pub use format::Format;
pub use outlook_paper::{OutlookPaper, WeekBar, WormTable};
pub use paper::{Imprint, Paper};
pub use rack_card::RackCard;
pub use recall_notice::RecallPapers;
pub use round_sheet::RoundSheet;
pub use table::{Column, Table};
pub use trace_file::TraceFile;
