//! What is in a published folder besides castlot's pages: it is named and never touched.

use std::collections::HashSet;
use std::fs;
use std::io;
use std::path::Path;

use super::pages_folder::{ASIDE, LIST};

/// What is in the folder besides pages.
#[derive(Default)]
pub struct Others {
    /// Files and folders that castlot did not write.
    pub names: Vec<String>,
    /// Those of them that stand where a folder of pages belongs.
    pub walls: Vec<String>,
}

impl Others {
    /// Looks through a folder for what stands at none of these paths; folders without a page in them are not gone into.
    pub fn of(root: &Path, pages: &HashSet<&str>) -> io::Result<Self> {
        let folders = folders(pages);
        let mut others = Self::default();
        let mut waiting = vec![String::new()];
        while let Some(within) = waiting.pop() {
            let inside = match fs::read_dir(root.join(&within)) {
                Ok(inside) => inside,
                Err(error) if error.kind() == io::ErrorKind::NotFound => continue,
                Err(error) => return Err(error),
            };
            for found in inside {
                let found = found?;
                let name = found.file_name().to_string_lossy().into_owned();
                if within.is_empty() && [LIST, ASIDE].contains(&name.as_str()) {
                    continue;
                }
                let path = if within.is_empty() {
                    name
                } else {
                    format!("{within}/{name}")
                };
                match (found.file_type()?.is_dir(), folders.contains(path.as_str())) {
                    (true, true) => waiting.push(path),
                    (true, false) => others.names.push(format!("{path}/")),
                    (false, true) => others.walls.push(path),
                    (false, false) if pages.contains(path.as_str()) => {}
                    (false, false) => others.names.push(path),
                }
            }
        }
        others.names.sort_unstable();
        others.walls.sort_unstable();
        Ok(others)
    }
}

/// Returns the folders that pages are in.
fn folders<'p>(pages: &HashSet<&'p str>) -> HashSet<&'p str> {
    let mut folders = HashSet::new();
    for page in pages {
        let mut path = *page;
        while let Some((above, _)) = path.rsplit_once('/') {
            if !folders.insert(above) {
                break;
            }
            path = above;
        }
    }
    folders
}
