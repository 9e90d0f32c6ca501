//! What is kept of each node of a series while it is smoothed: most of the memory that a review takes, and so as little as will do.

use crate::estimation::kalman::{Belief, Innovation};

/// Numbers of a node at most: those of the largest state along two axes.
const MOST: usize = 24;

/// The nodes as the filter leaves them for the way back, side by side.
///
/// Of a covariance only one half is kept, and of an observation no error variance, which is the smoother's own. What is made of a node
/// on the way back takes the room of nodes that are done with.
pub(super) struct Nodes<const N: usize, const M: usize> {
    numbers: Vec<f64>,
}

/// A node as the observations up to it tell it, and what its own said, which means nothing where there was none.
pub(super) struct Filtered<const N: usize, const M: usize> {
    pub(super) belief: Belief<N, M>,
    pub(super) innovation: Innovation<M>,
}

impl<const N: usize, const M: usize> Nodes<N, M> {
    /// Numbers kept of a node: means, half of the covariance, the residual and its variance.
    const NUMBERS: usize = N * M + N * (N + 1) / 2 + M + 1;

    /// No nodes, with room for so many.
    pub(super) fn with_capacity(count: usize) -> Self {
        Self {
            numbers: Vec::with_capacity(count * Self::NUMBERS),
        }
    }

    /// Forgets all nodes and what was made of them.
    pub(super) fn clear(&mut self) {
        self.numbers.clear();
    }

    /// Adds what is believed of a node, and what its observation said, if there was one.
    #[inline]
    pub(super) fn push(&mut self, belief: &Belief<N, M>, innovation: Option<&Innovation<M>>) {
        const { assert!(Self::NUMBERS <= MOST) }
        // Put together first, so that the room is asked for once.
        let mut numbers = [0.0; MOST];
        let (means, rest) = numbers.split_at_mut(N * M);
        means.copy_from_slice(belief.mean.as_flattened());
        let mut at = 0;
        for i in 0..N {
            for j in i..N {
                rest[at] = belief.covariance[i][j];
                at += 1;
            }
        }
        if let Some(innovation) = innovation {
            rest[at..at + M].copy_from_slice(&innovation.residual);
            rest[at + M] = innovation.variance;
        }
        self.numbers.extend_from_slice(&numbers[..Self::NUMBERS]);
    }

    /// Shows each node with its place, from the last to the first, and keeps what `make` makes of them, which must be fewer numbers than
    /// the node took.
    #[inline]
    pub(super) fn made_backwards<const K: usize>(
        &mut self,
        mut make: impl FnMut(usize, &Filtered<N, M>) -> [f64; K],
    ) {
        const { assert!(K <= Self::NUMBERS) }
        let mut made = self.numbers.len();
        for node in (0..self.numbers.len() / Self::NUMBERS).rev() {
            let from = node * Self::NUMBERS;
            let filtered = Self::filtered(&self.numbers[from..from + Self::NUMBERS]);
            let numbers = make(node, &filtered);
            // Behind the nodes that are still to be shown.
            self.numbers[made - K..made].copy_from_slice(&numbers);
            made -= K;
        }
    }

    /// What was made of the nodes last, in their order, `K` numbers each.
    pub(super) fn made<const K: usize>(&self) -> &[f64] {
        let count = self.numbers.len() / Self::NUMBERS;
        &self.numbers[self.numbers.len() - K * count..]
    }

    /// The same, without the nodes.
    pub(super) fn into_states<const K: usize>(mut self) -> States {
        let made = self.made::<K>().len();
        self.numbers.drain(..self.numbers.len() - made);
        self.numbers.shrink_to_fit();
        States {
            each: K,
            numbers: self.numbers,
        }
    }

    #[inline]
    fn filtered(numbers: &[f64]) -> Filtered<N, M> {
        let (means, rest) = numbers.split_at(N * M);
        let mut belief = Belief {
            mean: [[0.0; M]; N],
            covariance: [[0.0; N]; N],
        };
        belief.mean.as_flattened_mut().copy_from_slice(means);
        let mut at = 0;
        for i in 0..N {
            for j in i..N {
                belief.covariance[i][j] = rest[at];
                at += 1;
            }
        }
        let mut residual = [0.0; M];
        residual.copy_from_slice(&rest[at..at + M]);
        Filtered {
            belief,
            innovation: Innovation {
                residual,
                variance: rest[at + M],
            },
        }
    }
}

/// What was made of the nodes of a series: as many numbers of each.
#[derive(Clone, Debug, Default)]
pub(super) struct States {
    each: usize,
    numbers: Vec<f64>,
}

impl States {
    /// The same of made numbers.
    #[cfg(test)]
    pub(super) fn of<const K: usize>(states: &[[f64; K]]) -> Self {
        Self {
            each: K,
            numbers: states.as_flattened().to_vec(),
        }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.numbers.is_empty()
    }

    /// How many nodes.
    pub(super) fn len(&self) -> usize {
        self.numbers.len() / self.each.max(1)
    }

    /// The numbers of a node.
    #[inline]
    pub(super) fn get(&self, node: usize) -> Option<&[f64]> {
        let from = node * self.each;
        self.numbers
            .get(from..from + self.each)
            .filter(|s| !s.is_empty())
    }

    /// The numbers of each node.
    pub(super) fn iter(&self) -> impl Iterator<Item = &[f64]> {
        self.numbers.chunks_exact(self.each.max(1))
    }
}
