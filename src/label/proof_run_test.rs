//! Tests of the proof (run).
