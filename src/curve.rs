//! The mono-exponential sprint from rest.

/// Speed that rises from rest towards a limit: `v(t) = vmax (1 - exp(-t / tau))`.
///
/// # Units
/// Speeds in m/s, times in s from the start of the movement, distances in m.
///
/// # Examples
/// ```
/// use repledger::profile::Curve;
///
/// let curve = Curve { vmax_m_s: 9.0, tau_s: 1.2 };
/// assert_eq!(curve.start_acceleration_m_s2(), 7.5);
/// assert!((curve.time_s(15.0) - 2.7448).abs() < 1e-4);
/// ```
///
/// # References
/// Furusawa, Hill and Parkinson (1927), Proc R Soc B 102:29.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Curve {
    /// The speed that the sprint tends to, m/s.
    pub vmax_m_s: f64,
    /// The time after which 63.2 % of it is reached, s.
    pub tau_s: f64,
}

/// The sprint of a footballer of whom nothing is known, as each stage takes it. Common practice is 7.0 to 9.6 m/s and 1.0 to 1.4 s,
/// with 1.1 s for a team-sport group (Hoppe et al. 2018, `PLoS` One, doi:10.1371/journal.pone.0192708). The stages differ by less than
/// players do; one for all would change what plans and reviews say by tenths.
impl Curve {
    /// Whom a plan is laid out for.
    pub(crate) const PLANNED: Self = Self {
        vmax_m_s: 8.0,
        tau_s: 1.1,
    };
    /// Whom a review expects.
    pub(crate) const EXPECTED: Self = Self {
        vmax_m_s: 8.3,
        tau_s: 1.15,
    };
    /// Whom the fit of a curve begins with.
    pub(crate) const PRIOR: Self = Self {
        vmax_m_s: 8.4,
        tau_s: 1.2,
    };
}

impl Curve {
    /// Speed a time after the start; 0 before it.
    #[must_use]
    pub fn speed_m_s(self, time_s: f64) -> f64 {
        self.vmax_m_s * -(-time_s.max(0.0) / self.tau_s).exp_m1()
    }

    /// Acceleration a time after the start; 0 before it.
    #[must_use]
    pub(crate) fn acceleration_m_s2(self, time_s: f64) -> f64 {
        if time_s < 0.0 {
            0.0
        } else {
            self.start_acceleration_m_s2() * (-time_s / self.tau_s).exp()
        }
    }

    /// Acceleration at the start, `vmax / tau`.
    #[must_use]
    pub fn start_acceleration_m_s2(self) -> f64 {
        self.vmax_m_s / self.tau_s
    }

    /// Distance run a time after the start, `vmax (t - tau (1 - exp(-t / tau)))`.
    #[must_use]
    pub fn distance_m(self, time_s: f64) -> f64 {
        let time_s = time_s.max(0.0);
        self.vmax_m_s * (time_s + self.tau_s * (-time_s / self.tau_s).exp_m1())
    }

    /// Time to run a distance, by Newton's method on a convex function from its far side, which cannot overshoot.
    #[must_use]
    pub fn time_s(self, distance_m: f64) -> f64 {
        const ROUNDS: usize = 60;
        const NEAR_M: f64 = 1e-10;
        if distance_m <= 0.0 {
            return 0.0;
        }
        let mut time_s = distance_m / self.vmax_m_s + self.tau_s;
        for _ in 0..ROUNDS {
            let over_m = self.distance_m(time_s) - distance_m;
            if over_m.abs() < NEAR_M {
                break;
            }
            time_s -= over_m / self.speed_m_s(time_s).max(f64::MIN_POSITIVE);
        }
        time_s
    }

    /// Distance at which a share of the limit is reached, `vmax tau (-ln(1 - share) - share)`.
    #[must_use]
    pub fn distance_of_share_m(self, share: f64) -> f64 {
        self.vmax_m_s * self.tau_s * (-(-share).ln_1p() - share)
    }

