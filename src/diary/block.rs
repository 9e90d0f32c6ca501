//! What the diary keeps of a block, with its columns; its reps, its rests and its heart rate have tables of their own.

use crate::diary::columns::{Table, field};
use crate::diary::{BlockHeart, Rep, Rest};
use crate::plan::Category;
use crate::review::BlockVerdict;

/// One block of the plan, reviewed.
#[derive(Clone, Debug, PartialEq)]
pub struct Block {
    /// From 1.
    pub index: usize,
    /// Of the plan.
    pub category: Category,
    /// Of the plan.
    pub name: Option<String>,
    /// With the ball at the foot.
    pub with_ball: bool,
    /// Whether it was done.
    pub verdict: BlockVerdict,
    /// From the session's start, s.
    pub start_s: Option<f64>,
    /// s.
    pub end_s: Option<f64>,
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
        field!(index in "block"),
        field!(category in "category"; or "category"),
        field!(name in "name"),
        field!(with_ball in "with_ball"),
        field!(verdict in "verdict"; or "verdict"),
        field!(start_s in "start_ms"),
        field!(end_s in "end_ms"),
    ],
    blank: || Block {
        index: 0,
        category: Category::Speed,
        name: None,
        with_ball: false,
        verdict: BlockVerdict::Unresolved,
        start_s: None,
        end_s: None,
        reps: Vec::new(),
        rests: Vec::new(),
        heart: None,
    },
};
