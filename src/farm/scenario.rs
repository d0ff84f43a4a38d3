//! Small farms for the tests of the rules, written a row a line.

use jiff::Timestamp;
use jiff::tz::TimeZone;

use super::amount::{Amount, Measures, Quantity};
use super::code::LotCode;
use super::entry::{Clears, Draft, Draw, Event, Found, NewLot, SaleTo, Sieved, Strike};
use super::facts::{BinFacts, CheckFacts, ComplaintFacts, DeliveryFacts, TestFacts};
use super::farm::Farm;
use super::kinds::{BatchKind, DeliveryKind, HoldStep, PackKind, Reach, ReturnState};
use super::lot::{Lot, LotId};
use super::moment::{DateOrder, Moment};
use super::naming::{BedName, LotName, TipTo, Typed};
use super::packs::{PackName, PackPick, SerialRange, Which};
use super::product::Product;
use super::record::{Problem, Stamp};
use super::refusal::Refusal;
use super::warning::Warning;
use super::word::Word;

/// A farm that rows are recorded in, one at a time.
#[derive(Default)]
pub struct Scenario {
    pub farm: Farm,
    pub warnings: Vec<Warning>,
}

impl Scenario {
    pub fn of(rows: &[&str]) -> Self {
        let mut scenario = Self::default();
        for line in rows {
            scenario
                .try_row(line)
                .unwrap_or_else(|refusal| panic!("{line}: {refusal}"));
        }
        scenario
    }

    /// Records one row, `WHEN NOUN WORDS…`; amounts of a lot are written `lot=2kg`.
    pub fn try_row(&mut self, line: &str) -> Result<(), Refusal> {
        self.try_rows(&[line])
    }

    /// Records rows together, as an import does.
    pub fn try_rows(&mut self, lines: &[&str]) -> Result<(), Refusal> {
        let drafts = lines.iter().map(|line| draft(line)).collect();
        let recording = self
            .farm
            .record(drafts, Timestamp::UNIX_EPOCH)
            .map_err(first)?;
        self.warnings
            .extend(recording.warnings().map(|(_, warning)| warning.clone()));
        self.farm = recording.farm;
        Ok(())
    }

    pub fn try_strike(&mut self, entry: u32) -> Result<(), Refusal> {
        let strike = Strike {
            entry,
            why: word("a slip"),
        };
        self.farm = self.farm.strike(strike, &stamp()).map_err(first)?.farm;
        Ok(())
    }

    pub fn try_correct(&mut self, entry: u32, line: &str) -> Result<(), Refusal> {
        let strike = Strike {
            entry,
            why: word("a slip"),
        };
        self.farm = self
            .farm
            .correct(strike, draft(line), &stamp())
            .map_err(first)?
            .farm;
        Ok(())
    }

    pub fn id(&self, mark: &str) -> LotId {
        self.farm
            .marked(&mark.parse().expect("a mark"))
            .unwrap_or_else(|| panic!("no lot {mark}"))
    }

    pub fn lot(&self, mark: &str) -> &Lot {
        self.farm.lot(self.id(mark))
    }

    /// The flows into a lot, as `source class`, in the order of events.
    pub fn sources(&self, mark: &str) -> Vec<String> {
        let flows = self.lot(mark).inflows.iter().map(|id| self.farm.flow(*id));
        flows
            .map(|flow| format!("{} {:?}", self.name(flow.from), flow.class))
            .collect()
    }

    fn name(&self, id: LotId) -> String {
        let lot = self.farm.lot(id);
        lot.mark
            .as_ref()
            .map_or_else(|| lot.code.to_string(), ToString::to_string)
    }
}

pub fn stamp() -> Stamp {
    let now = Moment::day_only(jiff::civil::date(2026, 12, 1));
    Stamp {
        written: Timestamp::UNIX_EPOCH,
        now,
        by: None,
    }
}

fn first(problems: Vec<Problem>) -> Refusal {
    problems
        .into_iter()
        .next()
        .expect("a refusal has a problem")
        .refusal
}

fn word(text: &str) -> Word {
    Word::of(text).expect("not empty")
}

fn draft(line: &str) -> Draft {
    let mut words = line.split_whitespace();
    let when = words.next().expect("a row starts with when");
    let when = Moment::read(when, DateOrder::YearMonthDay, &TimeZone::UTC).expect("a moment");
    let noun = words.next().expect("then its noun");
    Draft {
        when,
        by: None,
        note: None,
        event: event(noun, &words.collect::<Vec<_>>()),
    }
}

