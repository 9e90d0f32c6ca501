//! Sums of looks, with the exponentials of their differences ready: each tick's is worked out once, not once for each
//! duration that ends there.

/// Exponentials are kept relative to the first tick of each such stretch, so that they stay in range.
const CHUNK: usize = 64;
/// The exponent within a chunk, and from one to the next, is held to this.
const WIDEST: f64 = 300.0;

/// Sums from the first tick to the end of each.
#[derive(Clone, Debug)]
pub(super) struct Sums {
    totals: Vec<f64>,
    /// `exp` of each sum less that at the start of its chunk, and its inverse.
    up: Vec<f64>,
    down: Vec<f64>,
    /// `exp` of the sum at the start of each chunk less that at the start of the one before.
    steps: Vec<f64>,
}

impl Sums {
    /// Adds values up.
    pub fn of(values: impl Iterator<Item = f64>) -> Self {
        let mut sum = 0.0;
        let sums: Vec<f64> = std::iter::once(0.0)
            .chain(values.map(|v| {
                sum += v;
                sum
            }))
            .collect();
        let bounded = |exponent: f64| exponent.clamp(-WIDEST, WIDEST).exp();
        let up: Vec<f64> = (0..sums.len())
            .map(|t| bounded(sums[t] - sums[t - t % CHUNK]))
            .collect();
        Self {
            down: up.iter().map(|u| 1.0 / u).collect(),
            steps: (0..sums.len())
                .step_by(CHUNK)
                .map(|t| bounded(sums[t] - sums[t.saturating_sub(CHUNK)]))
                .collect(),
            up,
            totals: sums,
        }
    }

    /// The sum up to the end of a tick.
    pub fn at(&self, tick: usize) -> f64 {
        self.totals[tick]
    }

    /// The sums of all ticks.
    pub fn all(&self) -> &[f64] {
        &self.totals
    }

    /// For each tick from the first of a chunk on the exponential of its sum less that of the chunk's first, into `out`.
    pub fn rising(&self, chunk: usize, out: &mut Vec<f64>, ticks: usize) {
        out.clear();
        let mut factor = 1.0;
        for t in chunk * CHUNK..(chunk * CHUNK + ticks).min(self.up.len()) {
            if t.is_multiple_of(CHUNK) && t > chunk * CHUNK {
                factor *= self.steps[t / CHUNK];
            }
            out.push(factor * self.up[t]);
        }
    }

    /// The exponential of the sum at the first tick of a tick's chunk less that at the tick.
    pub fn down(&self, tick: usize) -> f64 {
        self.down[tick]
    }

    /// The exponentials of the sum at a tick less those at 0, 1, 2 … ticks before it.
    pub fn back(&self, tick: usize) -> impl Iterator<Item = f64> + '_ {
        let mut factor = self.up[tick];
        (0..=tick).map(move |d| {
            let t = tick - d;
            let ratio = factor * self.down[t];
            if t.is_multiple_of(CHUNK) {
                factor *= self.steps[t / CHUNK];
            }
            ratio
        })
    }

    /// Length of a chunk, in ticks.
    pub const fn chunk() -> usize {
        CHUNK
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn differences_are_those_of_the_sums() {
        let sums = Sums::of((0..300).map(|t| (f64::from(t) / 9.0).sin()));
        let ratio = |from: usize, to: usize| (sums.at(to) - sums.at(from)).exp();
        for (d, back) in sums.back(250).enumerate() {
            assert!((back / ratio(250 - d, 250) - 1.0).abs() < 1e-9, "{d}");
        }
        let mut rising = Vec::new();
        sums.rising(1, &mut rising, 200);
        for (k, up) in rising.iter().enumerate() {
            assert!((up / ratio(CHUNK, CHUNK + k) - 1.0).abs() < 1e-9, "{k}");
        }
        assert!((sums.down(100) / ratio(100, CHUNK) - 1.0).abs() < 1e-9);
    }
}
