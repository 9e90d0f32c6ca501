//! Rows: the weight of all accounts of the recording up to each tick, and how weight passes on through work and rest.

use crate::review::kernel::Kernel;

/// Weights by tick, as parts of `exp(scale)`; the largest is 1.
#[derive(Clone, Debug)]
pub(super) struct Row {
    /// Logarithm of what 1 stands for; -infinity where nothing is possible.
    pub scale: f64,
    /// The weights.
    pub weights: Vec<f32>,
}

/// Weights smaller than this part of the largest are left out.
const LEAST: f64 = 1e-26;
/// Sums of looks are taken from a tick at most so far off, so that their exponentials stay in range.
const CHUNK: usize = 256;
/// The exponent of a look over a chunk and a duration is held to this.
const WIDEST: f64 = 300.0;

impl Row {
    /// No account at all.
    pub fn nothing(ticks: usize) -> Self {
        Self {
            scale: f64::NEG_INFINITY,
            weights: vec![0.0; ticks + 1],
        }
    }

    /// Weights as parts of `exp(scale)`, of any size.
    pub fn of(scale: f64, weights: &[f64]) -> Self {
        let largest = weights.iter().copied().fold(0.0, f64::max);
        if largest <= 0.0 || !largest.is_finite() || scale == f64::NEG_INFINITY {
            return Self::nothing(weights.len().saturating_sub(1));
        }
        Self {
            scale: scale + largest.ln(),
            weights: (weights.iter())
                .map(|w| w / largest)
                .map(|w| if w < LEAST { 0.0 } else { w as f32 })
                .collect(),
        }
    }

    /// The sum of rows, each times `exp(factor)`.
    pub fn sum(ticks: usize, parts: &[(&Self, f64)]) -> Self {
        let scale = parts
            .iter()
            .map(|(row, factor)| row.scale + factor)
            .fold(f64::NEG_INFINITY, f64::max);
        if scale == f64::NEG_INFINITY {
            return Self::nothing(ticks);
        }
        let mut sum = vec![0.0; ticks + 1];
        for (row, factor) in parts {
            let part = (row.scale + factor - scale).exp();
            if part > 0.0 {
                for (sum, weight) in sum.iter_mut().zip(&row.weights) {
                    *sum += part * f64::from(*weight);
                }
            }
        }
        Self::of(scale, &sum)
    }

    /// The weight of a tick, as part of `exp(scale)`.
    pub fn at(&self, tick: usize) -> f64 {
        self.weights.get(tick).copied().map_or(0.0, f64::from)
    }

    /// The weight of a tick, as part of `exp(scale)` given.
    pub fn part(&self, tick: usize, scale: f64) -> f64 {
        let weight = self.at(tick);
        if weight > 0.0 {
            weight * (self.scale - scale).exp()
        } else {
            0.0
        }
    }
}

/// What is spent from tick to tick: so long with such a look. Parts of the row's own scale.
pub(super) fn spend(from: &Row, kernel: &Kernel, look: &[f64], out: &mut [f64]) {
    let ticks = out.len() - 1;
    let longest = kernel.longest();
    let mut spent = Vec::new();
    let mut begin = 0;
    while begin <= ticks {
        let end = (begin + CHUNK).min(ticks + 1);
        let sources = &from.weights[begin..end];
        if sources.iter().all(|w| *w <= 0.0) {
            begin = end;
            continue;
        }
        let room = (end + longest).min(ticks + 1) - begin;
        spent.clear();
        spent.resize(room, 0.0_f64);
        for (k, weight) in sources.iter().enumerate().filter(|(_, w)| **w > 0.0) {
            let weight = f64::from(*weight) * bounded(look[begin] - look[begin + k]).exp();
            let Some(into) = spent.get_mut(k + kernel.from..) else {
                continue;
            };
            for (into, duration) in into.iter_mut().zip(&kernel.weights) {
                *into += weight * duration;
            }
        }
        for (k, spent) in spent.iter().enumerate().filter(|(_, s)| **s > 0.0) {
            out[begin + k] += spent * bounded(look[begin + k] - look[begin]).exp();
        }
        begin = end;
    }
}

fn bounded(exponent: f64) -> f64 {
    exponent.clamp(-WIDEST, WIDEST)
}

/// What begins at a tick and may go on for any time, at a price a tick and for all that `fast` sums up.
pub(super) fn linger(from: &Row, enter: f64, price: f64, fast: &[f64], out: &mut [f64]) {
    let enter = (-enter).exp();
    let mut lingering = 0.0;
    for (t, out) in out.iter_mut().enumerate() {
        if t > 0 {
            lingering *= (-price - (fast[t] - fast[t - 1])).exp();
        }
        lingering += enter * from.at(t);
        *out += lingering;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::review::expect::Guess;

    /// Passing weight on by chunks is the sum over all pairs of ticks.
    #[test]
    fn spending_is_the_sum_over_all_durations() {
        let ticks = 700;
        let look: Vec<f64> = (0..=ticks).map(|t| 5.0 * (t as f64 / 37.0).sin()).collect();
        let weights: Vec<f64> = (0..=ticks)
            .map(|t| f64::from(u8::from(t % 7 == 0)))
            .collect();
        let row = Row::of(0.0, &weights);
        let kernel = Kernel::rest(Guess::new(30.0, 0.2), 1.0, ticks);
        let mut out = vec![0.0; ticks + 1];
        spend(&row, &kernel, &look, &mut out);
        for t in [0, 5, 40, 256, 300, 699] {
            let all: f64 = (0..=t)
                .map(|s| row.at(s) * kernel.at(t - s) * (look[t] - look[s]).exp())
                .sum();
            assert!((out[t] - all).abs() <= 1e-9 * all.max(1e-12), "{t}");
        }
    }
}
