//! `castlot trace`: where a lot came from, where it went, how much of it, and who has packs.
//!
//! The JSON of `--json` is in `trace_json`, the page for people in `trace_back` and `trace_forward`.

use std::mem::ManuallyDrop;
use std::str::FromStr;

use crate::farm::{Farm, Moment, Settings};
use crate::trace::{Question, Side, Source, Trace, trace};

use super::failure::Failure;
use super::named::Asking;
use super::out;
use super::phrase::{at, count};
use super::shed::Shed;
use super::{trace_back, trace_forward, trace_json, voice};

/// Trace a pack, a batch, a bed or a delivery: where it came from, or where it went and who has packs of it.
///
/// A pack, a run or a batch is traced back, a delivery or a bed forward. CODE may be a code, a ref, a bin (its bed
/// then), or the text that a scanner reads from a label. Shares are by weight as recorded; `~` marks one that
/// rests on a guess, and what is not known is said.
///
/// Example: castlot trace run-36 --farm demo-farm
#[derive(Debug, clap::Args)]
pub struct Args {
    /// What to trace.
    code: String,
    /// Show where it came from.
    #[arg(long, conflicts_with = "forward")]
    back: bool,
    /// Show where it went.
    #[arg(long)]
    forward: bool,
    /// The moment to ask for: back from then, or forward from then.
    #[arg(long, value_name = "MOMENT")]
    when: Option<String>,
    /// Leave out parts smaller than this, as in `1%`, and say how many.
    #[arg(long, value_name = "SHARE")]
    min_share: Option<MinShare>,
}

/// The smallest share that is shown, of one.
#[derive(Clone, Copy, Debug, PartialEq)]
struct MinShare(f64);

/// Why a text is not a smallest share.
#[derive(Debug, PartialEq, thiserror::Error)]
#[error("`{typed}` is not a share; write one as in `1%`")]
struct MinShareError {
    typed: String,
}

impl FromStr for MinShare {
    type Err = MinShareError;

    fn from_str(text: &str) -> Result<Self, MinShareError> {
        let typed = text.trim();
        let share = match typed.strip_suffix('%') {
            Some(percent) => percent.trim().parse::<f64>().map(|percent| percent / 100.0),
            None => typed.parse(),
        };
        let sound = share.ok().filter(|share| (0.0..=1.0).contains(share));
        sound.map(Self).ok_or_else(|| MinShareError {
            typed: typed.to_owned(),
        })
    }
}

/// Runs it.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    // Never dropped: the command ends here, and freeing 100,000 entries one by one costs as much as the trace.
    let farm = ManuallyDrop::new(shed.open()?);
    let settings = shed.settings()?;
    let answer = answered(&farm, &settings, args)?;
    let text = if shed.json {
        if let Some(hidden) = answer.hidden_note() {
            voice::note(hidden);
        }
        trace_json::text(&farm, &answer.trace)
    } else {
        page(&farm, &answer)
    };
    out::print(&text)
}

/// An answer, with small parts taken out.
struct Answer<'a> {
    trace: Trace<'a>,
    /// How many were taken out, and the smallest share that was asked for.
    hidden: (usize, f64),
}

impl Answer<'_> {
    fn hidden_note(&self) -> Option<String> {
        let (hidden, least) = self.hidden;
        let parts = count(hidden as u64, "part", "parts");
        (hidden > 0).then(|| format!("{parts} under {}% left out", least * 100.0))
    }
}

