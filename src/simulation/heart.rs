//! Heart rate that follows the intensity of movement.

use crate::simulation::athlete::Athlete;
use crate::simulation::body::STEP_S;
use crate::simulation::rng::Rng;

/// Heart rate, beats a minute, one value a second.
///
/// ## Definition
/// A first-order response to a demand that grows with speed and with speeding up: 28 s on the way up, 45 s on the way
/// down, which is common practice for such models and no published fit.
pub(super) fn rate(speed_m_s: &[f64], athlete: &Athlete, rng: &mut Rng) -> Vec<f64> {
    let rest = rng.range(55.0, 80.0);
    let most = rng.range(182.0, 202.0);
    let per_second = (1.0 / STEP_S).round() as usize;
    let mut beat = rest + 0.15 * (most - rest);
    let mut wave = 0.0;
    speed_m_s
        .chunks(per_second)
        .map(|second| {
            let mean = second.iter().sum::<f64>() / second.len() as f64;
            let gain = (second.last().unwrap_or(&0.0) - second.first().unwrap_or(&0.0)).max(0.0);
            // Oxygen demand grows about linearly with speed and is full at some 60 % of top speed.
            let demand = (0.12 + mean / (0.6 * athlete.top_speed_m_s) + 0.08 * gain).min(1.05);
            let goal = rest + demand * (most - rest);
            let tau = if goal > beat { 28.0 } else { 45.0 };
            beat += (goal - beat) / tau;
            wave = 0.9 * wave + 0.6 * rng.normal();
            (beat + wave).clamp(40.0, most)
        })
        .collect()
}
