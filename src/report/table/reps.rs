//! One row a rep of a plan.

use crate::diary::{Block, Rep};
use crate::review::RepReview;

use super::super::rep::OfRep;
use super::super::words;
use super::column::Columns;
use super::item::{Item, OfItem};

pub(super) struct Row<'a> {
    item: &'a Item,
    block: &'a Block,
    rep: &'a Rep,
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

impl OfRep for Row<'_> {
    fn rep(&self) -> &RepReview {
        &self.rep.review
    }
}

/// A thing that belongs to a block of a plan.
pub(in crate::report) trait OfBlock: OfItem {
    /// The block.
    fn block(&self) -> &Block;
}

impl<'c, R: OfBlock + 'c> Columns<'c, R> {
    /// The columns that say which block a thing belongs to.
    pub(super) fn block(self) -> Self {
        self.count(
            "block",
            "the number of the block in the plan, from 1",
            |r| Some(r.block().index),
        )
        .text("category", "the block's category", |r| {
            Some(r.block().category.word())
        })
        .text("block_name", "the block's name", |r| {
            r.block().name.as_deref()
        })
        .yes_no(
            "with_ball",
            "whether the block is done with the ball",
            |r| r.block().with_ball,
        )
    }
}

pub(super) fn rows(item: &Item) -> impl Iterator<Item = Row<'_>> {
    let blocks = item.recording.iter().flat_map(|r| &r.blocks);
    blocks.flat_map(move |block| {
        let reps = block.reps.iter();
        reps.map(move |rep| Row { item, block, rep })
    })
}

pub(super) fn columns<'a>() -> Columns<'a, Row<'a>> {
    Columns::<Row<'a>>::new()
        .session()
        .block()
        .count("set", "the number of the set in the block, from 1", |r| {
            Some(r.rep.set)
        })
        .count("rep", "the number of the rep in the set, from 1", |r| {
            Some(r.rep.review.index)
        })
        .text("verdict", "done, short, slow, missed or unresolved", |r| {
            Some(words::verdict(r.rep.review.verdict))
        })
        .text("why", "why, where it was not simply done", |r| {
            r.rep.why.as_deref()
        })
        .time("start", "when its work began", |r| {
            r.item.moment(r.rep.review.start_s)
        })
        .found()
}
