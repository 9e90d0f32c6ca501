//! Metabolic power: a model, not a measurement.

use crate::motion::Motion;

/// What the model makes of a session.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Metabolic {
    /// Energy of all running, J/kg.
    pub energy_j_kg: f64,
    /// Distance run above [`HIGH_W_KG`], m.
    pub high_distance_m: f64,
}

/// What must be said with it.
pub(crate) const DISPUTED: &str = "A model, not a measurement: running at a changing speed is taken as running uphill (di Prampero et \
    al. 2005, Osgnach et al. 2010). Against measured gas exchange its worth in stop-and-go play is disputed (Buchheit et al. \
    2015, Brown et al. 2016).";

/// High power, W/kg: Osgnach et al. (2010), Med Sci Sports Exerc 42:170.
pub const HIGH_W_KG: f64 = 20.0;

/// m/s2, as the published tables take it.
const GRAVITY_M_S2: f64 = 9.81;
/// Cost of running on the flat, J/kg/m (Minetti et al. 2002).
const FLAT_J_KG_M: f64 = 3.6;
/// Grass costs more than a treadmill (Osgnach et al. 2010).
const GRASS: f64 = 1.29;
/// Braking harder than the steepest slope that was measured is taken as that slope: the polynomial turns down beyond it.
const STEEPEST_DOWN: f64 = -0.45;

/// Cost of a metre at an acceleration, J/kg/m.
///
/// # Definition
/// Speeding up at `a` costs what running up the slope `ES = a/g` costs, with `EM = sqrt(a^2 + g^2)/g` times the weight:
/// `(155.4 ES^5 - 30.4 ES^4 - 43.3 ES^3 + 46.3 ES^2 + 19.5 ES + 3.6) EM 1.29`. Slopes were measured up to 0.45 (4.4 m/s2).
///
/// # Units
/// m/s2 in, J/kg/m out.
///
/// # References
/// Minetti et al. (2002), J Appl Physiol 93:1039, 10.1152/japplphysiol.01177.2001; di Prampero et al. (2005), J Exp Biol
/// 208:2809; Osgnach et al. (2010), Med Sci Sports Exerc 42:170.
#[must_use]
fn cost_j_kg_m(acceleration_m_s2: f64) -> f64 {
    let es = (acceleration_m_s2 / GRAVITY_M_S2).max(STEEPEST_DOWN);
    let em = (acceleration_m_s2 / GRAVITY_M_S2).hypot(1.0);
    let slope = ((((155.4 * es - 30.4) * es - 43.3) * es + 46.3) * es + 19.5) * es + FLAT_J_KG_M;
    slope * em * GRASS
}

/// Metabolic power, W/kg: the cost of a metre times the speed.
#[must_use]
fn power_w_kg(speed_m_s: f64, acceleration_m_s2: f64) -> f64 {
    cost_j_kg_m(acceleration_m_s2) * speed_m_s
}

/// The model over a session: each step of distance at the cost of its acceleration.
pub(super) fn of(motion: &Motion) -> Metabolic {
    let mut sum = Metabolic {
        energy_j_kg: 0.0,
        high_distance_m: 0.0,
    };
    for run in &motion.runs {
        let samples = motion.samples.get(run.clone()).unwrap_or_default();
        for pair in samples.windows(2) {
            let [before, after] = pair else { continue };
            let way_m = (after.travel_m - before.travel_m).max(0.0);
            let acceleration = f64::midpoint(before.acceleration_m_s2, after.acceleration_m_s2);
            let speed = f64::midpoint(before.speed_m_s, after.speed_m_s);
            sum.energy_j_kg += cost_j_kg_m(acceleration) * way_m;
            if power_w_kg(speed, acceleration) > HIGH_W_KG {
                sum.high_distance_m += way_m;
            }
        }
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Worked out from the published formula with another program.
    #[test]
    fn worked_values() {
        for (speed, acceleration, cost, power) in [
            (4.0, 0.0, 4.6440, 18.576),
            (2.0, 2.0, 12.0269, 24.054),
            (3.0, 2.5, 14.5084, 43.525),
            (4.0, 3.0, 17.2732, 69.093),
            (2.0, 4.0, 23.9959, 47.992),
            (6.0, 1.0, 7.8079, 46.847),
            (5.0, -2.0, 2.3810, 11.905),
            (6.0, -3.0, 3.4042, 20.425),
        ] {
            assert!((cost_j_kg_m(acceleration) - cost).abs() < 6e-5);
            assert!((power_w_kg(speed, acceleration) - power).abs() < 6e-4);
        }
    }

    /// Minetti et al. (2002): 3.40 +/- 0.24 J/kg/m on the flat, 18.93 +/- 1.74 at +0.45, 1.73 +/- 0.36 at -0.20, 3.92 +/-
    /// 0.81 at -0.45, measured; the polynomial lies within one standard deviation of each.
    #[test]
    fn the_polynomial_lies_near_what_was_measured() {
        for (slope, measured, sd) in [
            (0.0, 3.40, 0.24),
            (0.45, 18.93, 1.74),
            (-0.2, 1.73, 0.36),
            (-0.45, 3.92, 0.81),
        ] {
            let cost = cost_j_kg_m(slope * GRAVITY_M_S2) / GRASS / f64::hypot(slope, 1.0);
            assert!((cost - measured).abs() < sd, "{cost} for {measured}");
        }
    }

    #[test]
    fn braking_never_gives_energy_back() {
        assert!((0..200).all(|k| cost_j_kg_m(-0.1 * f64::from(k)) > 0.0));
    }
}
