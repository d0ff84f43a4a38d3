//! `castlot label --ruler`: a ruled test sheet for a printer, and the lines for castlot.toml from what was measured on it.

use std::path::PathBuf;

use jiff::civil::Date;

use crate::farm::{Printer, Settings};
use crate::label::{
    Aim, AimedPage, Faults, Heading, Length, Point, Sheet, marks, ruler, steps, usual_printer,
};

use super::failure::Failure;
use super::label_file::write_whole;
use super::settings_printer::{MOST_OFFSET, MOST_STRETCH};
use super::{out, voice};

/// What a ruler is asked for.
pub struct Ruling<'a> {
    /// The sheet.
    pub sheet: Sheet,
    /// The printer's name as typed.
    pub printer: Option<&'a str>,
    /// What was measured, in millimetres as typed: A right, A low, B right, B low.
    pub measured: &'a [f64],
    /// The file to write.
    pub out: Option<PathBuf>,
}

/// The name of a printer that has none yet.
const NAMELESS: &str = "shed";

/// The ruler speaks of no entry, so its file is dated by the format's own beginning.
const DATED: Date = jiff::civil::date(2000, 1, 1);

/// Prints the ruler, or works out what castlot.toml is to say.
pub fn run(settings: &Settings, ruling: Ruling<'_>) -> Result<(), Failure> {
    let known = ruling.known(settings)?;
    let name = known.map_or(ruling.printer.unwrap_or(NAMELESS), |(name, _)| name);
    let aim = known.map_or(Aim::TRUE, |(_, printer)| Aim::at(printer));
    if !ruling.measured.is_empty() {
        return ruling.answer(name, aim);
    }
    let Ruling { sheet, out, .. } = ruling;
    let drawing = ruler(sheet, name);
    let heading = Heading {
        title: format!("Ruler of {sheet}"),
        date: DATED,
    };
    let bytes = AimedPage::of(&drawing, aim).pdf(&heading)?;
    let path = out.unwrap_or_else(|| PathBuf::from(format!("ruler.{name}.{sheet}.pdf")));
    write_whole(&path, &bytes)?;
    for (number, step) in (1..).zip(steps(sheet, name)) {
        voice::note(format!("{number}. {step}"));
    }
    out::print(&format!(
        "ruler of {sheet} for `{name}`: {}\n",
        path.display()
    ))
}

impl Ruling<'_> {
    /// Returns the printer, if castlot.toml has it already; a new one is measured before it stands there.
    fn known<'a>(&self, settings: &'a Settings) -> Result<Option<(&'a str, &'a Printer)>, Failure> {
        match self.printer {
            Some(name) if !settings.printers.contains_key(name) => {
                if !is_plain(name) {
                    let text = format!("`{name}` is not a name of a printer");
                    return Err(Failure::refused(text)
                        .hint("use letters, digits, spaces and hyphens, as in `--printer laser`"));
                }
                voice::note(format!("note: castlot.toml has no printer `{name}` yet"));
                Ok(None)
            }
            named => Ok(usual_printer(settings, self.sheet, named)?),
        }
    }

    /// Prints the table of a printer that misses as it was measured to.
    fn answer(&self, name: &str, aim: Aim) -> Result<(), Failure> {
        let mut off = Vec::new();
        for value in self.measured {
            if value.is_nan() || value.abs() > MOST_OFFSET {
                let text = format!("`{value}` is not so many millimetres as a printer misses by");
                return Err(Failure::refused(text).hint(format!(
                    "give four figures of at most {MOST_OFFSET}, as in `--measured 2.9,4,-2.9,-4`"
                )));
            }
            // Within a few millimetres, so the rounded value fits.
            off.push(Length::of_micrometres((value * 1000.0).round() as i64));
        }
        let [a_right, a_low, b_right, b_low] = off[..] else {
            let count = off.len();
            return Err(
                Failure::refused(format!("`--measured` has {count} figures; it takes 4"))
                    .hint("give A right, A low, B right, B low, as in `--measured 2.9,4,-2.9,-4`"),
            );
        };
        let point = |x, y| Point { x, y };
        let read = [point(a_right, a_low), point(b_right, b_low)];
        let faults = aim.corrected(marks(self.sheet), read);
        refuse_wild(faults)?;
        out::print(&table(name, faults))
    }
}

