//! Sprints one by one, and how many of the other efforts.

use crate::efforts::{Effort, Kind};
use crate::session::Session;

use super::style::{QUIET, STRONG, paint};
use super::{COLUMNS, caption, columns};
use crate::report::layout::{clock, count, hanging, right, short, thousands};
use crate::units::SpeedUnit;

/// Most sprints that are listed; the screen has an end.
const LISTED: usize = 8;

/// The sprints with start, length, distance and peak: all of them, or the fastest.
pub(super) fn sprints(session: &Session) -> String {
    let sprints: Vec<&Effort> = of_kind(session, Kind::Sprint).collect();
    let thresholds = &session.settings.efforts;
    let rule = format!(
        "at or above {} for {} s or longer",
        session.settings.speeds.edge(thresholds.bands.sprint_m_s, 2),
        short(thresholds.sprint_dwell_s, 2)
    );
    if sprints.is_empty() {
        let none = match session.efforts.count(Kind::Sprint) {
            Some(n) if n.high > 0.5 => format!("No sprints (up to {:.0})", n.high),
            _ => "No sprints".to_owned(),
        };
        return format!("{} {}\n", paint(STRONG, &none), paint(QUIET, &rule));
    }
    let mut out = format!(
        "{} {}\n",
        paint(STRONG, &counted(session, Kind::Sprint)),
        paint(QUIET, &rule)
    );
    out += &columns("       start   length   distance   peak (95 %)");
    for effort in fastest(&sprints) {
        out += &line(effort, session.settings.speeds);
    }
    if sprints.len() > LISTED {
        out += &caption(&format!(
            "the {LISTED} fastest of {}; all of them with --json",
            sprints.len()
        ));
    }
    out
}

fn line(effort: &Effort, speeds: SpeedUnit) -> String {
    let peak = effort.peak_speed_m_s;
    format!(
        "{} {} {}   {} {}\n",
        right(&clock(effort.start_s), 12),
        right(&format!("{:.1} s", effort.end_s - effort.start_s), 8),
        right(&format!("{} m", thousands(effort.distance_m)), 10),
        speeds.text(peak.value, 2),
        paint(QUIET, &format!("({})", speeds.ends(peak)))
    )
}

/// The fastest sprints, back in order of time.
fn fastest<'a>(sprints: &[&'a Effort]) -> Vec<&'a Effort> {
    let mut listed = sprints.to_vec();
    listed.sort_by(|a, b| b.peak_speed_m_s.value.total_cmp(&a.peak_speed_m_s.value));
    listed.truncate(LISTED);
    listed.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    listed
}

/// Counts of everything but sprints; the notes say why some are not counted.
pub(super) fn others(session: &Session) -> String {
    let mut parts = counts(
        session,
        &[
            Kind::HighSpeedRun,
            Kind::Acceleration,
            Kind::Deceleration,
            Kind::Turn,
        ],
    );
    parts.extend(sequences(session));
    hanging("Also       ", &parts.join(", "), COLUMNS)
}

/// Counts of all efforts; the notes say why some are not counted.
pub(super) fn in_brief(session: &Session) -> String {
    let kinds = [
        Kind::Sprint,
        Kind::HighSpeedRun,
        Kind::Acceleration,
        Kind::Deceleration,
        Kind::Turn,
    ];
    let mut parts = counts(session, &kinds);
    parts.extend(sequences(session));
    hanging("Efforts    ", &parts.join(", "), COLUMNS)
}

fn counts(session: &Session, kinds: &[Kind]) -> Vec<String> {
    let uncounted = session.efforts.not_counted.is_some();
    kinds
        .iter()
        .filter(|&&kind| !(uncounted && needs_rate(kind)))
        .map(|&kind| counted(session, kind))
        .collect()
}

/// How many of a kind were found, and between which numbers there may have been.
fn counted(session: &Session, kind: Kind) -> String {
    let (one, many) = names(kind);
    let found = of_kind(session, kind).count();
    let text = count(found, one, many);
    match session.efforts.count(kind) {
        Some(n) if n.low < n.high => {
            format!("{text} ({:.0} to {:.0})", n.low, n.high)
        }
        _ => text,
    }
}

fn sequences(session: &Session) -> Option<String> {
    let n = session.efforts.sequences.len();
    (n > 0).then(|| count(n, "sequence of sprints", "sequences of sprints"))
}

/// Whether a kind can only be told from a recording of 5 Hz or more.
fn needs_rate(kind: Kind) -> bool {
    matches!(kind, Kind::Acceleration | Kind::Deceleration | Kind::Turn)
}

fn names(kind: Kind) -> (&'static str, &'static str) {
    match kind {
        Kind::Sprint => ("sprint", "sprints"),
        Kind::HighSpeedRun => ("high-speed run", "high-speed runs"),
        Kind::Acceleration => ("acceleration", "accelerations"),
        Kind::Deceleration => ("deceleration", "decelerations"),
        Kind::Turn => ("turn", "turns"),
    }
}

fn of_kind(session: &Session, kind: Kind) -> impl Iterator<Item = &Effort> {
    session.efforts.list.iter().filter(move |e| e.kind == kind)
}
