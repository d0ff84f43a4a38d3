//! What stands around every page of the shed, and whose page it is.

use std::fmt::Display;

use super::form_key::FormKey;

/// What every page has around it.
#[derive(Clone, Debug)]
pub struct Frame {
    /// The page's title.
    pub title: String,
    /// The farm's name.
    pub farm: String,
    /// Who is signed in; nobody, on the page on which one signs in.
    pub worker: Option<Worker>,
}

/// Who looks at a page, and what the page's forms carry with them.
#[derive(Clone, Debug)]
pub struct Worker {
    /// Their initials.
    pub by: String,
    /// What shows that a form came from a page of theirs.
    pub token: String,
    /// What the keys of this page's forms are worked out of: made anew for each page that is given out.
    pub key: FormKey,
}

impl Worker {
    /// Returns the key of one form of the page, by which the same form sent twice is known.
    pub fn key(&self, form: impl Display) -> FormKey {
        self.key.of_form(&form.to_string())
    }

    /// Frames a page of theirs.
    pub fn frame(&self, farm: &str, title: impl Into<String>) -> Frame {
        Frame {
            title: title.into(),
            farm: farm.to_owned(),
            worker: Some(self.clone()),
        }
    }
}
