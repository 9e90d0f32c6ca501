//! What a slow receiver does to positions and speed before it writes them, told from the recording itself.
//!
//! A receiver of a fix a second may smooth over more than a second, or not at all. To undo a filter that was never there makes
//! top speeds of 8 m/s into 9, and to leave one that was there makes them 7. No single sign decides; three are weighed
//! together with what is known of such receivers, for a family of time constants of a first-order lag from none to 1.9 s:
//!
//! - how likely the fixes are around runs, of a player who can sprint and stop (`likelihoods`): over a whole session the
//!   standing would decide, and the filter's smoothness be taken for the player's;
//! - how the differences of positions of a standing receiver follow each other: white noise turns back at once, filtered
//!   noise goes on;
//! - how much later the receiver's speed is than that of its positions, where both are there.
//!
//! Fixes are not independent given the model, so that likelihoods count by a share only. What remains open is part of
//! the answer: a mean with a standard deviation, which peaks and their intervals carry.

use nalgebra::SMatrix;

use crate::estimation::kinematic;
use crate::measured::Measured;
use crate::motion::memory::{self, Witness};
use crate::motion::receiver_speed;
use crate::motion::smoothing::{Model, Noise, Prepared, Series};
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
        has(|p| p.position_m.is_some()),
        has(|p| p.speed_m_s.is_some()),
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
                speed: Some(Lag::of(columns, share)),
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
                speed: speed.map(|logs| alone(logs, prior(FILTERED_SPEED_S), shown.speed)),
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

/// From here on a receiver's own positions show the lag of its speed (`lag`), Hz.
const FAST_HZ: f64 = 4.0;

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

/// The parts of a recording in which the player runs, with what leads up to it and follows.
mod chunks {
    use super::Point;

    /// He runs from here, m/s...
    const RUNS_M_S: f64 = 2.5;
    /// ... to here: beyond lies a jump.
    const JUMPS_M_S: f64 = 14.0;
    /// So many fixes before and after belong to it.
    const BEFORE: usize = 5;
    const AFTER: usize = 6;
    /// A silence longer than this ends a part, s.
    const SILENCE_S: f64 = 4.0;
    /// Enough fixes to judge by; of more, every other part is taken, or every third.
    const ENOUGH: usize = 1000;

    pub(super) fn around_runs<'a>(runs: &[&'a [Point]]) -> Vec<&'a [Point]> {
        let mut found = Vec::new();
        for points in runs {
            let mut open: Option<(usize, usize)> = None;
            for (k, pair) in points.windows(2).enumerate() {
                let silent = pair[1].time_s - pair[0].time_s > SILENCE_S;
                if running(pair) && !silent {
                    open = match open {
                        Some((from, to)) if k <= to => Some((from, k + AFTER)),
                        last => {
                            take(points, last, &mut found);
                            Some((k.saturating_sub(BEFORE), k + AFTER))
                        }
                    };
                }
                if silent {
                    let cut = open.map(|(from, to)| (from, to.min(k)));
                    take(points, cut, &mut found);
                    open = None;
                }
            }
            take(points, open, &mut found);
        }
        let total: usize = found.iter().map(|part| part.len()).sum();
        let every = total.div_ceil(ENOUGH).max(1);
        found.into_iter().step_by(every).collect()
    }

    fn take<'a>(points: &'a [Point], part: Option<(usize, usize)>, found: &mut Vec<&'a [Point]>) {
        if let Some((from, to)) = part {
            found.push(&points[from..(to + 1).min(points.len())]);
        }
    }

    fn running(pair: &[Point]) -> bool {
        let speed = match (pair[0].position_m, pair[1].position_m) {
            (Some(a), Some(b)) => {
                let dt_s = (pair[1].time_s - pair[0].time_s).max(0.3);
                (b[0] - a[0]).hypot(b[1] - a[1]) / dt_s
            }
            _ => pair[1].speed_m_s.unwrap_or(0.0),
        };
        (RUNS_M_S..JUMPS_M_S).contains(&speed)
    }
}

