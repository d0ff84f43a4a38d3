//! Reads the `[fills]` table of castlot.toml.

use serde::Deserialize;

use crate::farm::FillSetting;

/// `[fills]`: when the weight of a litre is no longer to be gone by.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FillsTable {
    density_days: Option<u32>,
    wet_over: Option<u32>,
}

impl FillsTable {
    /// Reads the table, or says what is wrong with it.
    pub fn read(&self) -> Result<FillSetting, String> {
        let usual = FillSetting::default();
        let wet_over = self.wet_over.unwrap_or(usual.wet_over);
        if wet_over > 100 {
            return Err(format!("[fills] wet_over is {wet_over}; it is 0 to 100 %"));
        }
        Ok(FillSetting {
            density_days: self.density_days.unwrap_or(usual.density_days),
            wet_over,
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::cli::settings_file::parse;

    const FARM: &str = "[farm]\nname = \"x\"\ncountry = \"GB\"\ntimezone = \"UTC\"\n";

    #[test]
    fn limits_are_read_and_have_their_usual_values() {
        let read = |table: &str| parse(&format!("{FARM}{table}"));
        let usual = read("").expect("it reads").fills;
        assert_eq!((usual.density_days, usual.wet_over), (30, 60));
        let own = read("[fills]\ndensity_days = 7\nwet_over = 55\n").expect("it reads");
        assert_eq!((own.fills.density_days, own.fills.wet_over), (7, 55));
        let said = read("[fills]\nwet_over = 101\n").expect_err("more than all");
        assert_eq!(
            said.texts,
            ["castlot.toml, line 5: [fills] wet_over is 101; it is 0 to 100 %"]
        );
        assert!(read("[fills]\ndensity_day = 3\n").is_err());
    }
}
