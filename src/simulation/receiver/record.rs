//! What a receiver writes of the truth.

use super::{Kind, Pause, Receiver};
use crate::simulation::drift::Drift;
use crate::simulation::recording::{Format, Recording, Row};
use crate::simulation::rng::Rng;
use crate::simulation::truth::Truth;

/// Time between ticks of the grid on which devices are simulated, s; every fix falls on a tick.
const GRID_S: f64 = 0.02;
/// Slower than this is standing to a device that pauses by itself, m/s (a choice, no source).
pub(super) const PAUSES_BELOW_M_S: f64 = 0.7;
/// How long he stands before it pauses, s (a choice, no source).
const PAUSES_AFTER_S: f64 = 4.0;
/// How long he moves before it wakes, s (a choice, no source).
pub(super) const WAKES_AFTER_S: f64 = 1.5;

impl Receiver {
    /// What it writes of a session.
    #[must_use]
    pub fn record(&self, truth: &Truth, seed: u64) -> Recording {
        let mut rng = Rng::stream(seed, 11);
        let wide = self.positions(truth, &mut rng);
        let speeds = self.speeds(truth, &mut rng);
        let times = self.times(truth.duration_s(), &mut rng);
        let jumps = self.jumps(truth.duration_s(), &mut rng);
        // Numbers of their own: what was drawn for a receiver without losses stays as it was.
        let mut losses = Rng::stream(seed, 12);
        let bursts = self.bursts(truth.duration_s(), &mut losses);
        let pauses = self.pauses(truth);
        let mut rows: Vec<Row> = Vec::with_capacity(times.len());
        for time_s in times {
            let tick = ((time_s / GRID_S).round() as usize).min(wide.len().saturating_sub(1));
            let Some(&[x, y]) = wide.get(tick) else {
                continue;
            };
            // The first fix stays: it is time 0.
            let lost = losses.chance(self.lost) && time_s > 0.0;
            let over = pauses.partition_point(|&(_, to_s)| to_s <= time_s);
            let paused = pauses.get(over).is_some_and(|&(from_s, _)| from_s < time_s);
            if lost || paused {
                continue;
            }
            let segment = match self.pause {
                Pause::NewSegment => u32::try_from(over).unwrap_or(u32::MAX),
                Pause::Never | Pause::LeavesOut => 0,
            };
            let mut jumping = jumps.iter().chain(&bursts);
            let jump = jumping.find(|j| j.from_s <= time_s && time_s < j.to_s);
            let [dx, dy] = jump.map_or([0.0; 2], |j| j.by_m);
            let mut place = [
                self.stepped(x + dx + self.white_m * rng.normal()),
                self.stepped(y + dy + self.white_m * rng.normal()),
            ];
            if losses.chance(self.held)
                && let Some(before) = rows.last()
            {
                place = [before.x_m, before.y_m];
            }
            let row = Row {
                time_s,
                segment,
                x_m: place[0],
                y_m: place[1],
                speed_m_s: speeds.get(tick).map(|v| self.speed_scale * v),
                heart_rate_bpm: self
                    .heart_rate
                    .then(|| truth.heart_rate_bpm.get(time_s as usize).map(|b| b.round()))
                    .flatten(),
            };
            rows.push(row);
            if rng.chance(self.doubles) {
                rows.push(row);
            }
        }
        let format = match self.kind {
            Kind::Unit10 | Kind::Unit5 => Format::Columns,
            Kind::Local25 => Format::LocalColumns,
            _ => Format::Gpx,
        };
        Recording {
            start: truth.start,
            format,
            site: self.site,
            decimals: self.decimals,
            rows,
        }
    }

    /// Positions with slow error, through the device's low-pass, on the fine grid.
    fn positions(&self, truth: &Truth, rng: &mut Rng) -> Vec<[f64; 2]> {
        let n = (truth.duration_s() / GRID_S).floor() as usize + 1;
        let mut drift = [
            Drift::new(self.drift_m, self.drift_s, rng),
            Drift::new(self.drift_m, self.drift_s, rng),
        ];
        let stages = if self.two_stage { 2 } else { 1 };
        let share = if self.low_pass_s > 0.0 {
            -(-GRID_S * f64::from(stages) / self.low_pass_s).exp_m1()
        } else {
            1.0
        };
        let mut held: Option<[[f64; 2]; 2]> = None;
        (0..n)
            .map(|tick| {
                let state = truth.state_at(tick as f64 * GRID_S);
                let raw = [
                    state.x_m + drift[0].next(GRID_S, rng),
                    state.y_m + drift[1].next(GRID_S, rng),
                ];
                let mut stage = held.unwrap_or([raw; 2]);
                let mut input = raw;
                for out in stage.iter_mut().take(stages as usize) {
                    for axis in 0..2 {
                        out[axis] += share * (input[axis] - out[axis]);
                    }
                    input = *out;
                }
                held = Some(stage);
                input
            })
            .collect()
    }

