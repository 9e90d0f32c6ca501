//! Who runs: the constants of one athlete's movement.

use crate::simulation::rng::Rng;

/// An athlete. Speeds in m/s, times in s, accelerations in m/s2.
///
/// ## References
/// Mono-exponential sprint: Furusawa, Hill and Parkinson (1927), Proc R Soc B 102:29. Ranges of top speed and time
/// constant for footballers, men, women and youth: common practice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Athlete {
    /// Speed that an all-out sprint tends to.
    pub top_speed_m_s: f64,
    /// Time constant of the sprint.
    pub tau_s: f64,
    /// Braking after a run.
    pub braking_m_s2: f64,
    /// Walking pace.
    pub walk_m_s: f64,
    /// Jogging pace.
    pub jog_m_s: f64,
    /// Amplitude of the speed ripple of the steps, as a share of speed.
    pub ripple: f64,
    /// Rep-to-rep scatter of pace and of timing, as a share (one standard deviation).
    pub scatter: f64,
    /// Pace lost from the first to the last rep of a block, as a share.
    pub fatigue: f64,
    /// Standard deviation of the course about the line aimed at, radians.
    pub wander_rad: f64,
    /// Least speed kept through the turn of a shuttle.
    pub turn_m_s: f64,
    /// Time that half a turn of a shuttle takes.
    pub turn_s: f64,
}

impl Athlete {
    /// An athlete drawn from the range of footballers.
    #[must_use]
    pub fn random(rng: &mut Rng) -> Self {
        Self {
            top_speed_m_s: rng.range(6.5, 9.6),
            tau_s: rng.range(1.0, 1.4),
            braking_m_s2: rng.range(3.0, 5.0),
            walk_m_s: rng.range(1.2, 1.6),
            jog_m_s: rng.range(2.2, 3.2),
            ripple: rng.range(0.02, 0.06),
            scatter: rng.range(0.01, 0.035),
            fatigue: rng.range(0.0, 0.05),
            wander_rad: rng.range(0.01, 0.04),
            turn_m_s: rng.range(0.3, 0.9),
            turn_s: rng.range(0.3, 0.55),
        }
    }

    /// An athlete from a wider range: children, sprinters, and those who run unevenly.
    #[must_use]
    pub(crate) fn unusual(rng: &mut Rng) -> Self {
        Self {
            top_speed_m_s: rng.range(5.5, 10.3),
            tau_s: rng.range(0.85, 1.6),
            braking_m_s2: rng.range(2.0, 6.0),
            ripple: rng.range(0.01, 0.09),
            scatter: rng.range(0.01, 0.05),
            fatigue: rng.range(0.0, 0.1),
            wander_rad: rng.range(0.01, 0.06),
            turn_m_s: rng.range(0.2, 1.2),
            turn_s: rng.range(0.25, 0.7),
            ..Self::random(rng)
        }
    }

    /// The same athlete as a machine: no ripple, scatter, fatigue or wander, for checks by hand.
    #[must_use]
    pub fn exact(top_speed_m_s: f64, tau_s: f64) -> Self {
        Self {
            top_speed_m_s,
            tau_s,
            braking_m_s2: 4.0,
            walk_m_s: 1.4,
            jog_m_s: 2.6,
            ripple: 0.0,
            scatter: 0.0,
            fatigue: 0.0,
            wander_rad: 0.0,
            turn_m_s: 0.5,
            turn_s: 0.4,
        }
    }
}
