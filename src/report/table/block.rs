//! Rows about things of a block of a plan.

use crate::diary::Block;

use super::column::Columns;
use super::item::{Item, OfItem};

/// A rep or a rest, with its block and its session.
pub(super) struct Row<'a, T> {
    pub(super) item: &'a Item,
    block: &'a Block,
    pub(super) of: &'a T,
}

impl<T> OfItem for Row<'_, T> {
    fn item(&self) -> &Item {
        self.item
    }
}

/// The rows of a session, of what `of` gives of each block.
pub(super) fn rows<'a, T>(
    item: &'a Item,
    of: fn(&Block) -> &[T],
) -> impl Iterator<Item = Row<'a, T>>
where
    T: 'a,
{
    let blocks = item.recording.iter().flat_map(|r| &r.blocks);
    blocks.flat_map(move |block| of(block).iter().map(move |of| Row { item, block, of }))
}

impl<'a: 'c, 'c, T> Columns<'c, Row<'a, T>> {
    /// The columns that say which block a thing belongs to.
    pub(super) fn block(self) -> Self {
        self.count(
            "block",
            "the number of the block in the plan, from 1",
            |r| Some(r.block.review.index),
        )
        .text("category", "the block's category", |r| {
            Some(r.block.review.category.word())
        })
        .text("block_name", "the block's name", |r| {
            r.block.review.name.as_deref()
        })
        .yes_no(
            "with_ball",
            "whether the block is done with the ball",
            |r| r.block.review.with_ball,
        )
    }
}
