//! What the reader must know to trust the numbers.

use jiff::civil::Date;
use jiff::tz::Offset;

use crate::motion::SpeedFrom;
use crate::plan::Plan;
use crate::review::{Evidence, Fits, PlanReview};
use crate::trace::Clock;

/// Notes on the recording, the most important first.
pub(super) fn write(evidence: &Evidence<'_>) -> Vec<String> {
    let (track, motion) = (evidence.track, evidence.motion);
    let mut notes = Vec::new();
    if !motion.has_position {
        notes.push(
            "The recording holds no positions: place, turns and shuttles cannot be judged."
                .to_owned(),
        );
    }
    if motion.speed_from == SpeedFrom::Position && motion.rate_hz < 4.0 {
        notes.push(
            "Speed comes from positions about a second apart: peaks of short sprints are wide of certain.".to_owned(),
        );
    }
    if track.rate.irregular {
        notes.push(format!(
            "The receiver wrote at irregular intervals, {:.1} s apart in the mean: short work may be hidden.",
            1.0 / track.rate.hz
        ));
    }
    if !track.gaps.is_empty() {
        let lost_s: f64 = track.gaps.iter().map(|g| g.end_s - g.start_s).sum();
        notes.push(format!(
            "{} gap{} in the recording, {lost_s:.0} s in all; nothing is counted there.",
            track.gaps.len(),
            if track.gaps.len() == 1 { "" } else { "s" },
        ));
    }
    if matches!(track.start, Clock::ZoneUnknown(_)) {
        notes
            .push("The times of the recording name no zone; they are shown as written.".to_owned());
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
) -> Option<String> {
    let recorded = date(evidence.track.start);
    match (plan.header.date, recorded) {
        // The local day of a time in UTC may be the one before or after.
        (Some(planned), Some(recorded)) if days_apart(planned, recorded) > 1 => Some(format!(
            "The plan is dated {planned}, the recording {recorded}: do they belong together?"
        )),
        _ if reviewed.fits == Fits::Yes
            && reviewed.counts.planned > 2
            && reviewed.counts.done == 0 =>
        {
            Some(
                "Nothing of the plan was done as planned: does it belong to this recording?"
                    .to_owned(),
            )
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
