//! Work: the finest set of bouts that do not overlap, for the account without a plan.

use crate::bouts::Bout;

/// A bout is split when the parts found inside it make up at least this share of its time.
const PARTS_SHARE: f64 = 0.3;
/// Parts shorter than this do not split a bout, s.
const PART_S: f64 = 1.5;
/// Parts closer than this do not split a bout, s: a turn is no rest.
const APART_S: f64 = 3.0;

/// Chooses, among candidates that overlap, the finest set of which no two do.
///
/// A candidate gives way to the candidates inside it when they are two or more, apart by more than a turn takes, and
/// make up a fair share of its time: a game of 20 minutes with one sprint in it stays one bout.
pub(super) fn finest(candidates: &[Bout]) -> Vec<Bout> {
    let mut order: Vec<&Bout> = candidates.iter().collect();
    // Outermost first: by start, the longest first.
    order.sort_by(|a, b| {
        a.start_s
            .total_cmp(&b.start_s)
            .then(b.stop_s.total_cmp(&a.stop_s))
    });
    let mut list = Vec::new();
    choose(&order, &mut list, 0);
    list
}

/// How deep parts of parts are looked into; there are no more levels of activity than this.
const DEEPEST: usize = 12;

fn choose(order: &[&Bout], list: &mut Vec<Bout>, depth: usize) {
    let mut k = 0;
    let mut free_from = f64::NEG_INFINITY;
    while k < order.len() {
        let outer = order[k];
        if outer.start_s < free_from {
            k += 1;
            continue;
        }
        let inside: Vec<&Bout> = order[k + 1..]
            .iter()
            .take_while(|b| b.start_s < outer.stop_s)
            .filter(|b| b.stop_s <= outer.stop_s && b.stop_run_s() < outer.stop_run_s() - APART_S)
            .copied()
            .collect();
        let mut parts = Vec::new();
        if depth < DEEPEST && inside.len() > 1 {
            choose(&inside, &mut parts, depth + 1);
            parts.retain(|p: &Bout| p.stop_run_s() >= PART_S);
        }
        let apart = parts
            .windows(2)
            .all(|pair| pair[1].start_s - pair[0].stop_s >= APART_S);
        let share: f64 =
            parts.iter().map(Bout::stop_run_s).sum::<f64>() / outer.stop_run_s().max(1e-9);
        if parts.len() > 1 && apart && share >= PARTS_SHARE {
            list.append(&mut parts);
        } else {
            list.push(outer.clone());
        }
        free_from = outer.stop_s;
        k += 1;
    }
}
