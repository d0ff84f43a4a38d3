//! Reads castlot.toml: every key is checked, an unknown one refused with its line.

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::Path;

use jiff::tz::TimeZone;
use serde::Deserialize;

use crate::farm::{
    Amount, DateOrder, FillSetting, HoldSetting, Measure, Measures, QrForm, RoundSetting, Settings,
};

use super::failure::Failure;
use super::settings_fills::FillsTable;
use super::settings_label::{ClaimTable, LabelTable, WordingTable};
use super::settings_limits::{HoldTable, TonnageTable};
use super::settings_permission::{KitchenTable, PermissionTable, Wrong};
use super::settings_printer::PrinterTable;
use super::settings_product;
use super::settings_product::{Known, ProductTable};
use super::settings_public::PublicTable;
use super::settings_qr::QrTable;
use super::settings_round::{FeedingTable, RoundTable};

/// The file's name in a farm's folder.
pub const FILE: &str = "castlot.toml";

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    farm: FarmTable,
    #[serde(default)]
    qr: QrTable,
    #[serde(default)]
    measure: BTreeMap<String, toml::Spanned<String>>,
    #[serde(default)]
    product: BTreeMap<String, ProductTable>,
    #[serde(default)]
    printer: BTreeMap<String, toml::Spanned<PrinterTable>>,
    #[serde(default)]
    label: LabelTable,
    #[serde(default)]
    wording: WordingTable,
    #[serde(default)]
    claim: BTreeMap<String, ClaimTable>,
    fills: Option<toml::Spanned<FillsTable>>,
    hold: Option<toml::Spanned<HoldTable>>,
    #[serde(default)]
    tonnage: BTreeMap<String, toml::Spanned<TonnageTable>>,
    #[serde(default)]
    permission: BTreeMap<String, PermissionTable>,
    #[serde(default)]
    kitchen_waste: KitchenTable,
    round: Option<toml::Spanned<RoundTable>>,
    #[serde(default)]
    feeding: BTreeMap<String, toml::Spanned<FeedingTable>>,
    #[serde(default)]
    public: PublicTable,
}

#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct FarmTable {
    name: String,
    #[serde(default)]
    address: Vec<String>,
    country: toml::Spanned<String>,
    timezone: toml::Spanned<String>,
    phone: Option<String>,
    #[serde(default)]
    dates: Dates,
}

#[derive(Clone, Copy, Debug, Default, Deserialize)]
#[serde(rename_all = "kebab-case")]
enum Dates {
    #[default]
    YearMonthDay,
    DayMonthYear,
}

/// Reads the settings of the farm in a folder.
pub fn read(folder: &Path) -> Result<Settings, Failure> {
    let path = folder.join(FILE);
    let text = std::fs::read_to_string(&path).map_err(|error| {
        let shown = path.display();
        let failure = Failure::refused(match error.kind() {
            ErrorKind::NotFound => format!("there is no `{shown}`, which says who the farm is"),
            _ => format!("cannot read `{shown}`: {error}"),
        });
        failure.hint(format!("start a farm with `castlot new DIR`, or name its folder with `--farm DIR` (tried `{}`)", folder.display()))
    })?;
    parse_with(&text, &own_templates(folder))
}

/// Returns the names of the farm's own label templates; whether they can be read is for `castlot label` to say.
fn own_templates(folder: &Path) -> Vec<String> {
    let files = std::fs::read_dir(folder.join("templates"));
    let paths = files
        .into_iter()
        .flatten()
        .flatten()
        .map(|file| file.path());
    let toml = paths.filter(|path| path.extension().is_some_and(|ending| ending == "toml"));
    let names = toml.filter_map(|path| Some(path.file_stem()?.to_str()?.to_owned()));
    names.collect()
}

/// Reads settings from the file's text, for a farm without templates of its own.
pub fn parse(text: &str) -> Result<Settings, Failure> {
    parse_with(text, &[])
}

