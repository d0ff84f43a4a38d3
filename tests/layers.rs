//! Holds the house to its plan: which folder may use which, where each crate lives, and that no test is forgotten.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

/// What each folder of `src` may use of the others.
const MAY_USE: &[(&str, &[&str])] = &[
    ("farm", &[]),
    ("trade", &["farm"]),
    ("trace", &["farm"]),
    ("diary", &["farm"]),
    ("sheets", &["farm", "diary"]),
    ("desk", &["farm", "trace", "trade", "diary", "sheets"]),
    ("label", &["farm", "trace", "trade"]),
    ("papers", &["farm", "trace", "trade", "label"]),
    ("site", &["farm", "trace", "trade", "label"]),
    (
        "serve",
        &[
            "farm", "trace", "trade", "diary", "sheets", "desk", "label", "site", "papers",
        ],
    ),
    (
        "cli",
        &[
            "farm", "trace", "trade", "diary", "sheets", "desk", "label", "papers", "site", "serve",
        ],
    ),
];

/// Where each crate may be named: a folder of `src`, or one file.
const HOMES: &[(&str, &[&str])] = &[
    ("rusqlite", &["diary/"]),
    ("serde_json_canonicalizer", &["diary/"]),
    (
        "sha2",
        &[
            "diary/",
            "label/pdf.rs",
            "label/subset.rs",
            "site/policy.rs",
            "serve/",
            "cli/",
        ],
    ),
    ("getrandom", &["cli/", "diary/", "serve/"]),
    ("csv", &["sheets/"]),
    ("encoding_rs", &["sheets/"]),
    ("printpdf", &["label/subset.rs"]),
    (
        "lopdf",
        &[
            "label/pdf.rs",
            "label/graft.rs",
            "label/page_pen.rs",
            "label/page_picture.rs",
            "label/page_words.rs",
            "label/page_words_test.rs",
            "label/picture_test.rs",
            "label/subset.rs",
        ],
    ),
    ("subsetter", &["label/pdf.rs", "label/subset.rs"]),
    ("barcoders", &["label/bars.rs"]),
    (
        "image",
        &[
            "label/picture.rs",
            "label/picture_test.rs",
            "label/preview_picture.rs",
            "serve/photo.rs",
            "serve/photo_test.rs",
        ],
    ),
    (
        "tiny_skia",
        &["label/preview_ink.rs", "label/preview_letters.rs"],
    ),
    ("png", &["label/preview.rs"]),
    ("hayro", &["label/preview_picture.rs"]),
    ("ttf_parser", &["label/"]),
    ("qrcode", &["label/"]),
    ("rqrr", &["serve/", "label/qr_test.rs"]),
    ("askama", &["site/", "serve/"]),
    ("axum", &["serve/"]),
    ("axum_extra", &["serve/"]),
    ("axum_server", &["serve/"]),
    ("argon2", &["serve/"]),
    ("tokio", &["serve/"]),
    ("tower_http", &["serve/"]),
    ("rustls", &["serve/"]),
    ("arc_swap", &["serve/"]),
    ("clap", &["cli/"]),
    ("comfy_table", &["cli/"]),
    ("indicatif", &["cli/"]),
    ("toml", &["cli/", "label/", "serve/"]),
    ("statrs", &["trace/", "trade/"]),
    ("serde", &["cli/", "label/", "diary/", "serve/"]),
];

/// What only the terminal may touch.
const TERMINAL_ONLY: [&str; 8] = [
    "std::env",
    "println!",
    "eprintln!",
    "print!",
    "Timestamp::now",
    "Zoned::now",
    "SystemTime",
    "process::exit",
];

/// What the core may not touch either.
const NOT_IN_THE_CORE: [&str; 4] = ["std::fs", "std::io", "std::net", "File::"];

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

