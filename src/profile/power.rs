//! Force, speed and power of a sprint, from its curve, the player's body and the air.

use crate::profile::Curve;

/// Who runs, and through what air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Height, m.
    pub height_m: f64,
    /// Temperature of the air, degrees Celsius.
    pub temperature_c: f64,
    /// Pressure of the air, mmHg.
    pub pressure_mmhg: f64,
}

/// The line of horizontal force over speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForceVelocity {
    /// Force at standstill over body mass, N/kg.
    pub force_n_kg: f64,
    /// Speed at which no force is left, m/s.
    pub velocity_m_s: f64,
    /// Highest power over body mass, W/kg.
    pub power_w_kg: f64,
}

/// The curve is sampled over so much time...
const UNTIL_STEPS: u32 = 599;
/// ... in steps of this, s.
const STEP_S: f64 = 0.01;
/// Drag coefficient of a runner (Samozino et al. 2016).
const DRAG: f64 = 0.9;

impl Body {
    /// Drag over speed squared, kg/m.
    ///
    /// # Definition
    /// `k = 0.5 rho A Cd` with `rho = 1.293 p/760 273/(273 + T)` and the frontal area
    /// `A = 0.2025 h^0.725 m^0.425 0.266`; no wind.
    ///
    /// # References
    /// Samozino et al. (2016), Scand J Med Sci Sports 26:648, 10.1111/sms.12490.
    #[must_use]
    fn drag_kg_m(self) -> f64 {
        let density = 1.293 * self.pressure_mmhg / 760.0 * 273.0 / (273.0 + self.temperature_c);
        let area = 0.2025 * self.height_m.powf(0.725) * self.mass_kg.powf(0.425) * 0.266;
        0.5 * density * area * DRAG
    }
}

/// Force, speed and power of a sprint.
///
/// # Definition
/// `F = m a + k v^2` along the curve every 0.01 s from 0.01 to 5.99 s; the line of least squares through F over v gives F0
/// where v is 0 and V0 where F is 0; the highest power is `F0 V0 / 4`. The time is the same for every sprint, or the
/// answers of short and long ones would not compare.
///
/// # Units
/// N/kg, m/s, W/kg.
///
/// # References
/// Samozino et al. (2016), Scand J Med Sci Sports 26:648, 10.1111/sms.12490; Morin et al. (2019), J Biomech 94:82.
#[must_use]
pub fn force_velocity(curve: Curve, body: Body) -> ForceVelocity {
    let drag = body.drag_kg_m();
    let points = (1..=UNTIL_STEPS).map(|k| {
        let time_s = f64::from(k) * STEP_S;
        let speed = curve.speed_m_s(time_s);
        let force = curve.acceleration_m_s2(time_s) + drag * speed * speed / body.mass_kg;
        (speed, force)
    });
    let n = f64::from(UNTIL_STEPS);
    let (sum_v, sum_f) = points
        .clone()
        .fold((0.0, 0.0), |(a, b), (v, f)| (a + v, b + f));
    let (mean_v, mean_f) = (sum_v / n, sum_f / n);
    let (vv, vf) = points.fold((0.0, 0.0), |(vv, vf), (v, f)| {
        (vv + (v - mean_v).powi(2), vf + (v - mean_v) * (f - mean_f))
    });
    let slope = vf / vv;
    let force_n_kg = mean_f - slope * mean_v;
    let velocity_m_s = -force_n_kg / slope;
    ForceVelocity {
        force_n_kg,
        velocity_m_s,
        power_w_kg: force_n_kg * velocity_m_s / 4.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const CURVE: Curve = Curve {
        vmax_m_s: 9.0,
        tau_s: 1.1,
    };
    const BODY: Body = Body {
        mass_kg: 75.0,
        height_m: 1.8,
        temperature_c: 20.0,
        pressure_mmhg: 760.0,
    };

    /// Worked out from the published formulae with another program.
    #[test]
    fn a_worked_value() {
        assert!((BODY.drag_kg_m() - 0.28015).abs() < 5e-6);
        let found = force_velocity(CURVE, BODY);
        assert!(
            (found.force_n_kg * 75.0 - 607.07).abs() < 0.005,
            "{found:?}"
        );
        assert!((found.velocity_m_s - 9.3325).abs() < 5e-5, "{found:?}");
        assert!((found.power_w_kg * 75.0 - 1416.4).abs() < 0.05, "{found:?}");
    }

    /// Without drag the line is exact: F0 / m = vmax / tau, V0 = vmax, Pmax / m = vmax^2 / (4 tau) (Samozino et al. 2016).
    #[test]
    fn without_air_the_line_is_exact() {
        let found = force_velocity(
            CURVE,
            Body {
                pressure_mmhg: 0.0,
                ..BODY
            },
        );
        assert!((found.force_n_kg - 9.0 / 1.1).abs() < 1e-9);
        assert!((found.velocity_m_s - 9.0).abs() < 1e-9);
        assert!((found.power_w_kg - 81.0 / 4.4).abs() < 1e-9);
    }

    /// Hoppe et al. (2018), Public Library of Science One, 10.1371/journal.pone.0192708: 8.2 m/s and 1.1 s went with 7.7 N/kg and 16.1 W/kg;
    /// means of a group, so the formula of the means only comes near.
    #[test]
    fn a_group_of_team_players() {
        let found = force_velocity(
            Curve {
                vmax_m_s: 8.2,
                tau_s: 1.1,
            },
            BODY,
        );
        assert!((found.force_n_kg / 7.7 - 1.0).abs() < 0.06, "{found:?}");
        assert!((found.power_w_kg / 16.1 - 1.0).abs() < 0.06, "{found:?}");
    }
}
