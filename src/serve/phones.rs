//! The folder `phones/` of a farm: what is kept of workers' PINs and phones, for nobody's eyes but the owner's.

use std::fs::{self, File, TryLockError};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

/// Why something of the folder `phones` could not be read or kept.
#[derive(Debug, thiserror::Error)]
pub enum PhonesError {
    /// A file could not be used.
    #[error("`{}` could not be used", .path.display())]
    Io {
        /// The file.
        path: PathBuf,
        /// What the system said.
        source: io::Error,
    },
    /// A line is not one that castlot writes.
    #[error("`{}`, line {line}, is not as castlot wrote it", .path.display())]
    Damaged {
        /// The file.
        path: PathBuf,
        /// The line, counted from 1.
        line: usize,
    },
    /// The file of PINs is not one that castlot writes.
    #[error("`{}` is not as castlot wrote it", .path.display())]
    NotPins {
        /// The file.
        path: PathBuf,
    },
    /// Another castlot has the folder.
    #[error("another castlot is using `{}`", .path.display())]
    InUse {
        /// The folder.
        path: PathBuf,
    },
    /// The system gave no random bytes.
    #[error("the system gave no random bytes")]
    NoRandom {
        /// What the system said.
        source: getrandom::Error,
    },
    /// A PIN could not be hashed.
    #[error("the PIN could not be hashed")]
    Hash {
        /// Why not.
        source: argon2::password_hash::Error,
    },
}

/// The folder.
#[derive(Clone, Debug)]
pub struct Phones {
    folder: PathBuf,
}

impl Phones {
    /// Names the folder of a farm's folder; it need not be there.
    pub fn of(farm: &Path) -> Self {
        Self {
            folder: farm.join("phones"),
        }
    }

    /// Returns where a file of it is.
    pub fn file(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }

    /// Makes the folder where it is not there, and lets nobody but its owner look into it.
    pub fn make(&self) -> Result<(), PhonesError> {
        let mut folder = fs::DirBuilder::new();
        #[cfg(unix)]
        {
            use std::os::unix::fs::DirBuilderExt;
            folder.mode(0o700);
        }
        let made = match folder.create(&self.folder) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(()),
            made => made,
        };
        made.and_then(|()| for_the_owner(&self.folder, 0o700))
            .map_err(|source| failed(&self.folder, source))
    }

    /// Takes the folder for oneself, by a file that is locked until what is returned is dropped.
    ///
    /// Two that wait for each other's answers would each rewrite what the other appends.
    pub fn lock(&self, name: &str) -> Result<File, PhonesError> {
        self.make()?;
        let path = self.file(name);
        let file = open_own(&path).map_err(|source| failed(&path, source))?;
        match file.try_lock() {
            Ok(()) => Ok(file),
            Err(TryLockError::WouldBlock) => Err(PhonesError::InUse {
                path: self.folder.clone(),
            }),
            Err(TryLockError::Error(source)) => Err(failed(&path, source)),
        }
    }

    /// Replaces a file: the new one is written beside it, and takes its name when all of it is on the disk.
    pub fn replace(&self, name: &str, bytes: &[u8]) -> Result<(), PhonesError> {
        self.make()?;
        let (path, new) = (self.file(name), self.file(&format!("{name}.new")));
        let written = || -> io::Result<()> {
            let mut file = open_own(&new)?;
            file.set_len(0)?;
            file.write_all(bytes)?;
            file.sync_all()?;
            fs::rename(&new, &path)?;
            sync_folder(&self.folder)
        };
        written().map_err(|source| failed(&path, source))
    }

    /// Reads a file; `None` where it is not there.
    pub fn read(&self, name: &str) -> Result<Option<Vec<u8>>, PhonesError> {
        let path = self.file(name);
        match fs::read(&path) {
            Ok(bytes) => Ok(Some(bytes)),
            Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
            Err(source) => Err(failed(&path, source)),
        }
    }
}

/// Makes an error of what the system said of a file.
pub fn failed(path: &Path, source: io::Error) -> PhonesError {
    PhonesError::Io {
        path: path.to_owned(),
        source,
    }
}

/// Opens a file to be written, which its owner alone may read.
pub fn open_own(path: &Path) -> io::Result<File> {
    let mut options = File::options();
    options.create(true).truncate(false).read(true).write(true);
    #[cfg(unix)]
    {
        use std::os::unix::fs::OpenOptionsExt;
        options.mode(0o600);
    }
    let file = options.open(path)?;
    // One that was there before, or was copied from elsewhere, may be open to others.
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        file.set_permissions(fs::Permissions::from_mode(0o600))?;
    }
    Ok(file)
}

#[cfg(unix)]
fn for_the_owner(path: &Path, mode: u32) -> io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    fs::set_permissions(path, fs::Permissions::from_mode(mode))
}

#[cfg(not(unix))]
fn for_the_owner(_: &Path, _: u32) -> io::Result<()> {
    Ok(())
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

    #[cfg(unix)]
    #[test]
    fn nobody_but_the_owner_may_look_into_the_folder_or_its_files() {
        use std::os::unix::fs::PermissionsExt;
        let farm = tempfile::tempdir().unwrap();
        let phones = Phones::of(farm.path());
        // As a careless copy might leave them.
        fs::create_dir(farm.path().join("phones")).unwrap();
        fs::write(phones.file("pins.toml"), "old").unwrap();
        fs::set_permissions(phones.file("pins.toml"), fs::Permissions::from_mode(0o644)).unwrap();
        phones.replace("pins.toml", b"new").unwrap();
        let mode = |path: PathBuf| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(farm.path().join("phones")), 0o700);
        assert_eq!(mode(phones.file("pins.toml")), 0o600);
        assert_eq!(phones.read("pins.toml").unwrap().unwrap(), b"new");
        assert!(!phones.file("pins.toml.new").exists());
    }

    #[test]
    fn two_servers_do_not_share_a_folder() {
        let farm = tempfile::tempdir().unwrap();
        let phones = Phones::of(farm.path());
        let first = phones.lock("server.lock").unwrap();
        assert!(matches!(
            phones.lock("server.lock"),
            Err(PhonesError::InUse { .. })
        ));
        drop(first);
        phones.lock("server.lock").unwrap();
    }
}
