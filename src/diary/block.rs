//! What the diary keeps of a block, with its columns; its reps, its rests and its heart rate have tables of their own.

use crate::diary::columns::{Table, field};
use crate::diary::{BlockHeart, Rep, Rest};
use crate::plan::Category;
use crate::review::{BlockReview, BlockVerdict};

/// One block of the plan, reviewed.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// What the review says of it, without its sets, and without how many of its reps were done.
    pub review: BlockReview,
    /// In order of set and rep.
    pub reps: Vec<Rep>,
    /// In order of set and rep.
    pub rests: Vec<Rest>,
    /// The heart rate over it, where it was recorded.
    pub heart: Option<BlockHeart>,
}

/// The table of blocks.
pub(super) const BLOCKS: Table<Block> = Table {
    name: "block",
    keys: &["session_id"],
    order: "block",
    fields: &[
        field!(review.index in "block"),
        field!(review.category in "category"; or "category"),
        field!(review.name in "name"),
        field!(review.with_ball in "with_ball"),
        field!(review.verdict in "verdict"; or "verdict"),
        field!(review.start_s in "start_ms"),
        field!(review.end_s in "end_ms"),
    ],
    blank: || Block {
        review: BlockReview {
            index: 0,
            category: Category::Speed,
            name: None,
            with_ball: false,
            verdict: BlockVerdict::Unresolved,
            start_s: None,
            end_s: None,
            reps_done: None,
            sets: Vec::new(),
        },
        reps: Vec::new(),
        rests: Vec::new(),
        heart: None,
    },
};
