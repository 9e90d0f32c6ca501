//! What the diary keeps of a recording beyond the sums: efforts, reps and rests, and what made them.

use crate::diary::{BlockHeart, Recorded, Rep, Rest};
use crate::efforts::Kind;
use crate::measured::Measured;
use crate::motion::Witness;
use crate::plan::Category;
use crate::review::{BlockVerdict, EarlierTop, Fits};

/// A session or a note on its way into the diary.
#[derive(Clone, Debug, PartialEq)]
pub struct NewEntry {
    /// Whose it is; empty where nobody is named.
    pub athlete: String,
    /// The day, by the athlete's clock where it is known.
    pub date: jiff::civil::Date,
    /// What was done.
    pub activity: crate::diary::Activity,
    /// From the plan, the recording or the note.
    pub title: Option<String>,
    /// How long it lasted, s.
    pub duration_s: f64,
    /// Rating of perceived exertion, 0 to 10 (CR-10).
    pub rpe: Option<f64>,
    /// What was written beside it.
    pub note: Option<String>,
    /// What was recorded, if anything was.
    pub recording: Option<Recording>,
    /// The plan of the diary that it did.
    pub planned: Option<i64>,
    /// The day of the match that its plan leads up to, put down for the athlete if there is none on that day yet.
    pub match_day: Option<jiff::civil::Date>,
}

/// A reviewed recording.
#[derive(Clone, Debug, PartialEq)]
pub struct Recording {
    /// The sums.
    pub summary: Recorded,
    /// Where it came from.
    pub source: Source,
    /// Efforts in time order.
    pub efforts: Vec<Effort>,
    /// The blocks of the plan, in its order.
    pub blocks: Vec<Block>,
    /// The plan's text.
    pub plan: Option<String>,
    /// The settings that differ from the defaults, a line each.
    pub settings: String,
    /// How the file was read: what is not found in the file itself.
    pub reading: Reading,
    /// The version of repledger that reviewed it.
    pub version: String,
    /// What recorded it, where that has a name.
    pub device: Option<String>,
    /// What the recording shows of that.
    pub witness: Option<Witness>,
    /// Whether the plan explains the recording; `None` without a plan, and of entries that did not keep it.
    pub fits: Option<Fits>,
    /// The athlete's best of an earlier day, as it was known to the review.
    pub earlier_top: Option<EarlierTop>,
}

/// The file a recording was read from.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Source {
    /// SHA-256 (FIPS 180-4) of its bytes, unpacked; of several files, that of their hashes in order of time.
    pub sha256: [u8; 32],
    /// Where it was; of one that was joined of several files, a line each.
    pub path: Option<String>,
    /// The first fix, if its time is known: RFC 3339, without a zone where the file has none.
    pub start: Option<String>,
    /// The file itself, gzip, where it is kept; of several files a member each.
    pub trace: Option<Vec<u8>>,
}

impl Source {
    /// The hash as text: two digits of base 16 a byte.
    #[must_use]
    pub(crate) fn sha256_text(&self) -> String {
        let digit = |n: u8| char::from_digit(u32::from(n), 16).unwrap_or('?');
        let bytes = self.sha256.iter();
        bytes.flat_map(|b| [digit(b >> 4), digit(b & 15)]).collect()
    }
}

/// What the command line said about the reading.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Reading {
    /// What the columns hold.
    pub columns: Option<String>,
    /// Whether the day comes first in dates.
    pub day_first: Option<bool>,
}

/// One effort.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effort {
    /// What it is.
    pub kind: Kind,
    /// From the session's start, s.
    pub start_s: f64,
    /// s.
    pub duration_s: f64,
    /// m.
    pub distance_m: f64,
    /// m/s.
    pub peak_speed_m_s: Measured,
    /// m/s2.
    pub peak_acceleration_m_s2: Option<Measured>,
    /// Degrees, left positive.
    pub turn_deg: Option<f64>,
    /// That it counts, given the errors of the motion; `None` of turns, and of entries that did not keep it.
    pub probability: Option<f64>,
}

/// One block of the plan, reviewed.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// From 1.
    pub index: usize,
    /// Of the plan.
    pub category: Category,
    /// Of the plan.
    pub name: Option<String>,
    /// With the ball at the foot.
    pub with_ball: bool,
    /// Whether it was done.
    pub verdict: BlockVerdict,
    /// From the session's start, s.
    pub start_s: Option<f64>,
    /// s.
    pub end_s: Option<f64>,
    /// In order of set and rep.
    pub reps: Vec<Rep>,
    /// In order of set and rep.
    pub rests: Vec<Rest>,
    /// The heart rate over it, where it was recorded.
    pub heart: Option<BlockHeart>,
}

impl NewEntry {
    /// A note of what has no recording.
    #[must_use]
    pub fn note(
        athlete: &str,
        date: jiff::civil::Date,
        activity: crate::diary::Activity,
        duration_s: f64,
    ) -> Self {
        Self {
            athlete: athlete.to_owned(),
            date,
            activity,
            title: None,
            duration_s,
            rpe: None,
            note: None,
            recording: None,
            planned: None,
            match_day: None,
        }
    }

    /// The same with what was recorded, known by the hash of its source; without efforts and reps.
    #[must_use]
    pub fn with_summary(mut self, summary: Recorded, sha256: [u8; 32]) -> Self {
        self.recording = Some(Recording {
            summary,
            source: Source {
                sha256,
                ..Source::default()
            },
            efforts: Vec::new(),
            blocks: Vec::new(),
            plan: None,
            settings: String::new(),
            reading: Reading::default(),
            version: env!("CARGO_PKG_VERSION").to_owned(),
            device: None,
            witness: None,
            fits: None,
            earlier_top: None,
        });
        self
    }
}
