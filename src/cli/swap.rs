//! Swaps a folder of files in whole, for `castlot publish`.
//!
//! A broken run leaves the folder as it was: the new one grows beside it and takes its name at the end.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Component, Path, PathBuf};

use super::failure::Failure;

/// The file by which castlot knows a folder as its own.
const MARKER: &str = ".castlot-site";
const MARKER_TEXT: &str =
    "castlot wrote this folder and replaces it as a whole; keep nothing of your own in it.\n";

/// Replaces a folder by these files, all of them or none.
pub fn swap_in(folder: &Path, files: &BTreeMap<String, Vec<u8>>) -> Result<(), Failure> {
    let swap = Swap::of(folder)?;
    swap.tidy()?;
    swap.refuse_a_strange_folder()?;
    let wrote = swap.write(files).and_then(|()| swap.swap());
    wrote.map_err(|error| {
        // What was begun is of no use; if it cannot be removed now, the next run does it.
        let _ = swap.tidy();
        swap.failed(&error)
    })
}

/// A folder and its two neighbours: the one that is to come and the one that was.
struct Swap {
    folder: PathBuf,
    parent: PathBuf,
    new: PathBuf,
    old: PathBuf,
}

impl Swap {
    fn of(folder: &Path) -> Result<Self, Failure> {
        let refuse = |why: &str| {
            Failure::refused(format!("cannot publish to `{}`: {why}", folder.display()))
        };
        // A folder that is there may be named through a link or as `.`; the swap needs its own name.
        let folder = match folder.canonicalize() {
            Ok(real) => real,
            Err(error) if error.kind() == io::ErrorKind::NotFound => {
                std::path::absolute(folder).map_err(|error| refuse(&error.to_string()))?
            }
            Err(error) => return Err(refuse(&error.to_string())),
        };
        let name = folder.file_name().and_then(|name| name.to_str());
        let (Some(name), Some(parent)) = (name, folder.parent()) else {
            return Err(refuse("it has no name of its own that could be swapped"));
        };
        let beside = |end: &str| parent.join(format!(".{name}.castlot-{end}"));
        Ok(Self {
            new: beside("new"),
            old: beside("old"),
            parent: parent.to_owned(),
            folder,
        })
    }

    /// Clears up after a run that broke off; where it broke off between two names, the old pages get theirs back.
    fn tidy(&self) -> Result<(), Failure> {
        let tidied = || -> io::Result<()> {
            if self.old.join(MARKER).exists() {
                if self.folder.exists() {
                    fs::remove_dir_all(&self.old)?;
                } else {
                    fs::rename(&self.old, &self.folder)?;
                }
            }
            if self.new.join(MARKER).exists() {
                fs::remove_dir_all(&self.new)?;
            } else if self.new.exists() {
                // Begun, and not even marked yet; a folder with anything in it is not ours and stays.
                fs::remove_dir(&self.new)?;
            }
            Ok(())
        };
        tidied().map_err(|error| self.failed(&error))
    }

    fn refuse_a_strange_folder(&self) -> Result<(), Failure> {
        let shown = self.folder.display();
        if !self.folder.exists() {
            return Ok(());
        }
        if !self.folder.is_dir() {
            return Err(Failure::refused(format!(
                "`{shown}` is a file; pages need a folder"
            )));
        }
        let mut entries = fs::read_dir(&self.folder).map_err(|error| self.failed(&error))?;
        if entries.next().is_none() || self.folder.join(MARKER).is_file() {
            return Ok(());
        }
        Err(Failure::refused(format!(
            "`{shown}` holds files that castlot did not write, and publishing would remove them"
        ))
        .hint("name a new folder, as in `castlot publish public`"))
    }