/// Every Rust file below a folder, by its path from there, as code without comments.
fn code(folder: &str) -> BTreeMap<String, String> {
    let start = root().join(folder);
    let mut files = BTreeMap::new();
    let mut waiting = vec![start.clone()];
    while let Some(folder) = waiting.pop() {
        for entry in std::fs::read_dir(&folder).expect("the folder is there") {
            let path = entry.expect("it can be read").path();
            if path.is_dir() {
                waiting.push(path);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                let text = std::fs::read_to_string(&path).expect("it can be read");
                let code = text
                    .lines()
                    .filter(|line| !line.trim_start().starts_with("//"))
                    .collect::<Vec<_>>()
                    .join("\n");
                let name = path
                    .strip_prefix(&start)
                    .expect("it is below")
                    .to_string_lossy()
                    .replace('\\', "/");
                files.insert(name, code);
            }
        }
    }
    assert!(!files.is_empty());
    files
}

/// Tells whether a name stands in the code as a word of its own.
fn names(code: &str, word: &str) -> bool {
    let part = |c: char| c.is_alphanumeric() || c == '_';
    code.match_indices(word).any(|(at, _)| {
        let before = code[..at].chars().next_back();
        let after = code[at + word.len()..].chars().next();
        !before.is_some_and(part) && !after.is_some_and(part)
    })
}

#[test]
fn folders_use_only_what_lies_below_them() {
    let allowed: BTreeMap<&str, &[&str]> = MAY_USE.iter().copied().collect();
    let mut seen = 0;
    for (file, code) in code("src") {
        let Some((folder, _)) = file.split_once('/') else {
            continue;
        };
        let may = allowed
            .get(folder)
            .unwrap_or_else(|| panic!("`{folder}` is not in the plan"));
        for (other, _) in MAY_USE.iter().filter(|(other, _)| *other != folder) {
            let uses = names(&code, &format!("crate::{other}"))
                || names(&code, &format!("castlot::{other}"));
            seen += usize::from(uses);
            assert!(
                !uses || may.contains(other),
                "{file} uses {other}, which the plan does not allow"
            );
        }
    }
    assert!(seen > 10, "the look found the folders' uses of each other");
}

#[test]
fn each_crate_stays_in_its_home() {
    for (file, code) in code("src") {
        for &(name, homes) in HOMES {
            let uses = names(&code, &format!("{name}::")) || code.contains(&format!("use {name}"));
            assert!(
                !uses || homes.iter().any(|home| file.starts_with(home)),
                "{file} names the crate {name}"
            );
        }
    }
}

#[test]
fn only_the_terminal_looks_at_clock_environment_and_streams() {
    for (file, code) in code("src") {
        let in_cli = file.starts_with("cli/") || file == "main.rs";
        for word in TERMINAL_ONLY {
            assert!(in_cli || !code.contains(word), "{file} has `{word}`");
        }
        let core = ["farm/", "trade/", "trace/"]
            .iter()
            .any(|folder| file.starts_with(folder));
        for word in NOT_IN_THE_CORE {
            assert!(!core || !code.contains(word), "{file} has `{word}`");
        }
        assert!(
            !file.starts_with("farm/") || !names(&code, "serde"),
            "{file} names serde"
        );
    }
}

#[test]
fn every_file_of_this_folder_is_a_module_of_the_one_binary() {
    let list = std::fs::read_to_string(root().join("tests/tests.rs")).expect("the list is there");
    for file in code("tests")
        .keys()
        .filter(|file| !file.contains('/') && *file != "tests.rs")
    {
        let module = file.trim_end_matches(".rs");
        assert!(
            names(&list, &format!("mod {module};")) || list.contains(&format!("mod {module};")),
            "{file} is not listed"
        );
    }
}

#[test]
fn every_source_file_begins_with_what_it_is_for() {
    for folder in ["src", "tests", "benches"] {
        let start = root().join(folder);
        for file in code(folder).keys() {
            let text = std::fs::read_to_string(start.join(file)).expect("it was just read");
            assert!(
                text.starts_with("//!"),
                "{folder}/{file} does not say what it is for"
            );
        }
    }
}
