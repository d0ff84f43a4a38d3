//! One run of `castlot publish`: each page is printed, compared with the file that is there, and written where it says
//! something else. Two threads; pages are held no longer than it takes to put them in place.

use std::collections::HashSet;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

use crate::site::{Foot, Job, Page, Press, Wants};

use super::failure::Failure;
use super::pages_folder::{Batch, Folder, Found};
use super::pages_list::{List, Record, Records, Sealed, Sum};

/// How many pages a thread has waiting before they are put in place together.
const AT_ONCE: usize = 256;

/// How many threads print.
pub const THREADS: usize = 2;

/// What a run may do.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct May {
    /// Change nothing, and say what would be done.
    pub only_look: bool,
    /// Write pages anew that were changed since castlot wrote them.
    pub overwrite: bool,
    /// Delete pages that belong to nothing any more.
    pub delete: bool,
}

/// The pages, and what they are compared with.
pub struct Run<'a> {
    pub press: &'a Press<'a>,
    pub folder: &'a Folder,
    pub list: List,
    /// The foot of each of the list's seals; none for one that the diary does not have.
    pub feet: Vec<Option<Foot>>,
    /// The diary as it is: its place among the list's seals.
    pub newest: usize,
    pub may: May,
}

/// What is to be done.
pub struct Plan {
    pub jobs: Vec<Job>,
    /// How many pages there are, and how many of them are of single packs.
    pub pages: usize,
    pub of_packs: usize,
    /// Pages that belong to nothing any more, and are as castlot wrote them.
    pub gone: Vec<String>,
    /// The same, but changed since.
    pub gone_changed: Vec<String>,
    /// What castlot did not write.
    pub others: Vec<String>,
}

/// What was done.
#[derive(Debug, Default)]
pub struct Done {
    /// The paths of the pages that were written.
    pub written: Vec<String>,
    /// How many say what they said.
    pub same: usize,
    /// Pages that were changed since castlot wrote them, and were left.
    pub changed: Vec<String>,
    /// Files that castlot did not write, where a page belongs.
    pub in_the_way: Vec<String>,
    /// What is known of each page that stands.
    known: Vec<(String, Vec<Record>)>,
}

enum Verdict {
    Same(Record),
    Write,
    Changed,
    InTheWay,
}

