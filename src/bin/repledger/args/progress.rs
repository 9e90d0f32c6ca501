//! What was typed after `week`, `weeks` and `best`.

use std::path::PathBuf;
use std::str::FromStr;

use clap::Args;
use jiff::civil::Date;
use repledger::progress::{self, IsoWeek};

use super::diary::Between;
use super::{DiaryFrom, Drawn, SettingsFrom, day, number};

const WEEK_EXAMPLES: &str = "\
Examples:
  repledger week
  repledger week 2026-05-16 --athlete Mika
  repledger week 2026-W20 --monotony
  repledger week --all --sort load";

const WEEKS_EXAMPLES: &str = "\
Examples:
  repledger weeks
  repledger weeks --last 26 --out trend
  repledger weeks --all --last 4 --sort top-speed
  repledger weeks --all --of high-speed --last 8 --out squad
  repledger weeks --all --json > squad.json";

const BEST_EXAMPLES: &str = "\
Examples:
  repledger best
  repledger best --athlete Mika --out best
  repledger best --all --json";

const DRILL_EXAMPLES: &str = "\
Examples:
  repledger drill --list
  repledger drill \"edge of the area to halfway\" --athlete Mika
  repledger drill \"edge of the area to halfway\" --all --out drill
  repledger drill \"channel runs\" --athlete Mika --json";

/// One drill over time, or over the squad.
///
/// Each time it was done, with peaks and times and their 95 % intervals, the best, and what is a clear gain; or, with --all, the best of
/// everybody who did it, where nobody stands above another but where it is clear. Blocks of plans are one drill when category, ball,
/// name and the work of a rep agree. A drill without a name is called by its category and work, as `speed 40 m`.
#[derive(Debug, Args)]
#[command(after_help = DRILL_EXAMPLES)]
pub struct Drill {
    /// Which, in small or capital letters; without it the drills are listed
    #[arg(value_name = "NAME", conflicts_with = "list")]
    pub name: Option<String>,

    /// List the drills, how often and by whom each was done, as without a name
    #[arg(long)]
    pub list: bool,

    #[command(flatten)]
    pub whose: Whose,

    #[command(flatten)]
    pub between: Between,

    /// Print JSON instead, one document and nothing else on standard output
    #[arg(long)]
    pub json: bool,

    /// Write the account, the JSON and the picture into this folder
    #[arg(long, value_name = "DIR", requires = "name")]
    pub out: Option<PathBuf>,

    #[command(flatten)]
    pub drawn: Drawn,

    #[command(flatten)]
    pub from: From,
}

/// The week around the match on one screen.
///
/// Each day with its place around the nearest match (MD-4 to MD, MD+1), its sessions with minutes, metres, near-maximal
/// runs and load (RPE x minutes), what is planned and not done yet, and remarks from common practice with their reasons.
/// With several athletes in the diary, name one or ask for all.
#[derive(Debug, Args)]
#[command(after_help = WEEK_EXAMPLES)]
pub struct Week {
    /// A day of the week, as 2026-05-16, or the week, as 2026-W20; without it, this week
    #[arg(value_name = "DATE")]
    pub date: Option<WeekOf>,

    #[command(flatten)]
    pub whose: Whose,

    /// What the squad is put in order by, with --all
    #[arg(long, value_enum, value_name = "BY", requires = "all", conflicts_with = "athlete", default_value_t = Sort::Name)]
    pub sort: Sort,

    /// Also tell how alike the days were: monotony and strain
    #[arg(long, conflicts_with = "all")]
    pub monotony: bool,

    /// Print JSON instead, one document and nothing else on standard output
    #[arg(long)]
    pub json: bool,

    #[command(flatten)]
    pub from: From,
}

/// Week by week, with what changed clearly.
///
/// A row a week: sessions, minutes, metres, load, top speed with its interval, reps done of planned, rests kept of judged.
/// A change from one week to the next is called clear only beyond both 95 % intervals and beyond the athlete's own scatter
/// from week to week. With several athletes in the diary, name one or ask for all: then a grid has a row an athlete and a
/// column a week, of one quantity, and below it stands what the weeks come to.
#[derive(Debug, Args)]
#[command(after_help = WEEKS_EXAMPLES)]
pub struct Weeks {
    #[command(flatten)]
    pub whose: Whose,

