//! Reads what castlot.toml says of labels: `[label]`, `[wording]`, `[claim.NAME]`, and the words of a product.

use std::collections::BTreeMap;

use serde::Deserialize;
use toml::Spanned;

use crate::farm::{OwnClaim, Portion, Wording};
use crate::trade::CAUTION_KEYS;

use super::settings_permission::Wrong;

/// `[label]`.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LabelTable {
    small_share: Option<Spanned<String>>,
}

impl LabelTable {
    /// Reads the share up to which a constituent is not named by itself.
    pub fn small_share(&self) -> Result<Option<Portion>, Wrong> {
        let read = |text: &Spanned<String>| {
            let portion: Option<Portion> = text.get_ref().parse().ok();
            portion.ok_or_else(|| {
                let typed = text.get_ref();
                let wanted =
                    format!("small_share is `{typed}`; write a share of the whole, as in `5%`");
                (text.span(), wanted)
            })
        };
        self.small_share.as_ref().map(read).transpose()
    }
}

/// The words of `[wording]`, and of each product.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WordingTable {
    pub statement: Option<String>,
    #[serde(rename = "use")]
    pub using: Option<String>,
    #[serde(rename = "store")]
    pub keeping: Option<String>,
    pub trouble: Option<String>,
    pub made_from: Option<String>,
    #[serde(default)]
    pub caution: BTreeMap<Spanned<String>, String>,
}

impl WordingTable {
    /// Reads the words; a caution that castlot does not have is refused.
    pub fn read(self) -> Result<Wording, Wrong> {
        let mut cautions = BTreeMap::new();
        for (key, words) in self.caution {
            if !CAUTION_KEYS.contains(&key.get_ref().as_str()) {
                let typed = key.get_ref();
                let known = CAUTION_KEYS.join(", ");
                return Err((
                    key.span(),
                    format!("`{typed}` is not a caution; there are {known}"),
                ));
            }
            cautions.insert(key.into_inner(), words);
        }
        Ok(Wording {
            statement: self.statement,
            using: self.using,
            keeping: self.keeping,
            trouble: self.trouble,
            made_from: self.made_from,
            cautions,
        })
    }
}

/// `[claim.NAME]`.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ClaimTable {
    #[serde(default)]
    words: Vec<String>,
    ground: Option<String>,
    until: Option<Spanned<String>>,
}

impl ClaimTable {
    /// Reads the claim.
    pub fn read(self) -> Result<OwnClaim, Wrong> {
        let day = |text: Spanned<String>| {
            let typed = text.get_ref();
            typed.parse().map_err(|_| {
                let wanted = format!("until is `{typed}`; write a day, as in `2027-03-01`");
                (text.span(), wanted)
            })
        };
        Ok(OwnClaim {
            words: self.words,
            ground: self.ground.filter(|ground| !ground.trim().is_empty()),
            until: self.until.map(day).transpose()?,
        })
    }
}

/// Reads a width such as `75mm`, in micrometres.
pub fn across(text: &Spanned<String>) -> Result<u32, Wrong> {
    let typed = text.get_ref();
    let number = typed.trim().strip_suffix("mm").map(str::trim_end);
    let mm: Option<f64> = number.and_then(|number| number.parse().ok());
    match mm {
        // Within the range, so the rounded value fits.
        Some(mm) if (ACROSS_MM.0..=ACROSS_MM.1).contains(&mm) => Ok((mm * 1_000.0).round() as u32),
        Some(_) | None => {
            let (least, most) = ACROSS_MM;
            let wanted = format!(
                "tub_across is `{typed}`; write {least} to {most} millimetres, as in `75mm`"
            );
            Err((text.span(), wanted))
        }
    }
}

/// The narrowest and the widest pack that a label goes round, in millimetres.
const ACROSS_MM: (f64, f64) = (20.0, 1_000.0);

#[cfg(test)]
mod tests {
    use crate::cli::settings_file::parse;
    use crate::farm::Settings;

    const FARM: &str = "[farm]\nname = \"x\"\ncountry = \"GB\"\ntimezone = \"UTC\"\n";
    const TUB: &str = "[product.tub]\nname = \"Worms\"\nkind = \"tub\"\nnet = \"50\"\n";

    fn read(table: &str) -> Result<Settings, String> {
        parse(&format!("{FARM}{table}")).map_err(|failure| failure.texts.join("\n"))
    }

    #[test]
    fn the_words_of_a_product_go_before_those_of_all() {
        let settings = read(&format!(
            "[wording]\nuse = \"Use it.\"\nstore = \"Keep it.\"\ncaution.hands = \"Wash.\"\n{TUB}use = \"Fish.\"\n\
             caution = {{ cuts = \"\" }}"
        ))
        .unwrap();
        let words = settings.wording_of("tub");
        assert_eq!(words.using.as_deref(), Some("Fish."));
        assert_eq!(words.keeping.as_deref(), Some("Keep it."));
        assert_eq!(
            (&*words.cautions["hands"], &*words.cautions["cuts"]),
            ("Wash.", "")
        );
        assert_eq!(
            settings.wording_of("gone").using.as_deref(),
            Some("Use it.")
        );
    }

    #[test]
    fn a_caution_that_there_is_not_is_refused_with_its_line() {
        let said = read("[wording.caution]\nhands = \"Wash.\"\nglove = \"x\"").unwrap_err();
        assert!(
            said.starts_with(
                "castlot.toml, line 7: `glove` is not a caution; there are drink, feed, open, "
            ),
            "{said}"
        );
        let said = read(&format!("{TUB}caution = {{ glove = \"x\" }}")).unwrap_err();
        assert!(said.starts_with("castlot.toml, line 9: `glove`"), "{said}");
    }

    #[test]
    fn a_claim_has_words_a_ground_and_a_last_day() {
        let settings = read(
            "[claim.\"peat-free\"]\nground = \"all bedding is straw\"\nuntil = \"2027-03-01\"\n\
             [claim.vegan]\nwords = [\"plant-based\"]\nground = \" \"",
        )
        .unwrap();
        let peat_free = &settings.claims["peat-free"];
        assert_eq!(peat_free.until, Some(jiff::civil::date(2027, 3, 1)));
        assert_eq!(
            settings.claims["vegan"].ground, None,
            "spaces are no ground"
        );
        let said = read("[claim.x]\nuntil = \"soon\"").unwrap_err();
        assert_eq!(
            said,
            "castlot.toml, line 6: until is `soon`; write a day, as in `2027-03-01`"
        );
        assert!(
            read("[claim.x]\ngrounds = \"y\"")
                .unwrap_err()
                .contains("line 6: unknown field `grounds`")
        );
    }

    #[test]
    fn a_width_and_a_share_are_read_or_refused() {
        let settings = read(&format!(
            "[label]\nsmall_share = \"2%\"\n{TUB}tub_across = \"75.5 mm\""
        ))
        .unwrap();
        assert_eq!(settings.products["tub"].across_um, Some(75_500));
        let share = settings.small_share.unwrap();
        assert_eq!((share.parts(), share.of()), (1, 50));
        for width in ["75", "0mm", "wide", "nanmm", "-75mm"] {
            let said = read(&format!("{TUB}tub_across = \"{width}\"")).unwrap_err();
            assert!(
                said.starts_with("castlot.toml, line 9: tub_across is"),
                "{said}"
            );
        }
        assert!(
            read("[label]\nsmall_share = \"all\"")
                .unwrap_err()
                .contains("line 6")
        );
    }
}
