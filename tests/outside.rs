//! Runs the outside judges of `tests/judges/` over castlot: libraries and tools that we did not write. Those that need a
//! browser stand in `outside_browser.rs`.
//!
//! Where one of them is not installed, its test says so on one line and passes; with
//! `CASTLOT_JUDGES=required`, as in `.ci/run`, it fails instead. It judges nothing itself.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use crate::label_items;

const CASTLOT: &str = env!("CARGO_BIN_EXE_castlot");

/// Seeds of random farms; each is grown with times, with dates only, and with both mixed.
const SEEDS: &str = "12";

/// The same, for suspects.
const SUSPECT_SEEDS: &str = "4";

/// A judge: its script, the Python modules and the programs it needs; `npm:NAME` is a package of npm's.
pub(crate) struct Judge {
    pub(crate) script: &'static str,
    pub(crate) modules: &'static [&'static str],
    pub(crate) programs: &'static [&'static str],
}

const TRACES: Judge = Judge {
    script: "judge_traces.py",
    modules: &["tomllib", "networkx", "numpy", "stdnum"],
    programs: &[],
};

const SUSPECTS: Judge = Judge {
    script: "judge_suspects.py",
    modules: &["tomllib", "networkx", "numpy", "scipy", "stdnum"],
    programs: &[],
};

const BALANCES: Judge = Judge {
    script: "mass_balance.py",
    modules: &["tomllib", "networkx", "numpy"],
    programs: &[],
};

const PDFS: Judge = Judge {
    script: "judge_pdfs.py",
    modules: &["tomllib", "PIL", "pypdfium2", "zxingcpp"],
    programs: &["qpdf", "pdffonts", "pdftotext", "pdftoppm", "zbarimg"],
};

const EVERY_LABEL: Judge = Judge {
    script: "judge_every_label.py",
    modules: &["tomllib", "PIL", "pypdfium2", "zxingcpp"],
    programs: &["qpdf", "pdffonts", "pdftotext", "pdftoppm", "zbarimg"],
};

const ITEMS: Judge = Judge {
    script: "judge_items.py",
    modules: &["PIL", "pypdfium2", "zxingcpp"],
    programs: &["qpdf", "pdftotext", "pdftoppm", "zbarimg"],
};

const PAPERS: Judge = Judge {
    script: "judge_papers.py",
    modules: &["PIL", "pypdfium2", "zxingcpp"],
    programs: &["qpdf", "pdffonts", "pdftotext"],
};

const DISPATCH: Judge = Judge {
    script: "judge_dispatch.py",
    modules: &["PIL", "pypdfium2", "zxingcpp"],
    programs: &["qpdf", "pdffonts", "pdftotext"],
};

const PRINTERS: Judge = Judge {
    script: "judge_printers.py",
    modules: &["tomllib", "numpy", "PIL", "pypdfium2", "zxingcpp"],
    programs: &["pdftoppm"],
};

const CODES: Judge = Judge {
    script: "judge_codes.py",
    modules: &["tomllib", "stdnum"],
    programs: &[],
};

const FILLS: Judge = Judge {
    script: "judge_fills.py",
    modules: &["numpy", "scipy"],
    programs: &[],
};

const OUTLOOK: Judge = Judge {
    script: "judge_outlook.py",
    modules: &["tomllib", "networkx", "numpy"],
    programs: &[],
};

#[test]
fn the_outlook_is_what_numpy_works_out_from_the_sheets() {
    if OUTLOOK.is_here() {
        OUTLOOK.run(&[path(demo_farm())]);
    }
}

#[test]
fn every_fill_is_judged_as_scipy_and_numpy_work_it_out() {
    if FILLS.is_here() {
        FILLS.run(&[path(demo_farm())]);
    }
}

#[test]
fn every_trace_and_share_is_what_networkx_and_numpy_work_out() {
    TRACES.run(&["--seeds", SEEDS]);
}

#[test]
fn every_suspect_is_counted_by_networkx_and_weighed_by_scipy() {
    SUSPECTS.run(&["--seeds", SUSPECT_SEEDS]);
}

#[test]
fn every_balance_is_what_plain_python_works_out_from_the_sheets() {
    if BALANCES.is_here() {
        BALANCES.run(&[path(demo_farm())]);
    }
}

#[test]
fn every_demo_label_stands_and_reads_as_the_diary_says() {
    if PDFS.is_here() {
        PDFS.run(&[path(demo_farm())]);
    }
}

#[test]
fn every_built_in_label_reads_on_every_sheet_new_blotted_and_bent() {
    if EVERY_LABEL.is_here() {
        EVERY_LABEL.run(&[path(demo_farm())]);
    }
}