fn answered<'a>(farm: &'a Farm, settings: &Settings, args: &Args) -> Result<Answer<'a>, Failure> {
    let when = match &args.when {
        None => None,
        Some(text) => Some(
            Moment::read(text, settings.dates, &settings.zone)
                .map_err(|error| Failure::refused(error.to_string()))?,
        ),
    };
    let asking = Asking {
        farm,
        settings,
        command: "trace",
    };
    let (lot, serial) = asking.find_lot(&args.code, when)?;
    let made = farm.lot(lot).when;
    if let Some(when) = when
        && !made.could_precede(when)
    {
        let (code, made) = (farm.lot(lot).code, at(made));
        voice::note(format!(
            "warning: {code} was made {made}, after {}; nothing was in it yet",
            at(when)
        ));
    }
    let side = match (args.back, args.forward) {
        (true, _) => Side::Back,
        (false, true) => Side::Forward,
        (false, false) => Side::that_suits(farm.lot(lot).sort),
    };
    let question = Question {
        lot,
        serial,
        when,
        side,
    };
    let mut trace = trace(farm, question);
    let least = args.min_share.map_or(0.0, |least| least.0);
    let mut hidden = 0;
    if let Some(back) = &mut trace.back {
        let before = back.len();
        back.retain(|source: &Source| source.share.is_none_or(|share| share >= least));
        hidden = before - back.len();
    }
    let hidden = (hidden, least);
    Ok(Answer { trace, hidden })
}

