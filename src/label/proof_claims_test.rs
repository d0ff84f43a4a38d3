//! Tests of the proof (claims).
