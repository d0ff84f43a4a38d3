//! What stands on every page but for its foot: the farm, the way back to the top.

use crate::farm::Settings;

use super::policy::STYLE;
use super::wording;

/// What every page has around it.
pub struct Frame<'a> {
    /// The page's title.
    pub title: String,
    /// The way up to the folder's top.
    pub up: String,
    /// The farm.
    pub settings: &'a Settings,
    /// The style sheet.
    pub style: &'static str,
    /// The content security policy.
    pub policy: &'a str,
}

/// What frames are made of.
pub struct Frames<'a> {
    pub settings: &'a Settings,
    pub policy: String,
}

impl<'a> Frames<'a> {
    /// Makes the frame of a page.
    pub fn frame(&'a self, title: String, up: String) -> Frame<'a> {
        Frame {
            title,
            up,
            settings: self.settings,
            style: STYLE,
            policy: &self.policy,
        }
    }
}

impl Frame<'_> {
    /// Returns the number to ring, without spaces, for a link.
    pub fn dial(&self) -> Option<String> {
        let phone = self.settings.phone.as_ref()?;
        Some(
            phone
                .chars()
                .filter(|c| c.is_ascii_digit() || *c == '+')
                .collect(),
        )
    }

    /// Returns the words for whom to ring.
    pub fn whom(&self) -> String {
        match &self.settings.phone {
            Some(phone) => format!("{}, {phone}", self.settings.name),
            None => self.settings.name.clone(),
        }
    }
}

/// A thing known of a lot.
pub struct Known {
    /// What it is about.
    pub term: &'static str,
    /// What is known.
    pub value: String,
    /// The day, as computers write it, where it is one.
    pub day: Option<String>,
}

impl Known {
    /// Makes a thing known.
    pub fn of(term: &'static str, value: impl Into<String>) -> Self {
        Self {
            term,
            value: value.into(),
            day: None,
        }
    }

    /// Makes a day known.
    pub fn on(term: &'static str, day: jiff::civil::Date) -> Self {
        Self {
            term,
            value: wording::date(day),
            day: Some(day.to_string()),
        }
    }
}