fn page(farm: &Farm, answer: &Answer) -> String {
    let Trace {
        question,
        back,
        forward,
        buyers,
    } = &answer.trace;
    match (back, forward) {
        (Some(sources), _) => {
            let page = trace_back::Page {
                farm,
                question: *question,
                sources,
                buyers,
            };
            page.text(answer.hidden_note())
        }
        (None, Some(uses)) => {
            let page = trace_forward::Page {
                farm,
                question: *question,
                uses,
                buyers,
            };
            page.text()
        }
        (None, None) => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::super::test_farm::{farm, settings};
    use super::*;

    fn traced(args: Args) -> String {
        let (farm, settings) = (farm(), settings());
        match answered(&farm, &settings, &args) {
            Ok(answer) => page(&farm, &answer),
            Err(failure) => format!("{failure:#?}"),
        }
    }

    fn plain(code: &str) -> Args {
        Args {
            code: code.to_owned(),
            back: false,
            forward: false,
            when: None,
            min_share: None,
        }
    }

    #[test]
    fn a_bag_is_traced_to_its_deliveries_by_share_its_beds_and_who_else_got_them() {
        insta::assert_snapshot!(traced(plain("run-1/1")), @"
        Worm-worked compost 5L (run-1), one pack, filled 2026-04-14 09:00:
        P26104-01-R/0001
        ON HOLD for horse manure (manure-1) since 2026-05-21 10:00: hay was never
        vouched for

        What is in it, by weight as recorded (~ rests on a guess):
          70.0%  straw (straw-1)          a farm on the levels   G26060-01-N
          23.3%  horse manure (manure-1)  a livery yard upriver  G26060-02-L
          ~6.7%  grain (grain-1)          a brewery              G26060-04-H

        Beds it was sieved or drawn from:
          bin  species    lived                     taken       bed
          A01  E. fetida  2026-03-02 to 2026-04-10  2026-04-10  B26061-01-B
          A02  E. fetida  2026-03-02 on             2026-04-12  B26061-02-9

        Carried at most, as a film on worms that were moved, or inside a bag or tub:
          composting worms (worms-1) and 5 L bags (bags-1)

        Who has this pack, or had it:
          a nursery, 01632 960214
            2026-04-18  run-1 #1

        Who else has packs from these deliveries (out: with buyers):
                    runs  packs  out  in store  gone  see all with
          straw-1      2      5    3         2     0  castlot trace G26060-01-N
          manure-1     2      5    3         2     0  castlot trace G26060-02-L
          grain-1      2      5    3         2     0  castlot trace G26060-04-H
        ");
    }

    #[test]
    fn a_tub_tells_live_from_carried() {
        insta::assert_snapshot!(traced(plain("tubs-1")), @"
        Bait worms, 50 (tubs-1), 4 packs filled 2026-04-16 09:00, 3 in store:
        P26106-01-B
        FLAGGED: may have been carried over from horse manure (manure-1), on hold since
        2026-05-21 10:00

        No delivery is known to be part of it.

        The worms are, or come of, these:
          composting worms (worms-1)  a worm farm  G26060-03-J

        Beds its worms came from:
          bin  species    lived                     taken       bed
          A01  E. fetida  2026-03-02 to 2026-04-10  2026-04-10  B26061-01-B

        Carried at most, as a film on worms that were moved, or inside a bag or tub:
          straw (straw-1), horse manure (manure-1), and grain (grain-1)

        Who has packs of it, or had them:
          without a name, on market days
            2026-04-19  Quay market  tubs-1 #1-2

        Who else has packs from these deliveries (out: with buyers):
                   runs  packs  out  in store  gone  see all with
          worms-1     1      4    1         3     0  castlot trace G26060-03-J
        ");
    }

    #[test]
    fn a_manure_is_traced_to_packs_and_the_people_to_ring() {
        insta::assert_snapshot!(traced(plain("manure-1")), @"
        horse manure (manure-1), 30kg from a livery yard upriver, came 2026-03-01:
        G26060-02-L
        ON HOLD since 2026-05-21 10:00: hay was never vouched for
        in 2 pack runs: 5 packs, 3 with buyers, 2 in store, 0 gone
        carried at most into 1 pack run: 4 packs, 1 with buyers, 3 in store, 0 gone

        It is in these packs (out: with buyers):
          packed      product  ref    packs  out  in store  gone  run
          2026-04-14  bag5     run-1      3    2         1     0  P26104-01-R
          2026-04-15  bag5     run-2      2    1         1     0  P26105-01-J

        Who has those packs, or had them:
          a nursery, 01632 960214
            2026-04-18  run-1 #1
            2026-04-25  run-2 #1
          without a name, on market days
            2026-04-19  Quay market  run-1 x1

        Carried at most, on worms or inside a pack, into these (out: with buyers):
          packed      product  ref     packs  out  in store  gone  run
          2026-04-16  tub50    tubs-1      4    1         3     0  P26106-01-B

        Who has those, or had them:
          without a name, on market days
            2026-04-19  Quay market  tubs-1 #1-2

        Beds it is in, or was:
          bin species   lived                    reached                  bed
          A01 E. fetida 2026-03-02 to 2026-04-10 2026-03-05               B26061-01-B
          A02 E. fetida 2026-03-02 on            2026-03-05 to 2026-04-20 B26061-02-9
          A10 E. fetida 2026-03-25 on            2026-03-25               B26084-01-T

        Batches it is in:
          cast-1, cast-2, and blend-1
        ");
    }

    #[test]
    fn small_parts_are_left_out_and_counted() {
        let args = Args {
            min_share: Some(MinShare(0.2)),
            ..plain("run-1")
        };
        let text = traced(args);
        assert!(text.contains("1 part under 20% left out"), "{text}");
        assert!(!text.contains("grain"), "{text}");
    }

    #[test]
    fn a_bin_stands_for_the_bed_that_was_in_it_then() {
        let (farm, settings) = (farm(), settings());
        let args = Args {
            when: Some("2026-04-01".to_owned()),
            ..plain("a01")
        };
        let answer = answered(&farm, &settings, &args).expect("a bed was there");
        assert_eq!(
            farm.lot(answer.trace.question.lot).code.to_string(),
            "B26061-01-B"
        );
        let now = answered(&farm, &settings, &plain("A01"))
            .map(|_| ())
            .unwrap_err();
        assert_eq!(now.texts, ["bin A01 has no bed in it now"]);
    }

    #[test]
    fn shares_are_read_as_per_cent_or_of_one() {
        assert_eq!("1%".parse(), Ok(MinShare(0.01)));
        assert_eq!("0.25".parse(), Ok(MinShare(0.25)));
        for typed in ["", "%", "-1%", "101%", "2", "NaN", "x"] {
            assert!(typed.parse::<MinShare>().is_err(), "{typed}");
        }
    }
}