/// How likely the fixes of some parts are for each time constant, with the best noise levels for each.
mod likelihoods {
    use super::{COUNT, Model, Noise, Point, Prepared, SMatrix, Series, TIMES_S, kinematic};

    /// Spectral densities of the process noise of a player who runs, m2/s5. Smaller ones would leave the sprints to a filter
    /// that is not there.
    const DENSITIES: [f64; 2] = [3.0, 8.0];
    /// Variances of a position, m2, and of a speed, m2/s2.
    const POSITIONS: [f64; 5] = [0.0025, 0.01, 0.04, 0.15, 0.5];
    const SPEEDS: [f64; 4] = [0.0009, 0.0049, 0.0144, 0.04];
    /// Time constant of the acceleration, s.
    const FADE_S: f64 = 1.0;
    /// The first of each part say nothing yet.
    const SETTLING: usize = 3;
    /// Times are taken to this, s: clocks that jitter must not make every step a new one.
    const TO_S: f64 = 0.05;

    pub(super) fn of_position(parts: &[&[Point]], share: f64) -> [f64; COUNT] {
        let series: Vec<Series<2>> = parts
            .iter()
            .map(|part| {
                series(part, |p| {
                    p.position_m.map(|p| SMatrix::<f64, 1, 2>::new(p[0], p[1]))
                })
            })
            .collect();
        each(&series, &POSITIONS, |lag_s| Model {
            process: kinematic::lagged_singer(lag_s * share, FADE_S),
            fade_s: FADE_S,
            observed_components: 2,
            has_velocity: true,
        })
    }

    pub(super) fn of_speed(parts: &[&[Point]], share: f64) -> [f64; COUNT] {
        let series: Vec<Series<1>> = parts
            .iter()
            .map(|part| series(part, |p| p.speed_m_s.map(SMatrix::<f64, 1, 1>::new)))
            .collect();
        each(&series, &SPEEDS, |lag_s| Model {
            process: kinematic::lagged_fading_acceleration(lag_s * share, FADE_S),
            fade_s: FADE_S,
            observed_components: 2,
            has_velocity: false,
        })
    }

    fn series<const M: usize>(
        part: &[Point],
        read: impl Fn(&Point) -> Option<SMatrix<f64, 1, M>>,
    ) -> Series<M> {
        let mut series = Series::default();
        for point in part {
            if let Some(observed) = read(point) {
                series.times_s.push((point.time_s / TO_S).round() * TO_S);
                series.observed.push(Some(observed));
            }
        }
        series
    }

    /// The best log-likelihood of each time constant over the noise levels. The variance is sought uphill from that of the
    /// constant before.
    fn each<const N: usize, const M: usize>(
        series: &[Series<M>],
        variances: &[f64],
        model: impl Fn(f64) -> Model<N>,
    ) -> [f64; COUNT] {
        let mut at = variances.len() / 2;
        TIMES_S.map(|lag_s| {
            let prepared: Vec<Prepared<'_, N, M>> = series
                .iter()
                .map(|one| Prepared::new(one, model(lag_s)))
                .collect();
            let of = |variance: f64| {
                DENSITIES
                    .map(|density| {
                        let noise = Noise { density, variance };
                        prepared
                            .iter()
                            .map(|p| p.log_likelihood_after(noise, SETTLING))
                            .sum::<f64>()
                    })
                    .into_iter()
                    .fold(f64::NEG_INFINITY, f64::max)
            };
            let mut best = of(variances[at]);
            for down in [true, false] {
                loop {
                    let next = if down { at.wrapping_sub(1) } else { at + 1 };
                    let Some(value) = variances.get(next).map(|&v| of(v)) else {
                        break;
                    };
                    if value <= best {
                        break;
                    }
                    (best, at) = (value, next);
                }
            }
            best
        })
    }
}

/// How the steps of a standing receiver follow each other.
mod standing_still {
    use super::{COUNT, Point};

