//! `repledger compare`.

use std::path::PathBuf;

use clap::Args;

use super::{DiaryFrom, Drawn, Input, Reading, SettingsFrom};

const EXAMPLES: &str = "\
Examples:
  repledger compare monday.gpx thursday.gpx
  repledger compare monday.gpx thursday.gpx --plan winger.plan
  repledger compare monday.gpx thursday.gpx --plan monday.plan --plan thursday.plan --out both
  repledger compare diary:3 diary:12 monday.gpx
  repledger compare may.gpx june.gpx july.gpx --json > summer.json";

/// Hold two or more sessions beside each other.
///
/// The first is the base, and every other is held against it: totals with their intervals and whether they are clearly more, clearly
/// less or not to be told apart; and with plans the drills that both did, rep beside rep. What is known without an interval gets no
/// verdict.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub struct Compare {
    /// The recordings, the base first: GPX or CSV, plain or gzipped; `-` reads one from standard input; `diary:12` is an entry
    ///
    /// Of an entry of the diary the sums that it keeps are compared; drills and pictures need recordings.
    #[arg(value_name = "TRACE", required = true, num_args = 2..)]
    pub traces: Vec<Input>,

    /// The plan to hold against them: once for all, or once a recording in their order; `none` for a recording without
    #[arg(long = "plan", value_name = "PLAN")]
    pub plans: Vec<Input>,

    /// Print the comparison as JSON, one document and nothing else on standard output
    #[arg(long)]
    pub json: bool,

    /// Write the account, the JSON and the pictures into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,

    #[command(flatten)]
    pub drawn: Drawn,

    #[command(flatten)]
    pub reading: Reading,

    #[command(flatten)]
    pub diary: DiaryFrom,

    #[command(flatten)]
    pub pitches: super::pitch::PitchesFrom,

    #[command(flatten)]
    pub settings: SettingsFrom,
}
