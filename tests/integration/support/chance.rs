//! Chance with a seed.

/// Numbers of a linear congruential generator with the constants of Knuth's MMIX.
pub struct Chance(u64);

impl Chance {
    /// Always the same from one seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// A number from 0 to 1.
    pub fn next(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}
