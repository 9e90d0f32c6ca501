//! Hypotheses: the blocks in one order, matched, with the rests kept so or so, and which blocks may have changed places.

use std::sync::Arc;

use crate::bouts::Bout;
use crate::plan::Category;
use crate::review::chain::Fate;
use crate::review::items::{Item, Kind, Schedule};

/// A block of which more than this share is probably left out, or is no sprint where one is asked for, may have changed places.
const LOST: f64 = 0.25;
/// Who sprints reaches this share of what is expected of him.
const SPRINT: f64 = 0.8;

/// With more than this share of the reps probably left out, rests may have been kept otherwise.
const LEFT_OUT: f64 = 0.02;
/// Cost of rests that are kept loosely: 1 session in 150.
const LOOSE: f64 = 5.0;

/// How rests are taken to be kept before a session has taught it.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Keeping {
    /// About as the plan has them.
    AsPlanned,
    /// Half of that, or twice.
    Loose,
}

impl Keeping {
    /// What it costs, in nats.
    pub(super) fn cost(self) -> f64 {
        match self {
            Self::AsPlanned => 0.0,
            Self::Loose => LOOSE,
        }
    }
}

/// One order of the blocks, matched.
pub(super) struct Hypothesis {
    pub order: Vec<usize>,
    pub schedule: Schedule,
    /// How likely each item was left out before anything was learnt.
    pub at_first: Arc<[f64]>,
    /// The peak speed that was expected of each item before anything was learnt, m/s.
    pub expected_m_s: Arc<[f64]>,
    pub drawn: Vec<Vec<Fate>>,
    /// Logarithm of its weight, order and surprise included, and that of no plan at all.
    pub weight: f64,
    pub nothing: f64,
    /// What it costs that what was learnt is far from what was expected: part of the weight beside other hypotheses, none beside no plan.
    pub surprise: f64,
    pub swaps: usize,
    pub keeping: Keeping,
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

/// Whether more than hardly any of its reps were probably left out.
pub(super) fn leaves_out(hypothesis: &Hypothesis) -> bool {
    let items = &hypothesis.schedule.items;
    let planned = (0..items.len()).filter(|&k| items[k].kind != Kind::Extra);
    let missing: f64 = (planned.clone())
        .map(|k| left_out(&hypothesis.drawn, k))
        .sum();
    missing > LEFT_OUT * planned.count() as f64
}

/// Whether more than a part of the reps of each block are probably left out, or stand where nobody sprinted.
pub(super) fn lost(hypothesis: &Hypothesis, blocks: usize, candidates: &[Bout]) -> Vec<bool> {
    let (mut planned, mut missing) = (vec![0.0; blocks], vec![0.0; blocks]);
    for (k, item) in hypothesis.schedule.items.iter().enumerate() {
        if item.kind == Kind::Extra {
            continue;
        }
        let least_m_s = SPRINT * hypothesis.expected_m_s.get(k).copied().unwrap_or(0.0);
        planned[item.block] += 1.0;
        missing[item.block] += left_out(&hypothesis.drawn, k)
            + slow(&hypothesis.drawn, (k, item), candidates, least_m_s);
    }
    planned
        .iter()
        .zip(&missing)
        .map(|(planned, missing)| *missing > LOST * planned)
        .collect()
}

/// The share of the accounts drawn in which a sprint is slower than one is at least, m/s.
fn slow(
    drawn: &[Vec<Fate>],
    (k, item): (usize, &Item),
    candidates: &[Bout],
    least_m_s: f64,
) -> f64 {
    if item.category != Category::Speed {
        return 0.0;
    }
    let slow = drawn.iter().filter(|fates| match fates[k] {
        Fate::Bout(candidate) => candidates[candidate].peak_m_s < least_m_s,
        _ => false,
    });
    slow.count() as f64 / drawn.len().max(1) as f64
}
