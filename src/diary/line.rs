//! A line in the making: sorts its keys, so that it is canonical.
//!
//! Only text, whole numbers and `true` stand in lines, which serde_json writes as RFC 8785 asks; a test compares
//! every kind of line with a canonicalizer.

use std::ops::Range;

use serde::Serialize;

/// A line in the making: values in the order they come, written out in the order of their keys.
#[derive(Default)]
pub(super) struct Line {
    values: Vec<u8>,
    keys: Vec<(&'static str, Range<usize>)>,
}

impl Line {
    /// Puts a value under a key, if there is one.
    pub fn put<T: Serialize>(&mut self, key: &'static str, value: Option<&T>) {
        let Some(value) = value else { return };
        let start = self.values.len();
        serde_json::to_writer(&mut self.values, value)
            .expect("values have text for keys and go to memory");
        self.keys.push((key, start..self.values.len()));
    }

    /// Writes the line out and starts anew. All keys are ASCII, so that their bytes sort as RFC 8785 asks.
    pub fn finish(&mut self, out: &mut Vec<u8>) {
        out.clear();
        self.keys.sort_unstable_by_key(|(key, _)| *key);
        for (key, value) in self.keys.drain(..) {
            out.extend_from_slice(if out.is_empty() { b"{\"" } else { b",\"" });
            out.extend_from_slice(key.as_bytes());
            out.extend_from_slice(b"\":");
            out.extend_from_slice(&self.values[value]);
        }
        out.push(b'}');
        self.values.clear();
    }
}
