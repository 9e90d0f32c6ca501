//! Receivers: what a device makes of the truth.

use crate::simulation::drift::Drift;
use crate::simulation::recording::{Format, Recording, Row};
use crate::simulation::rng::{Rng, sometimes};
use crate::simulation::truth::Truth;

/// Kinds of receiver.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// 10 Hz with the receiver's speed.
    Unit10,
    /// 5 Hz with the receiver's speed.
    Unit5,
    /// 25 Hz in local metres, without speed.
    Local25,
    /// 1 Hz with the device's own low-pass and its speed.
    Watch1v,
    /// 1 Hz with the device's own low-pass, positions only.
    Watch1,
    /// 1 Hz with dropouts, jumps and doubles.
    Phone1,
    /// A fix every 1 to 7 s.
    WatchSparse,
    /// Any rate, noise and filter, drawn wider than those of the kinds above: what nothing was tuned on.
    Mixed,
}

impl Kind {
    /// Those that stand for something that can be bought, best first.
    pub const ALL: [Self; 7] = [
        Self::Unit10,
        Self::Unit5,
        Self::Local25,
        Self::Watch1v,
        Self::Watch1,
        Self::Phone1,
        Self::WatchSparse,
    ];

    /// A word for tables and file names.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Unit10 => "unit10",
            Self::Unit5 => "unit5",
            Self::Local25 => "local25",
            Self::Watch1v => "watch1v",
            Self::Watch1 => "watch1",
            Self::Phone1 => "phone1",
            Self::WatchSparse => "watch_sparse",
            Self::Mixed => "mixed",
        }
    }

    /// What it is, in plain words.
    #[must_use]
    pub fn description(self) -> &'static str {
        match self {
            Self::Unit10 => "a fast receiver worn between the shoulders, 10 Hz with speed",
            Self::Unit5 => "a receiver worn between the shoulders, 5 Hz with speed",
            Self::Local25 => "a system fixed at the pitch, 25 Hz in metres, without speed",
            Self::Watch1v => "a watch on the wrist, a fix a second, with speed",
            Self::Watch1 => "a watch on the wrist, a fix a second, positions only",
            Self::Phone1 => "a phone carried along, a fix a second with gaps and jumps",
            Self::WatchSparse => "a watch that saves its battery, a fix every 1 to 7 s",
            Self::Mixed => "a receiver of any rate, noise and filter",
        }
    }

    /// What to call it in a sentence.
    #[must_use]
    pub(crate) fn noun(self) -> &'static str {
        match self {
            Self::Unit10 | Self::Unit5 | Self::Mixed => "receiver",
            Self::Local25 => "system",
            Self::Watch1v | Self::Watch1 | Self::WatchSparse => "watch",
            Self::Phone1 => "phone",
        }
    }
}

/// What a device does while its wearer stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Pause {
    /// It records on.
    Never,
    /// It pauses by itself and leaves fixes out.
    LeavesOut,
    /// It pauses by itself and begins a new segment when he moves again.
    NewSegment,
}

/// A receiver with the constants of one session.
#[derive(Clone, Debug, PartialEq)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a trait of its own that a device has or has not"
)]
pub struct Receiver {
    /// What it is.
    pub kind: Kind,
    /// Time between fixes, s, a whole number of ticks of 0.02 s; the smallest where it varies.
    pub interval_s: f64,
    /// Whether it writes its own speed.
    pub with_speed: bool,
    /// Standard deviation of the slow position error along one axis, m.
    pub drift_m: f64,
    /// Its correlation time, s.
    pub drift_s: f64,
    /// Standard deviation of the white position error along one axis, m.
    pub white_m: f64,
    /// Time constant of the device's own low-pass on position, s; 0 for none.
    pub low_pass_s: f64,
    /// Whether that is two stages of half the time instead of one.
    pub two_stage: bool,
    /// Lag of the receiver's speed, first order, s.
    pub speed_lag_s: f64,
    /// Noise of the receiver's speed along one axis, m/s.
    pub speed_noise_m_s: f64,
    /// Whether the speed is smoothed as a vector, so that turns swallow it, or as a number.
    pub speed_as_vector: bool,
    /// Decimals of the degrees.
    pub decimals: usize,
    /// Dropouts a minute and their mean length, s.
    pub dropouts: (f64, f64),
    /// Jumps a minute.
    pub jumps_a_minute: f64,
    /// Share of fixes written twice.
    pub doubles: f64,
    /// Share of fixes lost one by one.
    pub lost: f64,
    /// Share of fixes that repeat the position before.
    pub held: f64,
    /// Positions are written in steps of so much, m; 0 for none.
    pub step_m: f64,
    /// Times the true speed, of the receiver's own speed.
    pub speed_scale: f64,
    /// Bursts of jumps by reflections an hour.
    pub bursts_an_hour: f64,
    /// Whether it pauses by itself.
    pub pause: Pause,
    /// Whether it records heart rate.
    pub heart_rate: bool,
    /// Where the pitch lies: latitude and longitude of its corner, degrees, and the bearing of its long side, radians.
    pub site: (f64, f64, f64),
}

