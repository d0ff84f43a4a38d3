//! Reads the `[permission.NAME]` tables of castlot.toml, and `[kitchen_waste]`.

use jiff::civil::Date;
use serde::Deserialize;
use toml::Spanned;

use crate::farm::{KindError, KitchenNames, Material, Permission};

/// `[permission.NAME]`: a permission as the farm noted it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PermissionTable {
    covers: Spanned<String>,
    number: Option<String>,
    from: Spanned<String>,
    until: Option<Spanned<String>>,
    asked: Spanned<String>,
    answers: Spanned<Vec<Spanned<String>>>,
}

/// `[kitchen_waste]`: what the farm calls kitchen waste, and what not.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KitchenTable {
    #[serde(default)]
    names: Vec<String>,
    #[serde(default)]
    not: Vec<String>,
}

impl KitchenTable {
    /// Reads the table; names are compared in lower case.
    pub fn read(self) -> KitchenNames {
        let lower = |names: Vec<String>| names.iter().map(|name| name.to_lowercase()).collect();
        KitchenNames {
            are: lower(self.names),
            are_not: lower(self.not),
        }
    }
}

/// Where something is wrong in the file, and what.
pub type Wrong = (std::ops::Range<usize>, String);

impl PermissionTable {
    /// Reads the table of the permission of that name, or says what is wrong with it and where.
    pub fn read(&self, name: &str) -> Result<Permission, Wrong> {
        for (key, text) in [("covers", &self.covers), ("asked", &self.asked)] {
            if text.get_ref().trim().is_empty() {
                let message = format!("permission `{name}`: nothing is said of `{key}`");
                return Err((text.span(), message));
            }
        }
        let from = day(name, &self.from)?;
        let until = self.until.as_ref().map(|text| Ok((day(name, text)?, text)));
        let until = until.transpose()?;
        if let Some((until, text)) = until.filter(|(until, _)| *until < from) {
            let message =
                format!("permission `{name}` ends on {until}, before it begins on {from}");
            return Err((text.span(), message));
        }
        let answers = self.answers.get_ref().iter().map(|text| {
            let read: Result<Material, KindError> = text.get_ref().parse();
            read.map_err(|error| (text.span(), format!("permission `{name}`: {error}")))
        });
        let answers: Vec<Material> = answers.collect::<Result<_, _>>()?;
        if answers.is_empty() {
            let message = format!("permission `{name}` answers for nothing");
            return Err((self.answers.span(), message));
        }
        Ok(Permission {
            covers: self.covers.get_ref().clone(),
            number: self.number.clone(),
            from,
            until: until.map(|(until, _)| until),
            asked: self.asked.get_ref().clone(),
            answers,
        })
    }
}

fn day(name: &str, text: &Spanned<String>) -> Result<Date, Wrong> {
    let typed = text.get_ref();
    typed.parse().map_err(|_| {
        let message =
            format!("permission `{name}`: `{typed}` is not a day; write one as in `2026-02-01`");
        (text.span(), message)
    })
}

#[cfg(test)]
mod tests {
    use crate::cli::settings_file::parse;
    use crate::farm::{Material, Permission};

    const FARM: &str = "[farm]\nname = \"x\"\ncountry = \"GB\"\ntimezone = \"UTC\"\n";

    fn read(table: &str) -> Result<Permission, String> {
        match parse(&format!("{FARM}[permission.yards]\n{table}")) {
            Ok(settings) => Ok(settings.permissions["yards"].clone()),
            Err(failure) => Err(failure.texts.join("\n")),
        }
    }

    const WHOLE: &str = "covers = \"horse manure\"\nfrom = \"2026-02-01\"\nuntil = \"2027-01-31\"\n\
                         asked = \"the inspector\"\nanswers = [\"manure\"]\n";

    #[test]
    fn a_permission_is_read_with_its_days() {
        let permission = read(WHOLE).unwrap();
        assert_eq!(permission.answers, [Material::Manure]);
        assert_eq!(permission.from.to_string(), "2026-02-01");
        assert_eq!(permission.number, None);
    }

    #[test]
    fn what_is_wrong_with_a_permission_is_told_with_its_line() {
        let said = |from: &str, to: &str| read(&WHOLE.replace(from, to)).unwrap_err();
        assert_eq!(
            said("2027-01-31", "2025-01-31"),
            "castlot.toml, line 8: permission `yards` ends on 2025-01-31, before it begins on 2026-02-01"
        );
        assert_eq!(
            said("\"manure\"", "\"dung\""),
            "castlot.toml, line 10: permission `yards`: `dung` is not known here; write `manure` or `kitchen waste`"
        );
        assert!(
            said("2026-02-01", "1 Feb")
                .starts_with("castlot.toml, line 7: permission `yards`: `1 Feb` is not a day")
        );
        assert!(said("[\"manure\"]", "[]").contains("answers for nothing"));
        assert!(said("the inspector", " ").contains("nothing is said of `asked`"));
        assert!(said("asked", "askd").contains("unknown field"));
    }
}
