//! The templates that live in the program.

use super::artwork::Artwork;
use super::error::LabelError;
use super::template::Template;

/// Every built-in template's name and text.
const ALL: [(&str, &str); 11] = [
    (
        "bag-front",
        include_str!("../../templates/labels/bag-front.toml"),
    ),
    (
        "bag-back",
        include_str!("../../templates/labels/bag-back.toml"),
    ),
    (
        "bag-small",
        include_str!("../../templates/labels/bag-small.toml"),
    ),
    ("tub", include_str!("../../templates/labels/tub.toml")),
    (
        "tub-lid",
        include_str!("../../templates/labels/tub-lid.toml"),
    ),
    ("bottle", include_str!("../../templates/labels/bottle.toml")),
    ("bin", include_str!("../../templates/labels/bin.toml")),
    ("rack", include_str!("../../templates/labels/rack.toml")),
    (
        "delivery",
        include_str!("../../templates/labels/delivery.toml"),
    ),
    ("batch", include_str!("../../templates/labels/batch.toml")),
    ("hold", include_str!("../../templates/labels/hold.toml")),
];

impl Template {
    /// The names of the built-in templates.
    pub const BUILT_IN: [&'static str; ALL.len()] = {
        let mut names = [""; ALL.len()];
        let mut at = 0;
        while at < ALL.len() {
            names[at] = ALL[at].0;
            at += 1;
        }
        names
    };

    /// The built-in template of a name.
    pub fn built_in(name: &str) -> Result<Self, LabelError> {
        let found = ALL.into_iter().find(|(known, _)| *known == name);
        let Some((name, text)) = found else {
            return Err(LabelError::NoSuchTemplate {
                name: name.to_owned(),
            });
        };
        Ok(Self::parse(
            name,
            &format!("templates/labels/{name}.toml"),
            text,
            &Artwork::default(),
        )?)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_built_in_template_can_be_read() {
        for name in Template::BUILT_IN {
            let template = Template::built_in(name).unwrap();
            assert_eq!(template.name, name);
        }
    }

    #[test]
    fn a_name_that_is_no_template_is_said_back_with_the_ones_there_are() {
        let error = Template::built_in("sack").unwrap_err().to_string();
        assert!(error.starts_with("`sack` is not a label template; there are bag-front, "));
    }
}
