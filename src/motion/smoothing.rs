//! One adaptive smoother for positions and for speeds.
//!
//! A first pass with one noise level for all shows where the fixes are better or worse than that and where the player
//! moves hard or stands. Later passes weigh each fix as Student's t would, and let the process noise follow the motion:
//! stiff while he stands, loose in a sprint.

use std::collections::HashMap;

use crate::estimation::adjoint::{Adjoint, Smoothed};
use crate::estimation::kalman::{self, Belief, Transition};
use crate::estimation::kinematic::Process;
use crate::estimation::squared;
use crate::motion::nodes::{Nodes, States};
use crate::motion::series::Series;

/// Degrees of freedom of the t distribution that fixes are weighed by.
const T_FREEDOM: f64 = 4.0;
/// The process noise may fall to this share of its mean level...
const LEAST_SHARE: f64 = 0.04;
/// ... and rise to this multiple.
const MOST_SHARE: f64 = 10.0;
/// How far to either side of a moment the energy of the acceleration is averaged, s. Half a millisecond more than two
/// seconds: at even rates a fix lies just there, and how its time was rounded must not decide whether it counts.
const ENERGY_REACH_S: f64 = 2.0005;
/// Standard deviation of an unknown speed at the start of a run, m/s.
const START_SPEED_SD_M_S: f64 = 2.0;

/// How the state moves, and which of its components mean what.
#[derive(Clone, Copy, Debug)]
pub(super) struct Model<const N: usize> {
    pub(super) process: Process<N>,
    /// Time constant of the acceleration, s.
    pub(super) fade_s: f64,
    /// How many leading components are the observed quantity (with a lag: the seen and the true one).
    pub(super) observed_components: usize,
    /// Whether a component for the rate of change stands between the observed quantity and the acceleration.
    pub(super) has_velocity: bool,
}

/// Levels of noise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Noise {
    /// Spectral density of the process noise.
    pub(super) density: f64,
    /// Variance of an observation.
    pub(super) variance: f64,
}

/// Noise levels that follow the data: one of each a node.
pub(super) struct Levels {
    noise: Noise,
    variances: Vec<f64>,
    densities: Vec<f64>,
}

/// A series with its transitions at hand: few intervals differ, so each is worked out once.
pub(super) struct Prepared<'a, const N: usize, const M: usize> {
    series: &'a Series<'a, M>,
    model: Model<N>,
    kinds: Vec<Transition<N>>,
    /// For each node the kind of the step that leads to it.
    kind_of: Vec<u32>,
}

impl<'a, const N: usize, const M: usize> Prepared<'a, N, M> {
    pub(super) fn new(series: &'a Series<'a, M>, model: Model<N>) -> Self {
        let mut known: HashMap<i64, u32> = HashMap::new();
        let mut kinds = Vec::new();
        let mut kind_of = Vec::with_capacity(series.times_s().len());
        let mut before_s = None;
        let mut last = None;
        for &time_s in series.times_s() {
            // To the millisecond: clocks of receivers are no better, and jitter must not make every step a new kind.
            let millis = before_s.map_or(0, |b: f64| (((time_s - b) * 1e3).round() as i64).max(1));
            let kind = match last {
                // Most steps are as long as the one before.
                Some((as_long, kind)) if as_long == millis => kind,
                _ => *known.entry(millis).or_insert_with(|| {
                    kinds.push(model.process.over(millis as f64 * 1e-3));
                    (kinds.len() - 1) as u32
                }),
            };
            kind_of.push(kind);
            before_s = Some(time_s);
            last = Some((millis, kind));
        }
        Self {
            series,
            model,
            kinds,
            kind_of,
        }
    }

    /// The step that leads to a node.
    fn step(&self, node: usize) -> &Transition<N> {
        &self.kinds[self.kind_of[node] as usize]
    }

    fn start(&self, noise: Noise) -> Belief<N, M> {
        let first = (self.series.all_observed().next()).map_or([0.0; M], |(_, first)| *first);
        let mut belief = Belief {
            mean: [[0.0; M]; N],
            covariance: [[0.0; N]; N],
        };
        for i in 0..N {
            belief.covariance[i][i] = if i < self.model.observed_components {
                belief.mean[i] = first;
                100.0 * noise.variance + 1.0
            } else if i + 1 < N && self.model.has_velocity {
                START_SPEED_SD_M_S * START_SPEED_SD_M_S
            } else {
                noise.density * self.model.fade_s / 2.0
            };
        }
        belief
    }

    /// The log-likelihood of the series, with each surprise capped so that wild fixes do not set the noise level.
    pub(super) fn log_likelihood(&self, noise: Noise) -> f64 {
        self.log_likelihood_after(noise, 0)
    }

    /// The same of what follows the first `settling` observations.
    pub(super) fn log_likelihood_after(&self, noise: Noise, settling: usize) -> f64 {
        const MOST: f64 = 16.0;
        let mut belief = self.start(noise);
        let mut sum = 0.0;
        let mut seen = 0;
        for node in 0..self.kind_of.len() {
            if node > 0 {
                belief = kalman::predict(&belief, self.step(node), noise.density);
            }
            if let Some(observed) = self.series.observed(node) {
                let (updated, innovation) = kalman::update(&belief, observed, noise.variance);
                if seen >= settling {
                    let surprise = innovation.normalised_squared().min(MOST);
                    sum -= 0.5 * (surprise + M as f64 * innovation.variance.ln());
                }
                seen += 1;
                belief = updated;
            }
        }
        sum
    }