    /// Writes the new folder and waits until all of it is on the disk.
    fn write(&self, files: &BTreeMap<String, Vec<u8>>) -> io::Result<()> {
        fs::create_dir_all(&self.parent)?;
        fs::create_dir(&self.new)?;
        let marker = self.new.join(MARKER);
        write_file(&marker, MARKER_TEXT.as_bytes())?;
        let mut written = vec![marker];
        for (path, bytes) in files {
            let path = self.inside(path)?;
            if let Some(folder) = path.parent() {
                fs::create_dir_all(folder)?;
            }
            write_file(&path, bytes)?;
            written.push(path);
        }
        let mut folders: Vec<PathBuf> = Vec::new();
        for path in &written {
            let above = path.ancestors().skip(1);
            let inside = above.take_while(|folder| folder.starts_with(&self.new));
            folders.extend(inside.map(Path::to_owned));
        }
        folders.sort_unstable();
        folders.dedup();
        wait_for(&written, |path| File::open(path)?.sync_all())?;
        wait_for(&folders, sync_folder)
    }

    /// Returns where a page goes; a path that leads out of the folder is an error.
    fn inside(&self, path: &str) -> io::Result<PathBuf> {
        let is_plain = |part: Component<'_>| matches!(part, Component::Normal(_));
        if Path::new(path).components().all(is_plain) {
            Ok(self.new.join(path))
        } else {
            let text = format!("the path `{path}` leads out of the folder");
            Err(io::Error::new(io::ErrorKind::InvalidInput, text))
        }
    }

    /// Gives the new folder the name, and the old one back its own if that fails.
    fn swap(&self) -> io::Result<()> {
        let was = self.folder.exists();
        if was {
            fs::rename(&self.folder, &self.old)?;
        }
        if let Err(error) = fs::rename(&self.new, &self.folder) {
            if was {
                fs::rename(&self.old, &self.folder)?;
            }
            return Err(error);
        }
        sync_folder(&self.parent)?;
        if was {
            // The new pages stand; an old folder that cannot be removed is cleared up by the next run.
            let _ = fs::remove_dir_all(&self.old);
        }
        Ok(())
    }

    fn failed(&self, error: &io::Error) -> Failure {
        let shown = self.folder.display();
        Failure::refused(format!(
            "cannot publish to `{shown}`: {error}; what was there stands as it was"
        ))
    }
}

/// How many files are waited for at a time: a disk takes many together in about the time of one.
const TOGETHER: usize = 32;

/// Waits until all of these are on the disk.
fn wait_for(paths: &[PathBuf], sync: fn(&Path) -> io::Result<()>) -> io::Result<()> {
    let share = paths.len().div_ceil(TOGETHER).max(1);
    std::thread::scope(|scope| {
        let wait = |some: &'_ [PathBuf]| some.iter().try_for_each(|path| sync(path));
        let waiting: Vec<_> = paths
            .chunks(share)
            .map(|some| scope.spawn(move || wait(some)))
            .collect();
        let mut waited = waiting.into_iter();
        waited.try_for_each(|thread| thread.join().expect("waiting for a file never panics"))
    })
}

fn write_file(path: &Path, bytes: &[u8]) -> io::Result<()> {
    File::create_new(path)?.write_all(bytes)
}

/// Waits until a folder's names are on the disk, where the system lets a folder be opened.
#[cfg(unix)]
fn sync_folder(folder: &Path) -> io::Result<()> {
    File::open(folder)?.sync_all()
}

