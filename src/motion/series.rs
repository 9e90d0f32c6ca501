//! What was observed over time, as the smoother takes it.

use std::borrow::Cow;

/// Observations of the first state component over time, at nodes that may have none.
#[derive(Clone, Debug, Default)]
pub(super) struct Series<'a, const M: usize> {
    /// Increasing, s.
    times_s: Cow<'a, [f64]>,
    /// One a node; NaN where only the state is wanted, since that takes no room of its own.
    observed: Vec<[f64; M]>,
}

impl<'a, const M: usize> Series<'a, M> {
    /// Nodes at which nothing was observed yet.
    pub(super) fn at(times_s: &'a [f64]) -> Self {
        Self {
            observed: vec![[f64::NAN; M]; times_s.len()],
            times_s: Cow::Borrowed(times_s),
        }
    }

    /// Notes what was observed at a node.
    pub(super) fn observe(&mut self, node: usize, observed: [f64; M]) {
        self.observed[node] = observed;
    }

    /// Adds a node behind the last.
    pub(super) fn push(&mut self, time_s: f64, observed: [f64; M]) {
        self.times_s.to_mut().push(time_s);
        self.observed.push(observed);
    }

    /// When the nodes are, s.
    pub(super) fn times_s(&self) -> &[f64] {
        &self.times_s
    }

    /// What was observed at a node.
    #[inline]
    pub(super) fn observed(&self, node: usize) -> Option<&[f64; M]> {
        Self::seen(&self.observed[node])
    }

    /// The nodes at which something was observed, with their times in seconds.
    pub(super) fn all_observed(&self) -> impl Iterator<Item = (f64, &[f64; M])> {
        let nodes = self.times_s.iter().zip(&self.observed);
        nodes.filter_map(|(time_s, observed)| Some((*time_s, Self::seen(observed)?)))
    }

    fn seen(observed: &[f64; M]) -> Option<&[f64; M]> {
        (!observed[0].is_nan()).then_some(observed)
    }
}
