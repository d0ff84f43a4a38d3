//! The small change of papers: what `farm` says of numbers and days, and numbers with runs drawn together.

pub use crate::farm::phrase::{at, count, date, days, grouped, listed, per_cent};

/// Writes numbers with runs drawn together: `3, 7 to 9 and 12`.
pub fn numbers(mut numbers: Vec<u32>) -> String {
    numbers.sort_unstable();
    numbers.dedup();
    let runs = numbers.chunk_by(|a, b| a + 1 == *b);
    let run = |run: &[u32]| match run {
        [only] => only.to_string(),
        [first, second] => format!("{first}, {second}"),
        [first, .., last] => format!("{first} to {last}"),
        [] => String::new(),
    };
    runs.map(run).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_in_a_row_are_drawn_together() {
        assert_eq!(numbers(vec![12, 7, 9, 8, 3, 7]), "3, 7 to 9, 12");
        assert_eq!(numbers(vec![2, 1]), "1, 2");
        assert_eq!(numbers(vec![]), "");
    }
}
