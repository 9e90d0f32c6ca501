//! What was typed. The help is made of the comments here.

use std::ffi::OsString;
use std::path::PathBuf;

use anstream::ColorChoice;
use clap::{Args, Parser, Subcommand, ValueEnum};
use repledger::trace::DateOrder;

const EXAMPLES: &str = "\
Examples:
  repledger review monday.gpx
  repledger review monday.gpx --plan monday.plan --out monday
  repledger review monday.csv --plan monday.plan --json > monday.json
  repledger plan monday.plan --card monday.html
  repledger settings --set set=women > my-settings.toml

Exit status: 0 done, 1 could not, 2 wrong usage, 3 reps not done (with --strict).";

const REVIEW_EXAMPLES: &str = "\
Examples:
  repledger review monday.gpx
  repledger review monday.gpx --plan monday.plan
  repledger review monday.gpx --plan monday.plan --out monday
  repledger review positions.csv --columns time,lat,lon,speed:km/h,-
  unzip -p monday.zip | repledger review - --json";

const PLAN_EXAMPLES: &str = "\
Examples:
  repledger plan monday.plan
  repledger plan monday.plan --tidy > tidy.plan
  repledger plan monday.plan --card monday.html";

const SETTINGS_EXAMPLES: &str = "\
Examples:
  repledger settings
  repledger settings --set sprint.from=7.2m/s > my-settings.toml
  repledger review monday.gpx --settings my-settings.toml";

/// Holds a football training plan against a recording and says what was done.
///
/// repledger reads what a watch or phone recorded (GPX or CSV), works out how fast you ran and how well that is known,
/// and tells you rep by rep whether the plan was done and the rests were kept.
#[derive(Debug, Parser)]
#[command(version, after_help = EXAMPLES, disable_help_subcommand = true)]
pub struct Typed {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,

    /// When to use colour
    #[arg(long, global = true, value_enum, value_name = "WHEN", default_value_t = Color::Auto, display_order = 100)]
    pub color: Color,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Give an account of a recorded session, with a plan: rep by rep
    Review(Review),
    /// Show a plan on one screen before going out
    Plan(Plan),
    /// Print the settings in force and where each comes from
    Settings(Settings),
}

/// Give an account of a recorded session.
///
/// Reads a recording, smooths it, finds the efforts and prints an account of one screen. With a plan, the account says
/// which reps were done, which were not and why, and which rests were kept.
#[derive(Debug, Args)]
#[command(after_help = REVIEW_EXAMPLES)]
pub struct Review {
    /// The recording: GPX or CSV, plain or gzipped; `-` reads standard input
    #[arg(value_name = "TRACE")]
    pub trace: Input,

    /// The plan to hold against it
    #[arg(long, value_name = "PLAN")]
    pub plan: Option<Input>,

    /// Print the review as JSON, one document and nothing else on standard output
    #[arg(long)]
    pub json: bool,

    /// Write the account, the JSON and the pictures into this folder
    ///
    /// Each file is complete or not there. A file that repledger did not write, or that was changed since, is not
    /// overwritten without --force.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,

    /// Overwrite files in DIR even if repledger did not write them
    #[arg(long, requires = "out")]
    pub force: bool,

    /// What the columns of a CSV without a header hold
    ///
    /// A word a column, with commas: time, lat, lon, x, y, speed, hr, hdop, sat; `-` for a column to pass over. A unit
    /// follows a colon, as in `time,lat,lon,speed:km/h,-`.
    #[arg(long, value_name = "LIST")]
    pub columns: Option<String>,

    /// The order of day and month in dates that do not tell, such as 03/04/2026
    #[arg(long, value_enum, value_name = "ORDER")]
    pub dates: Option<Dates>,

    /// End with status 3 unless every planned rep was done
    ///
    /// A rep that the recording cannot tell (`unresolved`) does not count as done.
    #[arg(long, requires = "plan")]
    pub strict: bool,

    #[command(flatten)]
    pub settings: SettingsFrom,
}

/// Show a plan on one screen before going out.
///
/// Prints each block with its work, rest and clock time from the start, the totals, and remarks from common practice.
/// Mistakes are shown with their line and what was expected.
#[derive(Debug, Args)]
#[command(after_help = PLAN_EXAMPLES)]
pub struct Plan {
    /// The plan; `-` reads standard input
    #[arg(value_name = "FILE")]
    pub file: Input,

    /// Print the plan in its one tidy form instead
    #[arg(long, conflicts_with = "json")]
    pub tidy: bool,

    /// Print the plan as JSON instead
    #[arg(long)]
    pub json: bool,

    /// Also write a page to take to the pitch on a phone or on paper
    #[arg(long, value_name = "FILE.html")]
    pub card: Option<PathBuf>,

