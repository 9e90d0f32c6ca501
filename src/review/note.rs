//! What the reader must know to trust the numbers.

use jiff::civil::Date;
use jiff::tz::Offset;

use crate::motion::SpeedFrom;
use crate::note::Note;
use crate::plan::Plan;
use crate::review::{Evidence, Fits, PlanReview};
use crate::trace::Clock;

/// Notes on the recording, the most important first.
pub(super) fn write(evidence: &Evidence<'_>) -> Vec<Note> {
    let (track, motion) = (evidence.track, evidence.motion);
    let mut notes = Vec::new();
    if !motion.has_position {
        notes.push(Note::NoPositions);
    }
    if motion.speed_from == SpeedFrom::Position && motion.rate_hz < 4.0 {
        notes.push(Note::SpeedFromPositions);
    }
    if track.rate.irregular {
        notes.push(Note::Irregular {
            apart_s: 1.0 / track.rate.hz,
        });
    }
    if !track.gaps.is_empty() {
        notes.push(Note::Gaps {
            count: track.gaps.len(),
            lost_s: track.gaps.iter().map(|g| g.end_s - g.start_s).sum(),
        });
    }
    if matches!(track.start, Clock::ZoneUnknown(_)) {
        notes.push(Note::NoZone);
    }
    notes.extend(evidence.efforts.not_counted.iter().cloned());
    notes.extend(track.notes.iter().cloned());
    notes
}

/// Why plan and recording may not belong together.
pub(super) fn on_the_plan(
    evidence: &Evidence<'_>,
    plan: &Plan,
    reviewed: &PlanReview,
) -> Option<Note> {
    let recorded = date(evidence.track.start);
    match (plan.header.date, recorded) {
        // The local day of a time in UTC may be the one before or after.
        (Some(planned), Some(recorded)) if days_apart(planned, recorded) > 1 => {
            Some(Note::OtherDay { planned, recorded })
        }
        _ if reviewed.fits == Fits::Yes
            && reviewed.counts.planned > 2
            && reviewed.counts.done == 0 =>
        {
            Some(Note::NothingDone)
        }
        _ => None,
    }
}

fn date(clock: Clock) -> Option<Date> {
    match clock {
        Clock::Utc(start) => Some(Offset::UTC.to_datetime(start).date()),
        Clock::ZoneUnknown(start) => Some(start.date()),
        Clock::Elapsed => None,
    }
}

fn days_apart(a: Date, b: Date) -> i32 {
    a.until(b).map_or(0, |span| span.get_days().abs())
}