impl Receiver {
    /// A receiver of a kind, its constants drawn from wide ranges: with and without filters, in position and in speed apart,
    /// with fixes lost, positions in steps and reflections in bursts.
    #[must_use]
    pub fn random(kind: Kind, rng: &mut Rng) -> Self {
        let mut receiver = Self::plain(kind, rng);
        if kind != Kind::Mixed {
            receiver.widen(rng);
        }
        receiver
    }

    /// Draws filters, losses, steps and reflections, wider than those of a plain receiver of the kind.
    fn widen(&mut self, rng: &mut Rng) {
        let fast = self.interval_s < 0.5;
        let local = self.kind == Kind::Local25;
        // What a filter takes from a fast receiver is noticed and rarely sold; a watch may filter much, or nothing.
        let (filters, most_s) = if fast { (0.3, 0.6) } else { (0.7, 1.5) };
        self.low_pass_s = sometimes(rng, filters, 0.1, most_s);
        self.two_stage = rng.chance(0.25);
        self.speed_lag_s = if rng.chance(filters) {
            rng.range(0.1, most_s)
        } else {
            rng.range(0.0, 0.2)
        };
        if self.kind == Kind::Phone1 {
            self.white_m = rng.range(0.02, 0.6);
        } else if !local {
            self.white_m = rng.range(0.005, 0.2);
        }
        self.speed_noise_m_s = rng.range(0.03, 0.15);
        self.speed_scale = if fast || rng.chance(0.6) {
            1.0
        } else {
            rng.range(0.95, 1.02)
        };
        self.lost = sometimes(rng, 0.3, 0.01, 0.17);
        self.held = if fast && !local {
            sometimes(rng, 0.1, 0.2, 0.5)
        } else {
            0.0
        };
        self.step_m = if rng.chance(0.15) { 0.1 } else { 0.0 };
        self.bursts_an_hour = if local {
            0.0
        } else {
            sometimes(rng, if fast { 0.15 } else { 0.3 }, 0.5, 4.0)
        };
        let pauses = rng.chance(0.1);
        let segments = rng.chance(0.5);
        if pauses && !fast {
            self.pause = if segments {
                Pause::NewSegment
            } else {
                Pause::LeavesOut
            };
        }
    }

    /// A receiver as its kind mostly is.
    #[must_use]
    pub fn plain(kind: Kind, rng: &mut Rng) -> Self {
        let mut receiver = Self {
            kind,
            interval_s: match kind {
                Kind::Unit10 => 0.1,
                Kind::Unit5 => 0.2,
                Kind::Local25 => 0.04,
                _ => 1.0,
            },
            with_speed: matches!(kind, Kind::Unit10 | Kind::Unit5 | Kind::Watch1v),
            drift_m: rng.range(0.6, 2.0),
            drift_s: rng.range(30.0, 120.0),
            white_m: rng.range(0.01, 0.05),
            low_pass_s: 0.0,
            two_stage: false,
            speed_lag_s: rng.range(0.1, 0.3),
            speed_noise_m_s: rng.range(0.05, 0.1),
            // Most receivers write the length of a velocity that hardly lags; a few smooth the vector.
            speed_as_vector: rng.chance(0.15),
            decimals: 7,
            dropouts: (0.0, 0.0),
            jumps_a_minute: 0.0,
            doubles: 0.0,
            lost: 0.0,
            held: 0.0,
            step_m: 0.0,
            speed_scale: 1.0,
            bursts_an_hour: 0.0,
            pause: Pause::Never,
            heart_rate: false,
            // Open sea, away from poles and the date line, where nobody plays.
            site: (
                rng.range(-45.0, -25.0),
                rng.range(-125.0, -95.0),
                rng.range(-3.1, 3.1),
            ),
        };
        match kind {
            Kind::Unit10 | Kind::Unit5 => {}
            Kind::Local25 => {
                receiver.drift_m = rng.range(0.05, 0.4);
                receiver.drift_s = rng.range(30.0, 120.0);
                receiver.white_m = rng.range(0.02, 0.06);
            }
            Kind::Watch1 | Kind::Watch1v | Kind::WatchSparse => {
                receiver.drift_m = rng.range(0.8, 3.0);
                receiver.low_pass_s = rng.range(0.8, 1.5);
                receiver.two_stage = rng.chance(0.2);
                receiver.speed_lag_s = receiver.low_pass_s * rng.range(0.6, 1.0);
                receiver.speed_as_vector = rng.chance(0.1);
                receiver.decimals = rng.either(0.7, 7, 6);
                receiver.heart_rate = rng.chance(0.7);
            }
            Kind::Phone1 => {
                receiver.drift_m = rng.range(1.0, 3.0);
                receiver.low_pass_s = rng.range(0.4, 1.2);
                receiver.decimals = rng.either(0.5, 7, 6);
                receiver.dropouts = (rng.range(0.1, 0.5), rng.range(3.0, 7.0));
                receiver.jumps_a_minute = rng.range(0.05, 0.35);
                receiver.doubles = rng.range(0.0, 0.02);
            }
            Kind::Mixed => receiver.mix(rng),
        }
        receiver
    }

