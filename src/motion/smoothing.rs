//! One adaptive smoother for positions and for speeds.
//!
//! A first pass with one noise level for all shows where the fixes are better or worse than that and where the player
//! moves hard or stands. Later passes weigh each fix as Student's t would, and let the process noise follow the motion:
//! stiff while he stands, loose in a sprint.

use std::collections::HashMap;

use nalgebra::SMatrix;

use crate::estimation::kalman::{self, Belief, Transition};
use crate::estimation::kinematic::Process;
use crate::estimation::rts;

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

/// Observations of the first state component over time.
#[derive(Clone, Debug, Default)]
pub(super) struct Series<const M: usize> {
    /// Increasing, s.
    pub(super) times_s: Vec<f64>,
    /// `None` where only the state is wanted.
    pub(super) observed: Vec<Option<SMatrix<f64, 1, M>>>,
}

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
    series: &'a Series<M>,
    model: Model<N>,
    kinds: Vec<Transition<N>>,
    /// For each node the kind of the step that leads to it.
    kind_of: Vec<u32>,
}

impl<'a, const N: usize, const M: usize> Prepared<'a, N, M> {
    pub(super) fn new(series: &'a Series<M>, model: Model<N>) -> Self {
        let mut known: HashMap<i64, u32> = HashMap::new();
        let mut kinds = Vec::new();
        let mut kind_of = Vec::with_capacity(series.times_s.len());
        let mut before_s = None;
        let mut last = None;
        for &time_s in &series.times_s {
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

    fn step(&self, node: usize, density: f64) -> Transition<N> {
        let unit = &self.kinds[self.kind_of[node] as usize];
        Transition {
            f: unit.f,
            q: unit.q * density,
        }
    }

    fn start(&self, noise: Noise) -> Belief<N, M> {
        let first = self
            .series
            .observed
            .iter()
            .flatten()
            .next()
            .copied()
            .unwrap_or_else(SMatrix::zeros);
        let mut belief = Belief {
            mean: SMatrix::<f64, N, M>::zeros(),
            covariance: SMatrix::<f64, N, N>::zeros(),
        };
        for i in 0..N {
            belief.covariance[(i, i)] = if i < self.model.observed_components {
                belief.mean.set_row(i, &first);
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
        for node in 0..self.series.times_s.len() {
            if node > 0 {
                belief = kalman::predict(&belief, &self.step(node, noise.density));
            }
            if let Some(observed) = &self.series.observed[node] {
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

    /// Smooths with the noise levels as they stand, then `adaptations` times more with levels that follow the data.
    pub(super) fn smooth(&self, noise: Noise, adaptations: usize) -> (Vec<Belief<N, M>>, Levels) {
        let n = self.series.times_s.len();
        let mut levels = Levels {
            noise,
            variances: vec![noise.variance; n],
            densities: vec![noise.density; n],
        };
        let mut beliefs = self.smooth_at(&levels);
        for _ in 0..adaptations {
            self.adapt_variances(&beliefs, noise.variance, &mut levels.variances);
            self.adapt_densities(&beliefs, noise.density, &mut levels.densities);
            self.smooth_into(&levels, &mut beliefs);
        }
        (beliefs, levels)
    }

    /// Smooths with levels that were found before, maybe for another model.
    pub(super) fn smooth_at(&self, levels: &Levels) -> Vec<Belief<N, M>> {
        let mut beliefs = Vec::with_capacity(self.series.times_s.len());
        self.smooth_into(levels, &mut beliefs);
        beliefs
    }

    fn smooth_into(&self, levels: &Levels, beliefs: &mut Vec<Belief<N, M>>) {
        self.filter(levels, beliefs);
        rts::smooth(beliefs, |node| self.step(node, levels.densities[node]));
    }

    fn filter(&self, levels: &Levels, filtered: &mut Vec<Belief<N, M>>) {
        filtered.clear();
        let mut belief = self.start(levels.noise);
        for node in 0..self.series.times_s.len() {
            if node > 0 {
                belief = kalman::predict(&belief, &self.step(node, levels.densities[node]));
            }
            if let Some(observed) = &self.series.observed[node] {
                belief = kalman::update(&belief, observed, levels.variances[node]).0;
            }
            filtered.push(belief);
        }
    }

    /// Student's t as a mixture of normals: a fix far from the smoothed path gets a larger variance.
    fn adapt_variances(&self, beliefs: &[Belief<N, M>], usual: f64, variances: &mut [f64]) {
        for ((belief, observed), variance) in
            beliefs.iter().zip(&self.series.observed).zip(variances)
        {
            if let Some(observed) = observed {
                let off = (observed - belief.mean.row(0)).norm_squared() / M as f64;
                *variance = usual * ((T_FREEDOM + off / usual) / (T_FREEDOM + 1.0)).max(1.0);
            }
        }
    }

    /// Sets the process noise by the mean energy of the acceleration around each node.
    fn adapt_densities(&self, beliefs: &[Belief<N, M>], usual: f64, densities: &mut [f64]) {
        let stationary = usual * self.model.fade_s / 2.0;
        let times_s = &self.series.times_s;
        // Prefix sums of energy x time make each window's mean two look-ups.
        let mut sums = Vec::with_capacity(beliefs.len() + 1);
        sums.push((0.0, 0.0));
        for (node, belief) in beliefs.iter().enumerate() {
            let energy = belief.mean.row(N - 1).norm_squared() / M as f64
                + belief.covariance[(N - 1, N - 1)];
            let dt_s = if node == 0 {
                0.0
            } else {
                times_s[node] - times_s[node - 1]
            };
            let (weighted, time) = sums[node];
            sums.push((weighted + energy * dt_s, time + dt_s));
        }
        let (mut from, mut to) = (0, 0);
        for node in 0..beliefs.len() {
            while times_s[from] < times_s[node] - ENERGY_REACH_S {
                from += 1;
            }
            while to < beliefs.len() && times_s[to] <= times_s[node] + ENERGY_REACH_S {
                to += 1;
            }
            let time = sums[to].1 - sums[from].1;
            if time > 0.0 {
                let energy = (sums[to].0 - sums[from].0) / time;
                densities[node] = usual * (energy / stationary).clamp(LEAST_SHARE, MOST_SHARE);
            }
        }
    }
}
