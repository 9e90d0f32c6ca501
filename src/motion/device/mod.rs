//! What a slow receiver does to positions and speed before it writes them, told from the recording itself.
//!
//! A receiver of a fix a second may smooth over more than a second, or not at all. To undo a filter that was never there makes
//! top speeds of 8 m/s into 9, and to leave one that was there makes them 7. No single sign decides; three are weighed
//! together with what is known of such receivers, for a family of time constants of a first-order lag from none to 1.9 s:
//!
//! - how likely the fixes are around runs, of a player who can sprint and stop (`likelihoods`): over a whole session the
//!   standing would decide, and the filter's smoothness be taken for the player's;
//! - how the differences of positions of a standing receiver follow each other (`standing_still`): white noise turns back at once,
//!   filtered noise goes on;
//! - how much later the receiver's speed is than that of its positions (`lateness`), where both are there.
//!
//! Fixes are not independent given the model, so that likelihoods count by a share only. What remains open is part of
//! the answer: a mean with a standard deviation, which peaks and their intervals carry.

mod chunks;
mod lateness;
mod likelihoods;
mod standing_still;

use crate::measured::Measured;
use crate::motion::FAST_HZ;
use crate::motion::memory::{self, Witness};
use crate::motion::receiver_speed;
use crate::track::{Point, Rate};

/// Time constants that are weighed, for a fix a second, s.
const TIMES_S: [f64; COUNT] = [0.03, 0.2, 0.4, 0.6, 0.8, 1.0, 1.25, 1.5, 1.9];
/// What each stands for: half-way to its neighbours, s.
const SPANS_S: [f64; COUNT] = [0.1, 0.2, 0.2, 0.2, 0.2, 0.22, 0.25, 0.32, 0.4];
pub(super) const COUNT: usize = 9;
/// A time constant up to this is as good as none, s.
const NONE_S: f64 = 0.2;
/// Positions: how many receivers filter not at all, hardly, and the mean and spread of the others, s.
const UNFILTERED: [f64; 2] = [0.34, 0.06];
const FILTERED_S: (f64, f64) = (1.0, 0.4);
/// Those that lose fixes now and then, as phones do, filter less.
const LOSING_S: (f64, f64) = (0.6, 0.35);
/// The same of speeds, and the shares without a filter given one, hardly one and none in the positions.
const FILTERED_SPEED_S: (f64, f64) = (0.7, 0.3);
const UNFILTERED_SPEED: [f64; 3] = [0.85, 0.5, 0.1];
/// A log-likelihood counts by one in so many.
const POSITION_SHARE: f64 = 1.0 / 50.0;
const SPEED_SHARE: f64 = 1.0 / 45.0;
/// Never believed less than this, as a share of all.
const LEAST: f64 = 1e-4;
/// Standard deviation that the grid and a filter of another form leave, s.
const GRID_SD_S: f64 = 0.18;

/// A filter of a speed flattens by so much of what a first-order lag that is as late does, give or take so much: neither is known of a
/// device, and both were settled while looking at simulated watches of several filters.
const FLATTENS: f64 = 0.9;
const FORM_SD: f64 = 0.2;

/// Standard deviation of a lag that is taken as known, s.
const KNOWN_SD_S: f64 = 0.1;

/// How late and flat a device writes a quantity: the time constant of a first-order lag, s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lag {
    /// Its mean over what remains likely.
    pub mean_s: f64,
    /// Its standard deviation.
    pub sd_s: f64,
    /// The probability that there is none to speak of.
    pub none: f64,
}

impl Lag {
    /// A lag that is taken as known within a tenth of a second.
    pub(super) fn known(mean_s: f64) -> Self {
        Self {
            mean_s,
            sd_s: KNOWN_SD_S,
            none: if mean_s <= NONE_S { 1.0 } else { 0.0 },
        }
    }

    fn of(weights: [f64; COUNT], share: f64) -> Self {
        let total: f64 = weights.iter().sum();
        let mean = |value: &dyn Fn(f64) -> f64| {
            let sum: f64 = weights.iter().zip(TIMES_S).map(|(w, t)| w * value(t)).sum();
            sum / total
        };
        let mean_s = mean(&|t| t);
        let variance = mean(&|t| (t - mean_s) * (t - mean_s));
        Self {
            mean_s: mean_s * share,
            sd_s: variance.sqrt().hypot(GRID_SD_S) * share,
            none: mean(&|t| if t <= NONE_S { 1.0 } else { 0.0 }),
        }
    }

