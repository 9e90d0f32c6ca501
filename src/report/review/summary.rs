//! A session on one line, for many of them below each other.

use crate::efforts::Kind;
use crate::report::layout::{clock, left, right, safe, thousands};
use crate::session::Session;

/// Columns of the name.
const NAME: usize = 24;

/// The names of the columns.
#[must_use]
pub fn head() -> String {
    let columns = [
        ("day", 10),
        ("time", 9),
        ("distance", 10),
        ("top", 9),
        ("sprints", 8),
    ];
    let named: String = columns
        .iter()
        .map(|(name, width)| right(name, *width))
        .collect();
    format!("{}{named}  {}\n", left("recording", NAME), "plan")
}

/// The line of a session: its name, day, length, distance, top speed, sprints and the reps done of those planned.
#[must_use]
pub fn line(name: &str, session: &Session) -> String {
    let review = &session.review;
    let day = session
        .track
        .start
        .text()
        .and_then(|s| s.get(..10).map(ToOwned::to_owned));
    let length_s = session.track.end_s().unwrap_or(0.0);
    let top = review.totals.top_speed_m_s.map_or_else(
        || "?".to_owned(),
        |top| session.settings.speeds.text(top.value, 2),
    );
    let plan = review.plan.as_ref().map_or_else(String::new, |plan| {
        format!("{} of {}", plan.counts.done, plan.counts.planned)
    });
    let line = format!(
        "{}{}{}{}{}{}  {plan}",
        left(&safe(name), NAME - 1) + " ",
        right(day.as_deref().unwrap_or("-"), 10),
        right(&clock(length_s), 9),
        right(
            &format!("{} m", thousands(review.totals.distance_m.value)),
            10
        ),
        right(&top, 9),
        right(
            &session.efforts.of_kind(Kind::Sprint).count().to_string(),
            8
        ),
    );
    line.trim_end().to_owned() + "\n"
}
