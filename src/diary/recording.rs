//! What the diary keeps of a recording beyond the sums: efforts and blocks, and what made them, with the columns of the latter.

use rusqlite::{Row, Statement};

use crate::diary::columns::{Field, Kept, field};
use crate::diary::{Block, Effort, Error, Recorded, thousandths, witness, written};
use crate::motion::Witness;
use crate::review::{EarlierTop, Fits};

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
        let bare = Recording::bare(summary);
        self.recording = Some(Recording {
            source: Source {
                sha256,
                ..Source::default()
            },
            version: env!("CARGO_PKG_VERSION").to_owned(),
            ..bare
        });
        self
    }
}

impl Recording {
    /// The sums alone.
    pub(super) fn bare(summary: Recorded) -> Self {
        Self {
            summary,
            source: Source::default(),
            efforts: Vec::new(),
            blocks: Vec::new(),
            plan: None,
            settings: String::new(),
            reading: Reading::default(),
            version: String::new(),
            device: None,
            witness: None,
            fits: None,
            earlier_top: None,
        }
    }
}

/// What made the sums, in the table of recordings, in which these stand.
pub(super) const MADE_BY: &[Field<Recording>] = &[
    field!(source.sha256 in "sha256"),
    field!(source.path in "path"),
    field!(source.start in "start"),
    field!(plan in "plan"),
    field!(settings in "settings"),
    field!(reading in "reading"),
    field!(version in "version"),
    Field {
        columns: &["device"],
        bind: |recording, statement, at| {
            Ok(statement.raw_bind_parameter(at, written(recording.device.as_deref()))?)
        },
        read: |recording, row, at, _| {
            recording.device = row.get(at)?;
            Ok(())
        },
    },
    Field {
        columns: &["witness"],
        bind: |recording, statement, at| {
            let text = recording.witness.as_ref().map(witness::text).transpose()?;
            Ok(statement.raw_bind_parameter(at, text)?)
        },
        read: |recording, row, at, id| {
            let rate_hz = recording.summary.rate_hz;
            let text: Option<String> = row.get(at)?;
            let read = text.map(|text| witness::read(id, rate_hz, &text));
            recording.witness = read.transpose()?;
            Ok(())
        },
    },
    field!(fits in "fits"),
    field!(earlier_top in "earlier_top_mm_s", "earlier_top_low_mm_s", "earlier_top_high_mm_s", "earlier_top_date"),
];

/// Both in one column.
impl Kept for Reading {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        let text = thousandths::json(&(&self.columns, self.day_first))?;
        Ok(statement.raw_bind_parameter(at, text)?)
    }

    fn read(row: &Row<'_>, at: usize, id: i64) -> Result<Self, Error> {
        let field = "reading";
        let (columns, day_first) = serde_json::from_str(&row.get::<_, String>(at)?)
            .map_err(|_| Error::Unreadable { id, field })?;
        Ok(Self { columns, day_first })
    }
}

/// The speed, and its day where that is known.
impl Kept for Option<EarlierTop> {
    fn bind(&self, statement: &mut Statement<'_>, at: usize) -> Result<(), Error> {
        self.map(|earlier| earlier.speed_m_s).bind(statement, at)?;
        let date = self.and_then(|earlier| earlier.date);
        Ok(statement.raw_bind_parameter(at + 3, date.map(|date| date.to_string()))?)
    }

    fn read(row: &Row<'_>, at: usize, _: i64) -> Result<Self, Error> {
        let date: Option<String> = row.get(at + 3)?;
        Ok(thousandths::read(row, at)?.map(|speed_m_s| EarlierTop {
            speed_m_s,
            date: date.and_then(|date| date.parse().ok()),
        }))
    }
}
