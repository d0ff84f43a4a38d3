//! The demo farm's season as its sheets have it, cut at a moment; and what a load reached by then, worked out from the
//! rows alone.
//!
//! Nothing here uses castlot's code: which bed was in a bin, what flowed where and what could have reached what are read
//! from the sheets again, by the rules of the formats, so that the story has something to be held against.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use super::dsl::demo_lots;

/// A row of a sheet, by its columns.
pub type Cells = BTreeMap<String, String>;

/// The rows of every sheet that lie in a span of time.
pub struct Season {
    sheets: BTreeMap<String, (Vec<String>, Vec<Cells>)>,
}

impl Season {
    /// Returns the rows at or after one moment and before another, but for those that `out` names.
    pub fn between(from: &str, until: &str, out: impl Fn(&str, &Cells) -> bool) -> Self {
        let read = |path: PathBuf| {
            let sheet = path
                .file_stem()
                .expect("a sheet has a name")
                .to_string_lossy()
                .into_owned();
            let mut file = csv::Reader::from_path(&path).expect("it can be read");
            let header: Vec<String> = file
                .headers()
                .expect("it has a header")
                .iter()
                .map(Into::into)
                .collect();
            let rows = file
                .deserialize()
                .map(|row| row.expect("a row has every column"));
            let meant = |row: &Cells| from <= row["when"].as_str() && row["when"].as_str() < until;
            let rows = rows.filter(|row| meant(row) && !out(&sheet, row)).collect();
            (sheet, (header, rows))
        };
        let found = std::fs::read_dir(demo_lots()).expect("the demo farm has sheets");
        let paths = found.map(|found| found.expect("it can be read").path());
        let sheets = paths.filter(|path| path.extension().is_some_and(|end| end == "csv"));
        Self {
            sheets: sheets.map(read).collect(),
        }
    }

    /// Whether nothing was written down in that span.
    pub fn is_empty(&self) -> bool {
        self.sheets.values().all(|(_, rows)| rows.is_empty())
    }

    /// Returns each sheet's file name and text.
    pub fn files(&self) -> Vec<(String, Vec<u8>)> {
        let write = |(sheet, (header, rows)): (&String, &(Vec<String>, Vec<Cells>))| {
            let mut file = csv::Writer::from_writer(Vec::new());
            file.write_record(header).expect("memory can be written to");
            for row in rows {
                file.write_record(header.iter().map(|column| &row[column]))
                    .expect("memory can be written to");
            }
            (
                format!("{sheet}.csv"),
                file.into_inner().expect("memory can be written to"),
            )
        };
        self.sheets.iter().map(write).collect()
    }

    /// Returns the rows of a sheet.
    pub fn rows(&self, sheet: &str) -> &[Cells] {
        &self.sheets[sheet].1
    }

    /// Returns the refs of the pack runs that a load is in: those with a way of bulk and whole flows from it.
    pub fn runs_with(&self, load: &str) -> BTreeSet<String> {
        self.runs_by(load, &[Class::Bulk, Class::Whole])
    }

    /// Returns the refs of the pack runs whose worms are a load's, or come of them.
    pub fn runs_alive_of(&self, load: &str) -> BTreeSet<String> {
        self.runs_by(load, &[Class::Live, Class::Whole])
    }

    fn runs_by(&self, load: &str, classes: &[Class]) -> BTreeSet<String> {
        let flows: Vec<Flow> = self
            .flows()
            .into_iter()
            .filter(|flow| classes.contains(&flow.class))
            .collect();
        // The earliest moment at which each lot may have had something of the load in it.
        let mut since = BTreeMap::from([(load.to_owned(), String::new())]);
        loop {
            let before = since.clone();
            for flow in &flows {
                let in_time = since
                    .get(&flow.source)
                    .is_some_and(|since| *since <= flow.latest());
                if in_time {
                    let earliest = since
                        .entry(flow.target.clone())
                        .or_insert_with(|| flow.earliest());
                    *earliest = flow.earliest().min(earliest.clone());
                }
            }
            if since == before {
                break;
            }
        }
        let runs = self.rows("packs").iter().map(|row| row["ref"].clone());
        runs.filter(|run| since.contains_key(run)).collect()
    }

    /// Returns, for each pack run, the moments of the sievings whose castings are in it.
    pub fn sieved(&self) -> BTreeMap<String, BTreeSet<String>> {
        let mut sieved: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
        for row in self
            .rows("sievings")
            .iter()
            .filter(|row| row["kind"] == "castings")
        {
            sieved.insert(row["ref"].clone(), BTreeSet::from([row["when"].clone()]));
        }
        let mut filled: Vec<&Cells> = self
            .rows("blends")
            .iter()
            .chain(self.rows("packs"))
            .collect();
        filled.sort_by_key(|row| &row["when"]);
        for row in filled {
            let sources = named(&row["from"]);
            let of = sources
                .iter()
                .filter_map(|source| sieved.get(source))
                .flatten();
            let of: BTreeSet<String> = of.cloned().collect();
            sieved.insert(row["ref"].clone(), of);
        }
        let runs = self.rows("packs").iter().map(|row| &row["ref"]);
        runs.map(|run| (run.clone(), sieved[run].clone())).collect()
    }
}

