//! The pitch under the session, and where on it the time went.

use crate::measured::Z95;
use crate::pitch::{Part, Source, zones};
use crate::report::layout::{hanging, safe, thousands};
use crate::session::Session;

use super::COLUMNS;

/// The pitch and its thirds; nothing where none is known.
pub(super) fn lines(session: &Session) -> String {
    let Some(pitch) = &session.pitch else {
        return String::new();
    };
    let how = match &pitch.source {
        Source::Corners => "from its corners".to_owned(),
        Source::Kept(name) => format!("kept as '{}'", safe(name)),
        Source::Fitted => "laid where it fits the motion".to_owned(),
        Source::Laps => "from laps around its lines".to_owned(),
    };
    let parts = zones(&session.motion, pitch);
    let all: f64 = parts.thirds.iter().map(|p| p.time_s).sum();
    let share = |part: &Part| {
        if all > 0.0 {
            format!("{:.0}", 100.0 * part.time_s / all)
        } else {
            "–".to_owned()
        }
    };
    let three = |parts: &[Part]| parts.iter().map(share).collect::<Vec<_>>().join("/");
    let metres = |parts: &[Part]| {
        let all: Vec<String> = parts.iter().map(|p| thousands(p.distance_m)).collect();
        all.join("/")
    };
    let text = format!(
        "{:.0} x {:.0} m, {how}, ±{:.1} m; which goal is which is not known. By thirds {} % of the time and {} m, by channels {} % \
         and {} m",
        pitch.size.length_m,
        pitch.size.width_m,
        Z95 * pitch.centre_sd_m,
        three(&parts.thirds),
        metres(&parts.thirds),
        three(&parts.channels),
        metres(&parts.channels),
    );
    hanging("Pitch      ", &text, COLUMNS)
}