    /// Speed as a receiver shows it whose filter of first order is late by `lag_s`.
    pub(crate) fn lagged_speed_m_s(self, time_s: f64, lag_s: f64) -> f64 {
        // Equal time constants divide nothing by nothing; a hair beside them the formula is as good as its limit.
        let lag_s = if (lag_s - self.tau_s).abs() < 1e-6 {
            lag_s + 1e-5
        } else {
            lag_s
        };
        let time_s = time_s.max(0.0);
        let left = self.tau_s * (-time_s / self.tau_s).exp() - lag_s * (-time_s / lag_s).exp();
        self.vmax_m_s * (1.0 - left / (self.tau_s - lag_s))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked out from the formula with another program, to the decimals given.
    #[test]
    fn times_of_distances() {
        for (vmax_m_s, tau_s, times) in [
            (9.4, 1.05, [1.268, 1.950, 3.124, 4.223, 5.299]),
            (9.0, 1.1, [1.326, 2.039, 3.266, 4.413, 5.537]),
            (9.0, 1.2, [1.3735, 2.1031, 3.3486, 4.5052, 5.6335]),
            (8.0, 1.1, [1.423, 2.201, 3.557, 4.836, 6.096]),
            (7.0, 1.05, [1.517, 2.369, 3.881, 5.329, 6.763]),
            (7.0, 1.2, [1.597, 2.476, 4.015, 5.473, 6.910]),
        ] {
            let curve = Curve { vmax_m_s, tau_s };
            for (distance_m, time_s) in [5.0, 10.0, 20.0, 30.0, 40.0].into_iter().zip(times) {
                let found_s = curve.time_s(distance_m);
                assert!((found_s - time_s).abs() < 6e-4, "{found_s} for {time_s}");
            }
        }
    }

    /// x / (vmax tau) at 63.2, 90, 95, 97 and 99 %: worked out from the formula with another program.
    #[test]
    fn distances_of_shares() {
        let unit = Curve {
            vmax_m_s: 1.0,
            tau_s: 1.0,
        };
        let first = 1.0 - (-1.0_f64).exp();
        for (share, distance_m) in [
            (first, 0.3679),
            (0.9, 1.4026),
            (0.95, 2.0457),
            (0.97, 2.5366),
            (0.99, 3.6152),
        ] {
            assert!((unit.distance_of_share_m(share) - distance_m).abs() < 6e-5);
        }
        let fast = Curve {
            vmax_m_s: 9.4,
            tau_s: 1.05,
        };
        assert!((fast.distance_of_share_m(0.95) - 20.19).abs() < 0.006);
    }

    #[test]
    fn speed_distance_and_acceleration_belong_together() {
        let curve = Curve {
            vmax_m_s: 8.7,
            tau_s: 1.17,
        };
        let h = 1e-5;
        for time_s in [0.3, 1.0, 2.5, 6.0] {
            let slope = |f: &dyn Fn(f64) -> f64| (f(time_s + h) - f(time_s - h)) / (2.0 * h);
            assert!((slope(&|t| curve.distance_m(t)) - curve.speed_m_s(time_s)).abs() < 1e-6);
            assert!(
                (slope(&|t| curve.speed_m_s(t)) - curve.acceleration_m_s2(time_s)).abs() < 1e-6
            );
        }
        assert_eq!(
            (
                curve.speed_m_s(-1.0),
                curve.distance_m(-1.0),
                curve.time_s(0.0)
            ),
            (0.0, 0.0, 0.0)
        );
    }

    /// A first-order filter obeys y' = (u - y) / lag.
    #[test]
    fn a_lagged_speed_obeys_the_filter() {
        let curve = Curve {
            vmax_m_s: 9.0,
            tau_s: 1.1,
        };
        for lag_s in [0.1, 0.5, 1.1] {
            let h = 1e-5;
            for time_s in [0.2, 1.0, 3.0] {
                let y = |t: f64| curve.lagged_speed_m_s(t, lag_s);
                let slope = (y(time_s + h) - y(time_s - h)) / (2.0 * h);
                assert!((slope - (curve.speed_m_s(time_s) - y(time_s)) / lag_s).abs() < 1e-3);
            }
        }
    }
}
