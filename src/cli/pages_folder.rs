//! The folder that `castlot publish` writes: pages are written aside and put in place whole, a few at a time, and the list
//! by which castlot knows them says so first. A run that is cut off leaves each page whole, and the next one goes on.

use std::collections::{BTreeSet, HashSet};
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::{Mutex, PoisonError};

use super::failure::Failure;
use super::pages_disk::Disk;
use super::pages_list::{self, List, Records, Sealed, Sum};
use super::pages_others::Others;

/// The list of pages.
pub(super) const LIST: &str = ".castlot-pages";

/// Where files are written before they are put in place; nothing of anybody else's is in it.
pub(super) const ASIDE: &str = ".castlot-new";

/// A folder of pages.
pub struct Folder {
    root: PathBuf,
    shown: String,
    disk: Disk,
    /// Held while pages are written, so that two runs do not write at once.
    lock: Option<File>,
    /// How many files were written aside so far, which gives each its name there.
    aside: AtomicUsize,
    /// The folders in which names were changed.
    touched: Mutex<BTreeSet<PathBuf>>,
}

/// Pages that are written aside and not yet in place.
#[derive(Default)]
pub struct Batch(Vec<Waiting>);

struct Waiting {
    path: String,
    sum: Sum,
    aside: PathBuf,
}

impl Batch {
    /// Returns how many pages are in it.
    pub fn len(&self) -> usize {
        self.0.len()
    }
}

/// What a file is.
pub enum Found {
    Nothing,
    /// A link, a folder, or something else that is not a plain file.
    Odd,
    File(Vec<u8>),
}

impl Folder {
    /// Looks at a folder that may be there or not. It is refused where somebody else's files are in it.
    pub fn of(path: &Path, disk: Disk) -> Result<Self, Failure> {
        let folder = Self {
            root: path.to_owned(),
            shown: path.display().to_string(),
            disk,
            lock: None,
            aside: AtomicUsize::new(0),
            touched: Mutex::default(),
        };
        folder.refuse_a_strange_one()?;
        Ok(folder)
    }

    /// Makes the folder if it is not there, and takes it for one run alone.
    pub fn take(&mut self) -> Result<(), Failure> {
        let made = self.disk.make_folder(&self.root);
        made.map_err(|error| self.failed(&error))?;
        self.lock = lock(&self.root, &self.shown)?;
        Ok(())
    }

    /// Returns the folder as it was named.
    pub fn shown(&self) -> &str {
        &self.shown
    }

    fn refuse_a_strange_one(&self) -> Result<(), Failure> {
        let shown = &self.shown;
        let inside = match fs::read_dir(&self.root) {
            Ok(inside) => inside,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
            Err(error) if error.kind() == io::ErrorKind::NotADirectory => {
                let text = format!("`{shown}` is a file; pages need a folder");
                return Err(Failure::refused(text));
            }
            Err(error) => return Err(self.failed(&error)),
        };
        let mut names = inside.flatten().map(|found| found.file_name());
        if self.root.join(LIST).is_file() || names.all(|name| name == ASIDE) {
            return Ok(());
        }
        let text = format!(
            "`{shown}` holds files already, and no list (`{LIST}`) of pages that castlot wrote"
        );
        Err(Failure::refused(text).hint("name a new folder, as in `castlot publish public`"))
    }

    /// Reads the list of the pages that castlot wrote.
    pub fn list(&self) -> Result<List, Failure> {
        let path = self.root.join(LIST);
        let text = match fs::read_to_string(&path) {
            Ok(text) => text,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(List::default()),
            Err(error) => return Err(self.failed(&error)),
        };
        List::read(&text).map_err(|strange| {
            let (shown, line) = (path.display(), strange.0);
            Failure::refused(format!(
                "line {line} of `{shown}` is not as castlot wrote it"
            ))
            .hint("name a new folder, as in `castlot publish public`")
        })
    }

    /// Returns what is in the folder that stands at none of these paths.
    pub fn others(&self, pages: &HashSet<&str>) -> Result<Others, Failure> {
        Others::of(&self.root, pages).map_err(|error| self.failed(&error))
    }

