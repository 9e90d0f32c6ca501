//! What the reader must know to trust the numbers.

use crate::motion::SpeedFrom;
use crate::review::Evidence;
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
