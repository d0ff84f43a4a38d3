//! Every command that README.md shows runs on the demo farm: `$ castlot …` in a block that is fenced as `console`.
//!
//! Each block starts with a farm as `castlot demo demo-farm` leaves it; a line `# refused` before a command says that
//! it is refused.

use std::path::Path;

use tempfile::TempDir;

use super::demo::{Demo, castlot};
use super::dsl::{copy, words};

#[test]
fn every_command_in_the_readme_runs_on_the_demo_farm() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    let readme = std::fs::read_to_string(path).expect("there is a README.md");
    let blocks = blocks(&readme);
    let commands: usize = blocks.iter().map(Vec::len).sum();
    assert!(
        commands > 0,
        "README.md shows no command in a console block"
    );
    for block in blocks.iter().filter(|block| !block.is_empty()) {
        let home = TempDir::new().expect("the system has room for a folder");
        lend(&home.path().join("demo-farm"));
        for command in block {
            command.run(home.path());
        }
    }
}

/// Copies the demo farm, but for the thousand files of labels and pages, which commands make again.
fn lend(folder: &Path) {
    let farm = Demo::built().home.join("demo-farm");
    for name in ["sheets", "artwork", "templates"] {
        if farm.join(name).is_dir() {
            copy(&farm.join(name), &folder.join(name));
        }
    }
    for name in ["castlot.toml", "diary.db"] {
        std::fs::copy(farm.join(name), folder.join(name)).expect("the demo farm has it");
    }
}

/// A command as README.md shows it.
#[derive(Debug, PartialEq)]
struct Shown {
    line: String,
    refused: bool,
}

impl Shown {
    fn run(&self, home: &Path) {
        let hint = "a command stands whole, without placeholders, and nothing is piped";
        let odd = ["<", ">", "…", "...", " | "]
            .iter()
            .any(|sign| self.line.contains(sign));
        assert!(!odd, "{}: {hint}", self.line);
        let words = words(&self.line);
        let folder = match words.first().map(String::as_str) {
            // A new farm wants a place without one.
            Some("demo" | "new") => home.join("elsewhere"),
            _ if words.iter().any(|word| word.starts_with("demo-farm")) => home.to_owned(),
            _ => home.join("demo-farm"),
        };
        std::fs::create_dir_all(&folder).expect("the folder is ours");
        let done = castlot(&folder, &words);
        let troubles = String::from_utf8_lossy(&done.stderr);
        assert_eq!(
            !done.status.success(),
            self.refused,
            "castlot {}\n{troubles}",
            self.line
        );
    }
}

/// Returns the commands of each console block, a line that ends in `\` being joined to the next.
fn blocks(readme: &str) -> Vec<Vec<Shown>> {
    let mut blocks = Vec::new();
    let mut rest = readme;
    while let Some((_, after)) = rest.split_once("```console\n") {
        let (block, after) = after.split_once("\n```").expect("every block is closed");
        let block = block.replace("\\\n", " ");
        let mut refused = false;
        let mut shown = Vec::new();
        for line in block.lines().map(str::trim_end) {
            if let Some(line) = line.strip_prefix("$ castlot ") {
                let line = line.to_owned();
                shown.push(Shown { line, refused });
            }
            refused = line == "# refused";
        }
        blocks.push(shown);
        rest = after;
    }
    blocks
}

#[test]
fn commands_are_found_in_console_blocks_only() {
    let text = "`$ castlot beds`\n```console\n$ castlot trace 'run-36#1' \\\n    --back\nsome answer\n# refused\n$ castlot show X\n```\n\
                ```toml\n$ castlot no\n```\n```console\n$ cargo test\n```\n";
    let shown = |line: &str, refused| Shown {
        line: line.to_owned(),
        refused,
    };
    let trace = shown("trace 'run-36#1'      --back", false);
    assert_eq!(blocks(text), [vec![trace, shown("show X", true)], vec![]]);
}
