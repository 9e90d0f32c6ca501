//! Smooths a track: position, velocity and acceleration over time, each with its uncertainty.
//!
//! [`estimate`] cuts the track at its gaps into runs and lays a regular grid over each (`timebase`). What the filter of a slow receiver
//! does is told from the recording first (`device`), and from earlier ones (`memory`). Positions go through a Kalman filter with
//! fixed-interval smoothing (`position`), and so does the receiver's own speed where there is one (`receiver_speed`), whose lag
//! behind the positions is undone (`lag`); both use one adaptive smoother (`smoothing`) on each run (`smoothed`), whose noise levels come
//! from the recording itself (`noise`). Speed is the receiver's where it has one, else the length of the velocity (`assemble`); distance
//! is the sum of movement, with standing told from walking (`standing`, `travel`). The pauses of a device that stops while its wearer
//! stands are filled with standing (`paused`). Who must report a named filter has its values in place of the smoothed ones (`named`).
//!
//! What is asked of a stretch of motion, with its interval, is answered by the methods in `window`, from the smoother's own standard
//! deviations and what device and model add to them (`accuracy`), by what the recording shows of its receiver (`signs`). A slow
//! receiver's speed is mended by what its positions say of it (`agreement`, `scale`); positions that leapt make no top speed (`leap`);
//! what a player may have reached where no fix was written raises a peak's upper end (`unseen`), and what he may have run across a gap
//! that of a distance (`across_gaps`).

mod accuracy;
mod across_gaps;
mod agreement;
mod assemble;
mod device;
mod lag;
mod leap;
mod memory;
mod named;
mod nodes;
mod noise;
mod paused;
mod position;
mod receiver_speed;
mod scale;
mod series;
mod signs;
mod smoothed;
mod smoothing;
mod standing;
mod timebase;
mod travel;
mod unseen;
mod window;

use std::ops::Range;

use crate::track::{Point, Track};

pub(crate) use accuracy::BandAccuracy;
pub(crate) use device::LagTold;
pub use device::{Device, Lag};
pub use memory::Witness;
use scale::Scale;
pub use signs::Signs;
use timebase::Timebase;

/// The smoothed motion on a regular time grid.
#[derive(Clone, Debug)]
pub struct Motion {
    /// Samples in increasing time, `step_s` apart within a run.
    pub samples: Vec<Sample>,
    /// Windows of `samples` without a gap inside, in order; together they cover all samples.
    pub runs: Vec<Range<usize>>,
    /// Time between neighbouring samples of a run, s.
    pub step_s: f64,
    /// Where the speed comes from.
    pub speed_from: SpeedFrom,
    /// Whether positions are known; without them `x_m`, `y_m`, `vx_m_s`, `vy_m_s` are 0 and mean nothing.
    pub has_position: bool,
    /// The receiver's usual rate, Hz.
    pub rate_hz: f64,
    /// Whether the intervals between fixes vary.
    pub irregular: bool,
    /// What the recording shows of its receiver.
    pub signs: Signs,
    /// What the recording leaves open.
    pub doubts: Doubts,
}

