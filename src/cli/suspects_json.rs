//! The object that `castlot suspects --json` prints.
//!
//! - `sign`: the row of the table of signs, null where no word of it is known; `cause`, `way` (`part`, `live`, `any`), `lag`
//!   (`least` and `most` days, or null where any time will do).
//! - `calls`: `name`, `when`, `run`, `serial` (null where they are not known), `candidates` (codes of runs).
//! - `left_out`: names of open calls that are about something else.
//! - `sold`, `complained`: packs, each once. `perhaps`: calls whose run is not known.
//! - `suspects`, the likeliest first: `code`, `ref`, `kind`, `name`, `can_start`, `exposed_complained`, `exposed_other`,
//!   `unexposed_complained`, `unexposed_other`, `rate_exposed`, `rate_unexposed`, `relative_risk`, `odds_ratio` (null
//!   where it is 0/0; a text `inf` where it has no bound), `p`, `days` (`least`, `most`, from what went in to the calls),
//!   `in_time`, `perhaps_whichever`, `perhaps_some`, `same_as` (codes of those that reached just the same runs and rank with
//!   it), `tested` (`pass`, `fail` or null) and `why`.
//! - `verdict`: `no pack`, `no suspect`, `too few`, `alike` or `leads`; `compared` and `chance_of_best`.
//! - `test`: the most telling one: `test`, `code`, `ref`, `kept`, `covers`, `weight`; null where there is none.

use serde::Serialize;

use crate::desk::call::About;
use crate::desk::{mark, title};
use crate::farm::{Farm, LotId};
use crate::trace::{Suspect, Verdict, tested};

use super::out;
use super::suspects::Inquiry;
use super::suspects_page::why;

#[derive(Serialize)]
struct All {
    sign: Option<&'static str>,
    cause: Option<&'static str>,
    way: &'static str,
    lag: Option<Days>,
    calls: Vec<CallJson>,
    left_out: Vec<String>,
    sold: u64,
    complained: u64,
    perhaps: usize,
    suspects: Vec<SuspectJson>,
    verdict: &'static str,
    compared: usize,
    chance_of_best: Option<f64>,
    test: Option<TestJson>,
}

#[derive(Serialize)]
struct Days {
    least: i64,
    most: i64,
}

#[derive(Serialize)]
struct CallJson {
    name: String,
    when: String,
    run: Option<String>,
    serial: Option<u32>,
    candidates: Vec<String>,
}

#[derive(Serialize)]
struct SuspectJson {
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kind: &'static str,
    name: String,
    can_start: bool,
    exposed_complained: u64,
    exposed_other: u64,
    unexposed_complained: u64,
    unexposed_other: u64,
    rate_exposed: Option<f64>,
    rate_unexposed: Option<f64>,
    relative_risk: Option<Ratio>,
    odds_ratio: Option<Ratio>,
    p: f64,
    days: Option<Days>,
    in_time: bool,
    perhaps_whichever: usize,
    perhaps_some: usize,
    same_as: Vec<String>,
    tested: Option<&'static str>,
    why: String,
}

/// A ratio: JSON has no number for one without bound.
#[derive(Serialize)]
#[serde(untagged)]
enum Ratio {
    Number(f64),
    Unbound(&'static str),
}

impl Ratio {
    fn of(ratio: f64) -> Self {
        if ratio.is_finite() {
            Self::Number(ratio)
        } else {
            Self::Unbound("inf")
        }
    }
}

#[derive(Serialize)]
struct TestJson {
    test: &'static str,
    code: String,
    #[serde(rename = "ref")]
    mark: Option<String>,
    kept: Option<String>,
    covers: Vec<String>,
    weight: f64,
}

/// Writes it.
pub fn text(inquiry: &Inquiry) -> String {
    let lineup = &inquiry.lineup;
    let sign = inquiry.sign;
    let lag = sign.and_then(|sign| sign.lag);
    let suspects = lineup.suspects.iter().map(|one| suspect(inquiry, one));
    out::json(&All {
        sign: sign.map(|sign| sign.name),
        cause: sign.map(|sign| sign.cause),
        way: lineup.way.word(),
        lag: lag.map(|lag| Days {
            least: lag.least,
            most: lag.most,
        }),
        calls: calls(inquiry),
        left_out: inquiry
            .left_out
            .iter()
            .map(|call| call.name.to_string())
            .collect(),
        sold: lineup.sold,
        complained: lineup.complained,
        perhaps: lineup.perhaps,
        suspects: suspects.collect(),
        verdict: match lineup.verdict() {
            Verdict::NoPack => "no pack",
            Verdict::NoSuspect => "no suspect",
            Verdict::TooFew => "too few",
            Verdict::Alike(_) => "alike",
            Verdict::Leads(_) => "leads",
        },
        compared: lineup.starters().count(),
        chance_of_best: lineup.chance_of_best(),
        test: test(inquiry),
    })
}

fn code(farm: &Farm, lot: LotId) -> String {
    farm.lot(lot).code.to_string()
}

fn calls(inquiry: &Inquiry) -> Vec<CallJson> {
    let farm = inquiry.farm;
    let calls = inquiry.calls.iter().map(|call| {
        let (run, serial, candidates) = match &call.about {
            About::Pack(run, serial) => (Some(code(farm, *run)), *serial, Vec::new()),
            About::AnyOf(runs, _) => {
                let codes = runs.iter().map(|candidate| code(farm, candidate.run));
                (None, None, codes.collect())
            }
        };
        CallJson {
            name: call.name.to_string(),
            when: call.entry.when.to_string(),
            run,
            serial: serial.map(crate::farm::Serial::number),
            candidates,
        }
    });
    calls.collect()
}

fn suspect(inquiry: &Inquiry, suspect: &Suspect) -> SuspectJson {
    let (farm, odds) = (inquiry.farm, suspect.odds);
    let test = inquiry.sign.and_then(|sign| sign.test);
    let found = test.and_then(|test| tested(farm, suspect.lot, test));
    let same = inquiry.lineup.same_as(suspect);
    SuspectJson {
        code: code(farm, suspect.lot),
        mark: mark(farm, suspect.lot),
        kind: farm.lot(suspect.lot).sort.word(),
        name: title(farm, suspect.lot),
        can_start: suspect.can_start,
        exposed_complained: odds.exposed_complained,
        exposed_other: odds.exposed_other,
        unexposed_complained: odds.unexposed_complained,
        unexposed_other: odds.unexposed_other,
        rate_exposed: odds.rate_exposed(),
        rate_unexposed: odds.rate_unexposed(),
        relative_risk: odds.relative_risk().map(Ratio::of),
        odds_ratio: odds.odds_ratio().map(Ratio::of),
        p: suspect.p,
        days: suspect.days.map(|(least, most)| Days { least, most }),
        in_time: suspect.is_in_time(),
        perhaps_whichever: suspect.perhaps.0,
        perhaps_some: suspect.perhaps.1,
        same_as: same.map(|other| code(farm, other.lot)).collect(),
        tested: found.map(|found| if found.passed { "pass" } else { "fail" }),
        why: why(inquiry, suspect),
    }
}

fn test(inquiry: &Inquiry) -> Option<TestJson> {
    let (farm, test) = (inquiry.farm, inquiry.sign?.test?);
    let sample = inquiry.lineup.most_telling(farm, test)?;
    Some(TestJson {
        test,
        code: code(farm, sample.lot),
        mark: mark(farm, sample.lot),
        kept: sample.kept.map(String::from),
        covers: sample.covers.iter().map(|lot| code(farm, *lot)).collect(),
        weight: sample.weight,
    })
}