#[test]
fn bar_codes_letters_and_pictures_are_there_to_be_read() {
    if ITEMS.is_here() {
        let folder = tempfile::tempdir().expect("there is room for some PDFs");
        label_items::write(folder.path());
        ITEMS.run(&[path(folder.path())]);
    }
}

#[test]
fn papers_are_sound_and_lack_nothing_that_the_trace_says() {
    if PAPERS.is_here() {
        PAPERS.run(&[path(demo_farm())]);
    }
}

#[test]
fn dispatch_notes_hold_the_packs_of_the_sales_sheet_and_no_others() {
    if DISPATCH.is_here() {
        DISPATCH.run(&[path(demo_farm())]);
    }
}

#[test]
fn labels_come_out_of_printers_that_miss_where_they_belong_and_pictures_show_what_prints() {
    if PRINTERS.is_here() {
        PRINTERS.run(&[path(demo_farm())]);
    }
}

#[test]
fn every_demo_code_ends_with_the_check_character_of_python_stdnum() {
    if CODES.is_here() {
        CODES.run(&[path(demo_farm())]);
    }
}

impl Judge {
    /// Runs the judge over the built castlot and fails with all it said.
    pub(crate) fn run(&self, arguments: &[&str]) {
        if !self.is_here() {
            return;
        }
        let output = python()
            .arg(folder().join(self.script))
            .arg(CASTLOT)
            .args(arguments)
            .output()
            .expect("python was found a moment ago");
        let said = String::from_utf8_lossy(&output.stdout);
        let troubles = String::from_utf8_lossy(&output.stderr);
        assert!(
            output.status.success(),
            "{}:\n{said}\n{troubles}",
            self.script
        );
        say(said.lines().last().unwrap_or_default());
    }

    /// Whether all it needs is installed; says what is not, and fails where all must be.
    pub(crate) fn is_here(&self) -> bool {
        let missing = self.missing();
        if missing.is_empty() {
            return true;
        }
        let line = format!(
            "skipped: {}: {} not installed",
            self.script,
            missing.join(", ")
        );
        let required = std::env::var_os("CASTLOT_JUDGES").is_some_and(|value| value == "required");
        assert!(!required, "{line}");
        say(&line);
        false
    }

    fn missing(&self) -> Vec<String> {
        let modules = self.modules.iter().filter(|module| {
            let import = format!("import {module}");
            !succeeds(python().args(["-c", &import]))
        });
        let programs = self
            .programs
            .iter()
            .filter(|program| !is_installed(program));
        let python_modules = modules.map(|module| format!("{module} (Python)"));
        let others = programs.map(|program| (*program).to_owned());
        python_modules.chain(others).collect()
    }
}

/// Whether a program runs, or a package of npm's is where `.ci/run` puts it.
fn is_installed(program: &str) -> bool {
    match program.strip_prefix("npm:") {
        Some(package) => node().join("node_modules").join(package).is_dir(),
        None => Command::new(program).arg("--version").output().is_ok(),
    }
}

fn node() -> PathBuf {
    let usual = || Path::new(env!("CARGO_MANIFEST_DIR")).join("target/judges-node");
    std::env::var_os("CASTLOT_NODE_JUDGES").map_or_else(usual, PathBuf::from)
}

/// The demo farm, made once for all judges.
pub(crate) fn demo_farm() -> &'static Path {
    static DEMO: OnceLock<PathBuf> = OnceLock::new();
    DEMO.get_or_init(|| {
        let demo = Path::new(env!("CARGO_TARGET_TMPDIR")).join("judged-demo-farm");
        if demo.exists() {
            std::fs::remove_dir_all(&demo).expect("an older demo farm can be removed");
        }
        let output = Command::new(CASTLOT)
            .arg("demo")
            .arg(&demo)
            .output()
            .expect("castlot was built");
        let troubles = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "castlot demo: {troubles}");
        demo
    })
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/judges")
}

fn python() -> Command {
    let name = std::env::var_os("CASTLOT_PYTHON").unwrap_or_else(|| "python3".into());
    let mut command = Command::new(name);
    command.env("PYTHONDONTWRITEBYTECODE", "1");
    command
}

fn succeeds(command: &mut Command) -> bool {
    command.output().is_ok_and(|output| output.status.success())
}

pub(crate) fn path(path: &Path) -> &str {
    path.to_str().expect("the target folder has a plain name")
}

/// Writes past the capture of passing tests: a judge that was skipped must be seen.
fn say(line: &str) {
    let _ = writeln!(std::io::stderr(), "{line}");
}