    /// The same for a filter of any form: a mean over some seconds flattens a peak less than a first-order lag that is as late.
    fn of_any_form(self) -> Self {
        Self {
            mean_s: FLATTENS * self.mean_s,
            sd_s: self.sd_s.hypot(FORM_SD * self.mean_s),
            ..self
        }
    }

    /// The lag one standard deviation shorter and longer, s; never below `least_s`.
    pub(super) fn ends_s(self, least_s: f64) -> [f64; 2] {
        [
            (self.mean_s - self.sd_s).max(least_s),
            self.mean_s + self.sd_s,
        ]
    }
}

/// What the recording tells of a lag.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum LagTold {
    /// There is none to speak of.
    Unfiltered,
    /// There is one.
    Filtered,
    /// It may be either.
    Unknown,
}

impl Lag {
    /// Whether there is a lag, as far as the recording tells.
    #[must_use]
    pub(crate) fn told(self) -> LagTold {
        if self.none > 0.85 {
            LagTold::Unfiltered
        } else if self.none < 0.15 && self.mean_s > 1.5 * self.sd_s {
            LagTold::Filtered
        } else {
            LagTold::Unknown
        }
    }

    /// The lag with its 95 % interval, s.
    #[must_use]
    pub(crate) fn interval_s(self) -> Measured {
        Measured::normal(self.mean_s, self.sd_s).at_least(0.0)
    }
}

/// What a slow receiver of even rate does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Device {
    /// To positions, where there are any.
    pub position: Option<Lag>,
    /// To its speed, where it writes one.
    pub speed: Option<Lag>,
}

/// The device that made a recording, and what the recording itself shows of it; `None` where the rate is uneven, or so high
/// that the recording is taken otherwise. `known` is what earlier recordings of the same device showed.
pub(super) fn of(
    runs: &[&[Point]],
    rate: Rate,
    loses_fixes: bool,
    known: &[&Witness],
) -> Option<(Device, Witness)> {
    if rate.irregular || rate.hz >= FAST_HZ {
        return None;
    }
    let share = receiver_speed::lag_share(rate.hz);
    let has = |told: fn(&Point) -> bool| {
        let of_all: usize = runs.iter().map(|points| points.len()).sum();
        let of_it = runs.iter().flat_map(|p| p.iter()).filter(|p| told(p));
        2 * of_it.count() >= of_all.max(1)
    };
    let (has_position, has_speed) = (
        has(|p| p.position_m().is_some()),
        has(|p| p.speed_m_s().is_some()),
    );
    let chunks = chunks::around_runs(runs);
    let speed =
        has_speed.then(|| likelihoods::of_speed(&chunks, share).map(|log| log * SPEED_SHARE));
    let position = has_position.then(|| {
        let of_standing = standing_still::log_weights(runs);
        let logs = likelihoods::of_position(&chunks, share);
        std::array::from_fn(|k| logs[k] * POSITION_SHARE + of_standing[k])
    });
    let apart_s = if has_position && has_speed {
        lateness::of_speed(runs).map(|late_s| late_s / share)
    } else {
        None
    };
    let witness = Witness {
        rate_hz: rate.hz,
        position: position.map(memory::best_at_zero),
        speed: speed.map(memory::best_at_zero),
        apart_s,
        ..Witness::default()
    };
    let usual_s = if loses_fixes { LOSING_S } else { FILTERED_S };
    let shown = Shown::of(known);
    let device = match (witness.position, witness.speed) {
        (Some(position), Some(speed)) => {
            let joint = together(position, speed, apart_s, prior(usual_s), &shown);
            let rows = std::array::from_fn(|p| joint[p].iter().sum());
            let columns = std::array::from_fn(|s| joint.iter().map(|row| row[s]).sum());
            Device {
                position: Some(Lag::of(rows, share)),
                speed: Some(Lag::of(columns, share).of_any_form()),
            }
        }
        (position, speed) => {
            let alone = |logs: [f64; COUNT], before: [f64; COUNT], shown: [f64; COUNT]| {
                let before = memory::believed(&before, &shown);
                let logs = std::array::from_fn(|k| logs[k] + before[k].ln());
                Lag::of(weights(logs), share)
            };
            Device {
                position: position.map(|logs| alone(logs, prior(usual_s), shown.position)),
                speed: speed
                    .map(|logs| alone(logs, prior(FILTERED_SPEED_S), shown.speed).of_any_form()),
            }
        }
    };
    Some((device, witness))
}

