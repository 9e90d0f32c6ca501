//! What was typed after `diary`.

use std::path::PathBuf;

use clap::{Args, Subcommand};
use jiff::civil::Date;
use jiff::tz::TimeZone;
use repledger::diary;

use super::{DeviceFrom, Input, Reading, SettingsFrom, day, number};

const EXAMPLES: &str = "\
Examples:
  repledger diary add monday.gpx --plan monday.plan --rpe 7
  repledger diary add recordings/ --athlete Mika
  repledger diary note team --minutes 90 --rpe 6 --date 2026-05-13
  repledger diary plan friday.plan --date 2026-05-15
  repledger diary match 2026-05-16 --against \"Harbour side\"
  repledger diary list --last 10
  repledger diary backup diary-copy.db";

const ADD_EXAMPLES: &str = "\
Examples:
  repledger diary add monday.gpx --plan monday.plan --rpe 7
  repledger diary add recordings/ --athlete Mika --keep-trace
  repledger diary add --join monday-1.gpx monday-2.gpx
  repledger diary add recordings/ --device \"my watch\"
  repledger diary add late.csv --date 2026-05-12 --no-plan";

const NOTE_EXAMPLES: &str = "\
Examples:
  repledger diary note team --minutes 90 --rpe 6
  repledger diary note match --minutes 70 --rpe 8 --date 2026-05-16 --title \"Harbour side, away\"
  repledger diary note rest --date 2026-05-17";

const IMPORT_EXAMPLES: &str = "\
Examples:
  repledger diary import unrecorded.csv
  repledger diary import unrecorded.xlsx --partly";

const PLAN_EXAMPLES: &str = "\
Examples:
  repledger diary plan friday.plan --date 2026-05-15
  repledger diary plan friday.plan --athlete Mika
  repledger diary plan --remove 3";

const MATCH_EXAMPLES: &str = "\
Examples:
  repledger diary match 2026-05-16 --against \"Harbour side\"
  repledger diary match 2026-05-16 --athlete Mika
  repledger diary match 2026-05-16 --remove
  repledger diary match";

const LIST_EXAMPLES: &str = "\
Examples:
  repledger diary list --last 10
  repledger diary list --athlete Mika --since 2026-05-01 --until 2026-05-31
  repledger diary list --json";

const SHOW_EXAMPLES: &str = "\
Examples:
  repledger diary show 12
  repledger diary show 12 --json";

const EDIT_EXAMPLES: &str = "\
Examples:
  repledger diary edit 12 --rpe 8
  repledger diary edit 12 --title \"Channel runs\" --note \"wet pitch\"
  repledger diary edit 12 --note \"\"";

const REMOVE_EXAMPLES: &str = "\
Examples:
  repledger diary remove 12
  repledger diary remove 12 --yes";

const REFRESH_EXAMPLES: &str = "\
Examples:
  repledger diary refresh --set sprint.from=7.2m/s
  repledger diary refresh 12 13";

const ATHLETE_EXAMPLES: &str = "\
Examples:
  repledger diary athlete
  repledger diary athlete Mika --heart-max 196
  repledger diary athlete Mika --heart-max 196 --heart-rest 52 --load banister-men";

const PAGES_EXAMPLES: &str = "\
Examples:
  repledger diary pages --out season
  repledger diary pages --out for-mika --athlete Mika
  repledger diary pages --out season --hide-place";

const BACKUP_EXAMPLES: &str = "\
Examples:
  repledger diary backup diary-copy.db
  repledger diary list --diary diary-copy.db";

const CHECK_EXAMPLES: &str = "\
Examples:
  repledger diary check
  repledger diary check --diary diary-copy.db";

/// More entries are never asked for by their number: nobody has as many.
const LAST_MOST: usize = 1_000_000;

/// Which diary.
#[derive(Clone, Debug, Args)]
pub struct DiaryFrom {
    /// The diary, instead of the one in your data folder
    #[arg(long, value_name = "FILE", global = true)]
    pub diary: Option<PathBuf>,
}

/// Sessions of which days.
#[derive(Debug, Args)]
pub struct Between {
    /// Only sessions from this day on
    #[arg(long, alias = "from", value_name = "DATE", value_parser = day)]
    pub since: Option<Date>,

    /// Only sessions up to this day
    #[arg(long, alias = "to", value_name = "DATE", value_parser = day)]
    pub until: Option<Date>,
}

