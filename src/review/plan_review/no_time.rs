//! Whether there was time at all for work of which nothing was found: that needs no fix to be seen.

use crate::bouts::Bout;
use crate::review::cost::Quality;
use crate::review::items::Kind;
use crate::review::matching::{FORESEEN, Matching};
use crate::review::passed::{is_moved, is_vague};
use crate::review::verdict;

/// Nobody does a block or a set in less than this share of its time, rests and all; shorter ones than this may be done in between, s.
const HURRIED: f64 = 0.4;
const LEAST_BLOCK_S: f64 = 90.0;

/// For each item how sure it is that there was no time for its block, or for its set, up to the end of the recording, s; `None` where there
/// may have been, or where that is less sure than it takes to `accuse`.
pub(super) fn without_time(
    matching: &Matching,
    candidates: &[Bout],
    until_s: f64,
    accuse: f64,
    quality: &Quality,
) -> Vec<Option<f64>> {
    let items = &matching.items;
    let mut sure = vec![None; items.len()];
    let planned: Vec<usize> = (0..items.len())
        .filter(|&k| items[k].kind != Kind::Extra)
        .collect();
    let told = |of: &[usize]| {
        all_without_time(matching, candidates, until_s, of, quality).filter(|sure| *sure >= accuse)
    };
    for block in planned.chunk_by(|&a, &b| items[a].block == items[b].block) {
        let of_block = told(block);
        for set in block.chunk_by(|&a, &b| items[a].set == items[b].set) {
            let of_set = of_block.or_else(|| told(set));
            for &k in set {
                sure[k] = of_set;
            }
        }
    }
    sure
}

/// The same of some items, between what was surely done before and after them.
fn all_without_time(
    matching: &Matching,
    candidates: &[Bout],
    until_s: f64,
    of: &[usize],
    quality: &Quality,
) -> Option<f64> {
    let Matching {
        items, fates, odds, ..
    } = matching;
    let (&first, &last) = (of.first()?, of.last()?);
    let found = |k: &usize| fates[*k].is_found();
    if of.iter().any(found) {
        return None;
    }
    // What is found wherever nothing else is bounds no time, nor does what was moved, nor what the receiver hardly shows.
    let bounds = |k: &usize| {
        let item = &items[*k];
        found(k)
            && !is_vague(item)
            && !is_moved(matching, item, items[first].block)
            && !quality.hides_way(item)
    };
    let before = (0..first).rev().find(bounds)?;
    let after = (last + 1..items.len()).find(bounds);
    let span_s = |k: usize| fates[k].span_s(candidates);
    let free_s = after.and_then(span_s).map_or(until_s, |s| s.0) - span_s(before)?.1;
    let needed_s: f64 = (of.iter())
        .map(|&k| items[k].work.value + items[k].rest_after.value)
        .sum::<f64>()
        - items[last].rest_after.value;
    let mut bounds = std::iter::once(before).chain(after);
    let sure = (bounds.clone()).fold(FORESEEN, |sure, k| sure.min(1.0 - odds[k].missing));
    (bounds.all(|k| odds[k].here >= verdict::GRANT) && has_no_time(needed_s, free_s))
        .then_some(sure)
}

/// Whether work that needs so long, s, has no room in so long a time, s: all of it would have to be done in less than half of its time.
fn has_no_time(needed_s: f64, free_s: f64) -> bool {
    needed_s >= LEAST_BLOCK_S && free_s < HURRIED * needed_s
}

#[cfg(test)]
mod tests {
    use super::has_no_time;

    /// Twelve sprints with a walk back after each take some nine minutes, and have no room in one and a half.
    #[test]
    fn what_nobody_had_time_for_was_left_out() {
        assert!(has_no_time(540.0, 95.0) && !has_no_time(540.0, 300.0));
        assert!(!has_no_time(60.0, 5.0));
    }
}
