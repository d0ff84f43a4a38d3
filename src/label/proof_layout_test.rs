//! Tests of the proof (layout).
