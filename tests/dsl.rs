//! Farms for the tests of the program: a temporary folder, the real binary, a clock that stands still.
//!
//! What a command says on both streams, and how it leaves, is one text, so that a snapshot holds all of it.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::sync::OnceLock;

use tempfile::TempDir;

const CASTLOT: &str = env!("CARGO_BIN_EXE_castlot");

/// A farm in a folder of its own, which every command runs in.
pub struct TestFarm {
    home: TempDir,
}

impl TestFarm {
    /// Makes a new farm with the products and measures of the demo farm.
    pub fn new() -> Self {
        let farm = Self::nowhere();
        let made = farm.castlot("2026-01-01", &["new", "."]);
        assert!(made.status.success(), "{}", told(&made, farm.path("")));
        std::fs::copy(demo_lots().join("castlot.toml"), farm.path("castlot.toml"))
            .expect("the demo farm has settings");
        farm
    }

    /// Makes a folder with no farm in it.
    pub fn nowhere() -> Self {
        let home = TempDir::new().expect("the system has room for a folder");
        Self { home }
    }

    /// Makes a farm on which rows were recorded, each `DAY COMMAND`.
    pub fn with(rows: &[&str]) -> Self {
        let farm = Self::new();
        for row in rows {
            let (day, line) = row.split_once(' ').expect("a row has a day and a command");
            farm.did(day, line);
        }
        farm
    }

    /// Makes the demo farm, at the end of its season.
    pub fn demo() -> Self {
        static DEMO: OnceLock<TestFarm> = OnceLock::new();
        let demo = DEMO.get_or_init(|| {
            let farm = Self::new();
            let lots = demo_lots();
            let folder = lots.to_str().expect("the path is text");
            let done = farm.castlot(DEMO_END, &["import", folder]);
            assert!(done.status.success(), "{}", told(&done, farm.path("")));
            farm
        });
        let farm = Self::nowhere();
        copy(demo.home.path(), farm.home.path());
        farm
    }

    /// Runs a command on a day (at nine) or at a minute, and returns all it says.
    pub fn on(&self, when: &str, line: &str) -> String {
        told(&self.castlot(when, &words(line)), self.path(""))
    }

    /// Runs a command that has to succeed, on the way to what a test is about.
    pub fn did(&self, when: &str, line: &str) {
        let done = self.castlot(when, &words(line));
        let told = told(&done, self.path(""));
        assert!(done.status.success(), "castlot {line}\n{told}");
    }

    /// Returns a path in the farm's folder.
    pub fn path(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    /// Puts a file into the farm's folder.
    pub fn put(&self, name: &str, bytes: impl AsRef<[u8]>) {
        let path = self.path(name);
        if let Some(folder) = path.parent() {
            std::fs::create_dir_all(folder).expect("the folder is ours");
        }
        std::fs::write(path, bytes).expect("the folder is ours");
    }

    /// Returns the bytes of the diary.
    pub fn diary(&self) -> Vec<u8> {
        std::fs::read(self.path("diary.db")).expect("the farm has a diary")
    }

    /// Returns the names of what is in a folder of the farm, in order.
    pub fn inside(&self, name: &str) -> Vec<String> {
        let inside = std::fs::read_dir(self.path(name)).expect("the folder is there");
        let names = inside.map(|found| found.expect("it can be read").file_name());
        let mut names: Vec<String> = names
            .map(|name| name.to_string_lossy().into_owned())
            .collect();
        names.sort();
        names
    }

    /// Runs a command into which lines are typed, and returns all it says.
    pub fn typed(&self, when: &str, line: &str, lines: &str) -> String {
        let mut child = self
            .command(when, &words(line))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("the program was built");
        let mut stdin = child.stdin.take().expect("it is piped");
        stdin
            .write_all(lines.as_bytes())
            .expect("so few lines fit into a pipe");
        drop(stdin);
        let done = child.wait_with_output().expect("it was started");
        told(&done, self.path(""))
    }

    /// Runs a command and returns what came of it.
    pub fn castlot(&self, when: &str, words: &[impl AsRef<str>]) -> Output {
        let mut command = self.command(when, words);
        command.output().expect("the program was built")
    }

    fn command(&self, when: &str, words: &[impl AsRef<str>]) -> Command {
        let time = if when.contains('T') { "" } else { "T09:00" };
        let mut command = Command::new(CASTLOT);
        command
            .args(words.iter().map(AsRef::as_ref))
            .current_dir(self.home.path())
            .env_clear()
            .env("CASTLOT_NOW", format!("{when}{time}:00Z"));
        command
    }
}

/// The day after the last row of the demo farm.
pub const DEMO_END: &str = "2026-11-01";

/// Returns the folder of the demo farm's sheets.
pub fn demo_lots() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-lots")
}