fn event(noun: &str, words: &[&str]) -> Event<Typed> {
    let mark = |place: usize| NewLot {
        code: None,
        mark: words.get(place).and_then(|w| w.parse().ok()),
    };
    match noun {
        "bin" => Event::Bin {
            bin: words[0].parse().expect("a bin"),
            place: words[1].parse().expect("a place"),
            facts: Box::new(BinFacts::default()),
        },
        // delivery REF KIND AMOUNT
        "delivery" => Event::Delivery {
            lot: mark(0),
            amount: amount(words[2]),
            facts: Box::new(DeliveryFacts::of(
                words[1].parse::<DeliveryKind>().expect("a kind"),
                "stuff",
                "a place",
            )),
        },
        // bed REF BIN LOT=AMOUNT…
        "bed" => Event::Bed {
            lot: mark(0),
            bin: words[1].parse().expect("a bin"),
            takes: draws(&words[2..]),
            species: None,
        },
        "feed" => Event::Feed {
            bed: bed(words[0]),
            takes: draws(&words[1..]),
        },
        "skip" => Event::Skip {
            bed: bed(words[0]),
            why: word(&match words[1..].join(" ") {
                why if why.is_empty() => "food left".to_owned(),
                why => why,
            }),
        },
        // check BIN [LEFT|- [DEGREES]]
        "check" => Event::Check {
            bed: bed(words[0]),
            facts: Box::new(CheckFacts {
                feed_left: words.get(1).and_then(|left| left.parse().ok()),
                temperature_c: words.get(2).map(|degrees| (*degrees).into()),
                ..CheckFacts::default()
            }),
        },
        "move" => Event::Move {
            bin: words[0].parse().expect("a bin"),
            place: words[1].parse().expect("a place"),
        },
        // split REF BIN SHARE TO
        "split" => Event::Split {
            lot: mark(0),
            bed: bed(words[1]),
            share: words[2].parse().expect("a share"),
            to: words[3].parse().expect("a bin"),
        },
        "tip" => Event::Tip {
            bed: bed(words[0]),
            to: tip_to(words[1]),
        },
        // sieve REF KIND AMOUNT|- all|BIN|- BIN[=AMOUNT]…
        "sieve" => Event::Sieving {
            lot: mark(0),
            kind: words[1].parse::<BatchKind>().expect("a kind"),
            whole: (words[2] != "-").then(|| amount(words[2])),
            clears: match words[3] {
                "all" => Clears::All,
                "-" => Clears::Named(Vec::new()),
                name => Clears::Named(vec![bed(name)]),
            },
            from: words[4..].iter().map(|w| sieved(w)).collect(),
        },
        "blend" => Event::Blend {
            lot: mark(0),
            kind: words[1].parse().expect("a kind"),
            from: draws(&words[2..]),
        },
        // pack (bags of 5 L) or tub (50 worms) REF COUNT [despite] LOT=AMOUNT…
        "pack" | "tub" => {
            let despite = (words[2] == "despite").then(|| "asked for it".into());
            let from = draws(&words[2 + usize::from(despite.is_some())..]);
            let count = words[1].parse().expect("a count");
            Event::Pack {
                lot: mark(0),
                product: Box::new(product(noun)),
                count,
                from,
                best_by: None,
                despite,
            }
        }
        "sale" => Event::Sale {
            packs: picks(words),
            to: Box::new(SaleTo {
                market: Some(word("Quay market")),
                ..SaleTo::default()
            }),
            despite: None,
        },
        "return" => Event::Return {
            packs: picks(words),
            state: ReturnState::Unsold,
            buyer: None,
            market: None,
        },
        "test" => Event::Test {
            lot: lot(words[0]),
            facts: Box::new(TestFacts {
                test: words[1].into(),
                value: words[2].into(),
                unit: None,
                method: None,
                lab: None,
                result: None,
            }),
        },
        // weigh REF [tare=AMOUNT] AMOUNT…
        "weigh" => {
            let tare = words[1].strip_prefix("tare=").map(quantity);
            let values = &words[1 + usize::from(tare.is_some())..];
            Event::Weighing {
                run: lot(words[0]),
                values: values.iter().map(|value| quantity(value)).collect(),
                tare,
            }
        }
        "count" => Event::Count {
            lot: lot(words[0]),
            found: if words[1] == "0" {
                Found::Nothing
            } else {
                Found::Some(amount(words[1]))
            },
            why: word("counted"),
        },
        "hold" => Event::Hold {
            lot: lot(words[0]),
            step: HoldStep::Hold(match words.get(1) {
                Some(&"short") | None => Reach::Parts,
                Some(reach) => reach.parse().expect("a reach"),
            }),
            reason: word(match words.get(1) {
                Some(&"short") => super::fill::SHORT_FILLS,
                Some(_) | None => "a sign",
            }),
        },
        // complaint NAME|- [RUN[/SERIAL]]
        "complaint" => Event::Complaint {
            pack: words.get(1).map(|word| pack(word)),
            facts: Box::new(ComplaintFacts {
                name: words[0].parse().ok(),
                sign: word("curled leaves"),
                heard: None,
                product: None,
                bought_at: None,
                bought_about: None,
                contact: None,
            }),
        },
        "settle" => Event::Settlement {
            complaint: words[0].parse().expect("a name"),
            why: word("only damp"),
        },
        // recall NAME STEP LOT… [buyer=NAME, spaces as _]
        "recall" => Event::Recall {
            recall: words[0].into(),
            step: words[1].parse().expect("a step"),
            lots: words[2..]
                .iter()
                .filter(|w| !w.starts_with("buyer="))
                .map(|w| lot(w))
                .collect(),
            packs: Vec::new(),
            buyer: words
                .iter()
                .find_map(|w| w.strip_prefix("buyer="))
                .map(|name| word(&name.replace('_', " "))),
            why: None,
        },
        "release" => Event::Hold {
            lot: lot(words[0]),
            step: HoldStep::Release,
            reason: word("clean"),
        },
        other => panic!("no noun {other}"),
    }
}

