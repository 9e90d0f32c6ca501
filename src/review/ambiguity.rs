//! Ambiguity: how sure each pairing is, from all alignments together.
//!
//! Forward-backward sums over the same lattice whose best path is the account (Rabiner 1989, Proc IEEE 77:257,
//! 10.1109/5.18626). A rep whose pairing most of the weight agrees on is sure; where a second-best matching is nearly as
//! good, the weight is split.

use crate::review::alignment::Lattice;

/// The weight of every node and item among all alignments.
#[derive(Clone, Debug)]
pub(super) struct Posterior {
    /// Probability that each node of the lattice is on the true path.
    pub nodes: Vec<f64>,
    /// Negative log of the sum over all paths: the cost of the hypothesis as a whole.
    pub evidence: f64,
}

/// `ln(exp(a) + exp(b))` without overflow.
pub(super) fn log_add(a: f64, b: f64) -> f64 {
    let (high, low) = if a > b { (a, b) } else { (b, a) };
    if low == f64::NEG_INFINITY {
        high
    } else {
        high + (low - high).exp().ln_1p()
    }
}

/// Sums over all paths of a lattice.
pub(super) fn posterior(lattice: &Lattice) -> Posterior {
    let n = lattice.nodes.len();
    let mut forward = vec![f64::NEG_INFINITY; n];
    let mut total = -lattice.nothing;
    for k in 0..n {
        let steps = lattice.steps_into(k);
        // One pass for the largest term, one for the sum: one exponential a step.
        let mut high = -lattice.first[k];
        for &(from, cost) in steps {
            high = high.max(forward[from as usize] - f64::from(cost));
        }
        let mut sum = (-lattice.first[k] - high).exp();
        for &(from, cost) in steps {
            let term = forward[from as usize] - f64::from(cost) - high;
            if term > -30.0 {
                sum += term.exp();
            }
        }
        forward[k] = high + sum.ln() - lattice.nodes[k].cost;
        total = log_add(total, forward[k] - lattice.last[k]);
    }
    // Each node's share of the total flows back over the steps into it; nothing is summed twice.
    let mut nodes: Vec<f64> = (0..n)
        .map(|k| (forward[k] - lattice.last[k] - total).exp())
        .collect();
    for k in (0..n).rev() {
        if nodes[k] < 1e-12 {
            continue;
        }
        let inflow = forward[k] + lattice.nodes[k].cost;
        for &(from, cost) in lattice.steps_into(k) {
            let share = forward[from as usize] - f64::from(cost) - inflow;
            if share > -30.0 {
                nodes[from as usize] += nodes[k] * share.exp();
            }
        }
    }
    Posterior {
        nodes,
        evidence: -total,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::review::alignment::Node;

    /// One item, two candidates at equal cost, and no third way: each is as likely as the other.
    #[test]
    fn equal_costs_are_equally_likely() {
        let node = |candidate| Node {
            item: 0,
            candidate,
            cost: 1.0,
        };
        let lattice = Lattice {
            nodes: vec![node(0), node(1)],
            into: vec![0, 0, 0],
            steps: Vec::new(),
            first: vec![0.0; 2],
            last: vec![0.0; 2],
            nothing: f64::INFINITY,
        };
        let posterior = posterior(&lattice);
        assert!((posterior.nodes[0] - 0.5).abs() < 1e-12);
        assert!((posterior.evidence - (1.0 - 2.0_f64.ln())).abs() < 1e-12);
    }

    /// A chain of two items, by hand: the paths are {0}, {1}, {0, 1} and none, at costs 1, 2, 0.5 and 3.
    #[test]
    fn a_chain_of_two_by_hand() {
        let node = |item| Node {
            item,
            candidate: item,
            cost: 0.0,
        };
        let lattice = Lattice {
            nodes: vec![node(0), node(1)],
            into: vec![0, 0, 1],
            steps: vec![(0, 0.5)],
            first: vec![0.0, 2.0],
            last: vec![1.0, 0.0],
            nothing: 3.0,
        };
        let weights = [1.0_f64, 2.0, 0.5, 3.0].map(|c| (-c).exp());
        let total: f64 = weights.iter().sum();
        let posterior = posterior(&lattice);
        assert!((posterior.nodes[0] - (weights[0] + weights[2]) / total).abs() < 1e-9);
        assert!((posterior.nodes[1] - (weights[1] + weights[2]) / total).abs() < 1e-9);
        assert!((posterior.evidence + total.ln()).abs() < 1e-9);
    }
}
