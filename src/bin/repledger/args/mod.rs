//! What was typed. The help is made of the comments here.

/// Words that are typed, each for the case of the same name of a type of the library.
macro_rules! words_for {
    ($(#[$about:meta])* $name:ident for $of:ty { $($(#[$word_about:meta])* $word:ident),+ $(,)? }) => {
        $(#[$about])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, clap::ValueEnum)]
        pub enum $name {
            $($(#[$word_about])* $word),+
        }

        impl ::core::convert::From<$name> for $of {
            fn from(typed: $name) -> Self {
                match typed {
                    $($name::$word => Self::$word),+
                }
            }
        }
    };
}

mod compare;
pub mod diary;
pub mod help;
mod number;
pub mod pitch;
pub mod progress;
pub mod table;
mod zone;

use std::ffi::OsString;
use std::path::PathBuf;

use anstream::ColorChoice;
use clap::{Args, Parser, Subcommand, ValueEnum};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use repledger::figure;
use repledger::simulation::Kind;
use repledger::trace::{self, DateOrder};

use crate::exit_status::WrongUsage;

pub use compare::Compare;
pub use diary::DiaryFrom;

/// A day as it is typed.
pub fn day(text: &str) -> Result<Date, String> {
    text.trim()
        .parse()
        .map_err(|_| "it is no day of the calendar; write a day as 2026-05-16".to_owned())
}

const EXAMPLES: &str = "\
Examples:
  repledger review monday.gpx
  repledger review monday.gpx --plan monday.plan --out monday
  repledger review monday.csv --plan monday.plan --json > monday.json
  repledger compare monday.gpx thursday.gpx --plan winger.plan
  repledger plan monday.plan --card monday.html
  repledger simulate monday.plan --receiver watch1v
  repledger diary add monday.gpx --plan monday.plan --rpe 7
  repledger week
  repledger table monday.gpx tuesday.gpx --of efforts --to efforts.csv
  repledger settings --set set=women > my-settings.toml

Exit status: 0 done, 1 could not, 2 wrong usage, 3 reps not done (with --strict), 130 stopped by Ctrl-C, 143 by SIGTERM.";

const REVIEW_EXAMPLES: &str = "\
Examples:
  repledger review monday.gpx
  repledger review monday.gpx --plan monday.plan
  repledger review monday.gpx --plan monday.plan --out monday
  repledger review --join monday-1.gpx monday-2.gpx --plan monday.plan
  repledger review positions.csv --columns time,lat,lon,speed:km/h,-
  unzip -p monday.zip | repledger review - --json
  repledger review recordings/ --out reviews
  repledger review monday.gpx --device \"my watch\"
  ls recordings/*.gpx | repledger review --ndjson > reviews.ndjson";

const PLAN_EXAMPLES: &str = "\
Examples:
  repledger plan monday.plan
  repledger plan --new monday.plan
  repledger plan --edit monday.plan
  repledger plan monday.plan --tidy > tidy.plan
  repledger plan monday.plan --card monday.html
  repledger plan monday.plan --cues monday.flac --lead 5min";

const SIMULATE_EXAMPLES: &str = "\
Examples:
  repledger simulate monday.plan --receiver watch1v
  repledger simulate monday.plan --receiver unit10,watch1 --sessions 40
  repledger simulate monday.plan --receiver phone1 --trace try.gpx
  repledger review try.gpx --plan monday.plan";

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

    /// Say nothing beside the data but errors
    #[arg(
        short,
        long,
        global = true,
        conflicts_with = "verbose",
        display_order = 101
    )]
    pub quiet: bool,

    /// Also say which steps are taken
    #[arg(short, long, global = true, display_order = 102)]
    pub verbose: bool,
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Give an account of a recorded session, with a plan: rep by rep
    Review(Review),
    /// Hold two or more sessions beside each other
    Compare(Compare),
    /// Find a pitch under recordings and keep it
    Pitch(pitch::Pitch),
    /// Show a plan on one screen before going out
    Plan(Plan),
    /// Tell how well a watch, phone or receiver could judge a plan
    Simulate(Simulate),
    /// Keep a diary of sessions, notes, plans and match days
    Diary(diary::Diary),
    /// The week around the match on one screen
    Week(progress::Week),
    /// Week by week, with what changed clearly
    Weeks(progress::Weeks),
    /// The bests so far, and what is a real gain
    Best(progress::Best),
    /// One drill over time, or over the squad
    Drill(progress::Drill),
    /// Write sessions, efforts, reps, rests, bands or weeks as rows
    Table(table::Table),
    /// Print the settings in force and where each comes from
    Settings(Settings),
    /// Print the JSON Schema of what is written
    Schema(help::Schema),
    /// Print what lets a shell complete the command line
    Completions(help::Completions),
    /// Print the manual, or write its pages into a folder
    Manual(help::Manual),
}

/// Give an account of a recorded session.
///
/// Reads a recording, smooths it, finds the efforts and prints an account of one screen. With a plan, the account says
/// which reps were done, which were not and why, and which rests were kept.
// Each is a flag that is typed or not.
#[allow(clippy::struct_excessive_bools)]
#[derive(Debug, Args)]
#[command(after_help = REVIEW_EXAMPLES)]
pub struct Review {
    /// The recordings: GPX or CSV, plain or gzipped; folders of them; `-` reads one from standard input
    ///
    /// Of several, or of a folder, each gets one line: in the account a summary, with --json a JSON object with its `name` and
    /// its `review`, or the `error` that kept it from having one. One bad file does not stop the rest; those are named at the end. A
    /// recording of a folder is held against the plan of the same name beside it; folders inside are not looked into.
    #[arg(value_name = "TRACE", required_unless_present = "ndjson")]
    pub traces: Vec<Input>,

    /// The plan to hold against them, instead of those beside them in a folder
    #[arg(long, value_name = "PLAN")]
    pub plan: Option<Input>,

    /// The zone to tell times in, as `Europe/Rome` or `+02:00`; without it the recording's, else that of this machine
    ///
    /// The account and the page name it. JSON keeps to universal time.
    #[arg(long, value_name = "ZONE", value_parser = zone::read, allow_hyphen_values = true)]
    pub zone: Option<TimeZone>,

    /// Take the recordings as one session: those of a watch that was stopped and started again
    ///
    /// They are named in any order. Between them lies a gap, in which nothing is known. Recordings that overlap, or lie more than
    /// twelve hours apart, are refused.
    #[arg(long, conflicts_with = "ndjson")]
    pub join: bool,

    /// Print the review as JSON, one document and nothing else on standard output
    #[arg(long)]
    pub json: bool,

    /// Read from standard input which recordings to review, and write one line of JSON for each
    ///
    /// A line is the name of a file, or a name, a tab and the file's content in base64. The lines come back in their order, as
    /// those of --json for several recordings; a recording that cannot be reviewed gives a line with its `error`.
    #[arg(long, conflicts_with_all = ["traces", "json", "out", "strict"])]
    pub ndjson: bool,

    /// With --ndjson take contents only, and open no file that a line names
    ///
    /// For lines that come from others: without it they are shown the review of any recording that may be read here. What a file
    /// says that is no recording is never shown.
    #[arg(long, requires = "ndjson", conflicts_with = "traces")]
    pub content_only: bool,

    /// Write the account, the JSON, a page for the browser (report.html) and the pictures into this folder
    ///
    /// Of several recordings each gets a folder inside it. A name such as `x.json` is refused: JSON alone is `--json > x.json`.
    ///
    /// Each file is complete or not there. A file that repledger did not write, or that was changed since, is not
    /// overwritten without --force.
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,

    #[command(flatten)]
    pub drawn: Drawn,

    #[command(flatten)]
    pub reading: Reading,

    /// The pitch under the session: one that is kept, by its name, or a file with its four corners; `off` for none
    ///
    /// Without it a kept pitch is used where the recording was made on it, else one of the plan's size where it surely fits.
    #[arg(long, value_name = "NAME|FILE|off")]
    pub pitch: Option<String>,

    #[command(flatten)]
    pub device: DeviceFrom,

    /// Whose it is, where the plan does not say: the best top speed of his earlier days in the diary is used
    ///
    /// Shares of top speed are taken of it where neither plan nor settings name a top speed, and this session's own best is not
    /// higher. The diary is asked only where this, --device or --diary is named; of a diary of one athlete it is that one's.
    #[arg(long, value_name = "NAME")]
    pub athlete: Option<String>,

    #[command(flatten)]
    pub diary: DiaryFrom,

    #[command(flatten)]
    pub pitches: pitch::PitchesFrom,

    /// For sharing: leave out of every output where on earth it was, and when
    ///
    /// Places stay as metres on the pitch. Names that the recording gave go as well, since they may name a place. Of several
    /// recordings the folders inside --out are numbered; a line still names its file as you did.
    #[arg(long)]
    pub hide_place: bool,

    /// With --hide-place, keep date and time
    #[arg(long, requires = "hide_place")]
    pub show_date: bool,

    /// End with status 3 unless every planned rep was done; `--strict=speed`: and surely reached the speed asked for
    ///
    /// What the recording cannot tell does not count: a rep that is `unresolved`, and with `speed` a peak whose interval lies across
    /// the mark.
    #[arg(
        long,
        requires = "plan",
        value_name = "WHAT",
        num_args = 0..=1,
        require_equals = true,
        default_missing_value = "reps"
    )]
    pub strict: Option<Strict>,

    #[command(flatten)]
    pub settings: SettingsFrom,
}

/// How files are written into the folder behind --out.
#[derive(Debug, Args)]
pub struct Drawn {
    /// Draw the pictures light or dark
    ///
    /// Without it an SVG in a browser follows what its reader has set, and a PNG is light.
    #[arg(long, value_enum, value_name = "THEME", requires = "out")]
    pub theme: Option<Theme>,

    /// Overwrite files in DIR even if repledger did not write them
    #[arg(long, requires = "out")]
    pub force: bool,
}

/// How recordings are read that do not tell it themselves.
#[derive(Debug, Args)]
pub struct Reading {
    /// What the columns of a CSV without a header hold
    ///
    /// A word a column, with commas: time, lat, lon, x, y, speed, hr, hdop, sat; `-` for a column to pass over. A unit
    /// follows a colon, as in `time,lat,lon,speed:km/h,-`.
    #[arg(long, value_name = "LIST")]
    pub columns: Option<String>,

    /// The order of day and month in dates that do not tell, such as 03/04/2026
    #[arg(long, value_enum, value_name = "ORDER")]
    pub dates: Option<Dates>,
}

impl Reading {
    /// Puts what was typed in the place of what the settings say. Fails where no table can have such columns, whatever is read.
    pub fn settle(&self, options: &mut trace::Options) -> Result<(), WrongUsage> {
        if let Some(columns) = &self.columns {
            options.columns = Some(columns.clone());
            options
                .check()
                .map_err(|error| WrongUsage(error.to_string()))?;
        }
        if let Some(dates) = self.dates {
            options.dates = Some(dates.into());
        }
        Ok(())
    }
}

/// What recorded a session.
#[derive(Clone, Debug, Args)]
pub struct DeviceFrom {
    /// What recorded it, by a name of yours: what the diary knows of it from earlier recordings is used
    ///
    /// Without it the name that a GPX file gives counts. `diary add` keeps what a recording shows of its device's filter, noise
    /// and scale; `review` asks the diary only where this, --athlete or --diary is named.
    #[arg(long, value_name = "NAME", value_parser = device)]
    pub device: Option<String>,
}

fn device(typed: &str) -> Result<String, String> {
    use repledger::limits::DEVICE_NAME_CHARS;
    let name = typed.split_whitespace().collect::<Vec<_>>().join(" ");
    if name.is_empty() || name.chars().any(char::is_control) {
        return Err("a name is meant, such as \"my watch\"".to_owned());
    }
    if name.chars().count() > DEVICE_NAME_CHARS {
        return Err(format!("it is longer than {DEVICE_NAME_CHARS} characters"));
    }
    Ok(name)
}

/// Show a plan on one screen before going out.
///
/// Prints each block with its work, rest and clock time from the start, the totals, and remarks from common practice.
/// Lines that are not in the notation are read where they can mean one thing only, and listed with how they were read.
/// Mistakes are shown with their line and what was expected.
// Each is a flag that is typed or not.
#[allow(clippy::struct_excessive_bools)]
#[derive(Debug, Args)]
#[command(after_help = PLAN_EXAMPLES)]
pub struct Plan {
    /// The plan; `-` reads standard input
    #[arg(value_name = "FILE", required_unless_present = "new")]
    pub file: Option<Input>,

    /// Write a commented plan to start from into FILE, or print it where no file is named
    #[arg(long, conflicts_with_all = ["tidy", "json", "card", "cues", "edit"])]
    pub new: bool,

    /// Open the plan in your editor ($VISUAL or $EDITOR), check it, and go back until it is right
    ///
    /// A file that is not there yet begins as that of --new.
    #[arg(long)]
    pub edit: bool,

    /// The editor was there: check what it left
    #[arg(long, hide = true, requires = "edit")]
    pub edited: bool,

    /// Print the plan in its one tidy form instead
    #[arg(long, conflicts_with = "json")]
    pub tidy: bool,

    /// Print the plan as JSON instead
    #[arg(long)]
    pub json: bool,

    /// Also write a page to take to the pitch on a phone or on paper
    #[arg(long, value_name = "FILE.html")]
    pub card: Option<PathBuf>,

    /// Also write a sound track for the pitch: silence, and cues on the plan's clock (.wav or .flac)
    ///
    /// A start is one high beep, the start of a set's last rep three, the end of timed work a low beep, half of a long work two
    /// of middle pitch; the last three seconds of a rest are counted, and two falling beeps end a block. What is counted, or
    /// run over a distance, or rested from at your own pace, gets a start and half as much time again as is expected.
    #[arg(long, value_name = "FILE.wav|FILE.flac")]
    pub cues: Option<PathBuf>,

    /// Silence before the first start of the sound track, to reach the pitch
    #[arg(long, value_name = "TIME", requires = "cues", default_value = "10s", value_parser = lead)]
    pub lead: f64,

    /// The order of day and month in dates that do not tell, such as 03/04/2026
    #[arg(long, value_enum, value_name = "ORDER")]
    pub dates: Option<Dates>,

    /// Overwrite what is written even if repledger did not write it
    #[arg(long)]
    pub force: bool,

    #[command(flatten)]
    pub settings: SettingsFrom,
}

/// A time as a plan writes it.
fn lead(typed: &str) -> Result<f64, String> {
    repledger::plan::seconds(typed)
        .filter(|seconds| *seconds <= repledger::limits::CUES_S)
        .ok_or_else(|| "a time is meant, such as 5min, 90s or 1:30".to_owned())
}

/// Tell how well a watch, phone or receiver could judge a plan.
///
/// Simulated athletes carry out the plan, half of the time with departures from it, a simulated receiver records them,
/// and each recording is reviewed and held against what truly happened: which blocks can be judged rep by rep, which
/// only as a bout, which not at all, and how wide the 95 % intervals will be.
#[derive(Debug, Args)]
#[command(after_help = SIMULATE_EXAMPLES)]
pub struct Simulate {
    /// The plan; `-` reads standard input
    #[arg(value_name = "PLAN")]
    pub plan: Input,

    /// What records the session; several with commas between them, all when not given
    #[arg(long, value_enum, value_delimiter = ',', value_name = "RECEIVER")]
    pub receiver: Vec<Receiver>,

    /// How many sessions each receiver records, 1 to 500
    #[arg(long, value_name = "N", default_value_t = 12, value_parser = number::whole(1..=repledger::limits::SIMULATED_SESSIONS), allow_negative_numbers = true)]
    pub sessions: u32,

    /// Where the random numbers start; the same plan, settings and seed give the same answer
    #[arg(long, value_name = "S", default_value_t = 1, value_parser = number::whole(0..=u64::MAX), allow_negative_numbers = true)]
    pub seed: u64,

    /// Print the answer as JSON instead
    #[arg(long)]
    pub json: bool,

    /// Also keep one simulated recording to try repledger on
    ///
    /// It is that of the first receiver in the first session, which departs from the plan. What truly happened in it is
    /// told on standard error, and in the JSON. GPX or CSV, as the receiver writes it; both are read by any name.
    #[arg(long, value_name = "FILE")]
    pub trace: Option<PathBuf>,

    /// Overwrite the recording even if repledger did not write it
    #[arg(long, requires = "trace")]
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
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
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

words_for! {
    /// When to use colour.
    Color for ColorChoice {
        // No backticks, since this is read in a terminal.
        #[allow(clippy::doc_markdown)]
        /// On a terminal, unless NO_COLOR is set
        Auto,
        /// Even into a file or a pipe
        Always,
        /// Not at all
        Never,
    }
}

words_for! {
    /// Simulated receivers.
    Receiver for Kind {
        /// A fast receiver worn between the shoulders, 10 Hz with speed
        Unit10,
        /// A receiver worn between the shoulders, 5 Hz with speed
        Unit5,
        /// A system fixed at the pitch, 25 Hz in metres, without speed
        Local25,
        /// A watch on the wrist, a fix a second, with speed
        Watch1v,
        /// A watch on the wrist, a fix a second, positions only
        Watch1,
        /// A phone carried along, a fix a second with gaps and jumps
        Phone1,
        /// A watch that saves its battery, a fix every 1 to 7 s
        #[value(name = "watch_sparse")]
        WatchSparse,
    }
}

/// What `--strict` asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Strict {
    /// Every rep done
    Reps,
    /// Every rep done, and at the speed asked for
    Speed,
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

words_for! {
    /// What pictures are drawn on.
    Theme for figure::Theme {
        /// Ink on paper
        Light,
        /// Light lines on a dark ground
        Dark,
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
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn the_command_line_is_sound() {
        Typed::command().debug_assert();
    }

    #[test]
    fn trace_and_plan_may_be_files_or_standard_input() -> Result<(), clap::Error> {
        let typed = review("- --plan a.plan")?;
        assert_eq!(typed.traces, [Input::Stdin]);
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
        assert_eq!(
            typed.reading.columns.as_deref(),
            Some("time,lat,lon,speed:km/h,-")
        );
        assert_eq!(typed.reading.dates, Some(Dates::Mdy));
        Ok(())
    }

    #[test]
    fn options_that_mean_nothing_alone_are_refused() {
        for line in ["a.gpx --force", "a.gpx --strict", "a.gpx --theme dark"] {
            let kind = review(line).map_err(|e| e.kind()).map(|_| ());
            assert_eq!(kind, Err(ErrorKind::MissingRequiredArgument), "{line}");
        }
        assert!(review("a.gpx --out o --force --plan p --strict").is_ok());
    }

    #[test]
    fn strict_asks_for_reps_unless_it_says_speed() -> Result<(), clap::Error> {
        let strict = |line: &str| review(line).map(|typed| typed.strict);
        assert_eq!(strict("a.gpx --plan p")?, None);
        assert_eq!(strict("--plan p --strict a.gpx")?, Some(Strict::Reps));
        assert_eq!(
            strict("a.gpx --plan p --strict=speed")?,
            Some(Strict::Speed)
        );
        Ok(())
    }

    #[test]
    fn pictures_are_light_dark_or_as_their_reader_has_it() -> Result<(), clap::Error> {
        let theme = |line: &str| review(line).map(|typed| typed.drawn.theme);
        assert_eq!(theme("a.gpx --out o")?, None);
        assert_eq!(theme("a.gpx --out o --theme dark")?, Some(Theme::Dark));
        Ok(())
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

    #[test]
    fn receivers_have_the_names_and_descriptions_of_the_simulator() {
        assert_eq!(Receiver::value_variants().len(), Kind::ALL.len());
        for receiver in Receiver::value_variants() {
            let kind = Kind::from(*receiver);
            let value = receiver.to_possible_value();
            let help = value
                .as_ref()
                .and_then(clap::builder::PossibleValue::get_help)
                .map(ToString::to_string);
            assert_eq!(
                value.as_ref().map(clap::builder::PossibleValue::get_name),
                Some(kind.word())
            );
            let help = help.unwrap_or_default().to_lowercase();
            assert_eq!(help, kind.description().to_lowercase());
        }
    }

    #[test]
    fn receivers_are_listed_with_commas() -> Result<(), clap::Error> {
        let line = [
            "repledger",
            "simulate",
            "a.plan",
            "--receiver",
            "unit10,watch_sparse",
        ];
        let typed = Typed::try_parse_from(line)?;
        let Command::Simulate(typed) = typed.command else {
            panic!("{typed:?}")
        };
        assert_eq!(typed.receiver, [Receiver::Unit10, Receiver::WatchSparse]);
        assert_eq!((typed.sessions, typed.seed), (12, 1));
        Ok(())
    }
}
