//! The steps by which `castlot publish` changes a folder, each of them whole or not at all, so that tests can cut a run off
//! after any of them.

use std::fs::{self, File};
use std::io::{self, Write};
use std::path::{Path, PathBuf};
#[cfg(test)]
use std::sync::atomic::{AtomicUsize, Ordering};

/// How many files are waited for at a time: a disk takes many together in about the time of one.
const TOGETHER: usize = 32;

/// A disk to write on.
#[derive(Debug, Default)]
pub struct Disk {
    /// How many steps are left until the power goes, where a test has it go.
    #[cfg(test)]
    left: Option<AtomicUsize>,
}

impl Disk {
    /// A disk whose power goes after so many steps, in the middle of the next.
    #[cfg(test)]
    pub fn that_stops_after(steps: usize) -> Self {
        Self {
            left: Some(AtomicUsize::new(steps)),
        }
    }

    #[cfg(test)]
    fn step(&self) -> io::Result<()> {
        let Some(left) = &self.left else {
            return Ok(());
        };
        let took = left.fetch_update(Ordering::SeqCst, Ordering::SeqCst, |left| {
            left.checked_sub(1)
        });
        took.map(|_| ())
            .map_err(|_| io::Error::other("the power went"))
    }

    #[cfg(not(test))]
    fn step(&self) -> io::Result<()> {
        Ok(())
    }

    /// Makes a folder and those above it.
    pub fn make_folder(&self, path: &Path) -> io::Result<()> {
        if path.is_dir() {
            return Ok(());
        }
        self.step()?;
        fs::create_dir_all(path)
    }

    /// Writes a file, over whatever a run that was cut off left there.
    pub fn write(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let mut file = File::create(path)?;
        if let Err(cut) = self.step() {
            file.write_all(&bytes[..bytes.len() / 2])?;
            return Err(cut);
        }
        file.write_all(bytes)
    }

    /// Adds to a file, and waits until it is on the disk.
    pub fn append(&self, mut file: &File, bytes: &[u8]) -> io::Result<()> {
        if let Err(cut) = self.step() {
            file.write_all(&bytes[..bytes.len() / 2])?;
            return Err(cut);
        }
        file.write_all(bytes)?;
        file.sync_all()
    }

    /// Gives a file another name, in place of whatever has it.
    pub fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.step()?;
        fs::rename(from, to)
    }

    /// Removes a file; it is no matter if it is gone.
    pub fn remove(&self, path: &Path) -> io::Result<()> {
        self.step()?;
        match fs::remove_file(path) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
            Ok(()) | Err(_) => Ok(()),
        }
    }

    /// Waits until all of these files are on the disk.
    pub fn settle(&self, files: &[PathBuf]) -> io::Result<()> {
        self.step()?;
        wait_for(files, |path| File::open(path)?.sync_all())
    }

    /// Waits until the names in all of these folders are on the disk, where the system lets a folder be opened.
    pub fn settle_names(&self, folders: &[PathBuf]) -> io::Result<()> {
        self.step()?;
        if cfg!(unix) {
            wait_for(folders, |path| File::open(path)?.sync_all())
        } else {
            Ok(())
        }
    }
}

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
