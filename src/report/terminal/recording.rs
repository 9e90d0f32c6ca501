//! Which session it is, and how good its recording is.

use crate::estimation::quantile::median;
use crate::measured::Z95;
use crate::motion::{Motion, SpeedFrom};
use crate::session::Session;
use crate::trace::Format;
use crate::track::Track;

use super::COLUMNS;
use super::style::{STRONG, paint};
use crate::report::layout::{clock, count, cut, hanging, safe, short, thousands};
use crate::report::words;

/// Speed from which a player is on the move, m/s; slower samples would flatter the receiver.
const MOVING_M_S: f64 = 2.0;

/// Title, athlete, start and length, on one line or two.
pub(super) fn heading(session: &Session) -> String {
    let mut who = Vec::new();
    for name in [&session.title, &session.athlete].into_iter().flatten() {
        let name = safe(name);
        if !name.is_empty() {
            who.push(name);
        }
    }
    let title = if who.is_empty() {
        "Session".to_owned()
    } else {
        who.join(", ")
    };
    let length = session.track.end_s().unwrap_or(0.0);
    let when = [words::start(session), Some(clock(length) + " long")];
    let when = when.into_iter().flatten().collect::<Vec<_>>().join(", ");
    format!("{}\n{when}\n", paint(STRONG, &cut(&title, COLUMNS)))
}

/// What was recorded and how good it is.
pub(super) fn quality(session: &Session) -> String {
    let track = &session.track;
    let format = match &session.format {
        Format::Gpx { .. } => "GPX",
        Format::Csv { .. } => "CSV",
    };
    let speed = match session.motion.speed_from {
        SpeedFrom::Receiver => "speed as the receiver gives it",
        SpeedFrom::Position => "speed from positions",
        SpeedFrom::Both => "speed from positions and receiver",
    };
    let mut parts = vec![
        format!("{format}, {}", rate(track)),
        format!(
            "{} of {} used",
            thousands(track.points.len() as f64),
            count(track.fixes, "fix", "fixes")
        ),
        speed.to_owned(),
    ];
    if let Some(half) = speed_half_width(&session.motion) {
        let speeds = session.settings.speeds;
        parts.push(format!(
            "known to ±{} {} on the move",
            short(speeds.of(half), 2),
            speeds.sign()
        ));
    }
    let mut out = hanging("Recording  ", &parts.join(", "), COLUMNS);
    let receiver = receiver(session);
    if !receiver.is_empty() {
        out += &hanging("Receiver   ", &receiver, COLUMNS);
    }
    if !track.set_aside.is_empty() {
        let reasons: Vec<_> = track
            .set_aside
            .iter()
            .map(|s| format!("{} ({})", thousands(s.count as f64), safe(&s.reason)))
            .collect();
        out += &hanging("Set aside  ", &reasons.join(", "), COLUMNS);
    }
    if !track.left_out.is_empty() {
        let stretches: Vec<_> = (track.left_out.iter())
            .map(|left_out| words::left_out_in_full(left_out, session.settings.speeds))
            .collect();
        out += &hanging("Left out   ", &stretches.join("; "), COLUMNS);
    }
    out
}

fn rate(track: &Track) -> String {
    let hz = track.rate.hz;
    let usual = if hz.is_finite() && 0.0 < hz && hz < 0.95 {
        format!("a fix every {} s", short(1.0 / hz, 1))
    } else {
        format!("{} Hz", short(hz, 1))
    };
    if track.rate.irregular {
        format!("about {usual}, irregular")
    } else {
        usual
    }
}

/// Half the 95 % interval of the speed while on the move, m/s: the median over the samples that are measured.
fn speed_half_width(motion: &Motion) -> Option<f64> {
    let sds = (motion.samples.iter())
        .filter(|s| !s.bridged && s.speed_m_s >= MOVING_M_S && s.speed_sd_m_s.is_finite())
        .map(|s| s.speed_sd_m_s);
    let median = median(sds.collect()).filter(|sd| *sd > 0.0)?;
    Some(Z95 * median)
}

/// What the receiver does, and what that is known from.
fn receiver(session: &Session) -> String {
    let doubts = &session.motion.doubts;
    let known = session.device.as_ref().filter(|_| doubts.known > 0);
    let known = known.map(|name| {
        let recordings = count(doubts.known, "earlier recording", "earlier recordings");
        format!("{}, by {recordings} too", safe(name))
    });
    let parts: Vec<String> = (doubts.device.map(words::device).into_iter())
        .chain(known)
        .collect();
    parts.join("; ")
}