/// What a recording leaves open, beyond the standard deviations of its samples.
#[derive(Clone, Debug, Default)]
pub struct Doubts {
    /// What a slow receiver does before it writes, as far as the recording tells; `None` for fast and uneven ones.
    pub device: Option<Device>,
    /// What this recording shows of its device, for the next one.
    pub witness: Witness,
    /// How many earlier recordings of the device were asked.
    pub known: usize,
    /// How long the way of the positions is, as a share of that of the receiver's speed, both while moving; `None` where one of
    /// the two is not there.
    pub agreement: Option<f64>,
    /// By what factor a slow receiver's speed may be off, as far as its positions tell; `None` where the speed is not its own.
    scale: Option<Scale>,
    /// When a position leapt as nobody moves, s, in order; of slow receivers alone.
    leaps_s: Vec<f64>,
    /// Whether fixes are missing here and there, as those of phones are.
    pub loses_fixes: bool,
    /// The speed of each sample if the device's lag were one standard deviation shorter and longer, m/s; empty where no lag is
    /// in doubt.
    pub otherwise_m_s: [Vec<f64>; 2],
    /// The way up to each sample that no fix supports, m; empty where every sample is measured.
    pub bridged_way_m: Vec<f64>,
    /// How much of the way up to each sample was gone slowly, m; of fast receivers alone.
    slow_way_m: Vec<f64>,
    /// How much of the way up to each sample are bends that no fix shows, m; empty where the fixes show them.
    pub bent_way_m: Vec<f64>,
    /// By how much longer the way up to each sample would be if the device's lag were one standard deviation longer, m; empty where
    /// the way is not that of positions whose lag is in doubt.
    lag_way_m: Vec<f64>,
    /// The way up to each sample that was gone near a leap of the positions, m; empty where none leapt.
    leapt_way_m: Vec<f64>,
    /// The first samples of the pauses of a device that stops by itself, in order.
    pauses: Vec<usize>,
    /// The straight ways across all gaps before each run, and a little for what was moved about meanwhile, m: none of it is
    /// counted. Empty where there is no gap, or no position.
    pub across_gaps_m: Vec<f64>,
}

#[cfg(test)]
impl Motion {
    /// One unbroken run of samples.
    pub(crate) fn of_run(samples: Vec<Sample>, rate_hz: f64, speed_from: SpeedFrom) -> Self {
        Self {
            runs: (!samples.is_empty())
                .then_some(0..samples.len())
                .into_iter()
                .collect(),
            samples,
            step_s: 1.0 / rate_hz,
            speed_from,
            has_position: true,
            rate_hz,
            irregular: false,
            signs: Signs::default(),
            doubts: Doubts::default(),
        }
    }
}

/// The state at one time.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Sample {
    /// Seconds from the session's start.
    pub time_s: f64,
    /// East, m.
    pub x_m: f64,
    /// North, m.
    pub y_m: f64,
    /// Velocity east, from positions, m/s.
    pub vx_m_s: f64,
    /// Velocity north, from positions, m/s.
    pub vy_m_s: f64,
    /// Speed, the best of what was recorded, m/s.
    pub speed_m_s: f64,
    /// Rate of change of speed, m/s2.
    pub acceleration_m_s2: f64,
    /// Standard deviation of the position along one axis, m.
    pub position_sd_m: f64,
    /// Standard deviation of the speed, m/s.
    pub speed_sd_m_s: f64,
    /// Standard deviation of the acceleration, m/s2.
    pub acceleration_sd_m_s2: f64,
    /// Distance moved since the first sample, m; gaps add none.
    pub travel_m: f64,
    /// Heart rate, beats a minute, if one was recorded within a few seconds.
    pub heart_rate_bpm: Option<f32>,
    /// Whether no fix lies near: the motion here is bridged, not measured.
    pub bridged: bool,
    /// The probability that the player stands, whatever speed noise gives him: what he moves counts by the rest of it.
    pub standing: f64,
}

/// Where the speed of a motion comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SpeedFrom {
    /// The receiver's own speed.
    Receiver,
    /// Differences of positions.
    Position,
    /// Both.
    Both,
}

/// How to smooth.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Settings {
    /// The filter.
    pub method: Method,
    /// What earlier recordings of the same device showed of it.
    pub known: Vec<Witness>,
}

/// The filter that turns fixes into motion.
#[derive(Clone, Copy, Debug, PartialEq, Default)]
pub enum Method {
    /// Kalman filter with fixed-interval smoothing; the only one whose intervals are derived.
    #[default]
    Kalman,
    /// Local polynomial of order 2 over a window of so many seconds.
    SavitzkyGolay {
        /// Window, s.
        window_s: f64,
    },
    /// Second-order Butterworth run forth and back.
    Butterworth {
        /// Cutoff after both passes, Hz.
        cutoff_hz: f64,
    },
}