/// Keep a diary of sessions, notes, plans and match days.
///
/// The diary is one file, `repledger/diary.db` in your data folder, that only you may read. Every change is whole or not
/// there, whatever stops the program.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES, disable_help_subcommand = true)]
pub struct Diary {
    #[command(flatten)]
    pub diary: DiaryFrom,

    /// What to do.
    #[command(subcommand)]
    pub action: Action,
}

/// The commands of the diary.
#[derive(Debug, Subcommand)]
pub enum Action {
    /// Review recordings and keep what comes of it
    Add(Add),
    /// Write down what has no recording: team training, match, gym, rest
    Note(Note),
    /// Take sessions that were not recorded from a spreadsheet
    Import(Import),
    /// Put a plan down for a day
    Plan(Plan),
    /// Put a match day down, or list them
    Match(Match),
    /// List the entries
    List(List),
    /// Show one entry in full
    Show(Show),
    /// Change an entry
    Edit(Edit),
    /// Take an entry out
    Remove(Remove),
    /// Review the recordings again, with the settings of now
    Refresh(Refresh),
    /// Write down what is known of an athlete's heart, or list it
    Athlete(Athlete),
    /// Write the season as a folder of pages for a browser
    Pages(Pages),
    /// Write a copy of the diary
    Backup(Backup),
    /// Read everything and say whether it is whole
    Check(Check),
}

/// Review recordings and keep what comes of it.
///
/// Several files, or folders of GPX and CSV files. The day is that of the plan's `date:`, else of the recording's clock, which
/// is universal time unless --zone says otherwise. In a folder, a plan of the same name as a recording, monday.plan beside
/// monday.gpx, is held against it. A recording that is in the diary already is known by its content, whatever
/// its name, and not doubled. Without --plan, the plan that the diary holds for the athlete on that day is used.
// Each is a flag that is typed or not.
#[allow(clippy::struct_excessive_bools)]
#[derive(Debug, Args)]
#[command(after_help = ADD_EXAMPLES)]
pub struct Add {
    /// Recordings, GPX or CSV, plain or gzipped, or folders of them; `-` reads standard input
    #[arg(value_name = "TRACE", required = true)]
    pub traces: Vec<Input>,

    /// The plan to hold against each of them
    #[arg(long, value_name = "PLAN", conflicts_with = "no_plan")]
    pub plan: Option<Input>,

    /// Take the recordings as one session, as `review` does
    #[arg(long)]
    pub join: bool,

    /// Do not use the plan that the diary holds for that day
    #[arg(long)]
    pub no_plan: bool,

    #[command(flatten)]
    pub about: About,

    /// What was done
    #[arg(long, value_enum, value_name = "WHAT", default_value_t = Activity::Training)]
    pub activity: Activity,

    /// The zone of your clock, as `Europe/Rome` or `+02:00`, which says on which day a late session was
    #[arg(long, value_name = "ZONE", value_parser = super::zone::read, allow_hyphen_values = true)]
    pub zone: Option<TimeZone>,

    /// Keep the recording itself too, compressed
    #[arg(long)]
    pub keep_trace: bool,

    #[command(flatten)]
    pub device: DeviceFrom,

    /// Take --date even where it contradicts the recording's own day
    #[arg(long)]
    pub force: bool,

    #[command(flatten)]
    pub reading: Reading,

    #[command(flatten)]
    pub settings: SettingsFrom,
}

/// What is said of a session or a note.
#[derive(Debug, Args)]
pub struct About {
    /// Whose it is; without it, the plan's `athlete:`, else nobody's name
    #[arg(long, value_name = "NAME")]
    pub athlete: Option<String>,

    /// The day, as 2026-05-12
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub date: Option<Date>,

    /// How hard it was, 0 to 10 (rating of perceived exertion, CR-10)
    #[arg(long, value_name = "0..10", value_parser = number::rpe, allow_negative_numbers = true)]
    pub rpe: Option<f64>,

    /// A title
    #[arg(long, value_name = "TEXT")]
    pub title: Option<String>,

    /// A word beside it
    #[arg(long, value_name = "TEXT")]
    pub note: Option<String>,
}

/// Write down what has no recording.
#[derive(Debug, Args)]
#[command(after_help = NOTE_EXAMPLES)]
pub struct Note {
    /// What was done
    #[arg(value_enum, value_name = "WHAT")]
    pub activity: Activity,

    /// How long it lasted
    #[arg(long, value_name = "MINUTES", value_parser = number::minutes, allow_negative_numbers = true)]
    pub minutes: Option<f64>,

