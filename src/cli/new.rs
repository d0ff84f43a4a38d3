//! `castlot new`: a farm's folder, whole or not at all.

use std::io;
use std::path::{Path, PathBuf};

use crate::diary::Book;
use crate::sheets::empty_sheets;

use super::failure::Failure;
use super::{settings_file, voice, write_down};

/// Start a farm in a folder.
///
/// Makes the farm's settings (castlot.toml, to be edited by hand), an empty diary, a folder of empty diary sheets,
/// and folders for artwork and for label templates of its own. A folder that holds anything already is left alone.
///
/// Example: `castlot new shed --name "Marlhythe Wormery"`
#[derive(Debug, clap::Args)]
pub struct Args {
    /// The folder: a new one, or an empty one.
    #[arg(value_name = "DIR")]
    folder: PathBuf,
    /// The farm's name, as labels give it; the folder's name where nothing is said.
    #[arg(long)]
    name: Option<String>,
    /// Its country: two letters of ISO 3166.
    #[arg(long, default_value = "GB", value_name = "CODE")]
    country: String,
    /// Its time zone.
    #[arg(long, default_value = "Europe/London", value_name = "ZONE")]
    timezone: String,
}

/// What stands at the top of a farm's folder; castlot.toml last, because it makes the folder a farm.
const PARTS: [&str; 5] = [
    "sheets",
    "artwork",
    "templates",
    write_down::FILE,
    settings_file::FILE,
];

/// Where the parts are made before they are put in place.
const WORKPLACE: &str = ".castlot-new";

/// The settings of a new farm, with blanks for what is asked.
const SETTINGS: &str = include_str!("new_farm.toml");

/// Starts a farm.
pub fn run(args: &Args) -> Result<(), Failure> {
    let folder = &args.folder;
    let settings = settings(args)?;
    settings_file::parse(&settings).map_err(of_flags)?;
    start(folder, &settings)?;
    let shown = folder.display();
    voice::say(format!("a farm is started in {shown}"));
    voice::note(format!(
        "next: read {}",
        folder.join(settings_file::FILE).display()
    ));
    voice::note(format!(
        "then fill the sheets in {}, and `castlot --farm {shown} import {}`",
        folder.join("sheets").display(),
        folder.join("sheets").display()
    ));
    Ok(())
}

/// Makes a farm with these settings in a folder, whole or not at all.
pub fn start(folder: &Path, settings: &str) -> Result<(), Failure> {
    settings_file::parse(settings)?;
    let was_there = check_free(folder)?;
    make(folder, settings).inspect_err(|_| {
        // Whatever could be made is taken away again; that it cannot be is no news beside the failure.
        let _ = std::fs::remove_dir_all(folder.join(WORKPLACE));
        if !was_there {
            let _ = std::fs::remove_dir(folder);
        }
    })
}

/// Tells whether the folder is there, and empty; refuses it where it holds something.
fn check_free(folder: &Path) -> Result<bool, Failure> {
    let shown = folder.display();
    let mut inside = match std::fs::read_dir(folder) {
        Ok(inside) => inside,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(false),
        Err(error) => return Err(Failure::refused(format!("cannot read `{shown}`: {error}"))),
    };
    let holds_farm = [settings_file::FILE, write_down::FILE]
        .iter()
        .any(|part| folder.join(part).exists());
    if holds_farm {
        Err(
            Failure::refused(format!("`{shown}` holds a farm already")).hint(format!(
                "use it as it is, as in `castlot --farm {shown} beds`"
            )),
        )
    } else if inside.next().is_some() {
        Err(
            Failure::refused(format!("`{shown}` is not empty")).hint(format!(
                "start the farm in a folder of its own, as in `castlot new {shown}/farm`"
            )),
        )
    } else {
        Ok(true)
    }
}