impl Run<'_> {
    /// Looks what there is to do.
    pub fn plan(&self) -> Result<Plan, Failure> {
        let jobs = self.press.jobs();
        let (mut paths, mut of_packs) = (Vec::new(), 0);
        for job in &jobs {
            let more = self.press.paths(job);
            if matches!(job, Job::Packs(..)) {
                of_packs += more.len();
            }
            paths.extend(more);
        }
        let mut wanted: HashSet<&str> = paths.iter().map(String::as_str).collect();
        let (mut gone, mut gone_changed) = (Vec::new(), Vec::new());
        for (path, known) in &self.list.pages {
            if !wanted.contains(path.as_str()) {
                match self.folder.found(path)? {
                    Found::File(bytes) if is_known(known, &bytes) => gone.push(path.clone()),
                    Found::File(_) => gone_changed.push(path.clone()),
                    Found::Nothing | Found::Odd => {}
                }
            }
        }
        let pages = paths.len();
        wanted.extend(gone.iter().chain(&gone_changed).map(String::as_str));
        let others = self.folder.others(&wanted)?;
        if let Some(wall) = others.walls.first() {
            let shown = self.folder.shown();
            let text = format!("`{shown}/{wall}` is not a folder, and pages belong in it");
            return Err(Failure::refused(text).hint("move it away, and publish again"));
        }
        Ok(Plan {
            jobs,
            pages,
            of_packs,
            gone,
            gone_changed,
            others: others.names,
        })
    }

    /// Prints every page, and writes those that say something new.
    pub fn print(&self, jobs: &[Job], threads: usize) -> Result<Done, Failure> {
        let (next, broken) = (AtomicUsize::new(0), AtomicBool::new(false));
        let work = || {
            let done = self.print_some(jobs, &next, &broken);
            if done.is_err() {
                broken.store(true, Ordering::Relaxed);
            }
            done
        };
        let shares: Vec<Result<Done, Failure>> = std::thread::scope(|scope| {
            let others: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
            let first = work();
            let others = others
                .into_iter()
                .map(|thread| thread.join().expect("printing a page never panics"));
            std::iter::once(first).chain(others).collect()
        });
        let mut all = Done::default();
        for share in shares {
            all.add(share?);
        }
        all.written.sort_unstable();
        all.changed.sort_unstable();
        all.in_the_way.sort_unstable();
        Ok(all)
    }

    fn print_some(
        &self,
        jobs: &[Job],
        next: &AtomicUsize,
        broken: &AtomicBool,
    ) -> Result<Done, Failure> {
        let (mut done, mut batch) = (Done::default(), Batch::default());
        while let Some(job) = jobs.get(next.fetch_add(1, Ordering::Relaxed)) {
            if broken.load(Ordering::Relaxed) {
                break;
            }
            let pages = self.press.print(job);
            for page in pages.map_err(|error| Failure::refused(error.to_string()))? {
                self.judge(page, &mut done, &mut batch)?;
                if batch.len() == AT_ONCE {
                    self.put(&mut done, &mut batch)?;
                }
            }
        }
        self.put(&mut done, &mut batch)?;
        Ok(done)
    }

    /// Compares a page with what is there, and writes it aside where that is to be done.
    fn judge(&self, page: Page, done: &mut Done, batch: &mut Batch) -> Result<(), Failure> {
        let known = self.list.pages.get(&page.path);
        let known = known.map(Vec::as_slice).unwrap_or_default();
        let found = self.folder.found(&page.path)?;
        match self.verdict(&page, known, &found) {
            Verdict::Same(record) => {
                done.same += 1;
                done.known.push((page.path, vec![record]));
            }
            Verdict::Write => {
                if !self.may.only_look {
                    let bytes = page.with(self.foot());
                    self.folder.write(batch, page.path.clone(), &bytes)?;
                }
                done.written.push(page.path);
            }
            Verdict::Changed => {
                done.changed.push(page.path.clone());
                done.known.push((page.path, known.to_vec()));
            }
            Verdict::InTheWay => done.in_the_way.push(page.path),
        }
        Ok(())
    }

    fn verdict(&self, page: &Page, known: &[Record], found: &Found) -> Verdict {
        let bytes = match found {
            Found::Nothing => return Verdict::Write,
            Found::Odd if known.is_empty() => return Verdict::InTheWay,
            Found::Odd => return Verdict::Changed,
            Found::File(bytes) => bytes,
        };
        let sum = Sum::of(bytes);
        let record = known.iter().find(|known| known.sum == sum);
        let kept = record.filter(|_| page.wants == Wants::OfItsWords);
        let seals = kept
            .map(|record| record.seal)
            .into_iter()
            .chain([self.newest]);
        for seal in seals {
            let is_same = |foot: &Foot| page.with(foot) == *bytes;
            if self.feet[seal].as_ref().is_some_and(is_same) {
                return Verdict::Same(Record { sum, seal });
            }
        }
        match record {
            Some(_) => Verdict::Write,
            None if known.is_empty() => Verdict::InTheWay,
            None if self.may.overwrite => Verdict::Write,
            None => Verdict::Changed,
        }
    }

    fn foot(&self) -> &Foot {
        let foot = self.feet[self.newest].as_ref();
        foot.expect("the diary has the seal that it has")
    }

    fn put(&self, done: &mut Done, batch: &mut Batch) -> Result<(), Failure> {
        let seal = self.newest;
        let put = self.folder.put(batch, self.sealed())?;
        let put = put.into_iter();
        done.known
            .extend(put.map(|(path, sum)| (path, vec![Record { sum, seal }])));
        Ok(())
    }

    fn sealed(&self) -> Sealed {
        self.list.seals[self.newest]
    }

    /// Deletes what is to be deleted, and writes the list of what stands.
    pub fn end(&self, plan: &Plan, done: &mut Done) -> Result<(), Failure> {
        let changed = plan.gone_changed.iter();
        let (deleted, kept): (Vec<&String>, Vec<&String>) = match self.may {
            May { delete: false, .. } => (Vec::new(), plan.gone.iter().chain(changed).collect()),
            May {
                overwrite: true, ..
            } => (plan.gone.iter().chain(changed).collect(), Vec::new()),
            May { .. } => (plan.gone.iter().collect(), changed.collect()),
        };
        for path in &deleted {
            self.folder.delete(path)?;
        }
        let mut pages: Records = std::mem::take(&mut done.known).into_iter().collect();
        for path in kept {
            pages.insert(path.clone(), self.list.pages[path].clone());
        }
        self.folder.end(&self.list.seals, &pages)
    }
}

fn is_known(known: &[Record], bytes: &[u8]) -> bool {
    let sum = Sum::of(bytes);
    known.iter().any(|record| record.sum == sum)
}

impl Done {
    fn add(&mut self, other: Self) {
        self.written.extend(other.written);
        self.same += other.same;
        self.changed.extend(other.changed);
        self.in_the_way.extend(other.in_the_way);
        self.known.extend(other.known);
    }
}
