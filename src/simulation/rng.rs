//! Random numbers that are the same on every machine for a seed.

use std::f64::consts::TAU;

/// A small generator of random numbers: xoshiro256++, seeded by `splitmix64`.
///
/// Integers are the same on every platform; normal draws pass through `ln` and `cos`, whose last bits may differ.
///
/// ## References
/// Blackman and Vigna (2021), Scrambled linear pseudorandom number generators, ACM TOMS 47:36, 10.1145/3460772.
#[derive(Clone, Debug)]
pub struct Rng {
    state: [u64; 4],
    spare: Option<f64>,
}

impl Rng {
    /// The generator of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        let mut z = seed;
        let state = std::array::from_fn(|_| {
            z = z.wrapping_add(0x9e37_79b9_7f4a_7c15);
            let mut s = z;
            s = (s ^ (s >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
            s = (s ^ (s >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
            s ^ (s >> 31)
        });
        Self { state, spare: None }
    }

    /// An independent generator for one purpose, so that more draws in one place leave the others as they were.
    #[must_use]
    pub fn stream(seed: u64, purpose: u64) -> Self {
        let mut rng = Self::new(purpose);
        let salt = rng.next_u64();
        Self::new(seed ^ salt)
    }

    /// 64 random bits.
    fn next_u64(&mut self) -> u64 {
        let s = &mut self.state;
        let result = s[0].wrapping_add(s[3]).rotate_left(23).wrapping_add(s[0]);
        let t = s[1] << 17;
        s[2] ^= s[0];
        s[3] ^= s[1];
        s[1] ^= s[2];
        s[0] ^= s[3];
        s[2] ^= t;
        s[3] = s[3].rotate_left(45);
        result
    }

    /// Uniform in `0 <= u && u < 1`.
    fn uniform(&mut self) -> f64 {
        (self.next_u64() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Uniform between two bounds.
    pub fn range(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.uniform()
    }

    /// Standard normal (Box and Muller 1958).
    pub fn normal(&mut self) -> f64 {
        if let Some(z) = self.spare.take() {
            return z;
        }
        let radius = (-2.0 * (1.0 - self.uniform()).ln()).sqrt();
        let angle = TAU * self.uniform();
        self.spare = Some(radius * angle.sin());
        radius * angle.cos()
    }

    /// Normal, cut off at two standard deviations so that one draw cannot spoil a scenario.
    pub(crate) fn scatter(&mut self) -> f64 {
        self.normal().clamp(-2.0, 2.0)
    }

    /// Exponential with the mean given.
    pub(crate) fn exponential(&mut self, mean: f64) -> f64 {
        -mean * (1.0 - self.uniform()).ln()
    }

    /// True with probability `p`.
    pub(crate) fn chance(&mut self, p: f64) -> bool {
        self.uniform() < p
    }

    /// A whole number in `low <= n && n <= high`.
    pub(crate) fn whole(&mut self, low: u32, high: u32) -> u32 {
        let span = u64::from(high.saturating_sub(low)) + 1;
        // The modulo bias of so small a span against 2^64 is far below anything that matters here.
        low + u32::try_from(self.next_u64() % span).unwrap_or(0)
    }

    /// One of the choices; `None` when there are none.
    pub(crate) fn pick<'a, T>(&mut self, choices: &'a [T]) -> Option<&'a T> {
        if choices.is_empty() {
            return None;
        }
        let last = u32::try_from(choices.len() - 1).unwrap_or(u32::MAX);
        choices.get(self.whole(0, last) as usize)
    }

    /// The number of one of some weights, each as likely as it is large; 0 when there are none.
    pub(crate) fn weighted(&mut self, weights: &[f64]) -> usize {
        let mut left = self.uniform() * weights.iter().sum::<f64>();
        for (number, weight) in weights.iter().enumerate() {
            left -= weight;
            if left < 0.0 {
                return number;
            }
        }
        0
    }

    /// One of two values, the first with probability `p`.
    pub(crate) fn either<T>(&mut self, p: f64, first: T, second: T) -> T {
        if self.chance(p) { first } else { second }
    }
}

/// 0, or with probability `p` a value between two bounds.
pub(super) fn sometimes(rng: &mut Rng, p: f64, low: f64, high: f64) -> f64 {
    if rng.chance(p) {
        rng.range(low, high)
    } else {
        0.0
    }
}

#[cfg(test)]
mod tests {
    use super::Rng;

    #[test]
    fn a_seed_repeats_and_another_differs() {
        let draw = |seed| {
            let mut rng = Rng::new(seed);
            [rng.next_u64(), rng.next_u64(), rng.next_u64()]
        };
        assert_eq!(draw(7), draw(7));
        assert_ne!(draw(7), draw(8));
    }

    #[test]
    fn normal_draws_have_mean_0_and_variance_1() {
        let mut rng = Rng::new(1);
        let n = 100_000;
        let (mut sum, mut squares) = (0.0, 0.0);
        for _ in 0..n {
            let z = rng.normal();
            sum += z;
            squares += z * z;
        }
        let mean = sum / f64::from(n);
        // Five standard errors of the mean (1/sqrt n) and of the variance (sqrt 2/sqrt n).
        assert!(mean.abs() < 0.016, "{mean}");
        assert!((squares / f64::from(n) - 1.0).abs() < 0.023);
    }

    #[test]
    fn whole_numbers_reach_both_ends() {
        let mut rng = Rng::new(3);
        let draws: Vec<u32> = (0..200).map(|_| rng.whole(2, 4)).collect();
        assert!((2..=4).all(|n| draws.contains(&n)));
        assert!(draws.iter().all(|n| (2..=4).contains(n)));
    }
}