    /// Reads what stands at a page's path.
    pub fn found(&self, path: &str) -> Result<Found, Failure> {
        let path = self.root.join(path);
        let found = match fs::symlink_metadata(&path) {
            Ok(found) if !found.is_file() => return Ok(Found::Odd),
            Ok(_) => fs::read(&path),
            Err(error) => Err(error),
        };
        match found {
            Ok(bytes) => Ok(Found::File(bytes)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(Found::Nothing),
            Err(error) => Err(self.failed(&error)),
        }
    }

    /// Makes the folder ready to be written, and clears up after a run that was cut off.
    pub fn begin(&self, list: &List) -> Result<(), Failure> {
        let ready = || -> io::Result<()> {
            self.clear_aside()?;
            self.disk.make_folder(&self.root.join(ASIDE))?;
            let file = self.open_list()?;
            file.set_len(u64::try_from(list.whole).expect("a file is no longer than that"))?;
            if list.whole == 0 {
                self.disk.append(&file, pages_list::HEAD.as_bytes())?;
                self.disk.settle_names(std::slice::from_ref(&self.root))?;
            }
            Ok(())
        };
        ready().map_err(|error| self.failed(&error))
    }

    fn open_list(&self) -> io::Result<File> {
        let path = self.root.join(LIST);
        OpenOptions::new().append(true).create(true).open(path)
    }

    fn clear_aside(&self) -> io::Result<()> {
        let aside = self.root.join(ASIDE);
        let inside = match fs::read_dir(&aside) {
            Ok(inside) => inside,
            Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(()),
            Err(error) => return Err(error),
        };
        for found in inside {
            self.disk.remove(&found?.path())?;
        }
        fs::remove_dir(aside)
    }

    /// Writes a page aside.
    pub fn write(&self, batch: &mut Batch, path: String, bytes: &[u8]) -> Result<(), Failure> {
        let number = self.aside.fetch_add(1, Ordering::Relaxed);
        let aside = self.root.join(ASIDE).join(number.to_string());
        let wrote = self.disk.write(&aside, bytes);
        wrote.map_err(|error| self.failed(&error))?;
        let sum = Sum::of(bytes);
        batch.0.push(Waiting { path, sum, aside });
        Ok(())
    }

    /// Puts the pages of a batch in place, whole, each of them known first; returns their paths and digests.
    pub fn put(&self, batch: &mut Batch, sealed: Sealed) -> Result<Vec<(String, Sum)>, Failure> {
        let pages = std::mem::take(&mut batch.0);
        self.put_all(&pages, sealed)
            .map_err(|error| self.failed(&error))?;
        Ok(pages
            .into_iter()
            .map(|page| (page.path, page.sum))
            .collect())
    }

    fn put_all(&self, pages: &[Waiting], sealed: Sealed) -> io::Result<()> {
        if pages.is_empty() {
            return Ok(());
        }
        let files: Vec<PathBuf> = pages.iter().map(|page| page.aside.clone()).collect();
        self.disk.settle(&files)?;
        let known = pages.iter().map(|page| (page.path.as_str(), page.sum));
        let lines = pages_list::lines(sealed, known);
        // One batch after the other: their lines must not run into each other.
        let mut touched = self.touched.lock().unwrap_or_else(PoisonError::into_inner);
        self.disk.append(&self.open_list()?, lines.as_bytes())?;
        for page in pages {
            let path = self.root.join(&page.path);
            if let Some(folder) = path.parent() {
                self.disk.make_folder(folder)?;
            }
            self.disk.rename(&page.aside, &path)?;
            self.touch(&mut touched, &path);
        }
        Ok(())
    }

    /// Notes that a name in each folder above a path may have changed.
    fn touch(&self, touched: &mut BTreeSet<PathBuf>, path: &Path) {
        let above = path.ancestors().skip(1);
        for folder in above.take_while(|folder| folder.starts_with(&self.root)) {
            if !touched.insert(folder.to_owned()) {
                break;
            }
        }
    }

    /// Deletes a page, and the folders that are empty without it.
    pub fn delete(&self, path: &str) -> Result<(), Failure> {
        let path = self.root.join(path);
        let removed = self.disk.remove(&path);
        removed.map_err(|error| self.failed(&error))?;
        let mut touched = self.touched.lock().unwrap_or_else(PoisonError::into_inner);
        let above = path.ancestors().skip(1);
        for folder in above.take_while(|folder| *folder != self.root) {
            // A folder with anything left in it stays.
            if fs::remove_dir(folder).is_err() {
                self.touch(&mut touched, &folder.join(LIST));
                return Ok(());
            }
            touched.remove(folder);
        }
        touched.insert(self.root.clone());
        Ok(())
    }

    /// Writes the list anew with what stands, once all of that is on the disk.
    pub fn end(&self, seals: &[Sealed], pages: &Records) -> Result<(), Failure> {
        let end = || -> io::Result<()> {
            let touched = self.touched.lock().unwrap_or_else(PoisonError::into_inner);
            let touched: Vec<PathBuf> = touched.iter().cloned().collect();
            self.disk.settle_names(&touched)?;
            let (aside, list) = (self.root.join(ASIDE).join("list"), self.root.join(LIST));
            let text = pages_list::whole(seals, pages);
            // What was written stands at its end already, so that it is the same only where nothing was.
            if fs::read(&list)? == text.as_bytes() {
                return self.clear_aside();
            }
            self.disk.write(&aside, text.as_bytes())?;
            self.disk.settle(std::slice::from_ref(&aside))?;
            self.disk.rename(&aside, &list)?;
            self.clear_aside()?;
            self.disk.settle_names(std::slice::from_ref(&self.root))
        };
        end().map_err(|error| self.failed(&error))
    }

    fn failed(&self, error: &io::Error) -> Failure {
        let shown = &self.shown;
        Failure::refused(format!(
            "cannot publish to `{shown}`: {error}; every page there is whole, and the next run goes on from here"
        ))
    }
}

/// Takes a folder for one run alone, where it is there and the system can do that.
fn lock(path: &Path, shown: &str) -> Result<Option<File>, Failure> {
    let Ok(folder) = File::open(path) else {
        return Ok(None);
    };
    match folder.try_lock() {
        Err(TryLockError::WouldBlock) => Err(Failure::refused(format!(
            "another castlot is publishing to `{shown}`"
        ))
        .hint("wait until it has ended, and give the command again")),
        Ok(()) => Ok(Some(folder)),
        // A system that cannot lock a folder leaves it to people not to publish twice at once.
        Err(TryLockError::Error(_)) => Ok(None),
    }
}