/// Makes every part aside, then puts each in place; takes them back where one cannot be put.
fn make(folder: &Path, settings: &str) -> Result<(), Failure> {
    let aside = folder.join(WORKPLACE);
    let cannot = |path: &Path, error: &io::Error| {
        Failure::refused(format!("cannot make `{}`: {error}", path.display()))
    };
    for part in ["sheets", "artwork", "templates"] {
        let path = aside.join(part);
        std::fs::create_dir_all(&path).map_err(|error| cannot(&path, &error))?;
    }
    for (name, bytes) in empty_sheets() {
        let path = aside.join("sheets").join(name);
        std::fs::write(&path, bytes).map_err(|error| cannot(&path, &error))?;
    }
    let path = aside.join(settings_file::FILE);
    std::fs::write(&path, settings).map_err(|error| cannot(&path, &error))?;
    drop(Book::create(&aside.join(write_down::FILE))?);
    for (done, part) in PARTS.iter().enumerate() {
        let place = folder.join(part);
        if let Err(error) = std::fs::rename(aside.join(part), &place) {
            for part in &PARTS[..done] {
                // Put back, to be taken away with the rest.
                let _ = std::fs::rename(folder.join(part), aside.join(part));
            }
            return Err(cannot(&place, &error));
        }
    }
    std::fs::remove_dir(&aside).map_err(|error| cannot(&aside, &error))
}

fn settings(args: &Args) -> Result<String, Failure> {
    let name = match &args.name {
        Some(name) => name.trim().to_owned(),
        None => folder_name(&args.folder).ok_or_else(|| {
            Failure::refused("the farm has no name")
                .hint("say it, as in `castlot new . --name \"Marlhythe Wormery\"`")
        })?,
    };
    if name.is_empty() {
        return Err(Failure::refused("the farm's name is empty"));
    }
    let quoted = |text: &str| toml::Value::String(text.to_owned()).to_string();
    Ok(SETTINGS
        .replace("{country}", &quoted(&args.country))
        .replace("{timezone}", &quoted(&args.timezone))
        .replace("{name}", &quoted(&name)))
}

/// Leaves out where in the settings something is wrong: what is in them came from flags.
fn of_flags(failure: Failure) -> Failure {
    let told = |text: String| match text.split_once(": ") {
        Some((_, told)) => told.to_owned(),
        None => text,
    };
    Failure {
        texts: failure.texts.into_iter().map(told).collect(),
        ..failure
    }
}

/// Returns the name of a folder, also where it is written as `.`.
fn folder_name(folder: &Path) -> Option<String> {
    let whole = folder.canonicalize();
    let named = whole.as_deref().unwrap_or(folder).file_name()?;
    Some(named.to_string_lossy().into_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn settings_of(name: &str) -> String {
        let args = Args {
            folder: PathBuf::from("shed"),
            name: Some(name.to_owned()),
            country: "GB".to_owned(),
            timezone: "Europe/London".to_owned(),
        };
        settings(&args).expect("the farm has a name")
    }

    #[test]
    fn any_name_can_stand_in_the_settings() {
        for name in [
            "Marlhythe Wormery",
            "a \"b\" \\ c",
            "Zoë's {country}",
            "'''\"\"\"",
        ] {
            let read = settings_file::parse(&settings_of(name)).expect("the settings read");
            assert_eq!(read.name, name);
        }
    }

    #[test]
    fn the_settings_read_with_every_example_switched_on() {
        let settings = settings_of("Marlhythe Wormery");
        let lines = settings.lines().map(|line| match line.strip_prefix("#: ") {
            Some(example) => example,
            None => line,
        });
        let all = lines.collect::<Vec<_>>().join("\n");
        let read = settings_file::parse(&all).expect("every example is right");
        assert_eq!(read.products.len(), 3);
        assert!(read.base.is_some() && read.shed.is_some() && read.phone.is_some());
        assert_eq!(read.measures.len(), 1);
        assert_eq!((read.hold.incoming.len(), read.tonnage.len()), (1, 1));
        assert_eq!((read.address.len(), read.old_bases.len()), (3, 1));
    }
}
