//! The templates a farm prints with: its own, and those that live in the program.

use std::collections::BTreeMap;

use super::artwork::Artwork;
use super::error::LabelError;
use super::template::Template;

/// A farm's own templates, as text; one of the same name is used before a built-in one.
#[derive(Clone, Debug, Default)]
pub struct Templates {
    own: BTreeMap<String, (String, String)>,
    artwork: Artwork,
}

impl Templates {
    /// Adds the text of one of the farm's own files, which is read when a label wants it.
    pub fn add(&mut self, name: &str, file: &str, text: String) {
        self.own.insert(name.to_owned(), (file.to_owned(), text));
    }

    /// Adds the pictures that they may name.
    pub fn add_artwork(&mut self, artwork: Artwork) {
        self.artwork = artwork;
    }

    /// Finds a template by its name.
    pub fn find(&self, name: &str) -> Result<Template, LabelError> {
        match self.own.get(name) {
            Some((file, text)) => Ok(Template::parse(name, file, text, &self.artwork)?),
            None => Template::built_in(name),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_farms_own_template_comes_before_the_built_in_one() {
        let mut templates = Templates::default();
        let own = "[[size]]\nwidth = 38\nheight = 21\n";
        templates.add("bin", "templates/bin.toml", own.to_owned());
        assert_eq!(templates.find("bin").unwrap().sizes.len(), 1);
        assert!(templates.find("rack").unwrap().sizes.len() > 1);
        templates.add(
            "rack",
            "templates/rack.toml",
            "[[size]]\nheigth = 21\n".to_owned(),
        );
        let error = templates.find("rack").unwrap_err().to_string();
        assert!(error.starts_with("templates/rack.toml, line "), "{error}");
    }
}
