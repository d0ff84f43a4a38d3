//! The files that labels are written to.

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

use crate::farm::{Printer, Settings};
use crate::label::{Aim, Heading, Job, LabelError, Preview, Sheaf, sheet_map, usual_printer};

use super::failure::Failure;
use super::label_placing::Placing;
use super::phrase::count;
use super::waiting::Waiting;

/// A file of labels before it is printed.
pub struct File<'a> {
    path: PathBuf,
    title: String,
    sheaf: Sheaf<'a>,
}

impl<'a> File<'a> {
    /// Gives labels a file of their own, by what they are for.
    pub fn of(sheaf: Sheaf<'a>, settings: &Settings) -> Self {
        let Sheaf {
            what,
            template,
            sheet,
            ..
        } = &sheaf;
        Self {
            path: PathBuf::from(format!("{what}.{template}.{sheet}.pdf")),
            title: format!("Labels of {what}, {}", settings.name),
            sheaf,
        }
    }

    /// Puts all labels into one file, where they go on one kind of sheet.
    pub fn of_all(
        sheaves: Vec<Sheaf<'a>>,
        path: &Path,
        settings: &Settings,
    ) -> Result<Self, Failure> {
        let sheets: BTreeSet<&str> = sheaves.iter().map(|sheaf| sheaf.sheet.name()).collect();
        if sheets.len() > 1 {
            let names: Vec<&str> = sheets.into_iter().collect();
            let text = format!(
                "these labels go on different sheets ({}), which one file cannot hold",
                names.join(", ")
            );
            return Err(Failure::refused(text)
                .hint("leave `--out` away, or name one sheet for all with `--sheet NAME`"));
        }
        let one = sheaves.into_iter().reduce(|mut all, next| {
            all.labels.join(next.labels);
            all.date = all.date.max(next.date);
            all
        });
        let sheaf = one.ok_or(LabelError::Nothing)?;
        Ok(Self {
            path: path.to_owned(),
            ..Self::of(sheaf, settings)
        })
    }

    /// Makes the file, or the pictures of its pages, for the printer that its sheet goes to.
    pub fn make(&self, making: &Making<'_>) -> Result<Made, Failure> {
        let placing = making.placing;
        let named = placing.printer.as_deref();
        let chosen = usual_printer(making.settings, self.sheaf.sheet, named)?;
        let places = placing.places(self.sheaf.sheet)?;
        let total = placing.count(&self.sheaf.labels);
        let pages = places.pages_for(total);
        let aim = chosen.map_or(Aim::TRUE, |(_, printer)| Aim::at(printer));
        let labels = placing.copied(&self.sheaf.labels);
        let said = format!(
            "{} on {}{}",
            count(total, "label", "labels"),
            count(pages, "page", "pages"),
            chosen.map_or_else(String::new, |(name, _)| format!(" for `{name}`"))
        );
        let files = match making.form {
            Form::Pdf => {
                let counted = labels
                    .enumerate()
                    .inspect(|(at, _)| making.waiting.counting("writing the PDF", *at, total));
                let job = Job::of(&places, counted.map(|(_, label)| label), aim);
                vec![(self.path.clone(), job.pdf(&self.heading())?)]
            }
            Form::Pictures => {
                let printer = chosen.map(|(_, printer)| printer);
                let job = Job::of(&places, labels, aim);
                self.pictures(job, printer, (making.waiting, pages))?
            }
        };
        Ok(Made {
            said,
            files,
            map: sheet_map(&places, total),
        })
    }

    /// Draws each page, as NAME-1.png and so on.
    fn pictures(
        &self,
        job: Job<'_>,
        printer: Option<&Printer>,
        (waiting, all): (&Waiting, usize),
    ) -> Result<Vec<(PathBuf, Vec<u8>)>, Failure> {
        let mut preview = Preview::new(printer);
        let name = self.path.with_extension("");
        let name = name.file_name().unwrap_or_default().to_string_lossy();
        let mut pictures = Vec::new();
        for (at, page) in job.pages().enumerate() {
            waiting.counting("drawing pages", at, all);
            let file = format!("{name}-{}.png", at + 1);
            pictures.push((self.path.with_file_name(file), preview.page(&page?)?));
        }
        Ok(pictures)
    }

    /// Returns what the labels are of.
    pub fn sheaf(&self) -> &Sheaf<'a> {
        &self.sheaf
    }

    /// Returns where the file is written.
    pub fn path(&self) -> &Path {
        &self.path
    }

    fn heading(&self) -> Heading {
        Heading {
            title: self.title.clone(),
            date: self.sheaf.date,
        }
    }
}

/// How files are made.
pub struct Making<'a> {
    /// The farm's settings.
    pub settings: &'a Settings,
    /// How labels are put on sheets.
    pub placing: &'a Placing,
    /// What they are made into.
    pub form: Form,
    /// Who tells that it takes its time.
    pub waiting: &'a Waiting,
}

/// What labels are made into.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Form {
    /// A PDF.
    Pdf,
    /// Pictures of the pages, in the printer's dots.
    Pictures,
}

/// Files that are made and not yet written.
pub struct Made {
    /// How many labels on how many pages, and for which printer.
    pub said: String,
    /// The files.
    pub files: Vec<(PathBuf, Vec<u8>)>,
    /// Where the labels go on the first sheet.
    pub map: Option<Vec<String>>,
}

/// Writes a file beside its place and puts it there in one step, so that a broken run leaves no half of one.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), Failure> {
    let mut name = path.file_name().unwrap_or_default().to_owned();
    name.push(".part");
    let beside = path.with_file_name(name);
    let written = fs::write(&beside, bytes).and_then(|()| fs::rename(&beside, path));
    written.map_err(|error| {
        // What is left of it is of no use; that it could not be removed adds nothing to the message.
        let _ = fs::remove_file(&beside);
        Failure::refused(format!("cannot write `{}`: {error}", path.display()))
    })
}
