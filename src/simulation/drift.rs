//! Slow position error.

use crate::simulation::rng::Rng;

/// An Ornstein-Uhlenbeck process, exact for any step.
///
/// ## Formula
/// `x' = phi x + sd sqrt(1 - phi^2) w`, `phi = exp(-dt/T)`; differences over `dt` have a standard deviation of
/// `sd sqrt(2 (1 - phi))`.
#[derive(Clone, Copy, Debug)]
pub struct OrnsteinUhlenbeck {
    /// The value now.
    pub value: f64,
    sd: f64,
    time_s: f64,
}

impl OrnsteinUhlenbeck {
    /// Starts in its stationary state.
    #[must_use]
    pub fn new(sd: f64, time_s: f64, rng: &mut Rng) -> Self {
        Self {
            value: sd * rng.normal(),
            sd,
            time_s,
        }
    }

    /// The value `dt_s` later.
    pub fn next(&mut self, dt_s: f64, rng: &mut Rng) -> f64 {
        let phi = (-dt_s / self.time_s).exp();
        self.value = phi * self.value + self.sd * (1.0 - phi * phi).sqrt() * rng.normal();
        self.value
    }
}

/// Slow position error that is smooth from fix to fix: an Ornstein-Uhlenbeck process through a low-pass.
#[derive(Clone, Copy, Debug)]
pub(super) struct Drift {
    source: OrnsteinUhlenbeck,
    value: f64,
    smooth_s: f64,
}

impl Drift {
    pub(super) fn new(sd: f64, time_s: f64, rng: &mut Rng) -> Self {
        // A tracking loop smooths over some ten seconds; the low-pass takes time/(time + smooth) of the variance.
        let smooth_s = rng.range(5.0, 15.0);
        let source_sd = sd * ((time_s + smooth_s) / time_s).sqrt();
        let source = OrnsteinUhlenbeck::new(source_sd, time_s, rng);
        Self {
            value: source.value * (time_s / (time_s + smooth_s)).sqrt(),
            source,
            smooth_s,
        }
    }

    pub(super) fn next(&mut self, dt_s: f64, rng: &mut Rng) -> f64 {
        let source = self.source.next(dt_s, rng);
        self.value -= (-dt_s / self.smooth_s).exp_m1() * (source - self.value);
        self.value
    }
}
