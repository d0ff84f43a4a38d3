//! What stands on every page but for its foot: the farm, the way back to the top.

use crate::farm::{PublicFact, Settings};

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
    /// Whether search engines may list the page.
    pub is_listed: bool,
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
            is_listed: false,
        }
    }
}

impl Frame<'_> {
    /// Returns the farm's telephone number, where it is public.
    pub fn phone(&self) -> Option<&str> {
        let is_public = self.settings.public.shows(PublicFact::Phone);
        self.settings.phone.as_deref().filter(|_| is_public)
    }

    /// Returns the lines of the farm's address, where it is public.
    pub fn address(&self) -> &[String] {
        match self.settings.public.shows(PublicFact::Address) {
            true => &self.settings.address,
            false => &[],
        }
    }

    /// Returns the number to ring, without spaces, for a link.
    pub fn dial(&self) -> Option<String> {
        let phone = self.phone()?;
        Some(
            phone
                .chars()
                .filter(|c| c.is_ascii_digit() || *c == '+')
                .collect(),
        )
    }

    /// Returns the words for whom to ring.
    pub fn whom(&self) -> String {
        match self.phone() {
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
