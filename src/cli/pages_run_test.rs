//! Runs of `castlot publish` on a small farm: what is written again and what is left, and a run that is cut off anywhere.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

use tempfile::TempDir;

use super::failure::Failure;
use super::pages_disk::Disk;
use super::pages_folder::Folder;
use super::pages_list::Sealed;
use super::pages_run::{Done, May, Plan, Run};
use super::test_farm::{farm, settings, with_sheets};
use crate::farm::{Farm, Settings};
use crate::site::{Foot, Press};

/// What there is to publish.
struct Stand {
    farm: Farm,
    settings: Settings,
}

/// The farm with a hold on its manure, and pages of its bins.
fn before() -> Stand {
    Stand {
        farm: farm(),
        settings: settings(),
    }
}

/// The same farm once the hold is released, its bins with a server of their own.
fn after() -> Stand {
    let release =
        "when,lot,state,reason\n2026-05-30T10:00,manure-1,release,the grower vouched for the hay\n";
    let sheets = BTreeMap::from([("holds.csv".to_owned(), release.as_bytes().to_vec())]);
    Stand {
        farm: with_sheets(&farm(), &settings(), &sheets),
        settings: Settings {
            shed: Some("http://192.168.1.20:8080".to_owned()),
            ..settings()
        },
    }
}

/// The same again, with a telephone number on each page.
fn later() -> Stand {
    let mut later = after();
    later.settings.phone = Some("01632 960123".to_owned());
    later
}

/// The diary as it stands after so many entries: a seal that tells of nothing else.
fn sealed(entry: u32) -> Sealed {
    let seal = format!("{entry:064x}").parse();
    Sealed {
        entry,
        seal: seal.expect("it is a seal"),
    }
}

const MAY: May = May {
    only_look: false,
    overwrite: false,
    delete: true,
};

fn publish_on(disk: Disk, path: &Path, stand: &Stand, may: May) -> Result<(Plan, Done), Failure> {
    let Stand { farm, settings } = stand;
    let last = farm.entries().last().map_or(0, |last| last.number);
    let folder = Folder::of(path, disk)?;
    let mut list = folder.list()?;
    let newest = list.seal(sealed(last));
    let foot = |sealed: &Sealed| Foot::of(farm, settings, sealed.entry, &sealed.seal.to_string());
    let run = Run {
        press: &Press::of(farm, settings),
        folder: &folder,
        feet: list.seals.iter().map(|seal| foot(seal).ok()).collect(),
        list,
        newest,
        may,
    };
    let plan = run.plan()?;
    if !may.only_look {
        folder.begin(&run.list)?;
    }
    let mut done = run.print(&plan.jobs, 1)?;
    if !may.only_look {
        run.end(&plan, &mut done)?;
    }
    Ok((plan, done))
}

fn publish(path: &Path, stand: &Stand, may: May) -> (Plan, Done) {
    publish_on(Disk::default(), path, stand, may).expect("nothing is in the way")
}

/// Reads every file below a folder, by its path from there.
fn files(root: &Path) -> BTreeMap<String, Vec<u8>> {
    let (mut files, mut waiting) = (BTreeMap::new(), vec![root.to_owned()]);
    while let Some(folder) = waiting.pop() {
        for found in fs::read_dir(folder).unwrap() {
            let path = found.unwrap().path();
            if path.is_dir() {
                waiting.push(path);
            } else {
                let name = path.strip_prefix(root).unwrap().to_str().unwrap();
                files.insert(name.to_owned(), fs::read(&path).unwrap());
            }
        }
    }
    files
}