    /// Over so many steps to either side the player gets nowhere: slower than this in a straight line, m/s...
    const REACH: usize = 7;
    const NET_M_S: f64 = 0.25;
    /// ... than this from fix to fix in the mean, m/s...
    const STEP_M_S: f64 = 1.0;
    /// ... and than this at most within so many steps, m/s.
    const MOST_M_S: f64 = 1.5;
    const NEAR: usize = 3;
    /// Steps last about a second.
    const LASTS_S: std::ops::Range<f64> = 0.7..1.4;
    /// Fewest pairs of steps to judge by.
    const LEAST: usize = 60;
    /// Correlation of neighbouring steps for each time constant, where the noise passes the device's filter.
    const EXPECTED: [f64; COUNT] = [-0.3, -0.25, -0.1, 0.1, 0.3, 0.45, 0.55, 0.6, 0.65];
    const SD: f64 = 0.15;
    /// Noise added after the filter turns back whatever the filter, and slow noise goes on without one: the mean, the standard
    /// deviation and the share of recordings of each.
    const AFTER: (f64, f64, f64) = (-0.3, 0.2, 0.35);
    const SLOW: (f64, f64, f64) = (0.3, 0.25, 0.15);
    const FILTERED_SHARE: f64 = 0.6;
    const OTHER: f64 = 0.05;

    pub(super) fn log_weights(runs: &[&[Point]]) -> [f64; COUNT] {
        let Some(correlation) = correlation(runs) else {
            return [0.0; COUNT];
        };
        let density = |mean: f64, sd: f64| {
            let off = (correlation - mean) / sd;
            (-0.5 * off * off).exp() / sd
        };
        let any = density(AFTER.0, AFTER.1) * AFTER.2 + density(SLOW.0, SLOW.1) * SLOW.2 + OTHER;
        EXPECTED.map(|mean| (FILTERED_SHARE * density(mean, SD) + any).ln())
    }

    /// The correlation of neighbouring steps at rest; `None` where there is too little of it.
    fn correlation(runs: &[&[Point]]) -> Option<f64> {
        let (mut product, mut square, mut count) = (0.0, 0.0, 0_usize);
        for points in runs {
            let steps: Vec<Option<[f64; 2]>> = points
                .windows(2)
                .map(|pair| {
                    let dt_s = pair[1].time_s - pair[0].time_s;
                    let (a, b) = (pair[0].position_m?, pair[1].position_m?);
                    LASTS_S
                        .contains(&dt_s)
                        .then(|| [(b[0] - a[0]) / dt_s, (b[1] - a[1]) / dt_s])
                })
                .collect();
            let still = still(&steps);
            for k in 1..steps.len() {
                if let (true, true, Some(a), Some(b)) =
                    (still[k - 1], still[k], steps[k - 1], steps[k])
                {
                    product += a[0] * b[0] + a[1] * b[1];
                    square += b[0] * b[0] + b[1] * b[1];
                    count += 1;
                }
            }
        }
        (count >= LEAST && square > 0.0).then(|| product / square)
    }

    fn still(steps: &[Option<[f64; 2]>]) -> Vec<bool> {
        let mut sums = Vec::with_capacity(steps.len() + 1);
        sums.push([0.0; 3]);
        for step in steps {
            let [x, y] = step.unwrap_or_default();
            let [sx, sy, sl]: [f64; 3] = sums[sums.len() - 1];
            sums.push([sx + x, sy + y, sl + x.hypot(y)]);
        }
        let quiet = |k: usize| {
            let near = &steps[k.saturating_sub(NEAR)..(k + NEAR + 1).min(steps.len())];
            near.iter()
                .all(|s| s.is_none_or(|[x, y]| x.hypot(y) < MOST_M_S))
        };
        (0..steps.len())
            .map(|k| {
                let (from, to) = (k.saturating_sub(REACH), (k + REACH + 1).min(steps.len()));
                let n = (to - from) as f64;
                let mean: [f64; 3] = std::array::from_fn(|i| (sums[to][i] - sums[from][i]) / n);
                mean[0].hypot(mean[1]) < NET_M_S && mean[2] < STEP_M_S && quiet(k)
            })
            .collect()
    }
}

/// How much later the receiver's speed is than the speed of its positions.
mod lateness {
    use super::Point;