fn parse_with(text: &str, own_templates: &[String]) -> Result<Settings, Failure> {
    let file: File =
        toml::from_str(text).map_err(|error| at(text, error.span(), error.message()))?;
    let reader = Reader { text };
    let measures = reader.measures(&file.measure)?;
    let known = Known {
        measures: &measures,
        own_templates,
    };
    let products = settings_product::read(&file.product, known)
        .map_err(|(span, message)| at(text, Some(span), &message))?;
    let wrong = |(span, message): Wrong| at(text, Some(span), &message);
    let qr = file.qr.read().map_err(wrong)?;
    if qr.form != QrForm::Text && qr.base.is_none() {
        return Err(Failure::refused(format!("{FILE}: [qr] form is `web` or `gs1`, and there is no `base`"))
            .hint("give the address of the farm's pages, as in `base = \"https://lots.marlhythe.example\"`"));
    }
    let public = file.public.read(qr.base.as_deref()).map_err(wrong)?;
    let mut printers = BTreeMap::new();
    for (name, table) in file.printer {
        let printer = table.get_ref().read(&name);
        let printer = printer.map_err(|message| at(text, Some(table.span()), &message))?;
        printers.insert(name, printer);
    }
    let mut claims = BTreeMap::new();
    for (name, table) in file.claim {
        claims.insert(name, table.read().map_err(wrong)?);
    }
    let fills = match &file.fills {
        None => FillSetting::default(),
        Some(table) => {
            let fills = table.get_ref().read();
            fills.map_err(|message| at(text, Some(table.span()), &message))?
        }
    };
    let hold = match &file.hold {
        None => HoldSetting::default(),
        Some(table) => {
            let hold = table.get_ref().read();
            hold.map_err(|message| at(text, Some(table.span()), &message))?
        }
    };
    let round = match &file.round {
        None => RoundSetting::default(),
        Some(table) => {
            let round = table.get_ref().read();
            round.map_err(|message| at(text, Some(table.span()), &message))?
        }
    };
    let mut feeding = BTreeMap::new();
    for (species, table) in file.feeding {
        let setting = table.get_ref().read(&species);
        let setting = setting.map_err(|message| at(text, Some(table.span()), &message))?;
        feeding.insert(species, setting);
    }
    let mut tonnage = BTreeMap::new();
    for (name, table) in file.tonnage {
        let limit = table.get_ref().read(&name);
        let limit = limit.map_err(|message| at(text, Some(table.span()), &message))?;
        tonnage.insert(name, limit);
    }
    let mut permissions = BTreeMap::new();
    for (name, table) in file.permission {
        let read = table.read(&name);
        let permission = read.map_err(|(span, message)| at(text, Some(span), &message))?;
        permissions.insert(name, permission);
    }
    Ok(Settings {
        name: file.farm.name,
        address: file.farm.address,
        country: reader.country(&file.farm.country)?,
        zone: reader.zone(&file.farm.timezone)?,
        phone: file.farm.phone,
        dates: match file.farm.dates {
            Dates::YearMonthDay => DateOrder::YearMonthDay,
            Dates::DayMonthYear => DateOrder::DayMonthYear,
        },
        form: qr.form,
        base: qr.base,
        shed: qr.shed,
        old_bases: qr.old_bases,
        measures,
        products,
        printers,
        wording: file.wording.read().map_err(wrong)?,
        claims,
        small_share: file.label.small_share().map_err(wrong)?,
        fills,
        hold,
        tonnage,
        permissions,
        kitchen: file.kitchen_waste.read(),
        round,
        feeding,
        public,
    })
}

/// Makes the failure of something at a place in the file.
fn at(text: &str, span: Option<std::ops::Range<usize>>, message: &str) -> Failure {
    let line = span.map(|span| text[..span.start.min(text.len())].matches('\n').count() + 1);
    let place = line.map_or_else(|| FILE.to_owned(), |line| format!("{FILE}, line {line}"));
    Failure::refused(format!("{place}: {}", message.replace('\n', "; ")))
}

struct Reader<'a> {
    text: &'a str,
}

impl Reader<'_> {
    fn refuse(&self, value: &toml::Spanned<String>, message: &str) -> Failure {
        at(self.text, Some(value.span()), message)
    }

    fn country(&self, value: &toml::Spanned<String>) -> Result<String, Failure> {
        let code = value.get_ref();
        let fits = code.len() == 2 && code.bytes().all(|b| b.is_ascii_uppercase());
        let wanted =
            format!("`{code}` is not a country of ISO 3166; write two capital letters, as in `GB`");
        if fits {
            Ok(code.clone())
        } else {
            Err(self.refuse(value, &wanted))
        }
    }

    fn zone(&self, value: &toml::Spanned<String>) -> Result<TimeZone, Failure> {
        let wanted = format!(
            "`{}` is not a time zone; write one as in `Europe/London`",
            value.get_ref()
        );
        TimeZone::get(value.get_ref()).map_err(|_| self.refuse(value, &wanted))
    }

    fn measures(
        &self,
        table: &BTreeMap<String, toml::Spanned<String>>,
    ) -> Result<Measures, Failure> {
        let mut measures = Measures::new();
        for (name, value) in table {
            let amount = Amount::read(value.get_ref(), &Measures::new());
            let (quantity, guess) = match amount {
                Ok(Amount::Weighed(quantity)) => (quantity, false),
                Ok(Amount::Guess(quantity)) => (quantity, true),
                Ok(Amount::Unknown) => {
                    return Err(self.refuse(
                        value,
                        "a measure holds an amount, as in `~350g`; nothing is known of `?`",
                    ));
                }
                Err(error) => return Err(self.refuse(value, &error.to_string())),
            };
            let plain = !name.is_empty() && name.chars().all(|c| c.is_alphabetic() || c == '-');
            if !plain || matches!(name.to_ascii_lowercase().as_str(), "g" | "kg" | "ml" | "l") {
                let wanted = format!(
                    "`{name}` cannot name a measure; use letters, and not the name of a unit"
                );
                return Err(self.refuse(value, &wanted));
            }
            measures.insert(name.clone(), Measure { quantity, guess });
        }
        Ok(measures)
    }
}
