//! `castlot record NOUN`: one row of a sheet, its columns as flags.
//!
//! The flags are made from the sheets' own table of columns, so that there is no second list to keep right.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use clap::{Arg, ArgAction, ArgMatches, Command, FromArgMatches, Subcommand};

use crate::desk::rows::put;
use crate::farm::Noun;
use crate::sheets::{Column, Row, columns};

use super::failure::Failure;
use super::record_help::{about, example, is_list, says};
use super::shed::Shed;
use super::write_down::Typing;

/// Record one row of any sheet.
///
/// NOUN is the sheet's name in the singular, and each of its columns is a flag; `castlot record feed --help` lists
/// them. Prints the number of the entry, and the code of the lot it made. The daily verbs (`castlot feed`,
/// `castlot sieve` and so on) are short forms of this.
///
/// Example: `castlot record feed --bin A01 --takes "mix-109 300g"`
#[derive(Debug, clap::Args)]
pub struct Args {
    #[command(subcommand)]
    row: Typed,
}

/// A row as it was typed: a noun, and what its flags say.
#[derive(Debug)]
struct Typed {
    noun: Noun,
    cells: Vec<(&'static str, String)>,
}

/// Records a row.
pub fn run(shed: &Shed, args: &Args) -> Result<(), Failure> {
    let mut row = Row::new(args.row.noun);
    for (column, text) in &args.row.cells {
        put(&mut row, column, text.clone());
    }
    shed.record(Typing::Flags, |_, _| Ok(vec![row]))
}

/// The flags of all columns; clap keeps names for as long as the program runs.
static FLAGS: LazyLock<BTreeMap<&'static str, String>> = LazyLock::new(|| {
    let all = Noun::ALL.iter().flat_map(|noun| columns(*noun));
    all.map(|column| (column.name, column.flag())).collect()
});

/// Returns the columns that are flags of their own; `by` is one of every command.
fn flags(noun: Noun) -> impl Iterator<Item = &'static Column> {
    columns(noun).iter().filter(|column| column.name != "by")
}

fn command(noun: Noun) -> Command {
    let command = Command::new(noun.word())
        .about(about(noun))
        .after_help(format!("Example: `{}`", example(noun)));
    flags(noun).fold(command, |command, column| command.arg(flag(noun, column)))
}

fn flag(noun: Noun, column: &'static Column) -> Arg {
    // What happens now needs no saying.
    let required = column.required && column.name != "when";
    let (says, value) = says(noun, column.name);
    Arg::new(column.name)
        .long(FLAGS[column.name].as_str())
        .value_name(value)
        // As clap writes the help of every other command.
        .help(says.trim_end_matches('.'))
        .required(required)
        .allow_negative_numbers(true)
        .action(if is_list(column.name) {
            ArgAction::Append
        } else {
            ArgAction::Set
        })
}

impl Subcommand for Typed {
    fn augment_subcommands(command: Command) -> Command {
        let command = command
            .subcommand_required(true)
            .subcommand_value_name("NOUN");
        let command = command.subcommand_help_heading("Nouns");
        command.subcommands(Noun::ALL.map(self::command))
    }

    fn augment_subcommands_for_update(command: Command) -> Command {
        Self::augment_subcommands(command)
    }

    fn has_subcommand(name: &str) -> bool {
        Noun::ALL.iter().any(|noun| noun.word() == name)
    }
}

impl FromArgMatches for Typed {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        let missing = || clap::Error::new(clap::error::ErrorKind::MissingSubcommand);
        let (name, matches) = matches.subcommand().ok_or_else(missing)?;
        let noun = Noun::ALL.into_iter().find(|noun| noun.word() == name);
        let noun = noun.ok_or_else(missing)?;
        let cell = |column: &'static Column| {
            let texts = matches.get_many::<String>(column.name)?;
            let texts: Vec<&str> = texts.map(String::as_str).collect();
            Some((column.name, texts.join("; ")))
        };
        let cells = flags(noun).filter_map(cell).collect();
        Ok(Self { noun, cells })
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        *self = Self::from_arg_matches(matches)?;
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_column_of_every_sheet_is_a_flag_that_says_what_it_is() {
        for noun in Noun::ALL {
            let command = command(noun);
            for column in flags(noun) {
                let flag = command
                    .get_arguments()
                    .find(|arg| arg.get_id() == column.name);
                let flag = flag.unwrap_or_else(|| panic!("{} has no {}", noun.word(), column.name));
                let help = flag.get_help().map(ToString::to_string).unwrap_or_default();
                assert!(help.len() > 2, "{} {}", noun.word(), column.name);
            }
        }
    }

    #[test]
    fn a_row_reads_its_flags_and_joins_lists() {
        let command = Typed::augment_subcommands(Command::new("record"));
        let typed = [
            "record", "bed", "--bin", "A01", "--takes", "a 1kg", "--takes", "b 2kg",
        ];
        let matches = command.try_get_matches_from(typed).expect("it is a bed");
        let typed = Typed::from_arg_matches(&matches).expect("it is a bed");
        assert_eq!(typed.noun, Noun::Bed);
        assert_eq!(
            typed.cells,
            [
                ("bin", "A01".to_owned()),
                ("takes", "a 1kg; b 2kg".to_owned())
            ]
        );
    }
}
