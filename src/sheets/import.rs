//! A folder of sheets as drafts in the order in which they are recorded, or everything that is wrong with it.

use std::collections::BTreeMap;

use jiff::Timestamp;

use super::blame::column_of;
use super::error::{Notice, SheetError, SheetProblem};
use super::further::{Doubt, further};
use super::known::Known;
use super::read::Reader;
use super::row::Row;
use super::seen::Seen;
use super::table::Table;
use crate::farm::{Draft, Farm, Moment, Noun, Problem, Recording, Refusal, Settings};

/// What an import is read with.
#[derive(Clone, Copy, Debug)]
pub struct Importing<'a> {
    /// The farm's settings.
    pub settings: &'a Settings,
    /// The farm as it is.
    pub farm: &'a Farm,
    /// The minute, in the farm's own time.
    pub now: Moment,
    /// What to do with rows that stand in the diary already.
    pub already: AlreadyThere,
}

/// What to do with rows that stand in the diary already.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum AlreadyThere {
    /// The import is refused.
    #[default]
    Refuse,
    /// They are passed over.
    Skip,
}

/// A folder that was read.
#[derive(Clone, Debug)]
pub struct Import {
    /// The rows, in the order in which they are to be recorded.
    pub drafts: Vec<Draft>,
    /// Where they stood.
    pub origins: Origins,
    /// What was let pass with a word.
    pub notices: Vec<Notice>,
    /// How many rows were passed over, because they stand in the diary already.
    pub skipped: usize,
}

/// Where each draft stood.
#[derive(Clone, Debug, Default)]
pub struct Origins {
    tables: Vec<Table>,
    /// For each draft, its table and its place in that.
    at: Vec<(usize, usize)>,
}

/// Where a draft stood.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Origin {
    /// The file.
    pub file: String,
    /// The row as a spreadsheet counts them.
    pub row: u32,
}

impl std::fmt::Display for Origin {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}, row {}", self.file, self.row)
    }
}

impl Origins {
    /// Returns where a draft stood.
    pub fn of(&self, draft: usize) -> Option<Origin> {
        let (table, index) = *self.at.get(draft)?;
        let table = &self.tables[table];
        Some(Origin {
            file: table.file.clone(),
            row: table.number(index),
        })
    }

    /// Says of the farm's problems where in the sheets they are, in the order of the sheets.
    pub fn problems(&self, problems: Vec<Problem>) -> Vec<SheetProblem> {
        let mut placed: Vec<_> = problems
            .into_iter()
            .map(|problem| {
                let at = problem.draft.and_then(|draft| self.at.get(draft));
                (at.copied(), self.problem(at, problem))
            })
            .collect();
        placed.sort_by_key(|(at, _)| *at);
        placed.into_iter().map(|(_, problem)| problem).collect()
    }

    /// Returns the row of a draft.
    pub(super) fn row(&self, draft: usize) -> Option<Row<'_>> {
        let (table, index) = *self.at.get(draft)?;
        Some(self.tables[table].row(index))
    }

    /// Leaves a draft out; those after it move up.
    pub(super) fn leave_out(&mut self, draft: usize) {
        self.at.remove(draft);
    }

    fn problem(&self, at: Option<&(usize, usize)>, problem: Problem) -> SheetProblem {
        let error = SheetError::from(problem.refusal);
        let Some((table, index)) = at.map(|(table, index)| (&self.tables[*table], *index)) else {
            return SheetProblem {
                file: "the sheets".to_owned(),
                row: None,
                column: None,
                error,
            };
        };
        let column = match &error {
            SheetError::Refused { source } => column_of(source, &table.row(index)),
            _ => None,
        };
        SheetProblem {
            file: table.file.clone(),
            row: Some(table.number(index)),
            column: column.map(str::to_owned),
            error,
        }
    }
}

/// Reads a folder's files, by their names; each file that is a sheet becomes drafts.
pub fn read_folder(
    files: &BTreeMap<String, Vec<u8>>,
    with: Importing,
) -> Result<Import, Vec<SheetProblem>> {
    let mut folder = Folder::default();
    folder.read_tables(files);
    let mut known = Known::of(with.farm);
    folder.tables.iter().for_each(|table| known.learn(table));
    folder.read_rows(&with, &known);
    folder.rows.sort_by_key(|row| row.turn);
    let skipped = folder.find_seen(&with);
    let (at, drafts) = folder
        .rows
        .into_iter()
        .map(|row| (row.at, row.draft))
        .unzip();
    let mut doubt = Doubt::default();
    for (table, index) in folder.unread {
        doubt.add(&folder.tables[table].row(index));
    }
    let origins = Origins {
        tables: folder.tables,
        at,
    };
    if !folder.problems.is_empty() {
        let mut problems = folder.problems;
        problems.extend(further(with.farm, drafts, origins, doubt));
        return Err(in_order(problems));
    }
    Ok(Import {
        drafts,
        origins,
        notices: folder.notices,
        skipped,
    })
}