fn product(noun: &str) -> Product {
    let (key, kind, net) = match noun {
        "tub" => ("tub50", PackKind::Tub, "50"),
        _ => ("bag5", PackKind::Bag, "5L"),
    };
    Product {
        key: key.into(),
        name: "Castings".into(),
        kind,
        net: quantity(net),
        gtin: None,
        best_by_days: None,
        best_by_month_end: false,
    }
}

fn quantity(text: &str) -> Quantity {
    Quantity::read(text, &Measures::new()).expect("a quantity")
}

fn amount(text: &str) -> Amount {
    Amount::read(text, &Measures::new()).expect("an amount")
}

fn lot(text: &str) -> LotName {
    LotName::read(text).expect("a lot")
}

fn is_bin(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_uppercase()) && text.parse::<LotCode>().is_err()
}

fn bed(text: &str) -> BedName<LotName> {
    if is_bin(text) {
        BedName::Bin(text.parse().expect("a bin"))
    } else {
        BedName::Bed(lot(text))
    }
}

fn tip_to(text: &str) -> TipTo<LotName> {
    if is_bin(text) {
        TipTo::Typed(text.parse().expect("a bin"))
    } else {
        TipTo::Into(bed(text))
    }
}

fn sieved(text: &str) -> Sieved<Typed> {
    let (name, part) = text
        .split_once('=')
        .map_or((text, None), |(name, part)| (name, Some(part)));
    Sieved {
        bed: bed(name),
        amount: part.map(amount),
    }
}

fn draws(words: &[&str]) -> Vec<Draw<Typed>> {
    words
        .iter()
        .map(|text| {
            let (name, part) = text.split_once('=').expect("LOT=AMOUNT");
            let (name, packs) = name
                .split_once('/')
                .map_or((name, None), |(name, serials)| (name, range(serials)));
            Draw {
                lot: lot(name),
                packs,
                amount: amount(part),
            }
        })
        .collect()
}

fn picks(words: &[&str]) -> Vec<PackPick<Typed>> {
    words
        .iter()
        .map(|text| {
            let (run, which) = text.split_once('/').expect("RUN/WHICH");
            let which = match which.strip_prefix('x') {
                Some(count) => Which::Unnumbered(count.parse().expect("a number")),
                None if which == "all" => Which::All,
                None => Which::Serials(range(which).expect("serials")),
            };
            PackPick {
                run: lot(run),
                which,
            }
        })
        .collect()
}

fn pack(text: &str) -> PackName<Typed> {
    let (run, serial) = text
        .split_once('/')
        .map_or((text, None), |(run, serial)| (run, Some(serial)));
    PackName {
        run: lot(run),
        serial: serial.and_then(|serial| super::code::Serial::new(serial.parse().ok()?)),
    }
}

fn range(text: &str) -> Option<SerialRange> {
    let (first, last) = text.split_once('-').unwrap_or((text, text));
    let serial = |t: &str| t.parse().ok().and_then(super::code::Serial::new);
    SerialRange::new(serial(first)?, serial(last)?)
}
