//! What was typed after `schema`, `completions` and `manual`.

use std::path::PathBuf;

use clap::{Args, ValueEnum};
use clap_complete::Shell;

const SCHEMA_EXAMPLES: &str = "\
Examples:
  repledger schema review
  repledger schema table > table.schema.json";

const COMPLETIONS_EXAMPLES: &str = "\
Examples:
  repledger completions bash > ~/.local/share/bash-completion/completions/repledger
  repledger completions zsh > ~/.zfunc/_repledger
  repledger completions fish > ~/.config/fish/completions/repledger.fish";

const MANUAL_EXAMPLES: &str = "\
Examples:
  repledger manual > repledger.1
  repledger manual --out ~/.local/share/man/man1";

/// Print the JSON Schema of what is written.
///
/// The schema (draft 2020-12) describes every field of a document, with its unit.
#[derive(Debug, Args)]
#[command(after_help = SCHEMA_EXAMPLES)]
pub struct Schema {
    /// Which document
    #[arg(value_enum, value_name = "WHAT")]
    pub what: Document,
}

/// Documents with a schema.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Document {
    /// What `review --json` prints
    Review,
    /// What `table --to FILE.json` writes
    Table,
    /// A settings file, as JSON would have it
    Settings,
    /// What `plan --json` prints
    Plan,
    /// What `simulate --json` prints
    Simulation,
    /// What `compare --json` prints
    Comparison,
    /// What `weeks --all --of WHAT --json` prints
    Grid,
    /// What `drill --json` prints
    Drills,
    /// What `week --json` prints
    Week,
    /// What `weeks --json` prints
    Weeks,
    /// What `best --json` prints
    Best,
    /// What `diary list --json` prints
    Diary,
    /// What `diary show --json` prints
    Entry,
}

/// Print what lets a shell complete the command line.
#[derive(Debug, Args)]
#[command(after_help = COMPLETIONS_EXAMPLES)]
pub struct Completions {
    /// The shell
    #[arg(value_enum, value_name = "SHELL")]
    pub shell: Shell,
}

/// Print the manual, or write its pages into a folder.
#[derive(Debug, Args)]
#[command(after_help = MANUAL_EXAMPLES)]
pub struct Manual {
    /// Write a page a command into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,

    /// Overwrite pages even if repledger did not write them
    #[arg(long, requires = "out")]
    pub force: bool,
}
