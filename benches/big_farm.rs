//! A farm far larger than any of ours, as diary sheets: for the benches alone.
//!
//! Every day brings the same kinds of rows a real season has: a delivery now and then, buckets mixed, most beds fed,
//! a few checked, the oldest sieved and bedded up again with their own worms, bags filled and sold. The amounts are
//! drawn from a small generator with a fixed start, so that the same size gives the same rows.

use std::collections::BTreeMap;
use std::fmt::Write as _;

const BINS: usize = 196;
/// A bed is sieved after so many days; so many bins are sieved each day.
const CYCLE: usize = 28;
const SIEVED_A_DAY: usize = BINS / CYCLE;
const FEEDS_A_DAY: usize = 66;

/// The sheets of a farm of at least so many rows, by file name; and the ref of its last pack run.
pub fn sheets(rows: usize) -> (BTreeMap<String, Vec<u8>>, String) {
    let mut farm = Writer::new();
    farm.set_up();
    let mut day = 1;
    while farm.rows < rows || day <= CYCLE + 1 {
        farm.day(day);
        day += 1;
    }
    let last = format!("run-{}", day - 1);
    let files = farm
        .sheets
        .into_iter()
        .map(|(name, text)| (format!("{name}.csv"), text.into_bytes()))
        .collect();
    (files, last)
}

struct Writer {
    sheets: BTreeMap<&'static str, String>,
    rows: usize,
    state: u64,
    overs: Option<String>,
}

const HEADERS: [(&str, &str); 9] = [
    ("bins", "bin,place,when"),
    ("deliveries", "when,kind,name,supplier,amount,ref"),
    ("beds", "when,bin,takes,ref"),
    ("feeds", "when,bin,takes,by"),
    ("checks", "when,bin,feed_left,temperature_c"),
    ("sievings", "when,kind,from,amount,clears,ref"),
    ("blends", "when,kind,from,ref"),
    ("packs", "when,product,count,from,ref"),
    ("sales", "when,packs,buyer,market"),
];

impl Writer {
    fn new() -> Self {
        let sheets = HEADERS
            .into_iter()
            .map(|(name, header)| (name, format!("{header}\n")))
            .collect();
        Self {
            sheets,
            rows: 0,
            state: 20_260_301,
            overs: None,
        }
    }

    fn row(&mut self, sheet: &'static str, cells: std::fmt::Arguments<'_>) {
        let text = self
            .sheets
            .get_mut(sheet)
            .expect("every sheet has a header");
        writeln!(text, "{cells}").expect("a string takes what is written");
        self.rows += 1;
    }

    /// The next number below a bound: a linear congruential generator (Knuth's MMIX constants).
    fn below(&mut self, bound: u64) -> u64 {
        self.state = self
            .state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.state >> 33) % bound
    }

    fn set_up(&mut self) {
        let day = date(0);
        for bin in 0..BINS {
            self.row(
                "bins",
                format_args!(
                    "{},R{}/S{}/P{},{day}",
                    name(bin),
                    bin / 49 + 1,
                    bin / 7 % 7 + 1,
                    bin % 7 + 1
                ),
            );
        }
        self.row(
            "deliveries",
            format_args!("{day}T07:00,worms,Red worms,a wormery,120kg,stock"),
        );
        self.row(
            "deliveries",
            format_args!("{day}T07:00,bedding,Straw,a farm,2000kg,straw-0"),
        );
        for bin in 0..BINS {
            self.row(
                "beds",
                format_args!(
                    "{day}T08:00,{},straw-0 4kg; stock 500g,bed-{bin}-0",
                    name(bin)
                ),
            );
        }
    }

    fn day(&mut self, day: usize) {
        let date = date(day);
        if day % 3 == 1 {
            let kind = if day % 2 == 1 { "manure" } else { "feedstock" };
            self.row(
                "deliveries",
                format_args!(
                    "{date}T07:00,{kind},Load {day},supplier {},200kg,load-{}",
                    day % 17,
                    day / 3
                ),
            );
        }
        if day % 30 == 1 {
            self.row(
                "deliveries",
                format_args!(
                    "{date}T07:05,bedding,Straw,a farm,1200kg,straw-{}",
                    day / 30 + 1
                ),
            );
        }
        let load = (day - 1) / 3;
        let earlier = load.saturating_sub(1);
        self.row(
            "blends",
            format_args!("{date}T07:30,feed,load-{load} 12kg; load-{earlier} 10kg,mix-{day}"),
        );
        for feed in 0..FEEDS_A_DAY {
            let bin = (day * FEEDS_A_DAY + feed) % BINS;
            let grams = 200 + self.below(120);
            self.row(
                "feeds",
                format_args!(
                    "{date}T{:02}:{:02},{},mix-{day} {grams}g,AB",
                    8 + feed / 60,
                    feed % 60,
                    name(bin)
                ),
            );
        }
        for check in 0..8 {
            let bin = (day * 31 + check * 7) % BINS;
            let degrees = 16 + self.below(8);
            self.row(
                "checks",
                format_args!("{date}T11:{check:02},{},some,{degrees}", name(bin)),
            );
        }
        self.sieve(day, &date);
        self.pack(day, &date);
    }

    fn sieve(&mut self, day: usize, date: &str) {
        let first = (day * SIEVED_A_DAY) % BINS;
        let bins: Vec<String> = (first..first + SIEVED_A_DAY)
            .map(|bin| name(bin % BINS))
            .collect();
        let from = bins.join("; ");
        let castings = 13_000 + self.below(2_000);
        self.row(
            "sievings",
            format_args!("{date}T14:00,castings,{from},{castings}g,all,cast-{day}"),
        );
        self.row(
            "sievings",
            format_args!("{date}T14:00,worms,{from},4kg,,worms-{day}"),
        );
        self.row(
            "sievings",
            format_args!("{date}T14:00,overs,{from},3kg,,overs-{day}"),
        );
        let straw = format!("straw-{}", (day - 1) / 30 + 1);
        let overs = self.overs.replace(format!("overs-{day}"));
        for (place, bin) in bins.iter().enumerate() {
            let overs = overs
                .as_ref()
                .map(|overs| format!("; {overs} 400g"))
                .unwrap_or_default();
            let mark = format!("bed-{}-{day}", bin.to_lowercase());
            let takes = format!("{straw} 3500g; worms-{day} 500g{overs}");
            self.row(
                "beds",
                format_args!("{date}T15:{place:02},{bin},{takes},{mark}"),
            );
        }
    }

    fn pack(&mut self, day: usize, date: &str) {
        let yesterday = day.saturating_sub(1).max(1);
        self.row(
            "packs",
            format_args!("{date}T16:00,bag5,4,cast-{yesterday} 2kg; cast-{day} 9kg,run-{day}"),
        );
        self.row(
            "sales",
            format_args!("{date}T17:00,run-{day} #1-2,buyer {},", day % 40),
        );
        self.row(
            "sales",
            format_args!("{date}T17:30,run-{day} x1,,Quay market"),
        );
    }
}

fn name(bin: usize) -> String {
    format!(
        "{}{:02}",
        char::from(b'A' + u8::try_from(bin / 49).expect("four rows of bins")),
        bin % 49 + 1
    )
}

/// The date so many days after 2020-01-01.
fn date(day: usize) -> String {
    let days = jiff::ToSpan::days(i64::try_from(day).expect("a bench has fewer days than that"));
    jiff::civil::date(2020, 1, 1)
        .checked_add(days)
        .expect("a bench ends before 9999")
        .to_string()
}
