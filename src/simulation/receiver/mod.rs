//! Receivers: what a device makes of the truth.

mod kind;
mod record;

use crate::simulation::rng::{Rng, sometimes};

pub use kind::Kind;

/// Intervals of mixed receivers, s: 25 Hz to a fix in two seconds.
const INTERVALS_S: [f64; 10] = [0.04, 0.06, 0.08, 0.1, 0.14, 0.2, 0.3, 0.5, 1.0, 2.0];

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
}

#[cfg(test)]
mod tests {
    use super::record::{PAUSES_BELOW_M_S, WAKES_AFTER_S};
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
