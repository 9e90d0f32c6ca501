//! What the diary keeps of a day.

use jiff::civil::Date;

use crate::diary::Heart;
use crate::efforts::Band;
use crate::measured::Measured;
use crate::profile::Split;
use crate::review::Counts;

/// What was done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Activity {
    /// Training alone, by a plan or free.
    Training,
    /// Training with the team.
    Team,
    /// A match.
    Match,
    /// The gym.
    Gym,
    /// A day of rest, written down.
    Rest,
    /// Anything else.
    Other,
}

impl Activity {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Training,
        Self::Team,
        Self::Match,
        Self::Gym,
        Self::Rest,
        Self::Other,
    ];

    /// Its word, as it is typed, shown and kept.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Training => "training",
            Self::Team => "team",
            Self::Match => "match",
            Self::Gym => "gym",
            Self::Rest => "rest",
            Self::Other => "other",
        }
    }

    /// The activity of a word.
    #[must_use]
    pub(crate) fn of_word(word: &str) -> Option<Self> {
        Self::ALL
            .into_iter()
            .find(|activity| activity.word() == word)
    }
}

/// One session, or one note, in the diary.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its number in the diary.
    pub id: i64,
    /// Whose it is; empty where nobody is named.
    pub athlete: String,
    /// The day, by the athlete's clock where it is known.
    pub date: Date,
    /// What was done.
    pub activity: Activity,
    /// From the plan, the recording or the note.
    pub title: Option<String>,
    /// How long it lasted, s.
    pub duration_s: f64,
    /// Rating of perceived exertion, 0 to 10 (CR-10).
    pub rpe: Option<f64>,
    /// What was written beside it.
    pub note: Option<String>,
    /// What was recorded, if anything was.
    pub recorded: Option<Recorded>,
}

/// What is kept of a reviewed recording for weeks and bests.
#[derive(Clone, Debug, PartialEq)]
pub struct Recorded {
    /// Distance moved, m.
    pub distance_m: Measured,
    /// Highest speed, m/s.
    pub top_speed_m_s: Option<Measured>,
    /// Time and distance by speed.
    pub bands: Vec<Band>,
    /// From which speed on running counted as high-speed running, and as a sprint, m/s.
    pub thresholds_m_s: [f64; 2],
    /// Distance at or above these two, m.
    pub fast_m: [f64; 2],
    /// Highest speed of each sprint and high-speed run, m/s, in time order; a sprint inside a high-speed run is one run.
    pub peaks_m_s: Vec<Measured>,
    /// How many sprints there were.
    pub sprints: usize,
    /// Reps of the plan by verdict, if there was a plan.
    pub counts: Option<Counts>,
    /// Rests that were kept, and rests that were judged.
    pub rests: [usize; 2],
    /// The top speed of the best sprint's curve, m/s.
    pub curve_top_m_s: Option<Measured>,
    /// Times of the best sprint.
    pub splits: Vec<Split>,
    /// Fixes a second.
    pub rate_hz: f64,
    /// Whether its plan asked for sprints.
    pub speed_planned: bool,
    /// The heart rate, where it was recorded.
    pub heart: Option<Heart>,
}

/// A day with a match.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MatchDay {
    /// The day.
    pub date: Date,
    /// Whose match; `None` for everybody in the diary.
    pub athlete: Option<String>,
    /// The other side, or whatever was written.
    pub label: Option<String>,
}

/// A plan that was put into the diary for a day.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// Its number in the diary.
    pub id: i64,
    /// Whose it is; empty where nobody is named.
    pub athlete: String,
    /// The day it is meant for.
    pub date: Date,
    /// Its title.
    pub title: Option<String>,
    /// Its text.
    pub text: String,
    /// The entry that did it; `None` while it is still to be done.
    pub done_by: Option<i64>,
}