    /// Draws every constant anew, from ranges wider than those of any kind.
    fn mix(&mut self, rng: &mut Rng) {
        let pick = rng.range(0.0, INTERVALS_S.len() as f64) as usize;
        self.interval_s = INTERVALS_S[pick.min(INTERVALS_S.len() - 1)];
        self.with_speed = rng.chance(0.5);
        self.drift_m = rng.range(0.3, 3.2);
        self.drift_s = rng.range(30.0, 200.0);
        self.white_m = rng.range(0.005, 0.1);
        // Slow devices filter more: what lies between their fixes is lost anyway.
        let slow = self.interval_s.min(1.0);
        self.low_pass_s = rng.range(0.0, 0.2 + 1.4 * slow);
        self.two_stage = rng.chance(0.3);
        self.speed_lag_s = rng.range(0.05, 0.3 + 1.2 * slow);
        self.speed_noise_m_s = rng.range(0.03, 0.15);
        self.speed_as_vector = rng.chance(0.3);
        self.decimals = rng.either(0.7, 7, 6);
        self.dropouts = (rng.range(0.0, 0.5), rng.range(2.0, 8.0));
        self.doubles = rng.range(0.0, 0.02);
        self.heart_rate = rng.chance(0.5);
    }

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

/// Time between ticks of the grid on which devices are simulated, s; every fix falls on a tick.
const GRID_S: f64 = 0.02;

/// Intervals of mixed receivers, s: 25 Hz to a fix in two seconds.
const INTERVALS_S: [f64; 10] = [0.04, 0.06, 0.08, 0.1, 0.14, 0.2, 0.3, 0.5, 1.0, 2.0];

/// Slower than this is standing to a device that pauses by itself, m/s (a choice, no source).
const PAUSES_BELOW_M_S: f64 = 0.7;
/// How long he stands before it pauses, s (a choice, no source).
const PAUSES_AFTER_S: f64 = 4.0;
/// How long he moves before it wakes, s (a choice, no source).
const WAKES_AFTER_S: f64 = 1.5;

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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::simulation::{Mess, plain_session};
    use crate::trace;

    #[test]
    fn a_device_that_pauses_leaves_standing_out_and_its_file_reads_as_it_was_made() {
        let one = plain_session(3, Kind::Watch1, Mess::Clean);
        let whole = one.recording.rows.len();
        for pause in [Pause::LeavesOut, Pause::NewSegment] {
            let receiver = Receiver {
                pause,
                ..one.receiver.clone()
            };
            let recording = receiver.record(&one.truth, 3);
            assert!(recording.rows.len() < whole, "{pause:?}");
            // Fixes a second apart, so that a pause shows as a longer gap.
            let gaps = (recording.rows.windows(2)).filter(|w| w[1].time_s - w[0].time_s > 2.0);
            for gap in gaps {
                let (from, to) = (gap[0].time_s + 1.0, gap[1].time_s - WAKES_AFTER_S - 1.0);
                // A step or two do not wake it.
                let way_m = one.truth.run(from, to.max(from)).distance_m;
                assert!(
                    way_m < PAUSES_BELOW_M_S * (to - from) + 3.0,
                    "{pause:?} {from} to {to}: {way_m} m"
                );
                let broken = gap[0].segment != gap[1].segment;
                assert_eq!(broken, pause == Pause::NewSegment);
            }
            let read = trace::read(&recording.bytes(), &trace::Options::default());
            let read = read.map(|t| t.fixes).unwrap_or_default();
            let made = recording.trace().fixes;
            assert_eq!(read.len(), made.len());
            for (a, b) in read.iter().zip(&made) {
                assert_eq!(
                    (a.segment, a.line, a.position),
                    (b.segment, b.line, b.position)
                );
            }
        }
    }

    #[test]
    fn wide_receivers_filter_or_do_not_and_lose_fixes_or_do_not() {
        let all: Vec<Receiver> = (0..400)
            .map(|seed| Receiver::random(Kind::Watch1v, &mut Rng::stream(seed, 23)))
            .collect();
        let share = |is: &dyn Fn(&Receiver) -> bool| {
            all.iter().filter(|r| is(r)).count() as f64 / all.len() as f64
        };
        // Standard errors are 0.025 at most.
        assert!((share(&|r| r.low_pass_s <= 0.0) - 0.3).abs() < 0.1);
        assert!((share(&|r| r.lost > 0.0) - 0.3).abs() < 0.1);
        assert!((share(&|r| r.pause != Pause::Never) - 0.1).abs() < 0.07);
        // Filters of position and speed are drawn apart.
        let apart = |r: &Receiver| (r.low_pass_s - r.speed_lag_s).abs() > 0.5;
        assert!(share(&apart) > 0.3);
    }
}
