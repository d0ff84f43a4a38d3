//! The shed's pages of the demo farm, as they are sent to a phone: every form is whole, nothing runs or is styled in
//! line, and every bed of the round has its place.

use std::collections::BTreeSet;
use std::path::Path;

use askama::Template;
use castlot::farm::Settings;
use castlot::serve::{
    BinPage, ComplaintPage, FindPage, FormKey, InUse, Leads, RoundPage, Today, TracePage, Worker,
};
use jiff::civil::date;
use jiff::tz::TimeZone;

use super::demo::Demo;

/// Tags that are opened with this name, up to where they are closed.
fn tags<'a>(page: &'a str, name: &str) -> Vec<&'a str> {
    let start = format!("<{name}");
    let found = page.match_indices(&start).map(|(at, _)| &page[at..]);
    found
        .filter(|tag| tag[start.len()..].starts_with([' ', '>']))
        .map(|tag| &tag[..tag.find('>').expect("it is closed") + 1])
        .collect()
}

/// What stands in an attribute.
fn attribute<'a>(tag: &'a str, name: &str) -> Option<&'a str> {
    let start = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    tag[start..].split('"').next()
}

fn forms(page: &str) -> Vec<&str> {
    let parts = page.split("<form ").skip(1);
    parts
        .map(|form| form.split("</form>").next().expect("it is closed"))
        .collect()
}

/// Holds a page to what is asked of every page, and writes it where it can be looked at.
fn look_over(name: &str, page: &str) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("shed");
    std::fs::create_dir_all(&folder).expect("a folder for pages");
    std::fs::write(folder.join(format!("{name}.html")), page).expect("a page is written");
    assert!(
        !page.contains(" style=") && !page.contains("<style"),
        "{name}"
    );
    assert!(
        !page.contains(" onclick") && !page.contains(" onload"),
        "{name}"
    );
    for script in tags(page, "script") {
        let from = attribute(script, "src").unwrap_or_default();
        assert!(
            ["/shed/shed.js", "/shed/photo.js"].contains(&from),
            "{name}: {from}"
        );
    }
    let ids: Vec<&str> = page.split(" id=\"").skip(1).collect();
    let ids: Vec<&str> = ids.iter().filter_map(|id| id.split('"').next()).collect();
    let once: BTreeSet<&str> = ids.iter().copied().collect();
    assert_eq!(ids.len(), once.len(), "{name}: an id stands twice");
    for label in tags(page, "label") {
        if let Some(to) = attribute(label, "for") {
            assert!(once.contains(to), "{name}: a label for `{to}`");
        }
    }
    let mut keys = BTreeSet::new();
    for form in forms(page).iter().filter(|form| form.contains("data-spot")) {
        for field in ["token", "by", "key"] {
            assert!(
                form.contains(&format!("name=\"{field}\"")),
                "{name}: {field}"
            );
        }
        let inputs = tags(form, "input");
        let key = inputs
            .iter()
            .find(|tag| attribute(tag, "name") == Some("key"));
        let key = key
            .and_then(|tag| attribute(tag, "value"))
            .expect("it has a key");
        assert!(key.parse::<FormKey>().is_ok(), "{name}: {key}");
        assert!(keys.insert(key), "{name}: two forms have the same key");
    }
}

#[test]
fn the_pages_of_the_demo_farm_are_whole() {
    let farm = Demo::farm();
    let zone = TimeZone::get("Europe/London").expect("a zone");
    let settings = Settings::of("Marlhythe Wormery", "GB", zone);
    let today = Today::of(&farm, &settings, date(2026, 11, 1));
    let rack = today.with(&farm, &settings);
    let worker = Worker {
        by: "MV".to_owned(),
        token: "0".repeat(64),
        key: FormKey::new("2026-11-01T08:00:00Z".parse().expect("an instant")).expect("a key"),
    };
    let render = |page: &dyn Fn() -> String, name: &str| {
        let text = page();
        look_over(name, &text);
        text
    };
    let in_use = || InUse::of(rack, None, "/shed/round");

    let round = render(
        &|| {
            RoundPage::of(rack, None, in_use(), &worker)
                .expect("a round")
                .render()
                .expect("text")
        },
        "round",
    );
    let stops = tags(&round, "li")
        .into_iter()
        .filter(|li| li.contains("data-stop"))
        .count();
    assert_eq!(stops, today.stops.len(), "every bed is on the round");
    let due = today.stops.iter().filter(|stop| stop.is_due()).count();
    assert!(due > 0, "something is due on that day");
    let answers = forms(&round)
        .into_iter()
        .filter(|form| form.contains("name=\"bed\""))
        .count();
    assert_eq!(answers, due, "every bed that is due can be answered for");
    assert!(round.contains("Left blank"));
    let feeds = in_use().feeds;
    let chosen = feeds
        .first()
        .expect("some feed is left")
        .code
        .parse()
        .expect("a code");
    let rack_page = || {
        let in_use = InUse::of(rack, Some(chosen), "/RACK/R1");
        RoundPage::of(rack, Some("R1"), in_use, &worker)
            .expect("a rack")
            .render()
            .expect("text")
    };
    let one = render(&rack_page, "rack");
    assert!(
        one.contains(&format!("value=\"{chosen} ")),
        "the feed in use is what one tap gives"
    );
    assert!(RoundPage::of(rack, Some("NOWHERE"), in_use(), &worker).is_none());

    for bin in farm.bins().keys() {
        let page = BinPage::of(rack, *bin, in_use(), &worker).expect("a bin");
        let page = page.render().expect("text");
        look_over(&format!("bin-{bin}"), &page);
        let answered = page.contains("formaction=\"/shed/fed\"");
        assert_eq!(answered, rack.in_bin(*bin).is_some(), "{bin}");
    }
    let found = |typed: &str| match FindPage::of(rack, Some(typed), &worker) {
        Leads::To(address) => address,
        Leads::List(page) => {
            let text = page.render().expect("text");
            look_over(&format!("find-{}", typed.len()), &text);
            text
        }
    };
    assert_eq!(found("a07"), "/BIN/A07");
    assert_eq!(found("r1"), "/RACK/R1");
    assert!(found("run-7").contains("/shed/complaint?pack=P"));
    assert!(found("<script>alert(1)</script>").contains("&#60;script&#62;"));
    let run = farm
        .marked(&"run-7".parse().expect("a mark"))
        .expect("the run");
    let trace = TracePage::of(&farm, "Marlhythe Wormery", (run, None), &worker);
    let trace = render(&|| trace.render().expect("text"), "trace");
    assert!(trace.contains("Who bought it"));
    let complaint = ComplaintPage::of(rack, Some("run-7 #1"), &worker);
    let complaint = render(&|| complaint.render().expect("text"), "complaint");
    assert!(
        complaint.contains("/0001\""),
        "the pack that was scanned is filled in"
    );
}