/// Two beds, what went into them, and a bucket of feed.
const TWO_BEDS: &[&str] = &[
    "2026-03-01 record bin --bin A01 --place R1/S1/P1",
    "2026-03-01 record bin --bin A02 --place R1/S1/P2",
    "2026-03-01 record delivery --kind bedding --name straw --supplier 'a farm' --amount 50kg --ref straw-1",
    "2026-03-01 record delivery --kind worms --name worms --supplier 'a breeder' --amount 5kg --ref worms-1",
    "2026-03-01 record delivery --kind manure --name 'horse manure' --supplier 'a livery yard' --amount 100kg --ref manure-1",
    "2026-03-02 bed A01 straw-1 4kg worms-1 1kg",
    "2026-03-02 bed A02 straw-1 8kg worms-1 2kg",
    "2026-03-03 blend feed manure-1 10kg straw-1 1kg --ref mix-1",
];

/// The same beds, sieved and packed.
const PACKED: &[&str] = &[
    "2026-04-01 sieve A01 A02 --castings 6kg --worms 2kg --clears all --ref castings=cast-1",
    "2026-04-02 record test --lot cast-1 --test density --value 600 --unit g/L",
    "2026-04-03 pack bag5 2 --from cast-1:5.9kg --ref run-1",
    "2026-04-04 sell run-1/1 --to 'a nursery' --contact '01632 960111'",
];

/// Makes a farm of two beds and a bucket of feed, at the third of March.
pub fn two_beds() -> TestFarm {
    TestFarm::with(TWO_BEDS)
}

/// Makes the same farm a month on: the beds are sieved, two bags are filled, and one of them is sold.
pub fn packed() -> TestFarm {
    TestFarm::with(&[TWO_BEDS, PACKED].concat())
}

/// Runs a command that has to be refused, and checks that it left the diary byte for byte as it was.
pub fn refused(farm: &TestFarm, when: &str, line: &str) -> String {
    let before = farm.diary();
    let told = farm.on(when, line);
    assert!(told.ends_with("--- exit 2 ---\n"), "{told}");
    assert!(farm.diary() == before, "{line} changed the diary");
    told
}

/// Cuts a line into words as a shell does: at spaces, but not within quotes.
pub fn words(line: &str) -> Vec<String> {
    let (mut words, mut word, mut quote) = (Vec::new(), None::<String>, None);
    for c in line.chars() {
        match (quote, c) {
            (Some(open), _) if c == open => quote = None,
            (None, '"' | '\'') => {
                quote = Some(c);
                word.get_or_insert_default();
            }
            (None, ' ') => words.extend(word.take()),
            (Some(_) | None, _) => word.get_or_insert_default().push(c),
        }
    }
    assert_eq!(quote, None, "a quote is left open in {line}");
    words.extend(word);
    words
}

/// Writes what a command said: stdout, then stderr and the exit code where there is something to tell.
fn told(done: &Output, home: PathBuf) -> String {
    let mut text = String::from_utf8_lossy(&done.stdout).into_owned();
    let stderr = String::from_utf8_lossy(&done.stderr);
    if !stderr.is_empty() {
        text.push_str("--- stderr ---\n");
        text.push_str(&stderr);
    }
    match done.status.code() {
        Some(0) => {}
        Some(code) => text.push_str(&format!("--- exit {code} ---\n")),
        None => text.push_str("--- killed ---\n"),
    }
    let home = home.to_string_lossy().trim_end_matches('/').to_owned();
    without_digests(&text.replace(&home, "FARM"))
}

/// Puts `DIGEST` for every 64 hexadecimal characters: salts are random, and seals with them.
fn without_digests(text: &str) -> String {
    let is_digest = |word: &str| word.len() == 64 && word.bytes().all(|b| b.is_ascii_hexdigit());
    let cut = |c: char| !c.is_ascii_alphanumeric();
    let mut told = text.to_owned();
    for word in text.split(cut).filter(|word| is_digest(word)) {
        told = told.replace(word, "DIGEST");
    }
    told
}

/// Copies a folder and all that is in it.
pub fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).expect("the folder is ours");
    for found in std::fs::read_dir(from).expect("the folder is ours") {
        let found = found.expect("it can be read");
        let place = to.join(found.file_name());
        if found.path().is_dir() {
            copy(&found.path(), &place);
        } else {
            std::fs::copy(found.path(), place).expect("the folder is ours");
        }
    }
}