    /// Sought from here to there, s, coarsely and then closely.
    const FROM_S: f64 = -2.0;
    const TO_S: f64 = 1.5;
    const COARSE_S: f64 = 0.25;
    const FINE_S: f64 = 0.05;
    /// Below this, by both accounts, nothing is told, m/s.
    const MOVING_M_S: f64 = 1.0;
    /// A misfit counts up to this, m/s.
    const MOST_M_S: f64 = 2.0;
    /// Fewest readings to judge by.
    const LEAST: usize = 40;
    /// Of two first-order lags that differ so far, the shift that fits best is this share of the difference: a lag also flattens.
    const SHOWN: f64 = 0.7;
    const SD_S: f64 = 0.08;
    const OTHER: f64 = 0.05;

    /// The shift, s; positive when the speed is later. `None` where too little was run.
    pub(super) fn of_speed(runs: &[&[Point]]) -> Option<f64> {
        let tracks: Vec<Track> = runs.iter().map(|points| Track::new(points)).collect();
        let best = |from_s: f64, to_s: f64, by_s: f64| {
            let steps = ((to_s - from_s) / by_s).round() as usize;
            (0..=steps)
                .map(|k| from_s + k as f64 * by_s)
                .filter_map(|late_s| Some((late_s, misfit(&tracks, late_s)?)))
                .min_by(|a, b| a.1.total_cmp(&b.1))
                .map(|(late_s, _)| late_s)
        };
        let coarse_s = best(FROM_S, TO_S, COARSE_S)?;
        best(coarse_s - COARSE_S, coarse_s + COARSE_S, FINE_S)
    }

    /// The log-weight of a shift for two lags that differ by `apart_s`.
    pub(super) fn log_weight(shift_s: f64, apart_s: f64) -> f64 {
        let off = (shift_s - SHOWN * apart_s) / SD_S;
        (0.9 * (-0.5 * off * off).exp() / SD_S + OTHER).ln()
    }

    struct Track {
        /// Middle of each step, s, and its speed, m/s.
        steps: Vec<(f64, f64)>,
        /// Time and speed of each reading.
        readings: Vec<(f64, f64)>,
    }

    impl Track {
        fn new(points: &[Point]) -> Self {
            let steps = points
                .windows(2)
                .filter_map(|pair| {
                    let (a, b) = (pair[0].position_m?, pair[1].position_m?);
                    let dt_s = (pair[1].time_s - pair[0].time_s).max(1e-3);
                    let speed = (b[0] - a[0]).hypot(b[1] - a[1]) / dt_s;
                    Some((f64::midpoint(pair[0].time_s, pair[1].time_s), speed))
                })
                .collect();
            let readings = points
                .iter()
                .filter_map(|p| p.speed_m_s.map(|v| (p.time_s, v)))
                .collect();
            Self { steps, readings }
        }
    }

    fn misfit(tracks: &[Track], late_s: f64) -> Option<f64> {
        let (mut sum, mut count) = (0.0, 0_usize);
        for Track { steps, readings } in tracks {
            let mut at = 0;
            for (time_s, reading) in readings {
                let then_s = time_s - late_s;
                while at + 1 < steps.len() && steps[at + 1].0 <= then_s {
                    at += 1;
                }
                let (Some(a), Some(b)) = (steps.get(at), steps.get(at + 1)) else {
                    break;
                };
                if then_s < a.0 || b.0 - a.0 > 2.0 {
                    continue;
                }
                let speed = a.1 + (b.1 - a.1) * (then_s - a.0) / (b.0 - a.0);
                if reading.max(speed) > MOVING_M_S {
                    sum += (reading - speed).abs().min(MOST_M_S).powi(2);
                    count += 1;
                }
            }
        }
        (count >= LEAST).then(|| sum / count as f64)
    }
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
                points.push(Point {
                    time_s,
                    position_m: Some(seen_m),
                    speed_m_s: with_speed.then_some(seen_m_s),
                    heart_rate_bpm: None,
                    after_gap: false,
                    fix: k,
                });
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
