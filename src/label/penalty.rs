//! The penalty score of a QR code's mask (ISO/IEC 18004), on whole rows of bits at once.
//!
//! It counts exactly as the qrcode crate does, so that the same mask wins; rows have at most 64
//! modules, the leftmost in the lowest bit, and there are as many rows as modules in one.

/// The crate's score, less the 720 points that it takes off for the finders of every code.
pub fn penalty(rows: &[u64]) -> u32 {
    runs_across(rows) + runs_down(rows) + blocks(rows) + finders(rows) + balance(rows)
}

/// Runs of five and more of one colour score their length less two: each place where four
/// neighbours in a row are equal counts one, and each run two more.
fn run_score(fives: u64, starts: u64) -> u32 {
    fives.count_ones() + 2 * starts.count_ones()
}

/// One bit for each module that has the colour of its right neighbour.
fn same_across(row: u64, width: usize) -> u64 {
    !(row ^ row >> 1) & ((1 << (width - 1)) - 1)
}

fn same_down(rows: &[u64], y: usize) -> u64 {
    let all = (1 << rows.len()) - 1;
    match rows.get(y + 1) {
        Some(below) => !(rows[y] ^ below) & all,
        None => 0,
    }
}

fn runs_across(rows: &[u64]) -> u32 {
    let score = |row: &u64| {
        let same = same_across(*row, rows.len());
        let fives = same & same >> 1 & same >> 2 & same >> 3;
        run_score(fives, fives & !(fives << 1))
    };
    rows.iter().map(score).sum()
}

fn runs_down(rows: &[u64]) -> u32 {
    let mut above = 0;
    let mut sum = 0;
    for y in 0..rows.len() - 4 {
        let fives = (y..y + 4).fold(u64::MAX, |all, y| all & same_down(rows, y));
        sum += run_score(fives, fives & !above);
        above = fives;
    }
    sum
}

/// Three points for each two by two modules of one colour.
fn blocks(rows: &[u64]) -> u32 {
    let width = rows.len();
    let block = |y: usize| {
        let across = same_across(rows[y], width) & same_across(rows[y + 1], width);
        3 * (across & same_down(rows, y)).count_ones()
    };
    (0..width - 1).map(block).sum()
}

/// Forty points for each look-alike of a finder, across or down, with four light modules (or
/// the edge) before or behind it.
fn finders(rows: &[u64]) -> u32 {
    let across = rows
        .iter()
        .map(|row| finder_starts(|by| shifted(*row, by)).count_ones());
    let row = |y: i64| {
        usize::try_from(y)
            .ok()
            .and_then(|y| rows.get(y))
            .copied()
            .unwrap_or(0)
    };
    let last = rows.len() as i64;
    let down = (0..last).map(|y| finder_starts(|by| row(y + by)).count_ones());
    40 * (across.sum::<u32>() + down.sum::<u32>())
}

fn shifted(row: u64, by: i64) -> u64 {
    if by < 0 { row << -by } else { row >> by }
}

/// Marks the modules where dark, light, three dark, light, dark begins; `at` gives the modules
/// so many steps further on.
fn finder_starts(at: impl Fn(i64) -> u64) -> u64 {
    let pattern = at(0) & !at(1) & at(2) & at(3) & at(4) & !at(5) & at(6);
    if pattern == 0 {
        return 0;
    }
    let dark_before = at(-4) | at(-3) | at(-2) | at(-1);
    let dark_behind = at(7) | at(8) | at(9) | at(10);
    pattern & !(dark_before & dark_behind)
}

fn balance(rows: &[u64]) -> u32 {
    let dark: u32 = rows.iter().map(|row| row.count_ones()).sum();
    let all = u32::try_from(rows.len() * rows.len()).expect("at most 61 rows");
    (dark * 200 / all).abs_diff(100)
}
