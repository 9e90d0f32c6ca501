//! One row a session.

use crate::diary::Recorded;
use crate::review::Counts;

use crate::progress::heart_load;

use super::cell::{Cell, Moment};
use super::column::{Columns, FINE};
use super::item::{Item, OfItem};

pub(super) struct Row<'a>(pub &'a Item);

impl OfItem for Row<'_> {
    fn item(&self) -> &Item {
        self.0
    }
}

impl Row<'_> {
    fn recorded(&self) -> Option<&Recorded> {
        self.0.recording.as_ref().map(|r| &r.summary)
    }

    fn counts(&self) -> Option<Counts> {
        self.recorded()?.counts
    }

    /// `[kept, judged]`, where there was a plan.
    fn rests(&self) -> Option<[usize; 2]> {
        self.counts()?;
        self.recorded().map(|r| r.rests)
    }
}

const SPEED: (&str, Option<&str>) = ("_m_s", Some("m/s"));

pub(super) fn columns<'a>() -> Columns<'a, Row<'a>> {
    let columns = Columns::<Row<'a>>::new()
        .session()
        .text(
            "activity",
            "training, team, match, gym, rest or other",
            |r| Some(r.0.activity.word()),
        )
        .text("title", "from the plan, the recording or the note", |r| {
            r.0.title.as_deref()
        })
        .time("start", "when the recording began", |r| r.0.start())
        .text("zone", "the zone of start: UTC, or not recorded", |r| {
            r.0.start().map(Moment::zone)
        })
        .number(
            "duration_s",
            Some("s"),
            FINE,
            "from the first fix to the last, or as noted",
            |r: &Row<'_>| Some(r.0.duration_s),
        )
        .number(
            "rpe",
            None,
            1,
            "rating of perceived exertion, 0 to 10 (CR-10)",
            |r: &Row<'_>| r.0.rpe,
        )
        .number(
            "load",
            Some("min x rating"),
            1,
            "session load: minutes times the rating (Foster et al. 2001)",
            |r: &Row<'_>| r.0.rpe.map(|rpe| rpe * r.0.duration_s / 60.0),
        )
        .text("note", "what was written beside it", |r| {
            r.0.note.as_deref()
        });
    plan(recording(columns))
}

fn recording<'a>(columns: Columns<'a, Row<'a>>) -> Columns<'a, Row<'a>> {
    columns
        .number(
            "rate_hz",
            Some("Hz"),
            2,
            "usual number of fixes a second",
            |r: &Row<'_>| r.recorded().map(|r| r.rate_hz),
        )
        .measured("distance", ("_m", Some("m")), FINE, "distance moved", |r| {
            r.recorded().map(|r| r.distance_m)
        })
        .measured("top_speed", SPEED, FINE, "highest speed", |r| {
            r.recorded()?.top_speed_m_s
        })
        .number(
            "high_speed_from_m_s",
            Some("m/s"),
            FINE,
            "from which speed on running counted as high-speed running",
            |r: &Row<'_>| r.recorded().map(|r| r.thresholds_m_s[0]),
        )
        .number(
            "high_speed_distance_m",
            Some("m"),
            FINE,
            "distance at or above that speed, sprints included",
            |r: &Row<'_>| r.recorded().map(|r| r.fast_m[0]),
        )
        .number(
            "sprint_from_m_s",
            Some("m/s"),
            FINE,
            "from which speed on running counted as a sprint",
            |r: &Row<'_>| r.recorded().map(|r| r.thresholds_m_s[1]),
        )
        .number(
            "sprint_distance_m",
            Some("m"),
            FINE,
            "distance at or above that speed",
            |r: &Row<'_>| r.recorded().map(|r| r.fast_m[1]),
        )
        .count("sprints", "how many sprints", |r| {
            r.recorded().map(|r| r.sprints)
        })
        .count(
            "fast_runs",
            "how many runs at high speed, sprints included",
            |r| r.recorded().map(|r| r.peaks_m_s.len()),
        )
        .measured(
            "curve_top_speed",
            SPEED,
            FINE,
            "top speed of the curve of the best sprint",
            |r| r.recorded()?.curve_top_m_s,
        )
        .number(
            "heart_mean_bpm",
            Some("beats/min"),
            1,
            "mean heart rate",
            |r: &Row<'_>| Some(r.recorded()?.heart.as_ref()?.mean_bpm),
        )
        .number(
            "heart_highest_bpm",
            Some("beats/min"),
            1,
            "heart rate that was reached or passed for five seconds together",
            |r: &Row<'_>| Some(r.recorded()?.heart.as_ref()?.highest_bpm),
        )
        .number(
            "heart_load",
            None,
            1,
            "load by heart rate, Edwards' or Banister's as the diary says of the athlete",
            |r: &Row<'_>| heart_load(r.recorded()?.heart.as_ref()?),
        )
}

fn plan<'a>(columns: Columns<'a, Row<'a>>) -> Columns<'a, Row<'a>> {
    columns
        .count("reps_planned", "reps of the plan", |r| {
            r.counts().map(|c| c.planned)
        })
        .count("reps_done", "reps done as planned", |r| {
            r.counts().map(|c| c.done)
        })
        .count("reps_short", "reps that were cut off", |r| {
            r.counts().map(|c| c.short)
        })
        .count(
            "reps_slow",
            "reps run in full below the speed asked for",
            |r| r.counts().map(|c| c.slow),
        )
        .count("reps_missed", "reps that are not in the recording", |r| {
            r.counts().map(|c| c.missed)
        })
        .count(
            "reps_unresolved",
            "reps that the recording cannot tell",
            |r| r.counts().map(|c| c.unresolved),
        )
        .count(
            "rests_judged",
            "rests that could be held against the plan",
            |r| r.rests().map(|[_, judged]| judged),
        )
        .count("rests_kept", "rests within tolerance of the plan", |r| {
            r.rests().map(|[kept, _]| kept)
        })
        .any(
            "version",
            super::Type::Text,
            "the version of repledger that reviewed the recording",
            |r: &Row<'_>| Cell::text(r.0.recording.as_ref().map(|r| r.version.as_str())),
        )
}
