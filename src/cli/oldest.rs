//! Packs asked for by product: `bag5 x3` is the three oldest that are fit to sell.

use jiff::civil::Date;

use crate::farm::{Farm, Mark, Settings};

use super::failure::Failure;
use super::phrase::count;
use super::sell_told::fit_to_sell;

/// Puts the oldest packs in place of those asked for by product; picks of runs stay as they are.
pub fn runs_for(
    picks: &str,
    farm: &Farm,
    settings: &Settings,
    day: Date,
) -> Result<String, Failure> {
    let mut all: Vec<String> = Vec::new();
    for pick in picks.split(';').map(str::trim) {
        match product_of(pick, farm, settings) {
            None => all.push(pick.to_owned()),
            Some((product, which)) => all.extend(oldest(farm, product, which, day)?),
        }
    }
    Ok(all.join("; "))
}

/// Cuts a pick into a product and how many; `None` where it names a run. A ref of the same name goes first.
fn product_of<'a>(pick: &'a str, farm: &Farm, settings: &Settings) -> Option<(&'a str, &'a str)> {
    let (name, which) = pick.split_once(char::is_whitespace)?;
    let mark = name.parse::<Mark>().ok();
    let is_lot = mark.is_some_and(|mark| farm.marked(&mark).is_some());
    (settings.products.contains_key(name) && !is_lot).then_some((name, which.trim()))
}

fn oldest(farm: &Farm, product: &str, which: &str, day: Date) -> Result<Vec<String>, Failure> {
    let wanted = which
        .strip_prefix(['x', 'X'])
        .and_then(|many| many.parse::<u32>().ok());
    let Some(wanted) = wanted.filter(|wanted| *wanted > 0) else {
        return Err(Failure::refused(format!(
            "`{product}` is a product; of a product only a number can be sold, oldest first"
        ))
        .hint(format!(
            "say how many, as in `{product} x3`, or name the run and its packs"
        )));
    };
    let (mut left, mut picks) = (wanted, Vec::new());
    for run in fit_to_sell(farm, product, day) {
        let lot = farm.lot(run);
        let here = lot.shelf.as_ref().map_or(0, |shelf| shelf.in_store());
        let taken = here.min(left);
        if taken > 0 {
            picks.push(format!("{} x{taken}", lot.code));
            left -= taken;
        }
    }
    if left > 0 {
        let there = match wanted - left {
            0 => "no packs".to_owned(),
            some => count(some, "pack", "packs"),
        };
        return Err(Failure::refused(format!(
            "of {wanted} asked for, {there} of `{product}` can be picked on {day}; what is held, recalled or past its best by is left out"
        ))
        .hint("see what stands in store with `castlot stock`"));
    }
    Ok(picks)
}
