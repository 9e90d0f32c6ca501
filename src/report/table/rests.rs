//! One row a rest that was planned or seen.

use crate::diary::{Block, Rest};

use super::super::words;
use super::column::{Columns, FINE};
use super::item::{Item, OfItem};
use super::reps::OfBlock;

pub(super) struct Row<'a> {
    item: &'a Item,
    block: &'a Block,
    rest: &'a Rest,
}

impl OfItem for Row<'_> {
    fn item(&self) -> &Item {
        self.item
    }
}

impl OfBlock for Row<'_> {
    fn block(&self) -> &Block {
        self.block
    }
}

pub(super) fn rows(item: &Item) -> impl Iterator<Item = Row<'_>> {
    let blocks = item.recording.iter().flat_map(|r| &r.blocks);
    blocks.flat_map(move |block| {
        let rests = block.rests.iter();
        rests.map(move |rest| Row { item, block, rest })
    })
}

pub(super) fn columns<'a>() -> Columns<'a, Row<'a>> {
    let end =
        |which: usize| move |r: &Row<'_>| r.rest.interval_s.and_then(|i| i.get(which).copied());
    Columns::<Row<'a>>::new()
        .session()
        .block()
        .count("set", "the number of the set in the block, from 1", |r| {
            Some(r.rest.set)
        })
        .count(
            "after_rep",
            "the rep of the set that it follows; empty after the whole set",
            |r| r.rest.after_rep,
        )
        .number(
            "rest_s",
            Some("s"),
            FINE,
            "how long it was, from the end of work to the next start",
            |r: &Row<'_>| r.rest.rest_s,
        )
        .number(
            "rest_low_s",
            Some("s"),
            FINE,
            "lower end of the 95 % interval of rest_s, between reps",
            end(0),
        )
        .number(
            "rest_high_s",
            Some("s"),
            FINE,
            "upper end of the 95 % interval of rest_s, between reps",
            end(1),
        )
        .number(
            "rest_planned_s",
            Some("s"),
            FINE,
            "how long it was to be; empty where it is self-paced",
            |r: &Row<'_>| r.rest.planned_s,
        )
        .text(
            "verdict",
            "kept, long, short or free (self-paced, not judged)",
            |r| r.rest.verdict.map(words::rest_verdict),
        )
}