/// What earlier recordings of a device showed, added up: log-weights, zero where they showed nothing.
struct Shown {
    position: [f64; COUNT],
    speed: [f64; COUNT],
    /// How much later the speed was than that of the positions, and how much that counts.
    apart_s: Vec<(f64, f64)>,
}

impl Shown {
    fn of(known: &[&Witness]) -> Self {
        let each = memory::each_of(known.len());
        let sum = |of: fn(&Witness) -> Option<[f64; COUNT]>| {
            let mut sum = [0.0; COUNT];
            for logs in known.iter().filter_map(|w| of(w)) {
                for (sum, log) in sum.iter_mut().zip(logs) {
                    *sum += each * log;
                }
            }
            sum
        };
        Self {
            position: sum(|w| w.position),
            speed: sum(|w| w.speed),
            apart_s: known
                .iter()
                .filter_map(|w| Some((w.apart_s?, each)))
                .collect(),
        }
    }
}

/// What is believed of a time constant before the recording is looked at.
fn prior(usual_s: (f64, f64)) -> [f64; COUNT] {
    let filtered = 1.0 - UNFILTERED.iter().sum::<f64>();
    let mut weights = normal(usual_s);
    weights = weights.map(|w| w * filtered + LEAST);
    weights[0] += UNFILTERED[0];
    weights[1] += UNFILTERED[1];
    weights
}

/// A normal distribution over the time constants but none, as shares of 1.
fn normal((mean_s, sd_s): (f64, f64)) -> [f64; COUNT] {
    let mut weights = std::array::from_fn(|k| {
        let off = (TIMES_S[k] - mean_s) / sd_s;
        SPANS_S[k] * (-0.5 * off * off).exp()
    });
    weights[0] = 0.0;
    let total: f64 = weights.iter().sum();
    weights.map(|w| w / total)
}

fn weights(logs: [f64; COUNT]) -> [f64; COUNT] {
    let most = logs.into_iter().fold(f64::NEG_INFINITY, f64::max);
    logs.map(|log| (log - most).exp())
}

