//! Smooths what was observed of each run, positions and speeds alike.

use crate::estimation::adjoint;
use crate::motion::nodes::States;
use crate::motion::noise::{self, Bounds};
use crate::motion::series::Series;
use crate::motion::smoothing::{Model, Prepared};
use crate::motion::timebase::Timebase;
use crate::track::Point;

/// What was found of one run; all empty where nothing was observed.
#[derive(Clone, Debug, Default)]
pub(super) struct Smoothed {
    /// The state at each node.
    pub(super) states: States,
    /// The speed at each node if the device's lag were one standard deviation shorter and longer, m/s; empty for fast
    /// receivers, which have none to speak of.
    pub(super) otherwise_m_s: [States; 2],
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
pub(super) fn each<const N: usize, const M: usize, const K: usize>(
    runs: &[(&[Point], Timebase)],
    how: &How<N>,
    observed: impl Fn(&Point) -> Option<[f64; M]>,
    state: impl Fn(&adjoint::Smoothed<'_, N, M>) -> [f64; K],
    speed_m_s: impl Fn(&adjoint::Smoothed<'_, N, M>) -> f64,
) -> Vec<Smoothed> {
    let series: Vec<Series<'_, M>> = runs
        .iter()
        .map(|(points, base)| {
            let mut series = Series::at(&base.nodes_s);
            for (point, node) in base.with_nodes(points) {
                if let Some(observed) = observed(point) {
                    series.observe(node, observed);
                }
            }
            series
        })
        .collect();
    let noise = noise::estimate(&series, how.model, how.bounds);
    series
        .iter()
        .map(|one| {
            if one.all_observed().next().is_none() {
                return Smoothed::default();
            }
            let prepared = Prepared::new(one, how.model);
            let (states, mut levels) = prepared.smooth(noise, how.adaptations, &state);
            let otherwise_m_s = how.others.map_or_else(Default::default, |models| {
                models.map(|model| {
                    Prepared::new(one, model).smooth_at(&mut levels, |s| [speed_m_s(s)])
                })
            });
            Smoothed {
                states,
                otherwise_m_s,
            }
        })
        .collect()
}
