//! A file of lines that are only ever appended, each one JSON value, and on the disk before one goes on.
//!
//! Promises that a line is there whole or not at all: one that was cut off by a crash is taken for not written, and what
//! comes after it never grows onto it.

use std::fs::File;
use std::io::{self, Seek, SeekFrom, Write};
use std::path::PathBuf;

use serde::Serialize;
use serde::de::DeserializeOwned;

use super::phones::{Phones, PhonesError, failed, open_own};

/// Such a file, open.
#[derive(Debug)]
pub struct Journal {
    file: File,
    path: PathBuf,
    /// How long it is up to the end of its last whole line.
    length: u64,
}

impl Journal {
    /// Reads the lines of a file; none where it is not there.
    pub fn read<Line: DeserializeOwned>(
        phones: &Phones,
        name: &str,
    ) -> Result<Vec<Line>, PhonesError> {
        let bytes = phones.read(name)?.unwrap_or_default();
        // What stands behind the last end of a line was cut off while it was written.
        let whole = bytes.iter().rposition(|byte| *byte == b'\n');
        let whole = &bytes[..whole.unwrap_or(0)];
        let lines = whole.split(|byte| *byte == b'\n').enumerate();
        let lines = lines.filter(|(_, line)| !line.is_empty());
        let lines = lines.map(|(index, line)| {
            serde_json::from_slice(line).map_err(|_| PhonesError::Damaged {
                path: phones.file(name),
                line: index + 1,
            })
        });
        lines.collect()
    }

    /// Writes the file anew with these lines, and opens it for more.
    pub fn begin<Line: Serialize>(
        phones: &Phones,
        name: &str,
        lines: &[Line],
    ) -> Result<Self, PhonesError> {
        let text: Vec<u8> = lines.iter().flat_map(line_of).collect();
        phones.replace(name, &text)?;
        let path = phones.file(name);
        let file = open_own(&path).map_err(|source| failed(&path, source))?;
        Ok(Self {
            file,
            path,
            length: text.len() as u64,
        })
    }

    /// Appends a line, and returns when it is on the disk.
    pub fn append(&mut self, line: &impl Serialize) -> Result<(), PhonesError> {
        let line = line_of(line);
        let written = self.at_the_end(&line);
        match written {
            Ok(()) => self.length += line.len() as u64,
            // Half a line is cut off again; where even that fails, the next one is written over it.
            Err(_) => drop(self.file.set_len(self.length)),
        }
        written.map_err(|source| failed(&self.path, source))
    }

    fn at_the_end(&mut self, line: &[u8]) -> io::Result<()> {
        self.file.seek(SeekFrom::Start(self.length))?;
        self.file.write_all(line)?;
        self.file.sync_data()
    }
}

fn line_of(line: &impl Serialize) -> Vec<u8> {
    let mut text = serde_json::to_vec(line).expect("our own lines have text keys");
    text.push(b'\n');
    text
}

#[cfg(test)]
impl Journal {
    /// Puts a disk in its place that is full.
    pub fn fill(&mut self) {
        let full = File::options().write(true).open("/dev/full");
        self.file = full.expect("the tests run where there is such a file");
    }
}
