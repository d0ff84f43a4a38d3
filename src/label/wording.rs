//! Chooses words: castlot's own, or in their place the farm's. Labels and public pages choose here, so that they agree.

use crate::farm::{PackKind, Wording};
use crate::trade::{
    Caution, cautions, how_to_store, how_to_store_in_short, how_to_use, in_trouble,
};

/// A caution in the words that are used: short on a label, longer on a page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Heeded {
    /// The key of the caution in the table.
    pub key: &'static str,
    /// The words for a label.
    pub short: String,
    /// The words for a page; the farm's own words are the same on both.
    pub long: String,
}

/// Returns the cautions of a kind of pack in a country; one whose words the farm took away is not among them.
pub fn heeded(kind: PackKind, country: &str, wording: &Wording) -> Vec<Heeded> {
    let said = |caution: &&'static Caution| {
        let own = wording.cautions.get(caution.key).map(|own| own.trim());
        let words = |usual: &str| own.unwrap_or(usual).to_owned();
        (own != Some("")).then(|| Heeded {
            key: caution.key,
            short: words(caution.short),
            long: words(caution.long),
        })
    };
    cautions(kind, country).iter().filter_map(said).collect()
}

/// Returns what a pack is, in one line.
pub fn statement(kind: PackKind, wording: &Wording) -> String {
    let usual = match kind {
        PackKind::Bag | PackKind::Bottle => "SOIL IMPROVER",
        PackKind::Tub => "LIVE WORMS",
    };
    chosen(wording.statement.as_ref(), usual)
}

/// Returns how it is used.
pub fn using(kind: PackKind, wording: &Wording) -> String {
    chosen(wording.using.as_ref(), how_to_use(kind))
}

/// Returns how it is kept, for a page, which has room to say all of it.
pub fn keeping(kind: PackKind, wording: &Wording) -> String {
    chosen(wording.keeping.as_ref(), how_to_store(kind))
}

/// Returns how it is kept, for a label; that of a bag has room for all of it.
pub fn keeping_on_label(kind: PackKind, wording: &Wording) -> String {
    let usual = match kind {
        PackKind::Bag => how_to_store(kind),
        PackKind::Tub | PackKind::Bottle => how_to_store_in_short(kind),
    };
    chosen(wording.keeping.as_ref(), usual)
}

/// Returns what a buyer does when something is wrong with it.
pub fn trouble(kind: PackKind, wording: &Wording) -> String {
    chosen(wording.trouble.as_ref(), in_trouble(kind))
}

fn chosen(own: Option<&String>, usual: &str) -> String {
    own.map_or(usual, |own| own.trim()).to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_farms_words_stand_in_place_of_castlots_and_an_empty_text_takes_them_away() {
        let mut wording = Wording {
            using: Some("Dig it in.".to_owned()),
            keeping: Some(String::new()),
            ..Wording::default()
        };
        for (key, own) in [("gloves", "Gloves on."), ("dust", " ")] {
            wording.cautions.insert(key.to_owned(), own.to_owned());
        }
        assert_eq!(using(PackKind::Bag, &wording), "Dig it in.");
        assert_eq!(keeping(PackKind::Bag, &wording), "");
        assert_eq!(statement(PackKind::Bag, &wording), "SOIL IMPROVER");
        let all = heeded(PackKind::Bag, "GB", &wording);
        let gloves = all.iter().find(|caution| caution.key == "gloves").unwrap();
        assert_eq!(
            (&*gloves.short, &*gloves.long),
            ("Gloves on.", "Gloves on.")
        );
        let keys: Vec<_> = all.iter().map(|caution| caution.key).collect();
        assert!(
            !keys.contains(&"dust") && keys.contains(&"hands"),
            "{keys:?}"
        );
        let hands = all.iter().find(|caution| caution.key == "hands").unwrap();
        assert!(hands.long.len() > hands.short.len());
    }
}
