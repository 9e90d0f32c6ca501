//! Smooths what was observed of each run, positions and speeds alike.

use crate::estimation::adjoint;
use crate::motion::noise::{self, Bounds};
use crate::motion::smoothing::{Model, Prepared, Series};
use crate::motion::timebase::Timebase;
use crate::track::Point;

/// What was found of one run; all empty where nothing was observed.
#[derive(Clone, Debug, Default)]
pub(super) struct Smoothed<S> {
    /// The state at each node.
    pub(super) states: Vec<S>,
    /// The speed at each node if the device's lag were one standard deviation shorter and longer, m/s; empty for fast
    /// receivers, which have none to speak of.
    pub(super) otherwise_m_s: [Vec<f64>; 2],
}

/// How to smooth.
pub(super) struct How<const N: usize> {
    pub(super) model: Model<N>,
    /// The same with a shorter and a longer lag, where it is in doubt.
    pub(super) others: Option<[Model<N>; 2]>,
    pub(super) bounds: Bounds,
    /// Rounds of adaptation.
    pub(super) adaptations: usize,
}

/// Smooths each run by what `observed` takes from its points, to what `state` and `speed_m_s` make of a node.
pub(super) fn each<const N: usize, const M: usize, S: Default>(
    runs: &[(&[Point], Timebase)],
    how: &How<N>,
    observed: impl Fn(&Point) -> Option<[f64; M]>,
    state: impl Fn(&adjoint::Smoothed<'_, N, M>) -> S,
    speed_m_s: impl Fn(&adjoint::Smoothed<'_, N, M>) -> f64,
) -> Vec<Smoothed<S>> {
    let series: Vec<Series<M>> = runs
        .iter()
        .map(|(points, base)| {
            let mut at_nodes = vec![None; base.nodes_s.len()];
            for (point, node) in points.iter().zip(&base.node_of_point) {
                at_nodes[*node] = observed(point);
            }
            Series {
                times_s: base.nodes_s.clone(),
                observed: at_nodes,
            }
        })
        .collect();
    let noise = noise::estimate(&series, how.model, how.bounds);
    series
        .iter()
        .map(|one| {
            if one.observed.iter().all(Option::is_none) {
                return Smoothed::default();
            }
            let prepared = Prepared::new(one, how.model);
            let (states, levels) = prepared.smooth(noise, how.adaptations, &state);
            let otherwise_m_s = how.others.map_or_else(Default::default, |models| {
                models.map(|model| Prepared::new(one, model).smooth_at(&levels, &speed_m_s))
            });
            Smoothed {
                states,
                otherwise_m_s,
            }
        })
        .collect()
}
