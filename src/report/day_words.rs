//! Words and cells that the weeks, the bests and the squads share.

use jiff::civil::Date;

use super::layout::{safe, short, thousands};
use crate::diary::{Activity, Entry};
use crate::measured::Measured;
use crate::progress::Day;
use crate::units::SpeedUnit;

/// What is not known.
pub(super) const UNKNOWN: &str = "–";

/// The word for an activity, as people say it.
pub(super) fn activity(activity: Activity) -> &'static str {
    match activity {
        Activity::Training => "training",
        Activity::Team => "team training",
        Activity::Match => "match",
        Activity::Gym => "gym",
        Activity::Rest => "rest",
        Activity::Other => "other",
    }
}

/// What a session is called on one line.
pub(super) fn session(entry: &Entry) -> String {
    let title = entry.title.as_deref().map(safe).unwrap_or_default();
    match entry.activity {
        Activity::Training | Activity::Other if !title.is_empty() => title,
        _ if title.is_empty() => activity(entry.activity).to_owned(),
        _ => format!("{}: {title}", activity(entry.activity)),
    }
}

/// The same on a match day: a match without a title of its own is the one that was put down for the day.
pub(super) fn session_of_day(entry: &Entry, day: &Day<'_>) -> String {
    let label = day.match_day.and_then(|m| m.label).map(safe);
    let label = label.filter(|label| !label.is_empty());
    match (entry.activity, entry.title.as_deref(), label) {
        (Activity::Match, None | Some(""), Some(label)) => format!("match: {label}"),
        _ => session(entry),
    }
}

/// Whose; the empty name is "nobody named".
pub(super) fn athlete(name: &str) -> String {
    let name = safe(name);
    if name.is_empty() {
        "(no name)".to_owned()
    } else {
        name
    }
}

/// `Sat 16 May`
pub(super) fn day(date: Date) -> String {
    date.strftime("%a %-d %b").to_string()
}

/// `16 May 2026`
pub(super) fn full_day(date: Date) -> String {
    date.strftime("%-d %b %Y").to_string()
}

/// A whole number with thousands, or what stands for the unknown.
pub(super) fn whole(value: Option<f64>) -> String {
    value.map_or_else(|| UNKNOWN.to_owned(), thousands)
}

/// A rating without a zero tail.
pub(super) fn rating(value: Option<f64>) -> String {
    value.map_or_else(|| UNKNOWN.to_owned(), |value| short(value, 1))
}

/// `8.41 (8.27–8.55)`
pub(super) fn interval(value: Option<Measured>) -> String {
    match value {
        Some(m) => format!("{:.2} ({:.2}–{:.2})", m.value, m.low, m.high),
        None => UNKNOWN.to_owned(),
    }
}

/// The same of a speed, in the unit that it is told in.
pub(super) fn speed_interval(speed_m_s: Option<Measured>, speeds: SpeedUnit) -> String {
    match speed_m_s.map(|m| speeds.measured(m)) {
        Some(m) => {
            let decimals = speeds.decimals(2);
            format!(
                "{:.decimals$} ({:.decimals$}–{:.decimals$})",
                m.value, m.low, m.high
            )
        }
        None => UNKNOWN.to_owned(),
    }
}

/// `28/32`
pub(super) fn of(pair: Option<(usize, usize)>) -> String {
    pair.map_or_else(|| UNKNOWN.to_owned(), |(part, all)| format!("{part}/{all}"))
}

/// `5.5 and 7.0 m/s`
pub(super) fn thresholds(edges: Option<[f64; 2]>, speeds: SpeedUnit) -> String {
    match edges {
        Some([high, sprint]) => {
            format!(
                "high: metres at or above {}, sprint: {}",
                speeds.text(high, 1),
                speeds.text(sprint, 1)
            )
        }
        None => "high and sprint: metres at or above the session's own thresholds, which differ"
            .to_owned(),
    }
}
