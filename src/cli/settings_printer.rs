//! Reads the `[printer.NAME]` tables of castlot.toml.

use serde::Deserialize;

use crate::farm::{Dpi, Method, Printer};
use crate::label::Sheet;

/// The most a printer may be off, in millimetres: more is a wrong sheet, not a wrong printer.
pub const MOST_OFFSET: f64 = 20.0;
/// The most it may stretch or shrink, in per cent.
pub const MOST_STRETCH: f64 = 10.0;

/// `[printer.NAME]`: offsets in millimetres, stretches in per cent.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PrinterTable {
    #[serde(default)]
    method: MethodWord,
    dpi: Option<u16>,
    #[serde(default)]
    offset_x: f64,
    #[serde(default)]
    offset_y: f64,
    #[serde(default)]
    stretch_x: f64,
    #[serde(default)]
    stretch_y: f64,
    #[serde(default)]
    sheets: Vec<String>,
}

#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum MethodWord {
    #[default]
    Page,
    Transfer,
    DirectThermal,
}

impl PrinterTable {
    /// Reads the table of the printer of that name, or says what is wrong with it.
    pub fn read(&self, name: &str) -> Result<Printer, String> {
        let dpi = match self.dpi {
            None => Dpi::default(),
            Some(dots) => Dpi::new(dots).ok_or_else(|| {
                let (least, most) = (Dpi::LEAST, Dpi::MOST);
                format!("printer `{name}`: dpi is {dots}; it is {least} to {most}")
            })?,
        };
        if let Some(sheet) = self.sheets.iter().find(|s| s.parse::<Sheet>().is_err()) {
            return Err(format!("printer `{name}`: `{sheet}` is not a sheet"));
        }
        let whole = |key: &str, value: f64, most: f64, unit: &str, scale: f64| {
            if value.abs() <= most {
                // Within a few per cent or millimetres, so the rounded value fits.
                return Ok((value * scale).round() as i32);
            }
            Err(format!(
                "printer `{name}`: {key} is {value}; it is -{most} to {most} {unit}"
            ))
        };
        let offset = |key, value| whole(key, value, MOST_OFFSET, "mm", 1_000.0);
        let stretch = |key, value| whole(key, value, MOST_STRETCH, "%", 10_000.0);
        Ok(Printer {
            method: match self.method {
                MethodWord::Page => Method::Page,
                MethodWord::Transfer => Method::Transfer,
                MethodWord::DirectThermal => Method::DirectThermal,
            },
            dpi,
            offset_um: (
                offset("offset_x", self.offset_x)?,
                offset("offset_y", self.offset_y)?,
            ),
            stretch_ppm: (
                stretch("stretch_x", self.stretch_x)?,
                stretch("stretch_y", self.stretch_y)?,
            ),
            sheets: self.sheets.clone(),
        })
    }
}

#[cfg(test)]
mod tests {
    use crate::cli::settings_file::parse;
    use crate::farm::{Method, Printer};

    const FARM: &str = "[farm]\nname = \"x\"\ncountry = \"GB\"\ntimezone = \"UTC\"\n";

    fn read(table: &str) -> Result<Printer, String> {
        match parse(&format!("{FARM}[printer.bench]\n{table}")) {
            Ok(settings) => Ok(settings.printers["bench"].clone()),
            Err(failure) => Err(failure.texts.join("\n")),
        }
    }

    #[test]
    fn a_printer_is_read_in_micrometres_and_millionths() {
        let printer =
            read("method = \"direct-thermal\"\noffset_x = -1.25\nstretch_y = -3").unwrap();
        assert_eq!(printer.method, Method::DirectThermal);
        assert_eq!(printer.offset_um, (-1_250, 0));
        assert_eq!(printer.stretch_ppm, (0, -30_000));
        assert_eq!(printer.dpi.dots(), 203);
    }

    #[test]
    fn what_no_printer_does_is_refused_with_its_line() {
        let said = read("offset_x = 45").unwrap_err();
        assert_eq!(
            said,
            "castlot.toml, line 5: printer `bench`: offset_x is 45; it is -20 to 20 mm"
        );
        let said = read("dpi = 50").unwrap_err();
        assert!(said.ends_with("dpi is 50; it is 100 to 2400"), "{said}");
        assert!(read("offset_x = nan").is_err());
        let said = read("sheets = [\"roll-57x32\", \"roll-5x3\"]").unwrap_err();
        assert!(said.ends_with("`roll-5x3` is not a sheet"), "{said}");
        assert!(read("feed = 3").unwrap_err().contains("unknown field"));
    }
}
