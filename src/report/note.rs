//! Notes in words: a sentence for people and a code for programs.

use super::words::word_for;
use crate::note::Note;

word_for! {
    /// The code of a kind of note, which stays when its sentence is reworded.
    pub code(&Note) in CODES {
        Note::InFile { .. } => "in_file",
        Note::NoPositions => "no_positions",
        Note::SpeedFromPositions => "speed_from_positions",
        Note::Irregular { .. } => "irregular",
        Note::Gaps { .. } => "gaps",
        Note::NoZone => "no_zone",
        Note::OutOfOrder { .. } => "out_of_order",
        Note::WholeSeconds => "whole_seconds",
        Note::WildSpeeds { .. } => "wild_speeds",
        Note::WildPositions { .. } => "wild_positions",
        Note::SpeedDisagrees { .. } => "speed_disagrees",
        Note::Pauses { .. } => "pauses",
        Note::FewFixes { .. } => "few_fixes",
        Note::NoTurns => "no_turns",
        Note::NoCurves => "no_curves",
        Note::NotThisPlan => "not_this_plan",
        Note::MuchNotInRecording => "much_not_in_recording",
        Note::OtherOrder { .. } => "other_order",
        Note::Unresolved { .. } => "unresolved",
        Note::OtherDay { .. } => "other_day",
        Note::NothingDone => "nothing_done",
        Note::PitchElsewhere => "pitch_elsewhere",
        Note::PitchWithoutPlace => "pitch_without_place",
        Note::PitchOpen { .. } => "pitch_open",
        Note::PitchTooSmall { .. } => "pitch_too_small",
    }
}

/// The sentence.
#[must_use]
pub fn text(note: &Note) -> String {
    match note {
        Note::InFile {
            line: Some(line),
            message,
        } => format!("Line {line}: {message}."),
        Note::InFile {
            line: None,
            message,
        } => format!("{message}."),
        Note::NoPositions => {
            "The recording holds no positions: place, turns and shuttles cannot be judged.".to_owned()
        }
        Note::SpeedFromPositions => {
            "Speed is worked out from positions, of which there are few: the peaks of short sprints are uncertain.".to_owned()
        }
        Note::Irregular { apart_s } => format!(
            "The receiver wrote at irregular intervals, {apart_s:.1} s apart in the mean: short work may be hidden."
        ),
        Note::Gaps { count, lost_s } => format!(
            "{count} gap{} in the recording, {lost_s:.0} s in all; nothing is counted there.",
            if *count == 1 { "" } else { "s" },
        ),
        Note::NoZone => {
            "The times of the recording name no zone; they are shown as written.".to_owned()
        }
        Note::OutOfOrder { fixes } => {
            format!("{fixes} fixes stood out of order in the file; they were put in order of time.")
        }
        Note::WholeSeconds => {
            "The clock of the recording has whole seconds only; fixes within a second were spread evenly over it.".to_owned()
        }
        Note::WildSpeeds { count } => {
            format!("{count} speeds of the receiver were not believable and were not used.")
        }
        Note::WildPositions { count } => format!(
            "{count} positions were not believable and were not used; the speed beside them was."
        ),
        Note::SpeedDisagrees { factor } => format!(
            "The receiver's speed is {factor:.2} times what its own positions say, so it was not used: check its unit."
        ),
        Note::Pauses { count, total_s } => format!(
            "The device pauses while you stand: {count} times, {:.0} min in all, taken as standing.",
            total_s / 60.0
        ),
        Note::FewFixes { rate_hz, least_hz } => format!(
            "Accelerations, decelerations and turns are not counted: they last half a second to a second and a half, and \
             this recording has {} (at least {least_hz} a second are needed).",
            fixes(*rate_hz)
        ),
        Note::NoTurns => "Turns are not counted: the recording has no positions.".to_owned(),
        Note::NoCurves => {
            "Sprints have no curve: it needs a fix every second at least, and this recording has fewer.".to_owned()
        }
        Note::NotThisPlan => {
            "The recording does not look like this plan: is it the right one? Nothing is said of its reps.".to_owned()
        }
        Note::MuchNotInRecording => {
            "Much of the plan is not in this recording: is it the right one?".to_owned()
        }
        Note::OtherOrder { blocks } => {
            let order: Vec<String> = blocks.iter().map(usize::to_string).collect();
            format!("The blocks were done in another order than planned: {}.", order.join(", "))
        }
        Note::Unresolved { reps: 1, planned } => format!(
            "1 of {planned} planned reps is unresolved: the recording cannot tell, and it is not counted as done."
        ),
        Note::Unresolved { reps, planned } => format!(
            "{reps} of {planned} planned reps are unresolved: the recording cannot tell, and they are not counted as done."
        ),
        Note::OtherDay { planned, recorded } => format!(
            "The plan is dated {planned}, the recording {recorded}: do they belong together?"
        ),
        Note::NothingDone => {
            "Nothing of the plan was done as planned: does it belong to this recording?".to_owned()
        }
        Note::PitchElsewhere => {
            "The pitch that was asked for is not used: the recording was made elsewhere.".to_owned()
        }
        Note::PitchWithoutPlace => {
            "The pitch that was asked for is not used: a recording in metres does not say where on earth it is.".to_owned()
        }
        Note::PitchOpen { off_m, off_deg } => format!(
            "The plan's pitch is not laid under the session: the motion leaves open where it lies, by ±{off_m:.0} m and ±{off_deg:.0}°. \
             A lap around the lines tells it, or its corners in a file (--pitch FILE)."
        ),
        Note::PitchTooSmall {
            outside,
            length_m,
            width_m,
        } => format!(
            "The plan's pitch is not laid under the session: {:.0} % of the time would be outside one of {length_m:.0} x {width_m:.0} m.",
            100.0 * outside
        ),
    }
}

/// How often a receiver wrote.
fn fixes(rate_hz: f64) -> String {
    if rate_hz >= 0.95 {
        let rate = format!("{rate_hz:.1}");
        let rate = rate.strip_suffix(".0").unwrap_or(&rate);
        let fixes = if rate == "1" { "fix" } else { "fixes" };
        format!("{rate} {fixes} a second")
    } else if rate_hz > 0.0 {
        format!("a fix every {:.0} s", 1.0 / rate_hz)
    } else {
        "too few fixes".to_owned()
    }
}
