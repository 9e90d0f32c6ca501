//! One row an effort.

use crate::diary::Effort;

use super::super::words;
use super::column::{Columns, FINE};
use super::item::{Item, OfItem};

pub(super) struct Row<'a> {
    item: &'a Item,
    number: usize,
    effort: &'a Effort,
}

impl OfItem for Row<'_> {
    fn item(&self) -> &Item {
        self.item
    }
}

pub(super) fn rows(item: &Item) -> impl Iterator<Item = Row<'_>> {
    let efforts = item.recording.iter().flat_map(|r| &r.efforts);
    efforts.enumerate().map(move |(i, effort)| Row {
        item,
        number: i + 1,
        effort,
    })
}

pub(super) fn columns<'a>() -> Columns<'a, Row<'a>> {
    Columns::<Row<'a>>::new()
        .session()
        .count(
            "effort",
            "its number in the session, from 1, in order of start",
            |r| Some(r.number),
        )
        .text(
            "kind",
            "sprint, high_speed_run, acceleration, deceleration or turn",
            |r| Some(words::kind(r.effort.kind)),
        )
        .time("start", "when it began", |r| {
            r.item.moment(Some(r.effort.start_s))
        })
        .number(
            "start_s",
            Some("s"),
            FINE,
            "its beginning, from the start of the session",
            |r: &Row<'_>| Some(r.effort.start_s),
        )
        .number(
            "duration_s",
            Some("s"),
            FINE,
            "how long it lasted",
            |r: &Row<'_>| Some(r.effort.duration_s),
        )
        .number(
            "distance_m",
            Some("m"),
            FINE,
            "distance covered",
            |r: &Row<'_>| Some(r.effort.distance_m),
        )
        .measured(
            "peak_speed",
            ("_m_s", Some("m/s")),
            FINE,
            "highest speed",
            |r| Some(r.effort.peak_speed_m_s),
        )
        .measured(
            "peak_acceleration",
            ("_m_s2", Some("m/s2")),
            FINE,
            "largest acceleration, of a deceleration the most negative; from 5 Hz on",
            |r| r.effort.peak_acceleration_m_s2,
        )
        .number(
            "turn_deg",
            Some("degrees"),
            1,
            "change of course of a turn, left positive",
            |r: &Row<'_>| r.effort.turn_deg,
        )
        .number(
            "probability",
            None,
            3,
            "that it counts, given how well its peak is known; a little below a half or more; none for turns",
            |r: &Row<'_>| r.effort.probability,
        )
}