    /// The receiver's own speed on the fine grid; empty where it gives none.
    fn speeds(&self, truth: &Truth, rng: &mut Rng) -> Vec<f64> {
        if !self.with_speed {
            return Vec::new();
        }
        let n = (truth.duration_s() / GRID_S).floor() as usize + 1;
        let share = -(-GRID_S / self.speed_lag_s.max(0.01)).exp_m1();
        // Noise that a tracking loop lets through: short-lived, but no longer white at 20 ms.
        let keep = (-GRID_S / 0.15_f64).exp();
        let fresh = self.speed_noise_m_s * (1.0 - keep * keep).sqrt();
        let mut held = [0.0_f64; 3];
        let mut noise = [0.0_f64; 2];
        let mut speeds = Vec::with_capacity(n);
        for tick in 0..n {
            let state = truth.state_at(tick as f64 * GRID_S);
            let now = [state.vx_m_s, state.vy_m_s, state.vx_m_s.hypot(state.vy_m_s)];
            for (held, now) in held.iter_mut().zip(now) {
                *held += share * (now - *held);
            }
            for part in &mut noise {
                *part = keep * *part + fresh * rng.normal();
            }
            speeds.push(if self.speed_as_vector {
                (held[0] + noise[0]).hypot(held[1] + noise[1])
            } else {
                (held[2] + noise[0]).hypot(noise[1])
            });
        }
        if self.kind == Kind::Unit5 {
            average(&speeds, (0.2 / GRID_S).round() as usize)
        } else {
            speeds
        }
    }

    /// Times of the fixes, s.
    fn times(&self, duration_s: f64, rng: &mut Rng) -> Vec<f64> {
        let step_s = self.interval_s;
        let n = (duration_s / step_s + 1e-6).floor() as usize + 1;
        let mut times: Vec<f64> = (0..n).map(|i| i as f64 * step_s).collect();
        if self.kind == Kind::WatchSparse {
            let mut next_s = 0.0;
            times.retain(|&t| {
                let take = t >= next_s;
                if take {
                    // Mean about 2.6 s, at most 7.
                    next_s = t + (1.0 + rng.exponential(1.9)).min(7.0).round();
                }
                take
            });
        }
        let (a_minute, mean_s) = self.dropouts;
        if a_minute > 0.0 {
            let mut silent: Vec<(f64, f64)> = Vec::new();
            let mut at = rng.exponential(60.0 / a_minute);
            while at < duration_s {
                silent.push((at, at + 1.0 + rng.exponential(mean_s)));
                at += rng.exponential(60.0 / a_minute);
            }
            // The first fix stays: it is time 0.
            times.retain(|&t| t <= 0.0 || !silent.iter().any(|&(from, to)| from <= t && t < to));
        }
        times
    }

    /// When the device pauses by itself: some seconds after he stands, until he has surely moved again.
    fn pauses(&self, truth: &Truth) -> Vec<(f64, f64)> {
        let mut all = Vec::new();
        if self.pause == Pause::Never {
            return all;
        }
        let (mut still_since, mut moving_since) = (None, None);
        let mut paused_s = None;
        for (step, &speed_m_s) in truth.speed_m_s.iter().enumerate() {
            let now_s = step as f64 * Truth::STEP_S;
            if speed_m_s < PAUSES_BELOW_M_S {
                moving_since = None;
                let since_s = *still_since.get_or_insert(now_s);
                if paused_s.is_none() && now_s - since_s >= PAUSES_AFTER_S {
                    paused_s = Some(now_s);
                }
            } else {
                still_since = None;
                let since_s = *moving_since.get_or_insert(now_s);
                if now_s - since_s >= WAKES_AFTER_S
                    && let Some(from_s) = paused_s.take()
                {
                    all.push((from_s, now_s));
                }
            }
        }
        all.extend(paused_s.map(|from_s| (from_s, f64::INFINITY)));
        all
    }

    /// A coordinate as it is written.
    fn stepped(&self, metres: f64) -> f64 {
        if self.step_m > 0.0 {
            (metres / self.step_m).round() * self.step_m
        } else {
            metres
        }
    }

    /// Bursts of reflections: within half a minute several stretches lie elsewhere, each by another amount.
    fn bursts(&self, duration_s: f64, rng: &mut Rng) -> Vec<Jump> {
        let mut all = Vec::new();
        if self.bursts_an_hour <= 0.0 {
            return all;
        }
        let mut at = rng.exponential(3600.0 / self.bursts_an_hour);
        while at < duration_s {
            let over_s = at + rng.range(8.0, 40.0);
            let mut from_s = at;
            while from_s < over_s {
                let to_s = from_s + rng.range(0.2, 4.0);
                let angle = rng.range(0.0, std::f64::consts::TAU);
                let far = rng.range(3.0, 40.0);
                all.push(Jump {
                    from_s,
                    to_s,
                    by_m: [far * angle.cos(), far * angle.sin()],
                });
                from_s = to_s + rng.range(0.2, 6.0);
            }
            at = over_s + rng.exponential(3600.0 / self.bursts_an_hour);
        }
        all
    }

    fn jumps(&self, duration_s: f64, rng: &mut Rng) -> Vec<Jump> {
        let mut all = Vec::new();
        if self.jumps_a_minute <= 0.0 {
            return all;
        }
        let mut at = rng.exponential(60.0 / self.jumps_a_minute);
        while at < duration_s {
            let angle = rng.range(0.0, std::f64::consts::TAU);
            let far = rng.range(5.0, 30.0);
            all.push(Jump {
                from_s: at,
                to_s: at + rng.range(1.0, 6.0),
                by_m: [far * angle.cos(), far * angle.sin()],
            });
            at += rng.exponential(60.0 / self.jumps_a_minute);
        }
        all
    }
}

/// A stretch of positions displaced by reflections.
#[derive(Clone, Copy, Debug)]
struct Jump {
    from_s: f64,
    to_s: f64,
    by_m: [f64; 2],
}

/// The mean of the last `width` values at each place.
fn average(values: &[f64], width: usize) -> Vec<f64> {
    let mut sum = 0.0;
    (0..values.len())
        .map(|i| {
            sum += values[i];
            if i >= width {
                sum -= values[i - width];
            }
            sum / width.min(i + 1) as f64
        })
        .collect()
}