    /// What the grid shows, with --all
    #[arg(
        long,
        value_enum,
        value_name = "WHAT",
        requires = "all",
        conflicts_with = "athlete"
    )]
    pub of: Option<Of>,

    /// How many weeks up to this one, 1 to 520
    #[arg(long, value_name = "N", conflicts_with = "since", default_value_t = 12, value_parser = number::whole::<u16>(1..=520), allow_negative_numbers = true)]
    pub last: u16,

    /// From the week of this day on, instead of --last
    #[arg(long, alias = "from", value_name = "DATE", value_parser = day)]
    pub since: Option<Date>,

    /// Up to the week of this day, as it was known then
    #[arg(long, alias = "to", value_name = "DATE", value_parser = day, conflicts_with = "today")]
    pub until: Option<Date>,

    /// What the squad is put in order by, with --all
    #[arg(long, value_enum, value_name = "BY", requires = "all", conflicts_with = "athlete", default_value_t = Sort::Name)]
    pub sort: Sort,

    /// Print JSON instead, one document and nothing else on standard output
    #[arg(long)]
    pub json: bool,

    /// Write the account, the JSON and the picture of one athlete, or of the squad, into this folder
    #[arg(long, value_name = "DIR")]
    pub out: Option<PathBuf>,

    #[command(flatten)]
    pub drawn: Drawn,

    #[command(flatten)]
    pub from: From,
}

/// The bests so far, and what is a real gain.
///
/// Best top speed, best times by distance, and the top speed of each recording held against the mark: a gain is real only
/// where the two 95 % intervals cannot explain it.
#[derive(Debug, Args)]
#[command(after_help = BEST_EXAMPLES)]
pub struct Best {
    #[command(flatten)]
    pub whose: Whose,

    #[command(flatten)]
    pub between: Between,

    /// Print JSON instead, one document and nothing else on standard output
    #[arg(long)]
    pub json: bool,

    /// Write the account, the JSON and the picture of one athlete into this folder
    #[arg(long, value_name = "DIR", conflicts_with = "all")]
    pub out: Option<PathBuf>,

    #[command(flatten)]
    pub drawn: Drawn,

    #[command(flatten)]
    pub from: From,
}

/// Whose weeks.
#[derive(Debug, Args)]
pub struct Whose {
    /// Whose; needed where the diary holds several athletes
    #[arg(long, value_name = "NAME")]
    pub athlete: Option<String>,

    /// Everybody in the diary
    #[arg(long, conflicts_with = "athlete")]
    pub all: bool,
}

/// Which diary, and from which day it is looked at.
#[derive(Debug, Args)]
pub struct From {
    #[command(flatten)]
    pub diary: DiaryFrom,

    /// Look at the diary as on this day instead of today
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub today: Option<Date>,

    #[command(flatten)]
    pub settings: SettingsFrom,
}

/// A week, by one of its days or by its number.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WeekOf(pub IsoWeek);

impl FromStr for WeekOf {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        IsoWeek::parse(text)
            .or_else(|| text.parse().ok().map(IsoWeek::of))
            .map(Self)
            .ok_or_else(|| "neither a day, as 2026-05-16, nor a week, as 2026-W20".to_owned())
    }
}

words_for! {
    /// What a squad is put in order by.
    Sort for progress::Sort {
        /// Alphabetical
        Name,
        /// Most sessions first
        Sessions,
        /// Most minutes first
        Minutes,
        /// Longest distance first
        Distance,
        /// Most high-speed metres first
        HighSpeed,
        /// Most sprint metres first
        Sprint,
        /// Most near-maximal runs first
        NearMaximal,
        /// Highest load first
        Load,
        /// Highest load by heart rate first
        HeartLoad,
        /// Highest top speed first
        TopSpeed,
    }
}

words_for! {
    /// What a squad's weeks are shown by.
    Of for progress::Quantity {
        /// Minutes of all sessions
        Minutes,
        /// Recorded distance
        Distance,
        /// Recorded distance at high speed
        HighSpeed,
        /// Recorded distance at sprint speed
        Sprint,
        /// Runs at 90 % of the own top speed or more
        NearMaximal,
        /// RPE x minutes
        Load,
        /// Load by heart rate
        HeartLoad,
        /// Top speed
        TopSpeed,
        /// Reps done of planned
        RepsDone,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_week_is_named_by_a_day_or_its_number() {
        let week = Ok(WeekOf(IsoWeek {
            year: 2026,
            week: 20,
        }));
        assert_eq!("2026-05-16".parse(), week);
        assert_eq!("2026-W20".parse(), week);
        for wrong in ["2026-W60", "16 May", "2026-05-32", ""] {
            assert!(wrong.parse::<WeekOf>().is_err(), "{wrong}");
        }
    }
}
