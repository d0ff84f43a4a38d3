//! Which file was printed: its digest, from the file itself or from the same labels made again.

use std::path::Path;

use sha2::{Digest, Sha256};

use crate::farm::{SerialRange, Settings};
use crate::label::{Conditions, Order, Sheet, Subject, all_packs, usual_printer};

use super::failure::Failure;
use super::label_file::{File, Form, Making};
use super::label_placing::Placing;
use super::own_templates::own_templates;
use super::reconcile_rows::Desk;
use super::voice;
use super::waiting::Waiting;

impl Desk<'_> {
    /// Returns the digest of the file that was printed, and the printer's name.
    pub fn digest(
        &self,
        template: &str,
        packs: &[SerialRange],
    ) -> Result<(String, String), Failure> {
        let named = self.args.placing.printer.as_deref();
        if let Some(path) = &self.args.file {
            let bytes = read(path)?;
            return Ok((sha256(&bytes), named.unwrap_or(NOT_NAMED).to_owned()));
        }
        let unknown = named.is_some_and(|name| !self.settings.printers.contains_key(name));
        let (settings, placing) = match unknown {
            true => self.without_printers(),
            false => (self.settings.clone(), self.args.placing.clone()),
        };
        let on = (&settings, placing.printer.as_deref());
        let file = self.file(template, packs, on).map_err(|failure| {
            failure.hint("if they were printed before that, name the file with `--file FILE.pdf`")
        })?;
        let sheet = file.sheaf().sheet;
        let printer = usual_printer(&settings, sheet, placing.printer.as_deref())?;
        let printer = printer.map(|(name, _)| name).or(named);
        let made = file.make(&Making {
            settings: &settings,
            placing: &placing,
            form: Form::Pdf,
            waiting: &Waiting::start(),
        })?;
        let again = made
            .files
            .first()
            .map(|(_, bytes)| sha256(bytes))
            .unwrap_or_default();
        let digest = of_what_was_printed(file.path(), again);
        Ok((digest, printer.unwrap_or(NOT_NAMED).to_owned()))
    }

    /// A printer that castlot.toml does not have is taken not to miss.
    fn without_printers(&self) -> (Settings, Placing) {
        let mut settings = self.settings.clone();
        settings.printers.clear();
        let placing = Placing {
            printer: None,
            ..self.args.placing.clone()
        };
        (settings, placing)
    }

    /// Lays the same labels out again.
    fn file<'a>(
        &'a self,
        template: &str,
        packs: &[SerialRange],
        (settings, printer): (&'a Settings, Option<&str>),
    ) -> Result<File<'a>, Failure> {
        let made = self
            .farm
            .lot(self.run)
            .shelf
            .as_ref()
            .map_or(0, |shelf| shelf.made());
        let whole = all_packs(made);
        let subjects = packs.iter().map(|range| {
            let part = Some(*range).filter(|range| Some(*range) != whole);
            Subject::Packs(self.run, part)
        });
        let sheet = self
            .args
            .sheet
            .as_deref()
            .map(str::parse::<Sheet>)
            .transpose()?;
        let order = Order {
            subjects: subjects.collect(),
            template: Some(template.to_owned()),
            sheet,
        };
        let templates = own_templates(&self.shed.folder)?;
        // What was printed is counted, whatever a proof would say of it by now.
        let conditions = Conditions {
            printer,
            ..Conditions::on(settings.zone.to_datetime(self.shed.now).date())
        };
        let proofed = order.proof(self.farm, settings, &templates, &conditions)?;
        let sheaf = proofed.to_look_at().first().cloned();
        let sheaf = sheaf.ok_or_else(|| Failure::refused("there is no label to count"))?;
        Ok(File::of(sheaf, settings))
    }
}

/// Returns the digest of a file, if it is there, else the one that it has as castlot makes it now.
fn of_what_was_printed(path: &Path, again: String) -> String {
    let shown = path.display();
    match std::fs::read(path) {
        Ok(bytes) if sha256(&bytes) == again => again,
        Ok(bytes) => {
            voice::note(format!(
                "note: `{shown}` is another file than castlot makes of this now; the digest recorded is that of the file \
                 as it is"
            ));
            sha256(&bytes)
        }
        Err(_) => {
            voice::note(format!(
                "note: there is no `{shown}` here; the digest recorded is that of the file as castlot makes it now"
            ));
            again
        }
    }
}

/// What stands for a printer where nobody named one and castlot.toml has none.
const NOT_NAMED: &str = "a printer";

fn read(path: &Path) -> Result<Vec<u8>, Failure> {
    std::fs::read(path)
        .map_err(|error| Failure::refused(format!("cannot read `{}`: {error}", path.display())))
}

fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes)
        .iter()
        .map(|byte| format!("{byte:02x}"))
        .collect()
}