fn is_plain(name: &str) -> bool {
    let part = |c: char| c.is_ascii_alphanumeric() || c == ' ' || c == '-' || c == '_';
    !name.trim().is_empty() && name.chars().all(part)
}

/// A printer that misses by more than castlot.toml takes was not measured, or prints on another size of paper.
fn refuse_wild(faults: Faults) -> Result<(), Failure> {
    let (right, down) = faults.offset_um;
    let (across, along) = faults.stretch_ppm;
    let far = [right, down]
        .iter()
        .any(|um| um.unsigned_abs() as f64 > MOST_OFFSET * 1e3);
    let wide = [across, along]
        .iter()
        .any(|ppm| ppm.unsigned_abs() as f64 > MOST_STRETCH * 1e4);
    match far || wide {
        false => Ok(()),
        true => Err(Failure::refused(format!(
            "that makes {} mm right, {} mm low, {} % too wide and {} % too long, which is not one printer missing",
            decimal(right, 3),
            decimal(down, 3),
            decimal(across, 4),
            decimal(along, 4)
        ))
        .hint("print the ruler at 100 %, on paper of the sheet's size, and measure once more")),
    }
}

/// The lines for castlot.toml: offsets to the hundredth of a millimetre, stretches to the hundredth of a per cent.
fn table(name: &str, faults: Faults) -> String {
    let (right, down) = faults.offset_um;
    let (across, along) = faults.stretch_ppm;
    let key = match name.contains(' ') {
        true => format!("\"{name}\""),
        false => name.to_owned(),
    };
    format!(
        "[printer.{key}]\noffset_x = {}\noffset_y = {}\nstretch_x = {}\nstretch_y = {}\n",
        decimal(tens(right), 2),
        decimal(tens(down), 2),
        decimal(hundreds(across), 2),
        decimal(hundreds(along), 2)
    )
}

/// Rounds micrometres to hundredths of a millimetre.
fn tens(number: i64) -> i64 {
    (number.abs() + 5) / 10 * number.signum()
}

/// Rounds millionths to hundredths of a per cent.
fn hundreds(number: i64) -> i64 {
    (number.abs() + 50) / 100 * number.signum()
}

/// Writes a whole number of parts, so many places behind the point.
fn decimal(parts: i64, places: usize) -> String {
    let digits = format!("{:0width$}", parts.abs(), width = places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    let part = part.trim_end_matches('0');
    let sign = if parts < 0 { "-" } else { "" };
    match part {
        "" => format!("{sign}{whole}"),
        _ => format!("{sign}{whole}.{part}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn figures_are_written_as_castlot_toml_reads_them() {
        let written = [(2900, 3), (-29_700, 4), (5, 3), (0, 2), (-120, 2)];
        let written = written.map(|(parts, places)| decimal(parts, places));
        assert_eq!(written, ["2.9", "-2.97", "0.005", "0", "-1.2"]);
    }

    #[test]
    fn a_table_is_what_the_settings_read() {
        let faults = Faults {
            offset_um: (3_115, -4_329),
            stretch_ppm: (-29_668, 149),
        };
        let farm = "[farm]\nname = \"x\"\ncountry = \"GB\"\ntimezone = \"UTC\"\n";
        let text = format!("{farm}{}", table("shed laser", faults));
        let settings = crate::cli::settings_file::parse(&text).unwrap();
        let printer = &settings.printers["shed laser"];
        assert_eq!(printer.offset_um, (3_120, -4_330));
        assert_eq!(printer.stretch_ppm, (-29_700, 100));
    }
}