    /// Overwrite the card even if repledger did not write it
    #[arg(long, requires = "card")]
    pub force: bool,

    #[command(flatten)]
    pub settings: SettingsFrom,
}

/// Print the settings in force and where each comes from.
///
/// The output is a settings file: edit it and pass it back with --settings, or save it as `repledger/settings.toml` in
/// your configuration folder, where it is found without asking.
#[derive(Debug, Args)]
#[command(after_help = SETTINGS_EXAMPLES)]
pub struct Settings {
    #[command(flatten)]
    pub settings: SettingsFrom,
}

/// Where settings come from, beside the defaults.
#[derive(Debug, Args)]
pub struct SettingsFrom {
    /// A settings file, instead of the one in the configuration folder
    #[arg(long, value_name = "FILE")]
    pub settings: Option<PathBuf>,

    /// Change one setting, as in `sprint.from=7.2m/s`; may be given many times
    #[arg(long, value_name = "KEY=VALUE")]
    pub set: Vec<String>,
}

/// A file, or standard input.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Input {
    /// `-`
    Stdin,
    /// Anything else.
    File(PathBuf),
}

impl From<OsString> for Input {
    fn from(typed: OsString) -> Self {
        if typed == "-" {
            Self::Stdin
        } else {
            Self::File(typed.into())
        }
    }
}

/// When to use colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Color {
    // No backticks, since this is read in a terminal.
    #[allow(clippy::doc_markdown)]
    /// On a terminal, unless NO_COLOR is set
    Auto,
    /// Even into a file or a pipe
    Always,
    /// Not at all
    Never,
}

impl From<Color> for ColorChoice {
    fn from(color: Color) -> Self {
        match color {
            Color::Auto => Self::Auto,
            Color::Always => Self::Always,
            Color::Never => Self::Never,
        }
    }
}

/// The order of day and month.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Dates {
    /// Day first: 31/12/2026
    Dmy,
    /// Month first: 12/31/2026
    Mdy,
}

impl From<Dates> for DateOrder {
    fn from(dates: Dates) -> Self {
        match dates {
            Dates::Dmy => Self::DayMonthYear,
            Dates::Mdy => Self::MonthDayYear,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use clap::CommandFactory;
    use clap::error::ErrorKind;

    fn review(line: &str) -> Result<Review, clap::Error> {
        let typed = Typed::try_parse_from(
            ["repledger", "review"]
                .into_iter()
                .chain(line.split_whitespace()),
        )?;
        match typed.command {
            Command::Review(review) => Ok(review),
            other => unreachable!("{other:?}"),
        }
    }

    #[test]
    fn the_command_line_is_sound() {
        Typed::command().debug_assert();
    }

    #[test]
    fn trace_and_plan_may_be_files_or_standard_input() -> Result<(), clap::Error> {
        let typed = review("- --plan a.plan")?;
        assert_eq!(typed.trace, Input::Stdin);
        assert_eq!(typed.plan, Some(Input::File("a.plan".into())));
        Ok(())
    }

    #[test]
    fn settings_pile_up() -> Result<(), clap::Error> {
        let typed = review("a.gpx --settings s.toml --set a=1 --set b=2")?;
        assert_eq!(typed.settings.settings, Some("s.toml".into()));
        assert_eq!(typed.settings.set, ["a=1", "b=2"]);
        Ok(())
    }

    #[test]
    fn columns_and_dates_are_for_the_reader() -> Result<(), clap::Error> {
        let typed = review("a.csv --columns time,lat,lon,speed:km/h,- --dates mdy")?;
        assert_eq!(typed.columns.as_deref(), Some("time,lat,lon,speed:km/h,-"));
        assert_eq!(typed.dates, Some(Dates::Mdy));
        Ok(())
    }

    #[test]
    fn options_that_mean_nothing_alone_are_refused() {
        for line in ["a.gpx --force", "a.gpx --strict"] {
            let kind = review(line).map_err(|e| e.kind()).map(|_| ());
            assert_eq!(kind, Err(ErrorKind::MissingRequiredArgument), "{line}");
        }
        assert!(review("a.gpx --out o --force --plan p --strict").is_ok());
    }

    #[test]
    fn colour_may_stand_after_the_command() -> Result<(), clap::Error> {
        let typed = Typed::try_parse_from(["repledger", "settings", "--color", "never"])?;
        assert_eq!(typed.color, Color::Never);
        Ok(())
    }

    #[test]
    fn a_plan_is_tidied_or_written_as_json_but_not_both() {
        let typed = Typed::try_parse_from(["repledger", "plan", "a.plan", "--tidy", "--json"]);
        assert_eq!(
            typed.map_err(|e| e.kind()).map(|_| ()),
            Err(ErrorKind::ArgumentConflict)
        );
    }
}
