//! Runs the outside judges that open castlot's pages in Debian's Chromium, or attack its server.
//!
//! How a judge is run, and what is said where something is not installed, stands in `outside.rs`.

use crate::outside::{Judge, demo_farm, path};

const PAGES: Judge = Judge {
    script: "judge_pages.py",
    modules: &["pypdfium2", "playwright", "stdnum", "tomllib"],
    programs: &["chromium", "java", "npm:axe-core", "npm:vnu-jar"],
};

const SCANS: Judge = Judge {
    script: "judge_scans.py",
    modules: &["PIL", "playwright", "zxingcpp"],
    programs: &["chromium", "openssl", "pdftoppm"],
};

const ATTACKS: Judge = Judge {
    script: "judge_attacks.py",
    modules: &["playwright"],
    programs: &["chromium", "openssl"],
};

const PHONES: Judge = Judge {
    script: "judge_phones.py",
    modules: &["playwright", "pypdfium2"],
    programs: &["chromium", "java", "npm:axe-core", "npm:vnu-jar"],
};

const FORMS: Judge = Judge {
    script: "judge_forms.py",
    modules: &["playwright", "pypdfium2"],
    programs: &["chromium"],
};

const CHANGES: Judge = Judge {
    script: "judge_changes.py",
    modules: &[],
    programs: &[],
};

#[test]
fn published_pages_are_valid_accessible_and_ask_nothing_of_anybody() {
    if PAGES.is_here() {
        PAGES.run(&[path(demo_farm())]);
    }
}

#[test]
fn what_a_phone_reads_on_a_label_opens_the_page_of_that_code() {
    if SCANS.is_here() {
        SCANS.run(&[path(demo_farm())]);
    }
}

#[test]
fn nothing_that_is_thrown_at_pages_or_the_server_gets_through() {
    if ATTACKS.is_here() {
        ATTACKS.run(&[path(demo_farm())]);
    }
}

#[test]
fn what_is_tapped_on_a_phone_is_recorded_once_and_by_nobody_else() {
    if PHONES.is_here() {
        PHONES.run(&[path(demo_farm())]);
    }
}

#[test]
fn every_form_of_the_shed_goes_without_javascript_and_takes_hostile_words_for_words() {
    if FORMS.is_here() {
        FORMS.run(&[path(demo_farm())]);
    }
}

#[test]
fn pages_published_again_are_those_of_a_fresh_folder_and_name_the_packs_asked_back() {
    if CHANGES.is_here() {
        CHANGES.run(&[path(demo_farm())]);
    }
}
