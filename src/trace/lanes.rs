//! Lanes for the lines of a drawing: side by side where they would cover one another, the short ones nearest.

use crate::farm::Relation;

/// Lines of one style into one row.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// The rows they come from, in order.
    pub from: Vec<usize>,
    /// The row they go to.
    pub to: usize,
    /// How the lot at the bottom is reached by them.
    pub style: Relation,
}

impl Line {
    /// Returns the highest and the lowest row it touches.
    pub fn span(&self) -> (usize, usize) {
        let ends = self.from.iter().copied().chain([self.to]);
        ends.fold((usize::MAX, 0), |(low, high), row| {
            (low.min(row), high.max(row))
        })
    }
}

/// Returns each line's lane, counted from the rows outwards.
pub fn lanes(lines: &[Line]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..lines.len()).collect();
    order.sort_by_key(|line| {
        let (low, high) = lines[*line].span();
        (high - low, low, lines[*line].style)
    });
    let mut taken: Vec<Vec<(usize, usize)>> = Vec::new();
    let mut lanes = vec![0; lines.len()];
    for line in order {
        let (low, high) = lines[line].span();
        let is_free = |spans: &Vec<(usize, usize)>| {
            spans
                .iter()
                .all(|(other_low, other_high)| high < *other_low || *other_high < low)
        };
        let lane = taken.iter().position(is_free).unwrap_or(taken.len());
        if lane == taken.len() {
            taken.push(Vec::new());
        }
        taken[lane].push((low, high));
        lanes[line] = lane;
    }
    lanes
}

/// Returns how many lanes lines need.
pub fn lane_count(lines: &[Line]) -> usize {
    lanes(lines).into_iter().max().map_or(0, |lane| lane + 1)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn no_two_lines_in_a_lane_touch(
            ends in proptest::collection::vec((0_usize..30, 0_usize..30), 1..40)
        ) {
            let lines: Vec<Line> = ends
                .iter()
                .map(|(from, to)| Line { from: vec![*from], to: *to, style: Relation::Part })
                .collect();
            let lanes = lanes(&lines);
            for i in 0..lines.len() {
                for j in 0..i {
                    let ((a, b), (c, d)) = (lines[i].span(), lines[j].span());
                    prop_assert!(lanes[i] != lanes[j] || b < c || d < a);
                }
            }
        }
    }
}