    /// Smooths with the noise levels as they stand, then `adaptations` times more with levels that follow the data. What `state` makes of
    /// each node, and the levels.
    pub(super) fn smooth<const K: usize>(
        &self,
        noise: Noise,
        adaptations: usize,
        state: impl Fn(&Smoothed<'_, N, M>) -> [f64; K],
    ) -> (States, Levels) {
        let count = self.kind_of.len();
        let mut levels = Levels {
            noise,
            variances: vec![noise.variance; count],
            densities: vec![noise.density; count],
        };
        let mut nodes = Nodes::with_capacity(count);
        for _ in 0..adaptations {
            self.filter(&levels, &mut nodes);
            self.smooth_back(&mut nodes, &mut levels, |node, smoothed, levels| {
                if let Some(observed) = self.series.observed(node) {
                    levels.variances[node] =
                        heavy_tailed(observed, &smoothed.mean(0), noise.variance);
                }
                [squared(&smoothed.mean(N - 1)) / M as f64 + smoothed.variance(N - 1)]
            });
            self.adapt_densities(noise.density, nodes.made::<1>(), &mut levels.densities);
        }
        let states = self.smooth_in(nodes, &mut levels, state);
        (states, levels)
    }

    /// What `state` makes of each node, smoothed with levels that were found before, maybe for another model.
    pub(super) fn smooth_at<const K: usize>(
        &self,
        levels: &mut Levels,
        state: impl Fn(&Smoothed<'_, N, M>) -> [f64; K],
    ) -> States {
        self.smooth_in(Nodes::with_capacity(self.kind_of.len()), levels, state)
    }

    fn smooth_in<const K: usize>(
        &self,
        mut nodes: Nodes<N, M>,
        levels: &mut Levels,
        state: impl Fn(&Smoothed<'_, N, M>) -> [f64; K],
    ) -> States {
        self.filter(levels, &mut nodes);
        self.smooth_back(&mut nodes, levels, |_, smoothed, _| state(smoothed));
        nodes.into_states::<K>()
    }

    fn filter(&self, levels: &Levels, nodes: &mut Nodes<N, M>) {
        let mut belief = self.start(levels.noise);
        nodes.clear();
        for node in 0..self.kind_of.len() {
            if node > 0 {
                belief = kalman::predict(&belief, self.step(node), levels.densities[node]);
            }
            let mut innovation = None;
            if let Some(observed) = self.series.observed(node) {
                let (updated, said) = kalman::update(&belief, observed, levels.variances[node]);
                (belief, innovation) = (updated, Some(said));
            }
            nodes.push(&belief, innovation.as_ref());
        }
    }

    /// Makes numbers of each node as all observations tell it, from the last to the first; the levels of a node that was shown may be
    /// changed.
    fn smooth_back<const K: usize>(
        &self,
        nodes: &mut Nodes<N, M>,
        levels: &mut Levels,
        mut make: impl FnMut(usize, &Smoothed<'_, N, M>, &mut Levels) -> [f64; K],
    ) {
        let mut later = Adjoint::last();
        nodes.made_backwards(|node, here| {
            let variance = levels.variances[node];
            let made = make(node, &later.smoothed(&here.belief), levels);
            if self.series.observed(node).is_some() {
                later.before_observation(&here.belief, &here.innovation, variance);
            }
            later.before_step(self.step(node));
            made
        });
    }

    /// Makes of the energy of the acceleration at each node the process noise there, by its mean around the node.
    fn adapt_densities(&self, usual: f64, energies: &[f64], densities: &mut [f64]) {
        let stationary = usual * self.model.fade_s / 2.0;
        let times_s = self.series.times_s();
        // Sums of energy x time, and of time, from the first node to both ends of a window make its mean one division.
        let add = |(weighted, time_s): (f64, f64), node: usize| {
            let dt_s = if node == 0 {
                0.0
            } else {
                times_s[node] - times_s[node - 1]
            };
            (weighted + energies[node] * dt_s, time_s + dt_s)
        };
        let (mut from, mut to) = (0, 0);
        let (mut before, mut within) = ((0.0, 0.0), (0.0, 0.0));
        for (node, density) in densities.iter_mut().enumerate() {
            while times_s[from] < times_s[node] - ENERGY_REACH_S {
                before = add(before, from);
                from += 1;
            }
            while to < energies.len() && times_s[to] <= times_s[node] + ENERGY_REACH_S {
                within = add(within, to);
                to += 1;
            }
            let time_s = within.1 - before.1;
            *density = if time_s > 0.0 {
                let energy = (within.0 - before.0) / time_s;
                usual * (energy / stationary).clamp(LEAST_SHARE, MOST_SHARE)
            } else {
                usual
            };
        }
    }
}

/// The variance of an observation, by how far it lies from the smoothed path: Student's t as a mixture of normals.
fn heavy_tailed<const M: usize>(observed: &[f64; M], smoothed: &[f64; M], usual: f64) -> f64 {
    let off: [f64; M] = std::array::from_fn(|axis| observed[axis] - smoothed[axis]);
    let off = squared(&off) / M as f64;
    usual * ((T_FREEDOM + off / usual) / (T_FREEDOM + 1.0)).max(1.0)
}
