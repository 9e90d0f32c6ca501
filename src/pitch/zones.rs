//! Where on the pitch: time and distance by thirds, channels and halves.

use crate::motion::Motion;
use crate::pitch::Pitch;

/// Time and distance in one part of the pitch.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Part {
    /// s.
    pub time_s: f64,
    /// m.
    pub distance_m: f64,
}

/// Time and distance by parts of the pitch; what lies outside the lines counts to the nearest part.
///
/// Which goal is which is not known, so the parts are told by where they lie, not by attack and defence.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Zones {
    /// Along the touchlines, in the direction of [`Pitch::turn_rad`].
    pub thirds: [Part; 3],
    /// Across, from right to left of that direction: each a third of the width.
    pub channels: [Part; 3],
    /// Before and beyond the halfway line.
    pub halves: [Part; 2],
    /// More than the uncertainty of the place outside the lines.
    pub outside: Part,
}

/// Sums over the samples of a motion. Places are sure to [`Pitch::centre_sd_m`] and the receiver's own error, so a part
/// narrower than those says little; the sums carry no interval.
#[must_use]
pub(crate) fn zones(motion: &Motion, pitch: &Pitch) -> Zones {
    let mut zones = Zones::default();
    let (half_length, half_width) = (pitch.size.length_m / 2.0, pitch.size.width_m / 2.0);
    let third = |value: f64, whole: f64| ((value / whole + 0.5) * 3.0).clamp(0.0, 2.0) as usize;
    for run in &motion.runs {
        let samples = motion.samples.get(run.clone()).unwrap_or_default();
        for pair in samples.windows(2) {
            let [before, after] = pair else { continue };
            let [along, across] = pitch.to_pitch([after.x_m, after.y_m]);
            let step = Part {
                time_s: after.time_s - before.time_s,
                distance_m: (after.travel_m - before.travel_m).max(0.0),
            };
            let over = 2.0 * pitch.centre_sd_m.hypot(1.0);
            if along.abs() > half_length + over || across.abs() > half_width + over {
                zones.outside.add(step);
                continue;
            }
            zones.thirds[third(along, pitch.size.length_m)].add(step);
            zones.channels[third(across, pitch.size.width_m)].add(step);
            zones.halves[usize::from(along > 0.0)].add(step);
        }
    }
    zones
}

impl Part {
    fn add(&mut self, step: Self) {
        self.time_s += step.time_s;
        self.distance_m += step.distance_m;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::motion::Sample;
    use crate::pitch::made;
    use crate::pitch::{Size, Source};

    /// From one goal line to the other along the left touchline at 1 m/s: a third of 99 m in each third, all in one channel.
    #[test]
    fn a_walk_along_the_touchline_by_hand() {
        let samples: Vec<Sample> = (0..=99)
            .map(|k| Sample {
                time_s: f64::from(k),
                x_m: f64::from(k) - 49.5,
                y_m: 29.0,
                travel_m: f64::from(k),
                ..Sample::default()
            })
            .collect();
        let motion = made::motion(samples);
        let pitch = Pitch {
            size: Size {
                length_m: 99.0,
                width_m: 60.0,
            },
            centre_m: [0.0, 0.0],
            turn_rad: 0.0,
            centre_sd_m: 0.5,
            turn_sd_rad: 0.0,
            source: Source::Corners,
        };
        let zones = zones(&motion, &pitch);
        for part in zones.thirds {
            assert!((part.distance_m - 33.0).abs() <= 1.0, "{zones:?}");
        }
        assert!((zones.channels[2].time_s - 99.0).abs() < 1e-9);
        assert!((zones.halves[0].time_s - 49.0).abs() <= 1.0);
        assert_eq!(zones.outside, Part::default());
    }
}
