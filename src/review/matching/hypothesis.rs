//! Hypotheses: the blocks in one order, matched, and which of them may have changed places.

use std::sync::Arc;

use crate::review::chain::Fate;
use crate::review::items::{Kind, Schedule};

/// A block of which more than this share is probably left out may have changed places.
const LOST: f64 = 0.25;

/// One order of the blocks, matched.
pub(super) struct Hypothesis {
    pub order: Vec<usize>,
    pub schedule: Schedule,
    /// How likely each item was left out before anything was learnt.
    pub at_first: Arc<[f64]>,
    pub drawn: Vec<Vec<Fate>>,
    /// Logarithm of its weight, order included, and that of no plan at all.
    pub weight: f64,
    pub nothing: f64,
    pub swaps: usize,
}

/// The hypothesis of the largest weight.
pub(super) fn likeliest(tried: &[Hypothesis]) -> usize {
    (0..tried.len())
        .max_by(|a, b| tried[*a].weight.total_cmp(&tried[*b].weight))
        .unwrap_or(0)
}

/// The share of the accounts drawn that leave an item out.
pub(super) fn left_out(drawn: &[Vec<Fate>], item: usize) -> f64 {
    let gone = (drawn.iter())
        .filter(|fates| fates[item].is_left_out())
        .count();
    gone as f64 / drawn.len().max(1) as f64
}

/// Whether more than a part of the reps of each block are probably left out.
pub(super) fn lost(hypothesis: &Hypothesis, blocks: usize) -> Vec<bool> {
    let (mut planned, mut missing) = (vec![0.0; blocks], vec![0.0; blocks]);
    for (k, item) in hypothesis.schedule.items.iter().enumerate() {
        if item.kind == Kind::Extra {
            continue;
        }
        planned[item.block] += 1.0;
        missing[item.block] += left_out(&hypothesis.drawn, k);
    }
    planned
        .iter()
        .zip(&missing)
        .map(|(planned, missing)| *missing > LOST * planned)
        .collect()
}
