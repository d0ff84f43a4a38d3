//! Grows a random farm row by row: what is delivered, bedded, fed, split, tipped, sieved, blended, packed, opened
//! again, sold, counted and thrown out is chosen by numbers, among what the farm has by then.

use castlot::farm::Noun;

use super::random_farm::{Cells, Dating, Grown, SheetRow, Step, record};

/// So many kinds of steps, the commoner more than once; see `Grower::rows`.
pub const KINDS: u8 = 24;

impl Grown {
    pub fn of(dating: Dating, steps: &[Step]) -> Self {
        let mut grower = Grower {
            grown: Self::default(),
            dating,
            made: Vec::new(),
            turn: 0,
        };
        grower.stock();
        for step in steps {
            grower.step(step);
        }
        grower.grown
    }
}

struct Grower {
    grown: Grown,
    dating: Dating,
    /// Refs of the lots made so far, with the word for what they are.
    made: Vec<(String, &'static str)>,
    turn: u16,
}

impl Grower {
    /// What every farm starts with: deliveries weighed, guessed and unknown, and two beds.
    fn stock(&mut self) {
        for (kind, name, amount) in [
            ("bedding", "straw", "60kg"),
            ("manure", "horse manure", "~50kg"),
            ("feedstock", "spent grain", "?"),
            ("worms", "red worms", "6kg"),
            ("packing", "sacks", "200"),
        ] {
            let mark = format!("d-{}", self.made.len());
            let mut cells = pairs(&[("kind", kind), ("name", name), ("amount", amount)]);
            cells.extend(pairs(&[
                ("supplier", "a farm on the levels"),
                ("ref", &mark),
            ]));
            self.record(Noun::Delivery, 0, None, cells);
            self.made.push((mark, kind));
        }
        for bin in ["A0", "A1"] {
            let cells = pairs(&[("bin", bin), ("takes", "d-0 3kg; d-3 400g")]);
            self.record(
                Noun::Bed,
                0,
                None,
                with_ref(cells, &format!("b-{bin}").to_lowercase()),
            );
        }
    }

    fn step(&mut self, (kind, late, choices): &Step) {
        self.turn += 1;
        // Four steps a day; now and then one is written down some days late.
        let today = 1 + u8::try_from(self.turn / 4).unwrap_or(30);
        let day = match late {
            0 => today.saturating_sub(2 + choices[3] % 3).max(1),
            _ => today,
        };
        let timed = match self.dating {
            Dating::Times => true,
            Dating::Days => false,
            Dating::Mixed => choices[3] % 2 == 0,
        };
        for (noun, cells) in self.rows(*kind, *choices) {
            // Of rows of one moment in two sheets of a day's rest, sheets cannot tell the first: those have times.
            let timed = timed || noun.rank() == Noun::Count.rank();
            let minute = timed.then_some(8 * 60 + (self.turn * 9 + u16::from(*late)) % 600);
            self.turn += u16::from(noun == Noun::Sieving && *kind >= 22);
            let made = cells.iter().find(|(column, _)| *column == "ref");
            let made = made.map(|(_, mark)| (mark.clone(), sort_of(noun, &cells)));
            if self.record(noun, day, minute, cells) {
                self.made.extend(made);
            }
        }
    }

    fn record(&mut self, noun: Noun, day: u8, minute: Option<u16>, cells: Cells) -> bool {
        let row = SheetRow {
            noun,
            day,
            minute,
            cells,
        };
        match record(&self.grown.farm, &row) {
            Some(farm) => {
                self.grown = Grown {
                    farm,
                    rows: std::mem::take(&mut self.grown.rows),
                };
                self.grown.rows.push(row);
                true
            }
            None => false,
        }
    }

