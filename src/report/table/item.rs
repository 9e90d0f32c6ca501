//! A session on its way into rows, wherever it is known from.

use jiff::civil::Date;
use jiff::tz::Offset;

use crate::diary::{Activity, Circumstances, Entry, NewEntry, Recording, Source, local_date};
use crate::session::Session;

use super::super::reason;
use super::cell::{Cell, Moment};
use super::column::{Columns, Type};

/// What is known of one session.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// The name of its file, as it was called by.
    pub source: Option<String>,
    /// Its number in the diary.
    pub entry: Option<i64>,
    /// Whose it is.
    pub athlete: Option<String>,
    /// The day: in the diary by the athlete's clock, else by that of the recording.
    pub date: Option<Date>,
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
    pub recording: Option<Recording>,
}

impl Item {
    /// A session that was reviewed just now, from the file called `source`.
    #[must_use]
    pub fn of_session(source: &str, session: &Session) -> Self {
        let planned = session.plan.as_ref().and_then(|plan| plan.header.date);
        let date = local_date(session.track.start, Offset::UTC).or(planned);
        let kept = NewEntry::of(
            session,
            Circumstances {
                athlete: session.athlete.clone().unwrap_or_default(),
                // Kept apart below, since here there may be none.
                date: date.unwrap_or_default(),
                rpe: None,
                note: None,
                activity: Activity::Training,
                source: Source::default(),
                plan: None,
                settings: String::new(),
                planned: None,
            },
            reason::text,
        );
        Self {
            source: Some(source.to_owned()),
            entry: None,
            athlete: named(kept.athlete),
            date,
            activity: kept.activity,
            title: kept.title,
            duration_s: kept.duration_s,
            rpe: None,
            note: None,
            recording: kept.recording,
        }
    }

    /// An entry of the diary, with all that is kept of its recording.
    #[must_use]
    pub fn of_entry(entry: Entry, recording: Option<Recording>) -> Self {
        Self {
            source: recording.as_ref().and_then(|r| r.source.path.clone()),
            entry: Some(entry.id),
            athlete: named(entry.athlete),
            date: Some(entry.date),
            activity: entry.activity,
            title: entry.title,
            duration_s: entry.duration_s,
            rpe: entry.rpe,
            note: entry.note,
            recording,
        }
    }

    /// When its recording began.
    pub(super) fn start(&self) -> Option<Moment> {
        Moment::read(self.recording.as_ref()?.source.start.as_deref()?)
    }

    /// The moment so many seconds after its start.
    pub(super) fn moment(&self, after_s: Option<f64>) -> Option<Moment> {
        self.start()?.after(after_s?)
    }
}

/// A thing that belongs to a session.
pub(crate) trait OfItem {
    /// The session.
    fn item(&self) -> &Item;
}

impl<'c, R: OfItem + 'c> Columns<'c, R> {
    /// The columns that say whose and which session a thing belongs to; every table but that of weeks begins with them.
    pub(super) fn session(self) -> Self {
        self.text(
            "source",
            "the file of the recording, as it was named",
            |r| r.item().source.as_deref(),
        )
        .any(
            "entry",
            Type::Int,
            "the number of the session in the diary",
            |r: &R| r.item().entry.map_or(Cell::Missing, Cell::Int),
        )
        .text("athlete", "whose session it is", |r| {
            r.item().athlete.as_deref()
        })
        .any(
            "date",
            Type::Day,
            "the day: as the diary has it, else by the clock of the recording",
            |r: &R| r.item().date.map_or(Cell::Missing, Cell::Day),
        )
    }
}

/// Nobody's name is no name.
fn named(athlete: String) -> Option<String> {
    (!athlete.is_empty()).then_some(athlete)
}