impl Import {
    /// Records all rows, or says everything that is wrong with them.
    pub fn record(&self, farm: &Farm, written: Timestamp) -> Result<Recording, Vec<SheetProblem>> {
        farm.record(self.drafts.clone(), written).map_err(|found| {
            let rest = further(
                farm,
                self.drafts.clone(),
                self.origins.clone(),
                Doubt::default(),
            );
            // What upsets an earlier entry is told by the farm alone.
            let upsets = |problem: &Problem| matches!(problem.refusal, Refusal::Upsets { .. });
            let upset = found.into_iter().filter(upsets).collect();
            in_order(
                rest.into_iter()
                    .chain(self.origins.problems(upset))
                    .collect(),
            )
        })
    }
}

fn in_order(mut problems: Vec<SheetProblem>) -> Vec<SheetProblem> {
    let order = |file: &str| noun_of(file).map_or(Noun::ALL.len(), |noun| noun as usize);
    problems.sort_by_key(|problem| (order(&problem.file), problem.row));
    problems
}

/// A folder that is being read.
#[derive(Default)]
struct Folder {
    /// In the order of the format's page.
    tables: Vec<Table>,
    rows: Vec<Placed>,
    problems: Vec<SheetProblem>,
    notices: Vec<Notice>,
    /// Rows that could not be read: a table and a place in it.
    unread: Vec<(usize, usize)>,
}

/// A draft, where it stood, and its turn.
struct Placed {
    draft: Draft,
    /// Its table and its place in that.
    at: (usize, usize),
    /// Day, natural order within the day, sheet, row.
    turn: (jiff::civil::Date, u8, usize, usize),
}

impl Folder {
    fn read_tables(&mut self, files: &BTreeMap<String, Vec<u8>>) {
        for (file, bytes) in files {
            let Some(noun) = noun_of(file) else {
                let file = file.clone();
                self.notices.push(Notice::NotASheet { file });
                continue;
            };
            if let Some(other) = self.tables.iter().find(|table| table.noun == noun) {
                self.problems.push(SheetProblem {
                    file: file.clone(),
                    row: None,
                    column: None,
                    error: SheetError::TwoFiles {
                        other: other.file.clone(),
                    },
                });
                continue;
            }
            let tabled = Table::read(file, noun, bytes);
            self.tables.push(tabled.table);
            self.problems.extend(tabled.problems);
            self.notices.extend(tabled.notices);
        }
        self.tables.sort_by_key(|table| table.noun);
    }

    /// Reads every row; bins last, because one of which no row says when was set up by the first of the others.
    fn read_rows(&mut self, with: &Importing, known: &Known) {
        let mut first: Option<Moment> = None;
        let last = |table: &&usize| self.tables[**table].noun == Noun::Bin;
        let places: Vec<usize> = (0..self.tables.len()).collect();
        let (bins, others): (Vec<usize>, Vec<usize>) = places.iter().partition(last);
        for table in others.into_iter().chain(bins) {
            let otherwise = first.map_or(with.now, |first| Moment::day_only(first.day()));
            let reader = Reader::new(with.settings, known, otherwise);
            self.read_sheet(table, &reader);
            let earliest = self.rows.iter().map(|row| row.draft.when);
            first = earliest.min_by_key(|when| when.earliest());
        }
    }

    fn read_sheet(&mut self, place: usize, reader: &Reader) {
        let table = &self.tables[place];
        for index in 0..table.len() {
            match reader.read(&table.row(index)) {
                Ok(draft) => {
                    let noun = table.noun;
                    let turn = (draft.when.day(), noun.rank(), place, index);
                    let at = (place, index);
                    self.rows.push(Placed { draft, at, turn });
                }
                Err(problems) => {
                    self.unread.push((place, index));
                    let located = problems.into_iter().map(|problem| SheetProblem {
                        file: table.file.clone(),
                        row: Some(table.number(index)),
                        column: problem.column.map(str::to_owned),
                        error: problem.error,
                    });
                    self.problems.extend(located);
                }
            }
        }
    }

    /// Looks for rows that stand in the diary already; returns how many were passed over.
    fn find_seen(&mut self, with: &Importing) -> usize {
        if with.farm.order().is_empty() {
            return 0;
        }
        let mut seen = Seen::of(with.farm);
        let before = self.rows.len();
        let mut kept = Vec::with_capacity(before);
        for row in std::mem::take(&mut self.rows) {
            let table = &self.tables[row.at.0];
            let dated = !table.cell(row.at.1, "when").is_empty();
            match (seen.find(&row.draft, dated), with.already) {
                (None, _) => kept.push(row),
                (Some(_), AlreadyThere::Skip) => {}
                (Some(entry), AlreadyThere::Refuse) => self.problems.push(SheetProblem {
                    file: table.file.clone(),
                    row: Some(table.number(row.at.1)),
                    column: None,
                    error: SheetError::AlreadyThere { entry },
                }),
            }
        }
        self.rows = kept;
        match with.already {
            AlreadyThere::Refuse => 0,
            AlreadyThere::Skip => before - self.rows.len(),
        }
    }
}

/// Returns the noun whose sheet a file is.
fn noun_of(file: &str) -> Option<Noun> {
    let stem = file.len().checked_sub(4).and_then(|end| {
        let (stem, ending) = (file.get(..end)?, file.get(end..)?);
        ending.eq_ignore_ascii_case(".csv").then_some(stem)
    })?;
    Noun::ALL
        .into_iter()
        .find(|noun| noun.sheet().eq_ignore_ascii_case(stem))
}

#[cfg(test)]
#[path = "import_test.rs"]
mod tests;