fn copy(from: &Path) -> TempDir {
    let to = tempfile::tempdir().unwrap();
    for (name, bytes) in files(from) {
        let path = to.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    to
}

/// Leaves out what castlot keeps for itself.
fn pages_of(files: BTreeMap<String, Vec<u8>>) -> BTreeMap<String, Vec<u8>> {
    let is_page = |(name, _): &(String, Vec<u8>)| !name.starts_with('.');
    files.into_iter().filter(is_page).collect()
}

fn text(root: &Path, path: &str) -> String {
    fs::read_to_string(root.join(path)).unwrap()
}

/// Returns the path of the page of the lot with that mark.
fn page(stand: &Stand, mark: &str) -> String {
    let lot = stand.farm.marked(&mark.parse().unwrap()).unwrap();
    format!("{}/index.html", stand.farm.lot(lot).code)
}

fn has_seal(text: &str, entry: u32) -> bool {
    let seal = sealed(entry).seal.to_string();
    text.replace("&#8203;", "").contains(&seal)
}

#[test]
fn a_page_that_says_the_same_is_left_with_its_seal_and_the_front_page_has_the_newest() {
    let home = tempfile::tempdir().unwrap();
    let root = home.path();
    let (first, second) = (before(), after());
    let (plan, done) = publish(root, &first, MAY);
    assert_eq!((done.written.len(), done.same), (plan.pages, 0));
    let (old, straw, manure) = (
        files(root),
        page(&first, "straw-1"),
        page(&first, "manure-1"),
    );
    let (plan, done) = publish(
        root,
        &second,
        May {
            delete: false,
            ..MAY
        },
    );
    assert!(done.written.contains(&manure) && !done.written.contains(&straw));
    assert!(done.written.contains(&"index.html".to_owned()));
    assert_eq!(done.same + done.written.len(), plan.pages);
    let new = files(root);
    for (path, bytes) in pages_of(old) {
        let is_written = done.written.contains(&path);
        assert_eq!(new[&path] != bytes, is_written, "{path}");
    }
    let entries = |stand: &Stand| stand.farm.entries().len() as u32;
    assert!(has_seal(&text(root, &straw), entries(&first)));
    assert!(has_seal(&text(root, &manure), entries(&second)));
    assert!(has_seal(&text(root, "index.html"), entries(&second)));
    // Nothing happened since: nothing is touched, the list included.
    let (_, done) = publish(
        root,
        &second,
        May {
            delete: false,
            ..MAY
        },
    );
    assert!(done.written.is_empty(), "{:?}", done.written);
    assert!(files(root) == new);
}

#[test]
fn pages_that_belong_to_nothing_are_told_and_deleted_when_that_is_said() {
    let home = tempfile::tempdir().unwrap();
    let root = home.path();
    publish(root, &before(), MAY);
    let bins = ["A01", "A02", "A10"].map(|bin| format!("BIN/{bin}/index.html"));
    let gone: Vec<String> = bins
        .into_iter()
        .chain(["RACK/R1/index.html".to_owned()])
        .collect();
    let keep = May {
        delete: false,
        ..MAY
    };
    for _ in 0..2 {
        let (plan, _) = publish(root, &after(), keep);
        assert_eq!(plan.gone, gone);
        assert!(root.join(&gone[0]).is_file());
    }
    fs::write(root.join("BIN/A02/index.html"), "my own").unwrap();
    let (plan, _) = publish(root, &after(), MAY);
    assert_eq!(plan.gone_changed, gone[1..2]);
    let left = |folder: &str| fs::read_dir(root.join(folder)).is_ok();
    assert!(!left("RACK") && !left("BIN/A01") && left("BIN/A02"));
    let (plan, _) = publish(
        root,
        &after(),
        May {
            overwrite: true,
            ..MAY
        },
    );
    assert_eq!((plan.gone.len(), plan.gone_changed.len()), (0, 1));
    assert!(!left("BIN"));
    let (plan, _) = publish(root, &after(), MAY);
    assert_eq!((plan.gone.len(), plan.gone_changed.len()), (0, 0));
}

#[test]
fn files_that_castlot_did_not_write_are_named_and_never_touched() {
    let home = tempfile::tempdir().unwrap();
    let root = home.path();
    publish(root, &before(), MAY);
    let straw = page(&before(), "straw-1");
    let notes = straw.replace("index.html", "notes.txt");
    fs::write(root.join(&notes), "dry").unwrap();
    fs::create_dir_all(root.join(".git/objects")).unwrap();
    fs::write(root.join(".git/objects/aa"), "git's").unwrap();
    fs::write(root.join("CNAME"), "lots.marlhythe.example").unwrap();
    // A run that is not castlot's stands where a page will belong.
    let (plan, _) = publish(
        root,
        &before(),
        May {
            overwrite: true,
            ..MAY
        },
    );
    assert_eq!(plan.others, [".git/", "CNAME", notes.as_str()]);
    let kept = files(root);
    assert_eq!(kept["CNAME"], b"lots.marlhythe.example");
    assert_eq!(kept[".git/objects/aa"], b"git's");
    assert_eq!(kept[&notes], b"dry");
}

#[test]
fn a_file_of_somebody_elses_where_a_page_belongs_is_told_and_stays() {
    let home = tempfile::tempdir().unwrap();
    let root = home.path();
    publish(root, &after(), MAY);
    fs::create_dir_all(root.join("BIN/A01")).unwrap();
    fs::write(root.join("BIN/A01/index.html"), "mine").unwrap();
    let (_, done) = publish(
        root,
        &before(),
        May {
            overwrite: true,
            ..MAY
        },
    );
    assert_eq!(done.in_the_way, ["BIN/A01/index.html"]);
    assert_eq!(text(root, "BIN/A01/index.html"), "mine");
    assert!(root.join("BIN/A02/index.html").is_file());
}

#[test]
fn a_page_that_somebody_changed_is_told_and_written_over_only_when_that_is_said() {
    let home = tempfile::tempdir().unwrap();
    let root = home.path();
    publish(root, &before(), MAY);
    let manure = page(&before(), "manure-1");
    fs::write(root.join(&manure), "my own words").unwrap();
    for stand in [before(), after()] {
        let (_, done) = publish(root, &stand, MAY);
        assert_eq!(done.changed, [manure.as_str()]);
        assert_eq!(text(root, &manure), "my own words");
    }
    let (_, done) = publish(
        root,
        &after(),
        May {
            overwrite: true,
            ..MAY
        },
    );
    assert_eq!(done.written, [manure.as_str()]);
    assert!(text(root, &manure).contains("No hold or recall stands now"));
}

#[test]
fn only_looking_says_the_same_and_touches_nothing() {
    let home = tempfile::tempdir().unwrap();
    let root = home.path();
    let look = May {
        only_look: true,
        ..MAY
    };
    let (plan, done) = publish(&root.join("new"), &before(), look);
    assert_eq!(done.written.len(), plan.pages);
    assert!(!root.join("new").exists());
    publish(root, &before(), MAY);
    let was = files(root);
    let (plan, looked) = publish(root, &after(), look);
    assert!(files(root) == was);
    let (really, done) = publish(root, &after(), MAY);
    assert_eq!((looked.written, plan.gone), (done.written, really.gone));
}

#[cfg(unix)]
#[test]
fn nothing_is_written_through_a_link_in_the_folder() {
    use std::os::unix::fs::symlink;
    let (home, away) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let root = home.path();
    publish(root, &after(), MAY);
    symlink(away.path(), root.join("BIN")).unwrap();
    let refused = publish_on(Disk::default(), root, &before(), MAY).err();
    assert!(
        refused.is_some_and(|why| why.texts[0].contains("`BIN`") || why.texts[0].contains("/BIN`"))
    );
    fs::remove_file(root.join("BIN")).unwrap();
    let manure = page(&before(), "manure-1");
    let mine = away.path().join("mine.html");
    fs::write(&mine, "mine").unwrap();
    fs::remove_file(root.join(&manure)).unwrap();
    symlink(&mine, root.join(&manure)).unwrap();
    let (_, done) = publish(root, &before(), MAY);
    assert_eq!(done.changed, [manure]);
    assert_eq!(fs::read_to_string(mine).unwrap(), "mine");
    assert_eq!(fs::read_dir(away.path()).unwrap().count(), 1);
}

#[test]
fn a_folder_with_other_things_in_it_is_left_alone() {
    let home = tempfile::tempdir().unwrap();
    fs::write(home.path().join("to-aunt.txt"), "dear aunt").unwrap();
    let refused = publish_on(Disk::default(), home.path(), &before(), MAY).err();
    let refused = refused.expect("it is not castlot's");
    assert!(
        refused.texts[0].contains("holds files already"),
        "{refused:?}"
    );
    assert_eq!(files(home.path()).len(), 1);
    let file = home.path().join("to-aunt.txt");
    assert!(publish_on(Disk::default(), &file, &before(), MAY).is_err());
}

#[test]
fn a_run_that_is_cut_off_at_any_step_leaves_each_page_whole_and_the_next_goes_on() {
    let home = tempfile::tempdir().unwrap();
    let (first, second, third) = (before(), after(), later());
    publish(home.path(), &first, MAY);
    let old = pages_of(files(home.path()));
    let wanted = copy(home.path());
    publish(wanted.path(), &second, MAY);
    let wanted = files(wanted.path());
    let mut steps = 0;
    loop {
        let there = copy(home.path());
        let disk = Disk::that_stops_after(steps);
        if publish_on(disk, there.path(), &second, MAY).is_ok() {
            assert!(files(there.path()) == wanted);
            break;
        }
        for (path, bytes) in pages_of(files(there.path())) {
            let whole = [old.get(&path), wanted.get(&path)];
            assert!(whole.contains(&Some(&bytes)), "{path} after {steps}");
        }
        // Once more before it is done, and then another day, before anybody noticed.
        let again = Disk::that_stops_after(steps / 2);
        if let Ok((_, done)) = publish_on(again, there.path(), &second, MAY) {
            assert_eq!(done.changed.len() + done.in_the_way.len(), 0);
        }
        let next_day = copy(there.path());
        for (at, stand) in [(&there, &second), (&next_day, &third)] {
            let (_, done) = publish(at.path(), stand, MAY);
            let left = (done.changed.len(), done.in_the_way.len());
            assert_eq!(left, (0, 0), "after {steps}");
        }
        assert!(files(there.path()) == wanted, "after {steps}");
        let (_, done) = publish(next_day.path(), &third, MAY);
        assert!(done.written.is_empty(), "after {steps}");
        steps += 1;
    }
    assert!(steps > 30, "{steps} steps are not all there are");
}

#[test]
fn a_first_run_that_is_cut_off_anywhere_is_taken_up_again() {
    let stand = before();
    let whole = tempfile::tempdir().unwrap();
    publish(whole.path(), &stand, MAY);
    let wanted = files(whole.path());
    for steps in (0..).map(|n| n * 3) {
        let there = tempfile::tempdir().unwrap();
        let disk = Disk::that_stops_after(steps);
        let was_cut = publish_on(disk, there.path(), &stand, MAY).is_err();
        publish(there.path(), &stand, MAY);
        assert!(files(there.path()) == wanted, "after {steps}");
        if !was_cut {
            break;
        }
    }
}