    #[command(flatten)]
    pub about: About,
}

/// Take sessions that were not recorded from a spreadsheet.
///
/// CSV or XLSX (its first sheet). The first row names the columns: date (2026-05-12), athlete, what (training, team, match, gym, rest,
/// other), minutes, RPE, and if you like title and note. Each row that cannot be read is told with its number, and then nothing of the
/// file is kept unless --partly says so. A session that is there already, the same in all it says, is not doubled.
#[derive(Debug, Args)]
#[command(after_help = IMPORT_EXAMPLES)]
pub struct Import {
    /// The spreadsheet; `-` reads standard input
    #[arg(value_name = "FILE")]
    pub file: Input,

    /// Keep the rows that can be read even if others cannot
    #[arg(long)]
    pub partly: bool,
}

/// Put a plan down for a day.
///
/// What is planned and not done yet is shown by `week`. A recording of that day is held against it by `diary add`.
#[derive(Debug, Args)]
#[command(after_help = PLAN_EXAMPLES)]
pub struct Plan {
    /// The plan; `-` reads standard input. Without it, the plans are listed
    #[arg(value_name = "PLAN")]
    pub file: Option<Input>,

    /// The day; without it, the plan's `date:`
    #[arg(long, value_name = "DATE", value_parser = day, requires = "file")]
    pub date: Option<Date>,

    /// Whose it is; without it, the plan's `athlete:`
    #[arg(long, value_name = "NAME", requires = "file")]
    pub athlete: Option<String>,

    /// Take the plan of this number out instead
    #[arg(long, value_name = "ID", value_parser = number::plan, conflicts_with = "file")]
    pub remove: Option<i64>,
}

/// Put a match day down, or list them.
#[derive(Debug, Args)]
#[command(after_help = MATCH_EXAMPLES)]
pub struct Match {
    /// The day; without it, the match days are listed
    #[arg(value_name = "DATE", value_parser = day)]
    pub date: Option<Date>,

    /// The other side
    #[arg(long, value_name = "TEXT", requires = "date")]
    pub against: Option<String>,

    /// Whose match; without it, everybody's in the diary
    #[arg(long, value_name = "NAME")]
    pub athlete: Option<String>,

    /// Take it out instead
    #[arg(long, requires = "date", conflicts_with = "against")]
    pub remove: bool,
}

/// List the entries.
#[derive(Debug, Args)]
#[command(after_help = LIST_EXAMPLES)]
pub struct List {
    /// Of this athlete only
    #[arg(long, value_name = "NAME")]
    pub athlete: Option<String>,

    #[command(flatten)]
    pub between: Between,

    /// The last so many only
    #[arg(long, value_name = "N", value_parser = number::whole(1..=LAST_MOST), allow_negative_numbers = true)]
    pub last: Option<usize>,

    /// Print them as JSON
    #[arg(long)]
    pub json: bool,
}

/// Show one entry in full.
#[derive(Debug, Args)]
#[command(after_help = SHOW_EXAMPLES)]
pub struct Show {
    /// Its number
    #[arg(value_name = "ID", value_parser = number::entry, allow_negative_numbers = true)]
    pub id: i64,

    /// Print it as JSON
    #[arg(long)]
    pub json: bool,

    #[command(flatten)]
    pub settings: SettingsFrom,
}

/// Change an entry.
///
/// An empty title or note takes it away.
#[derive(Debug, Args)]
#[command(after_help = EDIT_EXAMPLES)]
pub struct Edit {
    /// Its number
    #[arg(value_name = "ID", value_parser = number::entry, allow_negative_numbers = true)]
    pub id: i64,

    #[command(flatten)]
    pub about: About,

    /// What was done
    #[arg(long, value_enum, value_name = "WHAT")]
    pub activity: Option<Activity>,

    /// How long it lasted; only of a note
    #[arg(long, value_name = "MINUTES", value_parser = number::minutes, allow_negative_numbers = true)]
    pub minutes: Option<f64>,
}

/// Take an entry out.
///
/// It asks nothing; what was removed is said, with the command that brings it back. An entry that holds the recording itself
/// (`--keep-trace`) goes only with --yes, since that may be the only copy.
#[derive(Debug, Args)]
#[command(after_help = REMOVE_EXAMPLES)]
pub struct Remove {
    /// Its number
    #[arg(value_name = "ID", value_parser = number::entry, allow_negative_numbers = true)]
    pub id: i64,

