//! The foot of a page: which state of the diary it was made from, and that diary's seal. It is kept apart from what the
//! page says, so that a page that says the same as before can keep the seal that it had.

use askama::Template;

use crate::farm::{EntryNumber, Farm, Settings};

use super::plain::plain;
use super::{SiteError, wording};

/// Where the foot belongs in a page. What people typed is escaped, so that only the template can say this.
const PLACE: &str = "<!--foot-->";

/// The foot of pages that were made from one state of the diary.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Foot(String);

#[derive(Template)]
#[template(path = "pages/foot.html")]
struct Words<'a> {
    /// The number and the day of the diary's last entry.
    written: Option<(EntryNumber, String)>,
    /// The diary's seal, in groups of eight, so that two people can read it to each other.
    seal: Vec<&'a str>,
}

impl Foot {
    /// Makes the foot of pages from a diary that ended with that entry then, or, at 0, had none; `seal` is its seal.
    pub fn of(
        farm: &Farm,
        settings: &Settings,
        entry: EntryNumber,
        seal: &str,
    ) -> Result<Self, SiteError> {
        let at = usize::try_from(entry).expect("entries are numbered in 32 bits");
        let last = at.checked_sub(1).and_then(|at| farm.entries().get(at));
        let written = last.map(|entry| {
            let day = settings.zone.to_datetime(entry.written).date();
            (entry.number, wording::date(day))
        });
        let words = Words {
            written,
            seal: groups(seal),
        };
        let told = |source| SiteError::Template {
            path: "foot.html".to_owned(),
            source,
        };
        Ok(Self(words.render().map_err(told)?))
    }
}

/// Which seal a page wants.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wants {
    /// That of the diary as it is.
    Newest,
    /// That of the diary as it was when the page came to say what it says.
    OfItsWords,
}

/// A page without its foot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Page {
    /// Its path in the folder.
    pub path: String,
    /// Which seal it wants.
    pub wants: Wants,
    text: String,
    /// Where in the text its foot belongs, if it has one.
    foot: Option<usize>,
}

impl Page {
    /// Renders a page; `None` of it is its foot yet.
    pub(super) fn of(path: String, template: &impl Template) -> Result<Self, SiteError> {
        let mut text = match template.render() {
            Ok(text) => plain(text),
            Err(source) => return Err(SiteError::Template { path, source }),
        };
        let foot = text
            .find(PLACE)
            .ok_or_else(|| SiteError::NoFoot { path: path.clone() })?;
        text.replace_range(foot..foot + PLACE.len(), "");
        Ok(Self {
            path,
            wants: Wants::OfItsWords,
            text,
            foot: Some(foot),
        })
    }

    /// Makes a page that machines read, and that has no foot.
    pub(super) fn without_foot(path: String, text: String) -> Self {
        Self {
            path,
            wants: Wants::OfItsWords,
            text,
            foot: None,
        }
    }

    /// Makes it want the newest seal.
    pub(super) fn with_newest_seal(self) -> Self {
        Self {
            wants: Wants::Newest,
            ..self
        }
    }

    /// Returns the whole page.
    pub fn with(&self, foot: &Foot) -> Vec<u8> {
        match self.foot {
            Some(at) => {
                let (before, after) = self.text.split_at(at);
                [before, &foot.0, after].concat().into_bytes()
            }
            None => self.text.clone().into_bytes(),
        }
    }
}

fn groups(seal: &str) -> Vec<&str> {
    let mut groups = Vec::new();
    let mut rest = seal;
    while let Some((group, more)) = rest.split_at_checked(8) {
        groups.push(group);
        rest = more;
    }
    groups.extend(Some(rest).filter(|rest| !rest.is_empty()));
    groups
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{SEAL, farm, settings};
    use super::*;
    use crate::farm::QrForm;

    #[test]
    fn a_foot_tells_of_the_diary_at_its_own_entry() {
        let (farm, settings) = (farm(), settings(QrForm::Web));
        let foot = |entry| Foot::of(&farm, &settings, entry, SEAL).expect("it can be filled in");
        assert!(foot(3).0.contains("entry 3, written on 1\u{a0}April 2026"));
        assert!(foot(0).0.contains("a diary with nothing in it yet"));
        assert!(foot(3).0.replace("&#8203;", "").contains(SEAL));
        assert_ne!(foot(3), foot(4));
    }

    #[test]
    fn a_seal_of_any_length_is_cut_into_groups() {
        assert_eq!(groups("0123456789abcdef0"), ["01234567", "89abcdef", "0"]);
        assert!(groups("").is_empty());
    }
}