/// Smooths a track.
///
/// A track without positions gives a motion of speed alone; one without receiver speed, a motion of positions alone.
#[must_use]
pub fn estimate(track: &Track, settings: &Settings) -> Motion {
    let step_s = timebase::step_s(track.rate.hz);
    let runs: Vec<(&[Point], Timebase)> = timebase::runs(track)
        .into_iter()
        .map(|range| {
            let points = &track.points[range];
            (points, Timebase::new(points, step_s))
        })
        .collect();
    let points: Vec<&[Point]> = runs.iter().map(|(points, _)| *points).collect();
    let loses_fixes = position::loses_fixes(&runs, track.rate.hz);
    let known = Witness::of_rate(&settings.known, track.rate.hz);
    let told = device::of(&points, track.rate, loses_fixes, &known);
    let (device, witness) = told.unzip();
    let mut witness = witness.unwrap_or(Witness {
        rate_hz: track.rate.hz,
        ..Witness::default()
    });
    let planar = position::smooth(&runs, track.rate, device.and_then(|d| d.position));
    // Named filters take the readings as they come, lag and all.
    let lag = match settings.method {
        Method::Kalman => device.and_then(|d| d.speed).unwrap_or_else(|| {
            witness.lag_s = lag::of_receiver_speed(&runs, &planar, track.rate.hz);
            let usual_s = || memory::mean(None, known.iter().map(|w| w.lag_s));
            let lag_s = witness.lag_s.or_else(usual_s);
            Lag::known(lag_s.unwrap_or(receiver_speed::prior_lag_s(track.rate.hz)))
        }),
        _ => Lag::known(0.0),
    };
    witness.speed_noise_m_s = {
        let readings: Vec<_> = points.iter().map(|run| standing::readings(run)).collect();
        standing::noise_variance(&readings).map(f64::sqrt)
    };
    let usual_m_s = || memory::mean(None, known.iter().map(|w| w.speed_noise_m_s));
    let noise_m_s = witness.speed_noise_m_s.or_else(usual_m_s);
    let noise = noise_m_s.unwrap_or(standing::USUAL_SD_M_S).powi(2);
    let along = receiver_speed::smooth(&runs, track.rate.hz, lag);
    let mut motion = assemble::motion(track, &runs, planar, along, step_s);
    motion.doubts.device = device;
    motion.doubts.loses_fixes = loses_fixes;
    witness.agreement = agreement::of_ways(&motion);
    if witness.agreement.is_some() {
        let others = known.iter().map(|w| w.agreement);
        motion.doubts.agreement = memory::mean(witness.agreement, others);
    }
    let slow = track.rate.hz < FAST_HZ;
    if slow {
        motion.doubts.leaps_s = leap::times_s(&points);
    }
    if slow && motion.speed_from == SpeedFrom::Receiver {
        let as_vector = accuracy::may_be_vector(&motion);
        motion.doubts.scale = Some(Scale::told(motion.doubts.agreement, as_vector));
    }
    motion.doubts.witness = witness;
    motion.doubts.known = known.len();
    named::apply(&mut motion, &runs, settings.method);
    assemble::accelerations(&mut motion);
    travel::sum(&mut motion, &runs, lag.mean_s, noise);
    paused::join(&mut motion, track);
    motion.doubts.across_gaps_m = across_gaps::before_each_run_m(&motion);
    motion
}

/// From here on a receiver is fast, Hz: its own positions show the lag of its speed, and the smoothed speed follows a sprint closely.
/// Below, a device's own filter shapes positions and speed alike, and leaves no ripple and little noise.
pub(crate) const FAST_HZ: f64 = 4.0;
/// No lag shorter than this, s: none at all would be another model.
const LEAST_LAG_S: f64 = 0.02;