    /// Even if it holds the recording itself
    #[arg(long)]
    pub yes: bool,
}

/// Review the recordings again, with the settings of now.
///
/// From the recording in the diary, or from its file where that is still the same. Which could not be reviewed again is said, and
/// those stay as they are.
#[derive(Debug, Args)]
#[command(after_help = REFRESH_EXAMPLES)]
pub struct Refresh {
    /// The numbers of entries; without any, all of them
    #[arg(value_name = "ID", value_parser = number::entry, allow_negative_numbers = true)]
    pub ids: Vec<i64>,

    #[command(flatten)]
    pub settings: SettingsFrom,
}

/// Write down what is known of an athlete's heart, or list it.
///
/// Load by heart rate stands beside RPE x minutes and is never mixed into it. It needs the athlete's highest rate as measured; none is
/// guessed from age. Edwards (1993) weighs the minutes in 50-60, 60-70, 70-80, 80-90 and 90-100 % of it by 1 to 5. Banister's weighs them
/// by the share of the reserve above rest (Morton, Fitz-Clarke, Banister 1990, J Appl Physiol 69:1171), so that it needs the rate at rest,
/// too. Changed numbers hold for all sessions, since the diary keeps time by classes of five beats.
#[derive(Debug, Args)]
#[command(after_help = ATHLETE_EXAMPLES)]
pub struct Athlete {
    /// Whose; without it, everybody is listed. `""` where nobody is named
    #[arg(value_name = "NAME", requires = "heart_max")]
    pub name: Option<String>,

    /// The highest heart rate, beats a minute
    #[arg(long, value_name = "BPM", value_parser = number::heart_rate, allow_negative_numbers = true, requires = "name")]
    pub heart_max: Option<f64>,

    /// The heart rate at rest, beats a minute
    #[arg(long, value_name = "BPM", value_parser = number::heart_rate, allow_negative_numbers = true, requires = "name")]
    pub heart_rest: Option<f64>,

    /// By what the load is told
    #[arg(long, value_enum, value_name = "BY", requires = "name", default_value_t = HeartLoad::Edwards)]
    pub load: HeartLoad,
}

words_for! {
    /// By what the load by heart rate is told.
    HeartLoad for diary::HeartLoad {
        /// Minutes in five zones times 1 to 5
        Edwards,
        /// Minutes by the heart rate reserve, with the weights for men
        BanisterMen,
        /// The same with the weights for women
        BanisterWomen,
    }
}

/// Write the season as a folder of pages for a browser.
///
/// The squad, each athlete, each week around its match and each session, linked to each other; open `index.html`. No server and no
/// network is needed, so that the folder can be carried or sent as it is. Behind a session stands its review with all pictures, where the
/// recording was kept (`diary add --keep-trace`) or is where it was; once there it stays. Written again, only what changed is written,
/// and what repledger did not write there stands.
#[derive(Debug, Args)]
#[command(after_help = PAGES_EXAMPLES)]
pub struct Pages {
    /// The folder
    #[arg(long, value_name = "DIR")]
    pub out: PathBuf,

    /// The pages of this athlete alone, with no trace of the others
    #[arg(long, value_name = "NAME")]
    pub athlete: Option<String>,

    /// Leave out what may say where it was: titles of recordings and matches, other sides, notes. Days stay
    #[arg(long)]
    pub hide_place: bool,

    /// Leave out the reviews with their pictures, which are most of the folder
    #[arg(long)]
    pub no_reviews: bool,

    /// Look at the diary as on this day instead of today
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub today: Option<Date>,

    /// Overwrite files in DIR even if repledger did not write them
    #[arg(long)]
    pub force: bool,

    #[command(flatten)]
    pub settings: SettingsFrom,
}

/// Write a copy of the diary.
///
/// It is whole even while others write. A file that is there is not overwritten.
#[derive(Debug, Args)]
#[command(after_help = BACKUP_EXAMPLES)]
pub struct Backup {
    /// Where to
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
}

/// Read everything and say whether it is whole.
#[derive(Debug, Args)]
#[command(after_help = CHECK_EXAMPLES)]
pub struct Check {}

words_for! {
    /// What was done.
    Activity for diary::Activity {
        /// Training alone
        Training,
        /// Training with the team
        Team,
        /// A match
        Match,
        /// The gym
        Gym,
        /// A day of rest
        Rest,
        /// Anything else
        Other,
    }
}
