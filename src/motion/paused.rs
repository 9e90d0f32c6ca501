//! Lays standing into the pauses of a device that stops by itself: what moved there is known, namely nothing.

use std::ops::Range;

use crate::motion::{Motion, Sample};
use crate::track::{Pause, Track};

/// Standard deviation of the speed of somebody who stands, m/s.
const STILL_SD_M_S: f64 = 0.1;

/// Joins the runs on both sides of each pause by samples of somebody who slows down, stands and sets off again.
///
/// Where he set off is taken from the fix that ends the pause: evenly from a standstill to the speed there. What is left of
/// the way between the two places is receiver error and is no movement.
pub(super) fn join(motion: &mut Motion, track: &Track) {
    if track.pauses.is_empty() || motion.step_s <= 0.0 {
        return;
    }
    let mut pauses = track.pauses.iter().peekable();
    let mut samples: Vec<Sample> = Vec::with_capacity(motion.samples.len());
    let mut runs = Vec::with_capacity(motion.runs.len());
    let mut start = 0;
    let mut hidden_m = 0.0;
    let mut doubts = Alongside::of(motion);
    for (k, run) in motion.runs.iter().enumerate() {
        let Some(inside) = motion.samples.get(run.clone()) else {
            continue;
        };
        if let (Some(last), Some(first), true) = (samples.last().copied(), inside.first(), k > 0) {
            while pauses.next_if(|p| p.end_s <= last.time_s).is_some() {}
            if let Some(pause) = pauses.next_if(|p| p.start_s < first.time_s) {
                let first = Sample {
                    travel_m: first.travel_m + hidden_m,
                    ..*first
                };
                let filled = samples.len();
                doubts.pauses.push(filled);
                hidden_m += fill(&mut samples, &last, &first, pause, motion.step_s);
                doubts.fill(samples.get(filled..).unwrap_or_default());
            } else {
                runs.push(start..samples.len());
                start = samples.len();
            }
        }
        doubts.take(motion, run);
        samples.extend(inside.iter().map(|sample| Sample {
            travel_m: sample.travel_m + hidden_m,
            ..*sample
        }));
    }
    if start < samples.len() {
        runs.push(start..samples.len());
    }
    motion.samples = samples;
    motion.runs = runs;
    motion.doubts.otherwise_m_s = doubts.otherwise_m_s;
    motion.doubts.bridged_way_m = doubts.bridged_way_m;
    motion.doubts.bent_way_m = doubts.bent_way_m;
    motion.doubts.slow_way_m = doubts.slow_way_m;
    motion.doubts.lag_way_m = doubts.lag_way_m;
    motion.doubts.leapt_way_m = doubts.leapt_way_m;
    motion.doubts.pauses = doubts.pauses;
}

/// What the doubts hold of each sample, so that it stays beside its sample; those that are empty stay so.
#[derive(Default)]
struct Alongside {
    otherwise_m_s: [Vec<f64>; 2],
    bridged_way_m: Vec<f64>,
    bent_way_m: Vec<f64>,
    slow_way_m: Vec<f64>,
    lag_way_m: Vec<f64>,
    leapt_way_m: Vec<f64>,
    pauses: Vec<usize>,
}

impl Alongside {
    fn of(motion: &Motion) -> Self {
        // Room for the samples there are; an empty list asks for none.
        let room = |values: &Vec<f64>| Vec::with_capacity(values.len());
        Self {
            otherwise_m_s: motion.doubts.otherwise_m_s.each_ref().map(room),
            bridged_way_m: room(&motion.doubts.bridged_way_m),
            bent_way_m: room(&motion.doubts.bent_way_m),
            slow_way_m: room(&motion.doubts.slow_way_m),
            lag_way_m: room(&motion.doubts.lag_way_m),
            leapt_way_m: room(&motion.doubts.leapt_way_m),
            pauses: Vec::new(),
        }
    }

    /// Takes over what is known of a run.
    fn take(&mut self, motion: &Motion, run: &Range<usize>) {
        let doubts = &motion.doubts;
        let [less, more] = &mut self.otherwise_m_s;
        for (taken, all) in [
            (less, &doubts.otherwise_m_s[0]),
            (more, &doubts.otherwise_m_s[1]),
            (&mut self.bridged_way_m, &doubts.bridged_way_m),
            (&mut self.bent_way_m, &doubts.bent_way_m),
            (&mut self.slow_way_m, &doubts.slow_way_m),
            (&mut self.lag_way_m, &doubts.lag_way_m),
            (&mut self.leapt_way_m, &doubts.leapt_way_m),
        ] {
            taken.extend_from_slice(all.get(run.clone()).unwrap_or_default());
        }
    }

    /// Samples of somebody who stands are not in doubt, and add no way that is.
    fn fill(&mut self, samples: &[Sample]) {
        for speeds in &mut self.otherwise_m_s {
            if !speeds.is_empty() {
                speeds.extend(samples.iter().map(|s| s.speed_m_s));
            }
        }
        for ways in [
            &mut self.bridged_way_m,
            &mut self.bent_way_m,
            &mut self.slow_way_m,
            &mut self.lag_way_m,
            &mut self.leapt_way_m,
        ] {
            if let Some(&last) = ways.last() {
                ways.extend(std::iter::repeat_n(last, samples.len()));
            }
        }
    }
}

