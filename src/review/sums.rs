//! Sums of looks, with the exponentials of their differences ready: each tick's is worked out once, not once for each
//! duration that ends there. What a tick tells as a border, where a stretch begins or ends there, is in them as well.

/// Exponentials are kept relative to the first tick of each such stretch, so that they stay in range.
const CHUNK: usize = 64;
/// The exponent within a chunk, and from one to the next, is held to this.
const WIDEST: f64 = 300.0;

/// The logarithm of a sum of exponentials.
pub(super) fn log_sum(values: &[f64]) -> f64 {
    let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if most == f64::NEG_INFINITY {
        return most;
    }
    most + values.iter().map(|v| (v - most).exp()).sum::<f64>().ln()
}

/// Sums from the first tick to the end of each, that end included.
#[derive(Clone, Debug)]
pub(super) struct Sums {
    totals: Vec<f64>,
    /// `exp` of each sum less that at the start of its chunk, with what it tells as an end; the inverse, with what it tells as a
    /// beginning.
    up: Vec<f64>,
    down: Vec<f64>,
    /// `exp` of the sum at the start of each chunk less that at the start of the one before.
    steps: Vec<f64>,
}

impl Sums {
    /// Adds values up.
    pub(crate) fn of(values: impl Iterator<Item = f64>) -> Self {
        Self::between(values, |_| 0.0, |_| 0.0)
    }

    /// Adds values up; a stretch also earns what its borders tell, by the tick at which it begins and that up to which it goes on.
    pub(crate) fn between(
        values: impl Iterator<Item = f64>,
        begins: impl Fn(usize) -> f64,
        ends: impl Fn(usize) -> f64,
    ) -> Self {
        let mut sum = 0.0;
        let sums: Vec<f64> = std::iter::once(0.0)
            .chain(values.map(|v| {
                sum += v;
                sum
            }))
            .collect();
        let bounded = |exponent: f64| exponent.clamp(-WIDEST, WIDEST).exp();
        let in_chunk = |t: usize| sums[t] - sums[t - t % CHUNK];
        Self {
            up: (0..sums.len())
                .map(|t| bounded(in_chunk(t) + ends(t)))
                .collect(),
            down: (0..sums.len())
                .map(|t| bounded(begins(t) - in_chunk(t)))
                .collect(),
            steps: (0..sums.len())
                .step_by(CHUNK)
                .map(|t| bounded(sums[t] - sums[t.saturating_sub(CHUNK)]))
                .collect(),
            totals: (0..sums.len()).map(|t| sums[t] + ends(t)).collect(),
        }
    }

    /// The sum up to the end of a tick.
    pub(crate) fn at(&self, tick: usize) -> f64 {
        self.totals[tick]
    }

    /// The sums of all ticks.
    pub(crate) fn all(&self) -> &[f64] {
        &self.totals
    }

    /// For each tick from the first of a chunk on the exponential of its sum less that of the chunk's first, into `out`.
    pub(crate) fn rising(&self, chunk: usize, out: &mut Vec<f64>, ticks: usize) {
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
    pub(crate) fn down(&self, tick: usize) -> f64 {
        self.down[tick]
    }

    /// The exponentials of the sum at a tick less those at 0, 1, 2 … ticks before it.
    pub(crate) fn back(&self, tick: usize) -> impl Iterator<Item = f64> + '_ {
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
    pub(crate) const fn chunk() -> usize {
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

    #[test]
    fn borders_count_where_a_stretch_begins_and_ends() {
        let value = |t: usize| (t as f64 / 9.0).sin();
        let begins = |t: usize| 0.01 * t as f64;
        let ends = |t: usize| -0.3 * f64::from(u8::from(t.is_multiple_of(7)));
        let sums = Sums::between((0..300).map(value), begins, ends);
        let told = |from: usize, to: usize| {
            ((from..to).map(value).sum::<f64>() + begins(from) + ends(to)).exp()
        };
        for (d, back) in sums.back(252).enumerate() {
            assert!((back / told(252 - d, 252) - 1.0).abs() < 1e-9, "{d}");
        }
        let mut rising = Vec::new();
        sums.rising(1, &mut rising, 200);
        for (k, up) in rising.iter().enumerate() {
            let up = up * sums.down(CHUNK + 3);
            assert!(
                (up / told(CHUNK + 3, CHUNK + k) - 1.0).abs() < 1e-9 || k < 3,
                "{k}"
            );
        }
        assert!((sums.at(70).exp() / told(0, 70) - 1.0).abs() < 1e-9);
    }
}