    fn rows(&self, kind: u8, [a, b, c, d]: [u8; 4]) -> Vec<(Noun, Cells)> {
        let (bin, other) = (format!("A{}", a % 3), format!("A{}", b % 3));
        let mark = format!("l-{}", self.turn);
        let one =
            |noun, cells: &[(&'static str, &str)]| vec![(noun, with_ref(pairs(cells), &mark))];
        let none = |noun, cells: &[(&'static str, &str)]| vec![(noun, pairs(cells))];
        let feed = self.pick(&["manure", "feedstock", "bedding", "feed", "overs"], c);
        let batch = self.pick(&["castings", "pack run", "castings", "overs"], c);
        let (some, few) = (amount(d, 20), amount(b, 5));
        match kind {
            0..=2 => {
                let worms = self.pick(&["worms", "cocoons"], c);
                let takes = format!("d-0 {}; {worms} {}", amount(d, 40), amount(b, 3));
                one(Noun::Bed, &[("bin", &bin), ("takes", &takes)])
            }
            3..=6 => none(
                Noun::Feed,
                &[("bin", &bin), ("takes", &format!("{feed} {some}"))],
            ),
            7 => {
                let share = format!("{} of {}", b % 3 + 1, b % 3 + 2 + c % 3);
                one(
                    Noun::Split,
                    &[("bin", &bin), ("share", &share), ("to_bin", &other)],
                )
            }
            8 => none(Noun::Tip, &[("bin", &bin), ("to_bin", &other)]),
            9..=12 => one(
                Noun::Sieving,
                &sieving(&bin, &other, &some, [b, c, d])
                    .each_ref()
                    .map(|(n, t)| (*n, t.as_str())),
            ),
            13 => {
                let from = format!("{feed} {some}; d-1 {few}");
                one(Noun::Blend, &[("kind", "feed"), ("from", &from)])
            }
            14 => {
                let from = format!(
                    "{} {some}; {} {few}",
                    self.opened(&batch, b),
                    self.pick(&["castings"], d)
                );
                one(Noun::Blend, &[("kind", "castings"), ("from", &from)])
            }
            15 | 16 => {
                let from = format!("{} {some}; d-4 4", self.opened(&batch, b));
                let cells = [
                    ("product", "bag20"),
                    ("count", "4"),
                    ("from", from.as_str()),
                ];
                one(Noun::Pack, &cells)
            }
            17 | 18 => {
                let run = self.pick(&["pack run"], c);
                let packs = [
                    format!("{run} #{}", b % 4 + 1),
                    format!("{run} x1"),
                    format!("{run} all"),
                ];
                let packs = packs[usize::from(d % 3)].as_str();
                none(Noun::Sale, &[("packs", packs), ("market", "Quay market")])
            }
            19 => none(
                Noun::Count,
                &[("lot", &feed), ("found", "9kg"), ("why", "mice")],
            ),
            20 => none(
                Noun::Thrown,
                &[("what", &format!("{batch} {some}")), ("why", "stones")],
            ),
            21 => none(Noun::Thrown, &[("what", &bin), ("why", "drowned")]),
            _ => self.rebedding(&bin, &mark, [b, d]),
        }
    }

    /// Castings and worms off one bin, which is cleared, and the same worms bedded up in it again.
    fn rebedding(&self, bin: &str, mark: &str, [b, d]: [u8; 2]) -> Vec<(Noun, Cells)> {
        let (castings, worms) = (amount(d, 20), amount(b, 4));
        let (sifted, lifted) = (format!("{mark}-s"), format!("{mark}-w"));
        let row = |kind, amount: &str, clears: &str, mark: &str| {
            let cells = pairs(&[
                ("kind", kind),
                ("from", bin),
                ("amount", amount),
                ("clears", clears),
            ]);
            (Noun::Sieving, with_ref(cells, mark))
        };
        let takes = format!("d-0 {castings}; {lifted} {worms}");
        let bed = pairs(&[("bin", bin), ("takes", &takes)]);
        vec![
            row("worms", &worms, "", &lifted),
            row("castings", &castings, "all", &sifted),
            (Noun::Bed, with_ref(bed, mark)),
        ]
    }

    /// Names some packs of a run where the lot is one.
    fn opened(&self, lot: &str, choice: u8) -> String {
        let is_run = |(mark, kind): &(String, &str)| mark == lot && *kind == "pack run";
        match self.made.iter().any(is_run) {
            true => format!("{lot}/{}", choice % 4 + 1),
            false => lot.to_owned(),
        }
    }

    /// Returns the ref of a lot of one of the kinds, or one that no lot has.
    fn pick(&self, kinds: &[&str], choice: u8) -> String {
        let fitting: Vec<&String> = self
            .made
            .iter()
            .filter(|(_, kind)| kinds.contains(kind))
            .map(|(mark, _)| mark)
            .collect();
        match fitting.len() {
            0 => "none-yet".to_owned(),
            some => fitting[usize::from(choice) % some].clone(),
        }
    }
}

fn sieving(bin: &str, other: &str, some: &str, [b, c, d]: [u8; 3]) -> [(&'static str, String); 4] {
    let kind = [
        "castings", "worms", "castings", "cocoons", "overs", "liquid",
    ][usize::from(c % 6)];
    let (some, each) = match kind {
        "liquid" => (
            format!("{}mL", u32::from(d) + 1),
            format!("{}mL", u32::from(b) + 1),
        ),
        _ => (some.to_owned(), some.to_owned()),
    };
    // One bin, two that are weighed together, or two weighed each for itself.
    let (from, amount) = match (bin == other, b % 2) {
        (true, _) => (bin.to_owned(), some),
        (false, 0) => (format!("{bin}; {other}"), some),
        (false, _) => (format!("{bin} {some}; {other} {each}"), String::new()),
    };
    let clears = if d % 3 == 0 { "all" } else { "" };
    [
        ("kind", kind.to_owned()),
        ("from", from),
        ("amount", amount),
        ("clears", clears.to_owned()),
    ]
}

/// An amount of up to so many hundred grams: weighed mostly, guessed or unknown now and then.
fn amount(choice: u8, most: u32) -> String {
    let grams = 100 + u32::from(choice) * 100 % (most * 100);
    match choice % 11 {
        0 => "?".to_owned(),
        1 | 2 => format!("~{grams}g"),
        _ => format!("{grams}g"),
    }
}

fn sort_of(noun: Noun, cells: &Cells) -> &'static str {
    let kind = cells.iter().find(|(column, _)| *column == "kind");
    let known = ["castings", "worms", "cocoons", "overs", "liquid", "feed"];
    match (noun, kind) {
        (Noun::Pack, _) => "pack run",
        (Noun::Bed | Noun::Split, _) => "bed",
        (_, Some((_, kind))) => known.into_iter().find(|k| k == kind).unwrap_or("delivery"),
        (_, None) => "delivery",
    }
}

fn pairs(cells: &[(&'static str, &str)]) -> Cells {
    cells
        .iter()
        .map(|(column, text)| (*column, (*text).to_owned()))
        .collect()
}

fn with_ref(mut cells: Cells, mark: &str) -> Cells {
    cells.push(("ref", mark.to_owned()));
    cells
}