/// Adds the samples of a pause between `last` and `first`; the way covered in it, m.
fn fill(
    samples: &mut Vec<Sample>,
    last: &Sample,
    first: &Sample,
    pause: &Pause,
    step_s: f64,
) -> f64 {
    let lasts_s = first.time_s - last.time_s;
    let steps = (lasts_s / step_s).round().max(1.0) as usize;
    // The two grids do not meet: the steps between are a little longer or shorter.
    let each_s = lasts_s / steps as f64;
    let mut way_m = 0.0;
    let mut before = *last;
    for k in 1..steps {
        let time_s = last.time_s + k as f64 * each_s;
        // He stood where he was seen last, and set off from there.
        let under_way = (time_s - pause.still_to_s) / (first.time_s - pause.still_to_s).max(1e-6);
        let share = under_way.clamp(0.0, 1.0).powi(2);
        let mix = |from: f64, to: f64| from + (to - from) * share;
        let (speed_m_s, acceleration_m_s2, from) = if time_s < pause.still_from_s {
            let slope = last.speed_m_s / (pause.still_from_s - last.time_s);
            (slope * (pause.still_from_s - time_s), -slope, Some(last))
        } else if time_s > pause.still_to_s {
            let slope = first.speed_m_s / (first.time_s - pause.still_to_s);
            (slope * (time_s - pause.still_to_s), slope, Some(first))
        } else {
            (0.0, 0.0, None)
        };
        let along = from.map_or((0.0, 0.0), |s| {
            let v = s.vx_m_s.hypot(s.vy_m_s).max(1e-6);
            (speed_m_s * s.vx_m_s / v, speed_m_s * s.vy_m_s / v)
        });
        let sample = Sample {
            time_s,
            x_m: mix(last.x_m, first.x_m),
            y_m: mix(last.y_m, first.y_m),
            vx_m_s: along.0,
            vy_m_s: along.1,
            speed_m_s,
            acceleration_m_s2,
            position_sd_m: last.position_sd_m.max(first.position_sd_m),
            speed_sd_m_s: from.map_or(STILL_SD_M_S, |s| s.speed_sd_m_s.max(STILL_SD_M_S)),
            acceleration_sd_m_s2: from.map_or(STILL_SD_M_S, |s| s.acceleration_sd_m_s2),
            travel_m: 0.0,
            heart_rate_bpm: None,
            bridged: false,
            standing: if from.is_none() { 1.0 } else { 0.0 },
        };
        way_m += f64::midpoint(before.speed_m_s, speed_m_s) * each_s;
        before = sample;
        samples.push(Sample {
            travel_m: last.travel_m + way_m,
            ..sample
        });
    }
    way_m + f64::midpoint(before.speed_m_s, first.speed_m_s) * each_s
}

#[cfg(test)]
mod tests {
    use crate::motion::{SpeedFrom, estimate};
    use crate::trace::{Clock, Fix, Format, Position, Trace};
    use crate::track::{self, Rules};

    /// Runs of 8 s at 4 m/s to and fro, each after half a minute of which nothing was written.
    fn runs() -> Trace {
        let mut fixes = Vec::new();
        let mut x_m = 0.0;
        for run in 0..10 {
            let way = if run % 2 == 0 { 1.0 } else { -1.0 };
            for second in 0..=10 {
                let speed = match second {
                    0 | 10 => 0.0,
                    _ => 4.0,
                };
                x_m += way * speed;
                fixes.push(Fix {
                    time_s: f64::from(run * 40 + second),
                    position: Some(Position::Local { x_m, y_m: 0.0 }),
                    speed_m_s: Some(speed),
                    ..Fix::default()
                });
            }
        }
        Trace::new(fixes, Clock::Elapsed, Format::Csv { delimiter: ',' })
    }

    #[test]
    fn a_pause_is_standing_and_adds_no_way() {
        let track = track::clean(&runs(), &Rules::default()).expect("a recording");
        assert_eq!((track.gaps.len(), track.pauses.len()), (0, 9));
        let motion = estimate(&track, &crate::motion::Settings::default());
        assert_eq!(motion.speed_from, SpeedFrom::Receiver);
        assert_eq!(motion.runs.len(), 1);
        let steps = motion.samples.windows(2).map(|w| w[1].time_s - w[0].time_s);
        assert!(
            steps
                .clone()
                .all(|dt| (dt / motion.step_s - 1.0).abs() < 0.05)
        );
        let still = motion.window(12.0, 38.0);
        assert!(
            motion.samples[still]
                .iter()
                .all(|s| s.speed_m_s < 0.1 && !s.bridged)
        );
        let way_m = motion.samples.last().map_or(0.0, |s| s.travel_m);
        assert!((way_m - 360.0).abs() < 15.0, "{way_m}");
        // What is in doubt stays beside its sample, or a peak would have the interval of another.
        let [less, more] = &motion.doubts.otherwise_m_s;
        assert_eq!(less.len(), motion.samples.len());
        for at in (1..10).flat_map(|run| {
            let from_s = f64::from(run * 40);
            motion.window(from_s - 27.0, from_s - 3.0)
        }) {
            assert!(less[at] < 0.1 && more[at] < 0.1, "{at}");
        }
    }
}
