//! What is said of a rep, said once: in JSON, of a session and of an entry of the diary, and in the columns of a table.

use schemars::JsonSchema;
use serde::Serialize;

use super::parts::{Interval, QUANTITY_DECIMALS, SHARE_DECIMALS, maybe, quantity, time};
use super::table::{Columns, FINE};
use super::words;
use crate::review::RepReview;

/// What was found of a rep beside what was planned.
#[derive(Serialize, JsonSchema)]
pub(super) struct Found {
    /// Time of work that the plan asked for, s; null when it gave none.
    work_planned_s: Option<f64>,
    /// Distance run, m.
    distance_m: Option<Interval>,
    /// Distance that the plan asked for, m; null when it gave none.
    distance_planned_m: Option<f64>,
    /// Highest speed, m/s.
    peak_speed_m_s: Option<Interval>,
    /// Highest speed as a share of top speed, 1 being all of it.
    of_top_speed: Option<Interval>,
    /// Whether the speed asked for was reached: `unclear` when the interval lies across the mark, null when no speed
    /// was asked for or the rep was not found.
    #[schemars(extend("enum" = words::REACHED))]
    reached: Option<&'static str>,
}

impl Found {
    pub(super) fn of(rep: &RepReview) -> Self {
        Self {
            work_planned_s: rep.work_planned_s.and_then(time),
            distance_m: maybe(rep.distance_m, QUANTITY_DECIMALS),
            distance_planned_m: rep.distance_planned_m.and_then(quantity),
            peak_speed_m_s: maybe(rep.peak_speed_m_s, QUANTITY_DECIMALS),
            of_top_speed: maybe(rep.of_top_speed, SHARE_DECIMALS),
            reached: rep.reached.map(words::reached),
        }
    }
}

/// A row about a rep.
pub(super) trait OfRep {
    /// What the review says of it.
    fn rep(&self) -> &RepReview;
}

impl<'c, R: OfRep + 'c> Columns<'c, R> {
    /// The columns of what was found of a rep.
    pub(super) fn found(self) -> Self {
        self.number(
            "start_s",
            Some("s"),
            FINE,
            "start of work, from the start of the session",
            |r: &R| r.rep().start_s,
        )
        .number(
            "end_s",
            Some("s"),
            FINE,
            "end of work, from the start of the session",
            |r: &R| r.rep().end_s,
        )
        .measured("work", ("_s", Some("s")), FINE, "time of work", |r| {
            r.rep().work_s
        })
        .number(
            "work_planned_s",
            Some("s"),
            FINE,
            "time of work that was planned",
            |r: &R| r.rep().work_planned_s,
        )
        .measured("distance", ("_m", Some("m")), FINE, "distance run", |r| {
            r.rep().distance_m
        })
        .number(
            "distance_planned_m",
            Some("m"),
            FINE,
            "distance that was planned",
            |r: &R| r.rep().distance_planned_m,
        )
        .measured(
            "peak_speed",
            ("_m_s", Some("m/s")),
            FINE,
            "highest speed",
            |r| r.rep().peak_speed_m_s,
        )
        .measured(
            "of_top_speed",
            ("", None),
            4,
            "highest speed as a share of top speed; 1 is all of it",
            |r| r.rep().of_top_speed,
        )
        .text(
            "reached",
            "whether the speed asked for was reached: yes, no or unclear",
            |r| r.rep().reached.map(words::reached),
        )
    }
}
