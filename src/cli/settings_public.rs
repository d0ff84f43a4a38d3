//! Reads `[public]` of castlot.toml: which facts the public pages show, and whether search engines are told of them.

use serde::Deserialize;
use toml::Spanned;

use crate::farm::{KindError, Public, PublicFact};

use super::settings_permission::Wrong;

/// `[public]`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PublicTable {
    show: Option<Spanned<Vec<Spanned<String>>>>,
    sitemap: Option<Spanned<bool>>,
}

impl PublicTable {
    /// Reads the table; `base` is the address of the pages.
    pub fn read(&self, base: Option<&str>) -> Result<Public, Wrong> {
        let mut public = match &self.show {
            None => Public::default(),
            Some(list) => shown(list)?,
        };
        if let Some(sitemap) = &self.sitemap {
            public.sitemap = *sitemap.get_ref();
            if public.sitemap && base.is_none() {
                let message = "[public] sitemap lists whole addresses, and [qr] has no `base`";
                return Err((sitemap.span(), message.to_owned()));
            }
        }
        Ok(public)
    }
}

fn shown(list: &Spanned<Vec<Spanned<String>>>) -> Result<Public, Wrong> {
    let facts = list.get_ref().iter().map(|text| {
        let read: Result<PublicFact, KindError> = text.get_ref().parse();
        read.map_err(|error| (text.span(), format!("[public] show: {error}")))
    });
    let facts: Vec<PublicFact> = facts.collect::<Result<_, _>>()?;
    Public::of(facts).map_err(|(fact, needed)| {
        let message = format!("[public] show has `{fact}` without `{needed}`, which it tells too");
        (list.span(), message)
    })
}

#[cfg(test)]
mod tests {
    use crate::cli::settings_file::parse;
    use crate::farm::{Public, PublicFact};

    const FARM: &str = "[farm]\nname = \"x\"\ncountry = \"GB\"\ntimezone = \"UTC\"\n";
    const BASE: &str = "[qr]\nbase = \"https://lots.marlhythe.example\"\n";

    fn read(tables: &str) -> Result<Public, String> {
        let settings = parse(&format!("{FARM}{tables}"));
        settings
            .map(|settings| settings.public)
            .map_err(|failure| failure.texts.join("\n"))
    }

    #[test]
    fn without_a_list_the_usual_facts_are_public_and_search_engines_are_told_nothing() {
        let usual = read("").unwrap();
        assert_eq!(usual, Public::default());
        assert!(usual.shows(PublicFact::Tests) && !usual.shows(PublicFact::Places));
        assert!(!usual.sitemap);
    }

    #[test]
    fn a_list_takes_the_place_of_the_usual_one() {
        let own = read(&format!(
            "{BASE}[public]\nshow = [\"phone\", \"places\"]\nsitemap = true\n"
        ));
        let own = own.unwrap();
        let shown = |fact| own.shows(fact);
        assert!(shown(PublicFact::Phone) && shown(PublicFact::Places));
        assert!(!shown(PublicFact::Tests) && !shown(PublicFact::Way) && own.sitemap);
    }

    #[test]
    fn what_cannot_be_is_refused_with_its_line() {
        let refused = |tables: &str| read(tables).unwrap_err();
        let unknown = refused("[public]\nshow = [\n  \"phone\",\n  \"suppliers\",\n]\n");
        assert!(unknown.contains("line 8") && unknown.contains("`suppliers` is not known here"));
        assert!(unknown.contains("`made-from`") && unknown.contains("or `runs`"));
        assert_eq!(
            refused("[public]\nshow = [\"shares\"]\n"),
            "castlot.toml, line 6: [public] show has `shares` without `made-from`, which it tells too"
        );
        assert_eq!(
            refused("[public]\nsitemap = true\n"),
            "castlot.toml, line 6: [public] sitemap lists whole addresses, and [qr] has no `base`"
        );
        assert!(refused("[public]\nhide = []\n").contains("line 6: unknown field `hide`"));
    }
}
