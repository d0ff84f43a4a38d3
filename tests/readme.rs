//! Every command that README.md shows runs, and says what README.md says it does.
//!
//! `$ castlot …` in a block that is fenced as `console` runs on a farm as `castlot demo demo-farm` leaves it, each block on
//! a fresh one. Blocks that are fenced as `console story` are one story: they run one after the other on the demo farm
//! as it stood at the moment that a line such as `# 2026-09-17 19:20` gives, and the season goes on between them. A line
//! `# refused` before a command says that it is refused. Lines below a command are all that it says, stdout first; `…`
//! stands for lines left out.

use std::path::Path;
use std::process::Output;

use tempfile::TempDir;

use super::demo::{Demo, castlot};
use super::dsl::{copy, words};
use super::story::Story;

fn readme() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md");
    std::fs::read_to_string(path).expect("there is a README.md")
}

#[test]
fn every_command_in_the_readme_runs_on_the_demo_farm() {
    let blocks = blocks(&readme(), "console");
    let commands: usize = blocks.iter().map(Vec::len).sum();
    assert!(commands > 0, "README.md shows no command");
    let mut wrong = Vec::new();
    for block in blocks.iter().filter(|block| !block.is_empty()) {
        let home = TempDir::new().expect("the system has room for a folder");
        lend(&home.path().join("demo-farm"));
        wrong.extend(block.iter().filter_map(|shown| shown.run(home.path())));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_story_in_the_readme_is_what_castlot_says() {
    let shown: Vec<Shown> = blocks(&readme(), "console story").concat();
    let begins = shown.first().and_then(|shown| shown.when.clone());
    let mut now = begins.expect("the story says when it begins");
    let mut story = Story::at(&now);
    let mut wrong = Vec::new();
    for shown in &shown {
        if let Some(when) = &shown.when {
            story.goes_on(when);
            now.clone_from(when);
        }
        let done = story
            .farm
            .castlot(&an_hour_before(&now), &words(&shown.line));
        wrong.extend(shown.judge(&done));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The farm's clock is an hour before that of the computer, from spring to the last Sunday of October.
fn an_hour_before(when: &str) -> String {
    let hour: u8 = when[11..13].parse().expect("a moment has an hour");
    format!("{}{:02}{}", &when[..11], hour - 1, &when[13..])
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
#[derive(Clone, Debug, Default, PartialEq)]
struct Shown {
    line: String,
    refused: bool,
    /// The moment that a line before it gives.
    when: Option<String>,
    /// What stands below it, or nothing where no answer is shown.
    answer: Vec<String>,
}

impl Shown {
    /// Runs it in a folder and tells what is wrong, if something is.
    fn run(&self, home: &Path) -> Option<String> {
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
        self.judge(&castlot(&folder, &words))
    }

    fn judge(&self, done: &Output) -> Option<String> {
        let said = [&*done.stdout, &*done.stderr].map(String::from_utf8_lossy);
        let said = said.concat();
        let lines: Vec<&str> = said.lines().map(str::trim_end).collect();
        let wrong = if done.status.success() == self.refused {
            "is refused where it should not be, or the other way round"
        } else if !self.answer.is_empty() && !fits(&self.answer, &lines) {
            "says something else"
        } else {
            return None;
        };
        Some(format!("castlot {}\n{wrong}:\n{said}", self.line))
    }
}

/// Whether lines are those that are shown, where `…` stands for any number of lines.
fn fits(shown: &[String], said: &[&str]) -> bool {
    match shown.split_first() {
        None => said.is_empty(),
        Some((line, rest)) if line.trim() == "…" => {
            (0..=said.len()).any(|left_out| fits(rest, &said[left_out..]))
        }
        Some((line, rest)) => said
            .split_first()
            .is_some_and(|(first, said)| line == first && fits(rest, said)),
    }
}

/// Returns the commands of each block with a fence, a line that ends in `\` being joined to the next.
fn blocks(readme: &str, fence: &str) -> Vec<Vec<Shown>> {
    let mut blocks = Vec::new();
    let mut rest = readme;
    let opening = format!("```{fence}\n");
    while let Some((_, after)) = rest.split_once(&opening) {
        let (block, after) = after.split_once("\n```").expect("every block is closed");
        blocks.push(commands(&block.replace("\\\n", " ")));
        rest = after;
    }
    blocks
}

fn commands(block: &str) -> Vec<Shown> {
    let mut shown: Vec<Shown> = Vec::new();
    let mut next = Shown::default();
    for line in block.lines().map(str::trim_end) {
        if let Some(typed) = line.strip_prefix("$ castlot ") {
            typed.clone_into(&mut next.line);
            shown.push(std::mem::take(&mut next));
        } else if line == "# refused" {
            next.refused = true;
        } else if let Some(when) = line.strip_prefix("# 20") {
            next.when = Some(format!("20{}", when.replacen(' ', "T", 1)));
        } else if let Some(last) = shown.last_mut() {
            last.answer.push(line.to_owned());
        }
    }
    shown
}

#[test]
fn commands_are_found_in_blocks_of_their_fence_only() {
    let text = "`$ castlot beds`\n```console\n$ castlot trace 'run-36#1' \\\n    --back\nsome answer\n…\n# refused\n$ castlot show X\n```\n\
                ```toml\n$ castlot no\n```\n```console\n$ cargo test\n```\n```console story\n# 2026-09-17 19:20\n$ castlot beds\n```\n";
    let shown = |line: &str, refused, answer: &[&str]| Shown {
        line: line.to_owned(),
        refused,
        when: None,
        answer: answer.iter().map(|line| (*line).to_owned()).collect(),
    };
    let trace = shown("trace 'run-36#1'      --back", false, &["some answer", "…"]);
    assert_eq!(
        blocks(text, "console"),
        [vec![trace, shown("show X", true, &[])], vec![]]
    );
    let beds = Shown {
        when: Some("2026-09-17T19:20".to_owned()),
        ..shown("beds", false, &[])
    };
    assert_eq!(blocks(text, "console story"), [vec![beds]]);
}

#[test]
fn an_answer_that_is_not_what_was_said_is_found() {
    let shown =
        |lines: &[&str]| -> Vec<String> { lines.iter().map(|line| (*line).to_owned()).collect() };
    let said = ["one", "two", "three", "four"];
    assert!(fits(&shown(&["one", "…", "four"]), &said));
    assert!(fits(&shown(&["…", "two", "three", "…"]), &said));
    for wrong in [
        &["one", "two"][..],
        &["two", "…"],
        &["…", "two", "four"],
        &["one", "…", "two"],
        &["five"],
    ] {
        assert!(!fits(&shown(wrong), &said), "{wrong:?}");
    }
}
