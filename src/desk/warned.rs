//! What the farm's rules let pass with a word: warnings of a kind together, and no more than a few of each.

use std::mem::{Discriminant, discriminant};

use crate::farm::{Recording, Warning};

/// Names the entry that a warning is about, where there are several.
pub fn entry_prefix(recording: &Recording, index: usize) -> String {
    match recording.entries() {
        [_] => String::new(),
        entries => format!("entry {}: ", entries[index].number),
    }
}

/// More lines than this of one kind of warning are counted rather than shown.
const SHOWN: usize = 3;

/// Writes the warnings of a recording, those of a kind together, and no more than a few of each.
pub fn warnings(recording: &Recording, place: impl Fn(usize) -> String) -> Vec<String> {
    let mut kinds: Vec<(Discriminant<Warning>, Alike)> = Vec::new();
    for (index, warning) in recording.warnings() {
        let kind = discriminant(warning);
        let at = kinds.iter().position(|(known, _)| *known == kind);
        let at = at.unwrap_or_else(|| {
            kinds.push((kind, Alike::default()));
            kinds.len() - 1
        });
        kinds[at].1.add(warning.to_string(), || place(index));
    }
    let kinds = kinds.into_iter();
    kinds.flat_map(|(_, alike)| alike.told()).collect()
}

/// Warnings of one kind: the first few, and how many there are.
#[derive(Default)]
struct Alike {
    /// Text and place, each text once.
    shown: Vec<(String, String)>,
    count: usize,
}

impl Alike {
    fn add(&mut self, text: String, place: impl FnOnce() -> String) {
        self.count += 1;
        let told = self.shown.iter().any(|(shown, _)| *shown == text);
        if !told && self.shown.len() < SHOWN {
            self.shown.push((text, place()));
        }
    }

    fn told(self) -> Vec<String> {
        let more = self.count - self.shown.len();
        let shown = self.shown.into_iter();
        let mut lines: Vec<String> = shown
            .map(|(text, place)| format!("warning: {place}{text}"))
            .collect();
        if more > 0 {
            lines.push(format!("warning: {more} more of this kind"));
        }
        lines
    }
}
