//! One row a rest that was planned or seen.

use crate::diary::Rest;

use super::super::words;
use super::block::Row;
use super::column::{Columns, FINE};

pub(super) fn columns<'a>() -> Columns<'a, Row<'a, Rest>> {
    let end =
        |which: usize| move |r: &Row<'_, Rest>| r.of.interval_s.and_then(|i| i.get(which).copied());
    Columns::<Row<'a, Rest>>::new()
        .session()
        .block()
        .count("set", "the number of the set in the block, from 1", |r| {
            Some(r.of.set)
        })
        .count(
            "after_rep",
            "the rep of the set that it follows; empty after the whole set",
            |r| r.of.after_rep,
        )
        .number(
            "rest_s",
            Some("s"),
            FINE,
            "how long it was, from the end of work to the next start",
            |r: &Row<'_, Rest>| r.of.rest_s,
        )
        .number(
            "rest_low_s",
            Some("s"),
            FINE,
            "lower end of the 95 % interval of rest_s",
            end(0),
        )
        .number(
            "rest_high_s",
            Some("s"),
            FINE,
            "upper end of the 95 % interval of rest_s",
            end(1),
        )
        .number(
            "rest_planned_s",
            Some("s"),
            FINE,
            "how long it was to be; empty where it is self-paced",
            |r: &Row<'_, Rest>| r.of.planned_s,
        )
        .text(
            "verdict",
            "kept, long, short or free (self-paced, not judged)",
            |r| r.of.verdict.map(words::rest_verdict),
        )
}