/// How material goes on.
#[derive(Clone, Copy, PartialEq)]
enum Class {
    Bulk,
    Live,
    Whole,
    Touch,
}

struct Flow {
    when: String,
    source: String,
    target: String,
    class: Class,
}

impl Flow {
    /// A day without a time begins before and ends after every minute of it.
    fn earliest(&self) -> String {
        self.when.clone()
    }

    fn latest(&self) -> String {
        match self.when.len() {
            10 => format!("{}T99", self.when),
            _ => self.when.clone(),
        }
    }
}

impl Season {
    fn flows(&self) -> Vec<Flow> {
        let classes = self.classes();
        let class = |lot: &str| {
            classes
                .get(lot)
                .copied()
                .unwrap_or_else(|| panic!("no sheet makes {lot}"))
        };
        let mut flows = Vec::new();
        let mut flow = |row: &Cells, source: String, target: String, class: Class| {
            let when = row["when"].clone();
            flows.push(Flow {
                when,
                source,
                target,
                class,
            });
        };
        for (sheet, column) in [
            ("blends", "from"),
            ("packs", "from"),
            ("beds", "takes"),
            ("feeds", "takes"),
        ] {
            for row in self.rows(sheet) {
                let target = match sheet {
                    "blends" | "packs" => row["ref"].clone(),
                    _ => self.bed(&row["bin"], &row["when"], true),
                };
                for source in named(&row[column]) {
                    let class = class(&source);
                    flow(row, source, target.clone(), class);
                }
            }
        }
        for row in self.rows("sievings") {
            for bin in named(&row["from"]) {
                flow(
                    row,
                    self.bed(&bin, &row["when"], false),
                    row["ref"].clone(),
                    sifted(row),
                );
            }
        }
        for row in self.rows("splits").iter().chain(self.rows("tips")) {
            let from = self.bed(&row["bin"], &row["when"], false);
            flow(
                row,
                from,
                self.bed(&row["to_bin"], &row["when"], true),
                Class::Whole,
            );
        }
        flows
    }

    /// How what is taken from each lot goes on.
    fn classes(&self) -> BTreeMap<String, Class> {
        let delivered = self.rows("deliveries").iter().map(|row| {
            let in_pieces = row["amount"].bytes().all(|b| b.is_ascii_digit());
            let class = match row["kind"].as_str() {
                "worms" => Class::Live,
                "packing" if in_pieces => Class::Touch,
                _ => Class::Bulk,
            };
            (row["ref"].clone(), class)
        });
        let made = self.rows("sievings").iter().chain(self.rows("blends"));
        let made = made.map(|row| (row["ref"].clone(), sifted(row)));
        let packed = self
            .rows("packs")
            .iter()
            .map(|row| (row["ref"].clone(), Class::Whole));
        delivered.chain(made).chain(packed).collect()
    }

    /// Names the bed of a bin by when it was bedded up: the last at or before a moment, or the last before it.
    fn bed(&self, bin: &str, when: &str, at: bool) -> String {
        let begun = self.rows("beds").iter().map(|row| (&row["bin"], row));
        let begun = begun.chain(self.rows("splits").iter().map(|row| (&row["to_bin"], row)));
        let begun = begun
            .filter(|(there, _)| *there == bin)
            .map(|(_, row)| row["when"].as_str());
        // An untimed feed means the bed of that day, which began by its end.
        let by = if when.len() == 10 {
            format!("{when}T99")
        } else {
            when.to_owned()
        };
        let before = begun.filter(|begun| *begun < by.as_str() || at && *begun == by);
        let last = before
            .max()
            .unwrap_or_else(|| panic!("there was no bed in {bin} at {when}"));
        format!("{bin} since {last}")
    }
}

/// How what was sieved, or mixed, goes on.
fn sifted(row: &Cells) -> Class {
    match row["kind"].as_str() {
        "worms" => Class::Live,
        "cocoons" => Class::Whole,
        _ => Class::Bulk,
    }
}

/// Returns the lots or bins that a list names: `straw-1 4kg; run-7/1-3 6L`.
fn named(list: &str) -> Vec<String> {
    let items = list
        .split(';')
        .map(str::trim)
        .filter(|item| !item.is_empty());
    let lot = |item: &str| {
        item.split([' ', '/', '#'])
            .next()
            .expect("a split has a first part")
            .to_owned()
    };
    items.map(lot).collect()
}
