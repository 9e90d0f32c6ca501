//! A measured quantity with its 95 % interval.

/// The half-width of a 95 % interval of a normal distribution, in standard deviations.
pub const Z95: f64 = 1.959_963_984_540_054;

/// A value with the interval that holds the truth in 95 % of cases. The unit is the field's that holds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measured {
    /// The best single value.
    pub value: f64,
    /// Lower end of the 95 % interval, at most `value`.
    pub low: f64,
    /// Upper end of the 95 % interval, at least `value`.
    pub high: f64,
}

impl Measured {
    /// A value whose error is normal with standard deviation `sd`.
    #[must_use]
    pub fn normal(value: f64, sd: f64) -> Self {
        let half = Z95 * sd.abs();
        Self {
            value,
            low: value - half,
            high: value + half,
        }
    }

    /// A value with the interval given; the ends are moved to enclose the value where they do not.
    #[must_use]
    pub fn within(value: f64, low: f64, high: f64) -> Self {
        Self {
            value,
            low: low.min(value),
            high: high.max(value),
        }
    }

    /// The mean of some values; `None` of nothing.
    ///
    /// # Definition
    /// Their errors, as those of the reps of one recording, are taken as the same error: the half-width of the mean is the mean
    /// half-width. Where they are independent in part, that is on the safe side.
    pub(crate) fn mean(values: impl Iterator<Item = Self>) -> Option<Self> {
        let values: Vec<Self> = values.collect();
        let n = values.len() as f64;
        let mean = |of: fn(&Self) -> f64| values.iter().map(of).sum::<f64>() / n;
        (!values.is_empty())
            .then(|| Self::within(mean(|m| m.value), mean(|m| m.low), mean(|m| m.high)))
    }

    /// The same with both ends and the value at or above `floor`: a distance or a speed is never negative.
    #[must_use]
    pub(crate) fn at_least(self, floor: f64) -> Self {
        Self {
            value: self.value.max(floor),
            low: self.low.max(floor),
            high: self.high.max(floor),
        }
    }

    /// The same with an interval that reaches so much lower and so much higher; neither may be negative.
    #[must_use]
    pub(crate) fn reaching(self, lower: f64, higher: f64) -> Self {
        Self {
            low: self.low - lower,
            high: self.high + higher,
            ..self
        }
    }

    /// The value and both ends times `factor`, which must be positive.
    #[must_use]
    pub fn scaled(self, factor: f64) -> Self {
        Self {
            value: self.value * factor,
            low: self.low * factor,
            high: self.high * factor,
        }
    }

    /// The same with its sign turned.
    #[must_use]
    pub(crate) fn turned(self) -> Self {
        Self {
            value: -self.value,
            low: -self.high,
            high: -self.low,
        }
    }

    /// Whether the value and both ends are numbers.
    #[must_use]
    pub(crate) fn is_finite(&self) -> bool {
        self.low.is_finite() && self.value.is_finite() && self.high.is_finite()
    }

    /// Whether the interval holds `truth`.
    #[must_use]
    pub fn holds(&self, truth: f64) -> bool {
        self.low <= truth && truth <= self.high
    }

    /// Upper end less lower end.
    #[must_use]
    pub fn width(&self) -> f64 {
        self.high - self.low
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mean_is_no_surer_than_its_parts() {
        let values = [
            Measured::within(8.0, 7.9, 8.3),
            Measured::within(9.0, 8.7, 9.1),
        ];
        let mean = Measured::mean(values.into_iter()).expect("two values");
        assert!((mean.value - 8.5).abs() < 1e-12);
        assert!((mean.low - 8.3).abs() < 1e-12 && (mean.high - 8.7).abs() < 1e-12);
        assert_eq!(Measured::mean(std::iter::empty()), None);
    }
}
