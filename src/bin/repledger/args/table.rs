//! What was typed after `table`.

use std::path::PathBuf;

use clap::Args;
use jiff::civil::Date;
use repledger::report::table;

use super::{Input, Reading, SettingsFrom, day};

const EXAMPLES: &str = "\
Examples:
  repledger table monday.gpx tuesday.gpx --of efforts --to efforts.csv
  repledger table monday.gpx --plan monday.plan --of reps --to reps.ndjson
  repledger table monday.gpx --of bands --to bands.csv --locale comma
  repledger table --diary --to season.xlsx
  repledger table --diary my.db --of weeks --athlete Mika --since 2026-05-01 --to weeks.csv";

/// Write sessions, efforts, reps, rests, bands or weeks as rows.
///
/// One row a thing, the same columns in every format, with the unit at the end of each name. A quantity with its 95 %
/// interval has three columns. Of files that cannot be read the names are told at the end; the rest is written.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Table {
    /// The recordings: GPX or CSV, plain or gzipped; folders of them, each held against the plan of the same name beside it; `-` reads
    /// standard input
    #[arg(
        value_name = "TRACE",
        required_unless_present = "diary",
        conflicts_with = "diary"
    )]
    pub traces: Vec<Input>,

    /// Take the sessions of the diary instead, that in your data folder or this one
    #[arg(long, value_name = "FILE", num_args = 0..=1, conflicts_with_all = ["columns", "dates"])]
    // Not typed, typed alone, typed with a file: so clap tells them apart.
    #[allow(clippy::option_option)]
    pub diary: Option<Option<PathBuf>>,

    /// What a row is about; a workbook takes several with commas between them, and all when not given
    #[arg(long, value_enum, value_delimiter = ',', value_name = "WHAT")]
    pub of: Vec<Of>,

    /// Where to write; the ending says how: .csv, .xlsx, .json or .ndjson. Without it CSV goes to standard output
    #[arg(long, value_name = "FILE")]
    pub to: Option<PathBuf>,

    /// How a CSV writes numbers
    #[arg(long, value_enum, value_name = "LOCALE", default_value_t = Locale::Point)]
    pub locale: Locale,

    /// Overwrite FILE even if repledger did not write it
    #[arg(long, requires = "to")]
    pub force: bool,

    /// The plan to hold each recording against, instead of those beside them
    #[arg(long, value_name = "PLAN", conflicts_with = "diary")]
    pub plan: Option<Input>,

    #[command(flatten)]
    pub reading: Reading,

    /// Only of this athlete in the diary
    #[arg(long, value_name = "NAME", conflicts_with = "traces")]
    pub athlete: Option<String>,

    /// Only from this day on; of weeks, from the week of this day on
    #[arg(long, alias = "from", value_name = "DATE", value_parser = day)]
    pub since: Option<Date>,

    /// Only up to this day; of weeks, up to the week of this day
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub until: Option<Date>,

    #[command(flatten)]
    pub settings: SettingsFrom,
}

words_for! {
    /// What a row is about.
    Of for table::Of {
        /// A session
        Sessions,
        /// A sprint, high-speed run, acceleration, deceleration or turn
        Efforts,
        /// A rep of the plan
        Reps,
        /// A rest between reps or sets
        Rests,
        /// A speed band of a session
        Bands,
        /// A week of an athlete
        Weeks,
    }
}

words_for! {
    /// How a CSV writes numbers.
    Locale for table::csv::Locale {
        /// 1.5, and a comma between fields
        Point,
        /// 1,5, and a semicolon between fields
        Comma,
    }
}
