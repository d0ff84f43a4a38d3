//! Finds the codes and marks nearest to a wrong one. It never picks one of several.

use super::bin_code::Mark;
use super::code::LotCode;
use super::farm::Farm;

/// How many of the nearest codes are offered.
const OFFERED: usize = 3;
/// A shorter piece of a code is in too many.
const SHORTEST: usize = 4;
/// Codes that differ in more places than this are not near.
const NEAR: usize = 2;

impl Farm {
    /// Returns the codes that differ from a text in the fewest places, the nearest first.
    pub fn nearest_codes(&self, text: &str) -> Vec<LotCode> {
        let wanted: String = text
            .chars()
            .filter(|c| c.is_ascii_alphanumeric())
            .map(|c| c.to_ascii_uppercase())
            .collect();
        let near = self.codes().filter_map(|code| {
            let steps = distance(&wanted, &format!("{}{}", code.body(), code.check()));
            (steps <= NEAR).then_some((steps, code))
        });
        let mut near: Vec<_> = near.collect();
        near.sort();
        near.into_iter()
            .take(OFFERED)
            .map(|(_, code)| code)
            .collect()
    }

    /// Returns the codes that have a piece of a code in them, if they are few; the latest first.
    ///
    /// A piece is at least four letters and digits with a digit among them; `O` and `I` read as digits.
    pub fn codes_with(&self, piece: &str) -> Vec<LotCode> {
        let bare = piece.chars().filter(|c| *c != '-' && *c != ' ');
        let bare: String = bare
            .map(|c| match c.to_ascii_uppercase() {
                'O' => '0',
                'I' => '1',
                other => other,
            })
            .collect();
        let reads = bare.bytes().all(|byte| byte.is_ascii_alphanumeric());
        if bare.len() < SHORTEST || !reads || !bare.bytes().any(|byte| byte.is_ascii_digit()) {
            return Vec::new();
        }
        let with = self.codes().filter(|code| {
            let whole = format!("{}{}", code.body(), code.check());
            whole.contains(&bare)
        });
        let mut with: Vec<LotCode> = with.take(OFFERED + 1).collect();
        with.sort();
        with.reverse();
        if with.len() > OFFERED {
            Vec::new()
        } else {
            with
        }
    }

    /// Returns the marks that differ from a text in the fewest places, the nearest first.
    pub fn nearest_marks(&self, text: &str) -> Vec<Mark> {
        let near = self.marks().filter_map(|(mark, _)| {
            let steps = distance(text, mark.as_str());
            (steps <= NEAR).then(|| (steps, mark.clone()))
        });
        let mut near: Vec<_> = near.collect();
        near.sort();
        near.into_iter()
            .take(OFFERED)
            .map(|(_, mark)| mark)
            .collect()
    }
}

/// Counts the changes from one text to the other: a character put in, left out, replaced, or two swapped.
fn distance(a: &str, b: &str) -> usize {
    let (a, b): (Vec<char>, Vec<char>) = (a.chars().collect(), b.chars().collect());
    if a.len().abs_diff(b.len()) > NEAR {
        return NEAR + 1;
    }
    let mut rows = vec![(0..=b.len()).collect::<Vec<usize>>()];
    for i in 1..=a.len() {
        let mut row = vec![i];
        for j in 1..=b.len() {
            let replaced = rows[i - 1][j - 1] + usize::from(a[i - 1] != b[j - 1]);
            let mut best = replaced.min(rows[i - 1][j] + 1).min(row[j - 1] + 1);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                best = best.min(rows[i - 2][j - 2] + 1);
            }
            row.push(best);
        }
        rows.push(row);
    }
    rows[a.len()][b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_swap_a_wrong_and_a_missing_character_are_one_step() {
        assert_eq!(distance("P26151", "P26115"), 1);
        assert_eq!(distance("P26145", "P26115"), 1);
        assert_eq!(distance("P2615", "P26115"), 1);
        assert!(distance("P26115", "H25004") > NEAR);
    }
}