/// The weight of each pair of time constants, of positions and of speed: who filters the one filters the other, and the
/// speed comes later than that of the positions by what its filter takes more.
fn together(
    position: [f64; COUNT],
    speed: [f64; COUNT],
    apart_s: Option<f64>,
    prior: [f64; COUNT],
    shown: &Shown,
) -> [[f64; COUNT]; COUNT] {
    let filtered = normal(FILTERED_SPEED_S);
    let pairs = || (0..COUNT).flat_map(|p| (0..COUNT).map(move |s| (p, s)));
    let late =
        |apart_s: f64, p: usize, s: usize| lateness::log_weight(apart_s, TIMES_S[s] - TIMES_S[p]);
    let base: Vec<f64> = pairs()
        .map(|(p, s)| {
            let without = UNFILTERED_SPEED[p.min(2)];
            let given = (1.0 - without) * filtered[s] + if s == 0 { without } else { 0.0 };
            prior[p] * (given + LEAST)
        })
        .collect();
    let earlier: Vec<f64> = pairs()
        .map(|(p, s)| {
            let late = shown
                .apart_s
                .iter()
                .map(|(apart_s, each)| each * late(*apart_s, p, s));
            shown.position[p] + shown.speed[s] + late.sum::<f64>()
        })
        .collect();
    let believed = memory::believed(&base, &earlier);
    let logs: [[f64; COUNT]; COUNT] = std::array::from_fn(|p| {
        std::array::from_fn(|s| {
            let late = apart_s.map_or(0.0, |apart_s| late(apart_s, p, s));
            position[p] + speed[s] + late + believed[p * COUNT + s].ln()
        })
    });
    let most = logs
        .iter()
        .flatten()
        .copied()
        .fold(f64::NEG_INFINITY, f64::max);
    logs.map(|row| row.map(|log| (log - most).exp()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Runs to and fro with rests between, seen a second apart through first-order lags of positions and speed, with noise of
    /// 0.1 m before the filter.
    fn seen(lags_s: (f64, f64), with_speed: bool) -> Vec<Point> {
        let step_s = 0.1;
        let mut seed = 11_u64;
        let mut noise = || {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            ((seed >> 33) as f64 / f64::from(1_u32 << 31) - 0.5) * 0.35
        };
        let (mut x, mut seen_m, mut seen_m_s) = (0.0, [0.0; 2], 0.0);
        let mut held = [0.0; 2];
        let mut points = Vec::new();
        for k in 0..12_000_u32 {
            let time_s = f64::from(k) * step_s;
            // A run of 7 s every 20.3 s, up to 6 to 8 m/s and down again, there and back in turn.
            let run = (time_s / 20.3) as u32;
            let within_s = time_s - 20.3 * f64::from(run);
            let top = 6.0 + f64::from(run % 5) * 0.5;
            let speed = (2.6 * within_s).min(4.0 * (7.0 - within_s)).clamp(0.0, top);
            x += speed * step_s * if run.is_multiple_of(2) { 1.0 } else { -1.0 };
            if k % 10 == 0 {
                held = [noise(), noise()];
            }
            for (axis, truth) in [x, 0.0].into_iter().enumerate() {
                let gain = 1.0 - (-step_s / lags_s.0.max(1e-3)).exp();
                seen_m[axis] += (truth + held[axis] - seen_m[axis]) * gain;
            }
            seen_m_s += (speed - seen_m_s) * (1.0 - (-step_s / lags_s.1.max(1e-3)).exp());
            if k % 10 == 9 {
                let speed_m_s = with_speed.then_some(seen_m_s);
                points.push(Point::new(time_s, Some(seen_m), speed_m_s));
            }
        }
        points
    }

    fn device(lags_s: (f64, f64), with_speed: bool) -> Device {
        remembered(lags_s, with_speed, &[]).0
    }

    fn remembered(lags_s: (f64, f64), with_speed: bool, known: &[&Witness]) -> (Device, Witness) {
        let rate = Rate {
            hz: 1.0,
            irregular: false,
        };
        of(&[&seen(lags_s, with_speed)], rate, false, known).expect("a slow receiver of even rate")
    }

    #[test]
    fn a_filter_is_found_and_none_is_not_made_up() {
        let none = device((0.0, 0.0), false).position.expect("positions");
        assert!(
            none.told() != LagTold::Filtered && none.mean_s < 0.4,
            "{none:?}"
        );
        let some = device((1.2, 0.0), false).position.expect("positions");
        assert_eq!(some.told(), LagTold::Filtered, "{some:?}");
        assert!(some.interval_s().holds(1.2), "{some:?}");
    }

    #[test]
    fn speed_and_positions_tell_each_others_filter() {
        let none = device((0.0, 0.0), true);
        let told = |lag: Option<Lag>| lag.map(Lag::told);
        assert_eq!(told(none.speed), Some(LagTold::Unfiltered), "{none:?}");
        assert_eq!(told(none.position), Some(LagTold::Unfiltered), "{none:?}");
        let both = device((1.2, 0.7), true);
        assert_eq!(told(both.speed), Some(LagTold::Filtered), "{both:?}");
        assert!(both.speed.is_some_and(|lag| lag.interval_s().holds(0.7)));
        assert!(both.position.is_some_and(|lag| lag.interval_s().holds(1.2)));
    }

    #[test]
    fn earlier_recordings_of_the_device_tell_more_and_do_not_outvote_what_is_seen() {
        let (alone, witness) = remembered((1.2, 0.0), false, &[]);
        let before = [&witness; 8];
        let lag = |device: Device| device.position.expect("positions");
        let known = lag(remembered((1.2, 0.0), false, &before).0);
        let (alone, other) = (lag(alone), lag(remembered((0.0, 0.0), false, &before).0));
        assert!(known.sd_s < alone.sd_s, "{known:?} {alone:?}");
        assert!((known.mean_s - 1.2).abs() < 0.2, "{known:?}");
        // The same name, and no filter any more: that stays possible.
        assert!(
            other.mean_s < 0.95 && other.interval_s().low < 0.15,
            "{other:?}"
        );
    }

    #[test]
    fn nothing_is_said_of_fast_and_uneven_receivers_or_of_nothing() {
        let points = seen((0.0, 0.0), false);
        let rate = |hz: f64, irregular: bool| Rate { hz, irregular };
        assert_eq!(of(&[&points], rate(10.0, false), false, &[]), None);
        assert_eq!(of(&[&points], rate(1.0, true), false, &[]), None);
        let few = of(&[&points[..3]], rate(1.0, false), false, &[]);
        let lag = few.and_then(|(d, _)| d.position).expect("positions");
        assert_eq!(lag.told(), LagTold::Unknown);
    }
}
