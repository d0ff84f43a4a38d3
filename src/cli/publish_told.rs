//! What `castlot publish` says: what it is about to do, and what it did.

use serde::Serialize;

use crate::farm::{EntryNumber, QrForm, Settings};

use super::failure::{Failure, Kind};
use super::pages_list::Sealed;
use super::pages_run::{Done, May, Plan};
use super::phrase::{count, grouped};
use super::shed::Shed;
use super::{out, voice};

/// Nobody reads more names than so many.
const NAMED: usize = 5;

/// From so many pages on, it is said before they are written how many they are.
const MANY: usize = 20_000;

/// What is told of a run.
pub struct Told<'a> {
    pub folder: &'a str,
    pub may: May,
    pub now: Sealed,
    pub plan: &'a Plan,
}

impl Told<'_> {
    /// Says what is about to be done.
    pub fn before(&self) {
        let (plan, shown) = (self.plan, self.folder);
        if plan.pages >= MANY {
            let pages = count(plan.pages, "page", "pages");
            let packs = count(plan.of_packs, "single pack", "single packs");
            voice::note(format!(
                "this is about {pages}, those of {packs} among them, each a file of its own"
            ));
        }
        if !plan.others.is_empty() {
            let named = named(&plan.others);
            voice::note(format!(
                "castlot did not write these, and leaves them: {named}"
            ));
        }
        let over = self.left_over();
        if over.is_empty() {
            return;
        }
        let (pages, named) = (belonging(over.len()), named(&over));
        voice::note(match self.may {
            May { delete: false, .. } => format!(
                "{pages} to nothing any more: {named}; to delete what is left over: `castlot publish {shown} --delete`"
            ),
            May {
                only_look: true, ..
            } => format!("{pages} to nothing any more, and would be deleted: {named}"),
            May { .. } => format!("{pages} to nothing any more, to be deleted now: {named}"),
        });
    }

    /// Returns the pages that belong to nothing any more; where pages are deleted, those that will be.
    fn left_over(&self) -> Vec<&String> {
        let changed = self.plan.gone_changed.iter();
        let changed = changed.filter(|_| self.may.overwrite || !self.may.delete);
        let mut over: Vec<&String> = self.plan.gone.iter().chain(changed).collect();
        over.sort_unstable();
        over
    }

    /// Says what was done; it is a failure where pages were left that say something else.
    pub fn after(&self, shed: &Shed, settings: &Settings, done: &Done) -> Result<(), Failure> {
        if shed.json {
            out::print(&out::json(&self.json(done)))?;
        } else {
            voice::say(self.summary(done));
            let deleted = self.deleted();
            if !deleted.is_empty() && !self.may.only_look {
                voice::say(format!("deleted {}", pages(deleted.len())));
            }
        }
        voice::note(points_to(settings));
        voice::note("what people see changes only when you upload that folder");
        self.left(done)
    }

    fn summary(&self, done: &Done) -> String {
        let (all, shown) = (pages(self.plan.pages), self.folder);
        let (wrote, many) = (done.written.len(), number(done.written.len()));
        let would = if self.may.only_look {
            "would write"
        } else {
            "wrote"
        };
        if done.same == self.plan.pages {
            return format!("all {all} in `{shown}` are as they were");
        }
        if wrote == self.plan.pages {
            return format!("{would} {all} to `{shown}`");
        }
        let same = match done.same {
            1 => "1 is as it was".to_owned(),
            same => format!("{} are as they were", number(same)),
        };
        format!("{would} {many} of {all} to `{shown}`; {same}")
    }

    /// Says which pages do not say what they should.
    fn left(&self, done: &Done) -> Result<(), Failure> {
        let shown = self.folder;
        let changed = self.changed(done);
        let mut failure = Failure {
            kind: Kind::Found,
            texts: Vec::new(),
            hints: Vec::new(),
        };
        if !changed.is_empty() {
            let were = match changed.len() {
                1 => "1 page was changed since castlot wrote it, and is left as it is".to_owned(),
                many => format!(
                    "{} were changed since castlot wrote them, and are left as they are",
                    pages(many)
                ),
            };
            failure.texts.push(format!("{were}: {}", named(&changed)));
            let hint = "to undo what was changed";
            let delete = if self.may.delete { " --delete" } else { "" };
            failure = failure.hint(format!(
                "{hint}: `castlot publish {shown}{delete} --overwrite`"
            ));
        }
        if !done.in_the_way.is_empty() {
            let files = count(done.in_the_way.len(), "file", "files");
            failure.texts.push(format!(
                "{files} that castlot did not write where a page belongs: {}",
                named(&done.in_the_way)
            ));
            failure = failure.hint("move what is yours away, and publish again");
        }
        if failure.texts.is_empty() {
            Ok(())
        } else {
            Err(failure)
        }
    }

    /// Returns the pages that are left because somebody changed them.
    fn changed(&self, done: &Done) -> Vec<String> {
        let mut changed = done.changed.clone();
        if self.may.delete && !self.may.overwrite {
            changed.extend(self.plan.gone_changed.iter().cloned());
        }
        changed
    }

    /// Returns the pages that are deleted, or would be.
    fn deleted(&self) -> Vec<&String> {
        let over = self.left_over().into_iter();
        over.filter(|_| self.may.delete).collect()
    }

    fn json<'t>(&'t self, done: &'t Done) -> Json<'t> {
        Json {
            folder: self.folder,
            only_look: self.may.only_look,
            entry: self.now.entry,
            seal: self.now.seal.to_string(),
            pages: self.plan.pages,
            written: &done.written,
            same: done.same,
            changed: self.changed(done),
            in_the_way: &done.in_the_way,
            gone: self
                .plan
                .gone
                .iter()
                .chain(&self.plan.gone_changed)
                .collect(),
            deleted: self.deleted(),
            others: &self.plan.others,
        }
    }
}

/// A run, as `--json` tells of it; paths are those in the folder.
#[derive(Serialize)]
struct Json<'a> {
    folder: &'a str,
    only_look: bool,
    entry: EntryNumber,
    seal: String,
    pages: usize,
    written: &'a [String],
    same: usize,
    changed: Vec<String>,
    in_the_way: &'a [String],
    gone: Vec<&'a String>,
    deleted: Vec<&'a String>,
    others: &'a [String],
}

fn points_to(settings: &Settings) -> String {
    match (&settings.base, settings.form) {
        (Some(base), QrForm::Web | QrForm::Gs1) => format!("labels point to {base}"),
        (Some(base), QrForm::Text) => {
            format!("labels carry plain text and point to no page; `base` is {base}")
        }
        (None, _) => "no address for them is set: [qr] has no `base`".to_owned(),
    }
}

fn pages(many: usize) -> String {
    count(many, "page", "pages")
}

fn belonging(many: usize) -> String {
    count(many, "page belongs", "pages belong")
}

fn number(many: usize) -> String {
    grouped(u64::try_from(many).unwrap_or(u64::MAX))
}

/// Lists the first few names, and says how many more there are.
fn named(names: &[impl AsRef<str>]) -> String {
    let few = names
        .iter()
        .take(NAMED)
        .map(|name| format!("`{}`", name.as_ref()));
    let few = few.collect::<Vec<_>>().join(", ");
    match names.len().saturating_sub(NAMED) {
        0 => few,
        more => format!("{few}, and {} more", number(more)),
    }
}