#[cfg(not(unix))]
fn sync_folder(_: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn site(files: &[(&str, &str)]) -> BTreeMap<String, Vec<u8>> {
        let owned = |(path, text): &(&str, &str)| ((*path).to_owned(), text.as_bytes().to_vec());
        files.iter().map(owned).collect()
    }

    fn read(folder: &Path, path: &str) -> Option<String> {
        fs::read_to_string(folder.join(path)).ok()
    }

    /// Returns the names in a folder, in order.
    fn names(folder: &Path) -> Vec<String> {
        let entries = fs::read_dir(folder).unwrap();
        let mut names: Vec<String> = entries
            .map(|entry| entry.unwrap().file_name().into_string().unwrap())
            .collect();
        names.sort();
        names
    }

    #[test]
    fn the_folder_is_replaced_as_a_whole() {
        let shed = tempfile::tempdir().unwrap();
        let folder = shed.path().join("public");
        swap_in(
            &folder,
            &site(&[("index.html", "one"), ("P1/index.html", "gone")]),
        )
        .unwrap();
        swap_in(
            &folder,
            &site(&[("index.html", "two"), ("P2/index.html", "new")]),
        )
        .unwrap();
        assert_eq!(read(&folder, "index.html").as_deref(), Some("two"));
        assert_eq!(read(&folder, "P2/index.html").as_deref(), Some("new"));
        assert!(!folder.join("P1").exists());
        assert_eq!(names(shed.path()), ["public"], "nothing is left beside it");
    }

    #[test]
    fn a_folder_with_other_things_in_it_is_left_alone() {
        let shed = tempfile::tempdir().unwrap();
        let folder = shed.path().join("letters");
        fs::create_dir(&folder).unwrap();
        fs::write(folder.join("to-aunt.txt"), "dear aunt").unwrap();
        let refused = swap_in(&folder, &site(&[("index.html", "one")])).unwrap_err();
        assert!(refused.texts[0].contains("did not write"), "{refused:?}");
        assert_eq!(names(&folder), ["to-aunt.txt"]);
        assert_eq!(names(shed.path()), ["letters"]);
        let file = shed.path().join("letters/to-aunt.txt");
        assert!(swap_in(&file, &site(&[])).is_err());
    }

    #[test]
    fn a_run_that_fails_leaves_the_pages_that_were_there() {
        let shed = tempfile::tempdir().unwrap();
        let folder = shed.path().join("public");
        swap_in(&folder, &site(&[("index.html", "one")])).unwrap();
        // The second path needs a folder where the first has put a file.
        let broken = site(&[("a", "file"), ("a/b.html", "in it")]);
        assert!(swap_in(&folder, &broken).is_err());
        assert!(swap_in(&folder, &site(&[("../index.html", "out")])).is_err());
        assert_eq!(read(&folder, "index.html").as_deref(), Some("one"));
        assert_eq!(names(shed.path()), ["public"]);
    }

    #[test]
    fn what_a_run_left_when_the_power_went_is_cleared_up() {
        let shed = tempfile::tempdir().unwrap();
        let (folder, new, old) = (
            shed.path().join("public"),
            shed.path().join(".public.castlot-new"),
            shed.path().join(".public.castlot-old"),
        );
        swap_in(&folder, &site(&[("index.html", "one")])).unwrap();
        // The power went while the new folder was half written, and another time between the two renamings.
        fs::create_dir(&new).unwrap();
        fs::write(new.join(MARKER), MARKER_TEXT).unwrap();
        fs::rename(&folder, &old).unwrap();
        let refused = swap_in(&folder, &site(&[("../out", "")]));
        assert!(refused.is_err());
        assert_eq!(
            read(&folder, "index.html").as_deref(),
            Some("one"),
            "the old pages are back"
        );
        swap_in(&folder, &site(&[("index.html", "two")])).unwrap();
        assert_eq!(read(&folder, "index.html").as_deref(), Some("two"));
        assert_eq!(names(shed.path()), ["public"]);
    }

    #[test]
    fn a_strange_folder_in_the_way_of_the_new_one_is_left_alone() {
        let shed = tempfile::tempdir().unwrap();
        let new = shed.path().join(".public.castlot-new");
        fs::create_dir(&new).unwrap();
        fs::write(new.join("mine.txt"), "mine").unwrap();
        assert!(swap_in(&shed.path().join("public"), &site(&[("index.html", "one")])).is_err());
        assert_eq!(names(&new), ["mine.txt"]);
        fs::remove_file(new.join("mine.txt")).unwrap();
        swap_in(&shed.path().join("public"), &site(&[("index.html", "one")])).unwrap();
        assert_eq!(names(shed.path()), ["public"]);
    }

    #[cfg(unix)]
    #[test]
    fn a_link_to_the_folder_stays_a_link() {
        let shed = tempfile::tempdir().unwrap();
        let (real, link) = (shed.path().join("real"), shed.path().join("link"));
        swap_in(&real, &site(&[("index.html", "one")])).unwrap();
        std::os::unix::fs::symlink(&real, &link).unwrap();
        swap_in(&link, &site(&[("index.html", "two")])).unwrap();
        assert_eq!(read(&real, "index.html").as_deref(), Some("two"));
        assert!(link.is_symlink());
    }
}
