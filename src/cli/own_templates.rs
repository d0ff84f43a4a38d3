//! Reads a farm's own label templates, and the pictures that they name.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use crate::label::{Artwork, Templates};

use super::failure::Failure;

/// Reads the templates in `templates`, and those pictures in `artwork` that some template names.
pub fn own_templates(farm: &Path) -> Result<Templates, Failure> {
    let mut templates = Templates::default();
    let mut said = String::new();
    for path in files(&farm.join("templates"))? {
        let name = path.file_stem().and_then(|name| name.to_str());
        if let Some(name) = name.filter(|_| path.extension().is_some_and(|e| e == "toml")) {
            let text = fs::read_to_string(&path).map_err(|error| cannot(&path, &error))?;
            said.push_str(&text);
            templates.add(name, &format!("templates/{name}.toml"), text);
        }
    }
    let mut artwork = Artwork::default();
    for path in files(&farm.join("artwork"))? {
        let name = path.file_name().and_then(|name| name.to_str());
        // A folder of photographs may be large; only what is wanted is read.
        if let Some(name) = name.filter(|name| said.contains(name)) {
            stays_in(&path, farm)?;
            let bytes = fs::read(&path).map_err(|error| cannot(&path, &error))?;
            artwork.add(name, bytes);
        }
    }
    templates.add_artwork(artwork);
    Ok(templates)
}

/// The files of a folder, in the order of their names; none where there is no folder.
fn files(folder: &Path) -> Result<Vec<PathBuf>, Failure> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(cannot(folder, &error)),
    };
    let paths: Result<Vec<_>, _> = entries.map(|entry| Ok(entry?.path())).collect();
    let mut paths = paths.map_err(|error| cannot(folder, &error))?;
    paths.retain(|path| path.is_file());
    paths.sort();
    Ok(paths)
}

/// Refuses a link that leads out of the farm's folder: what is printed is the farm's own.
fn stays_in(path: &Path, farm: &Path) -> Result<(), Failure> {
    let whole = |path: &Path| path.canonicalize().map_err(|error| cannot(path, &error));
    match whole(path)?.starts_with(whole(farm)?) {
        true => Ok(()),
        false => Err(Failure::refused(format!(
            "`{}` is a link that leads out of the farm's folder",
            path.display()
        ))),
    }
}

fn cannot(path: &Path, error: &std::io::Error) -> Failure {
    Failure::refused(format!("cannot read `{}`: {error}", path.display()))
}
