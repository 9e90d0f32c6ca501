//! Speed bands: every moment of the motion belongs to exactly one.

use crate::efforts::Bands;
use crate::efforts::edge::{Edge, Half, hardly_moved_s};
use crate::measured::Measured;
use crate::motion::{BandAccuracy, Motion, Sample};

/// The way of so long is shared out by what lies under the speeds meanwhile, s: a receiver's speed is late and flat beside what
/// was made of it, but not by that much.
const TOGETHER_S: f64 = 30.0;
/// The mean speed of shifting about while standing, as a share of the speed from which a player walks: what so slow a
/// motion adds is not counted, and belongs to the interval.
const SHIFTING: f64 = 0.25;
/// The mean speed of what is hardly faster than standing, m/s.
const HARDLY_M_S: f64 = 0.35;

/// Time and distance in one band of speed.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// Such as "sprint".
    pub name: String,
    /// Lower edge, m/s, inside the band.
    pub from_m_s: f64,
    /// Upper edge, m/s, outside the band.
    pub to_m_s: Option<f64>,
    /// Time, s.
    pub time_s: f64,
    /// Distance, m.
    pub distance_m: f64,
    /// The same with their 95 % intervals; `None` where a diary kept the numbers alone.
    pub within: Option<Within>,
}

/// What the recording leaves open of a band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Within {
    /// Time, s.
    pub time_s: Measured,
    /// Distance, m.
    pub distance_m: Measured,
}

/// Shares out the time and distance of a motion among the speed bands, from standing to sprinting.
///
/// Between two samples speed runs in a straight line, and the line is cut at the edges of the bands. Who stands with a
/// probability ([`Sample::standing`]) does so for that share of the time, whatever speed noise gives him. The distance is the
/// motion's own ([`Sample::travel_m`]), shared out over half a minute in proportion, so that the bands sum to the distance of the
/// session. The time in gaps belongs to no band, so the times sum to the length of the runs.
///
/// Intervals come from the noise of each speed near an edge, from what all speeds may be off by alike, from the device's lag,
/// and, between standing and walking, from the time spent hardly above the edge.
///
/// # References
/// Edges: see [`Bands`] and `repledger settings`; Bradley et al. (2009), J Sports Sci 27:159, 10.1080/02640410802512775.
#[must_use]
pub fn bands(motion: &Motion, edges: &Bands) -> Vec<Band> {
    let lower = [
        ("stand", 0.0),
        ("walk", edges.walk_m_s),
        ("jog", edges.jog_m_s),
        ("run", edges.run_m_s),
        ("high_speed_run", edges.high_speed_m_s),
        ("sprint", edges.sprint_m_s),
    ];
    let upper = lower[1..].iter().map(|(_, from)| Some(*from)).chain([None]);
    let mut bands: Vec<Band> = lower
        .iter()
        .zip(upper)
        .map(|(&(name, from_m_s), to_m_s)| Band {
            name: name.to_owned(),
            from_m_s,
            to_m_s,
            time_s: 0.0,
            distance_m: 0.0,
            within: None,
        })
        .collect();
    let mut ways_m = vec![0.0; bands.len()];
    let together = motion.samples_in(TOGETHER_S).max(1);
    for run in &motion.runs {
        let mut from = run.start;
        while from + 1 < run.end {
            let to = (from + together).min(run.end - 1);
            for pair in motion.samples[from..=to].windows(2) {
                share_out(&pair[0], &pair[1], &mut bands, &mut ways_m);
            }
            let way_m = motion.samples[to].travel_m - motion.samples[from].travel_m;
            settle(way_m, &mut ways_m, &mut bands);
            from = to;
        }
    }
    let accuracy = motion.band_accuracy();
    let edge = |band: &Band| Edge::of(motion, &accuracy, band.from_m_s);
    let open: Vec<Edge> = bands.iter().map(edge).collect();
    let slow = Slow {
        hardly_s: hardly_moved_s(motion, edges.walk_m_s),
        shifted_m: SHIFTING * edges.walk_m_s * bands[0].time_s,
    };
    for (k, band) in bands.iter_mut().enumerate() {
        let half = open[k].until(open.get(k + 1), band.distance_m, accuracy.share);
        band.within = Some(within(&accuracy, band, k, half, slow));
    }
    bands
}

/// What is neither standing nor walking for sure.
#[derive(Clone, Copy)]
struct Slow {
    /// Time hardly above standing, s.
    hardly_s: f64,
    /// What may have been moved while standing, m.
    shifted_m: f64,
}

/// The intervals of the band in a place; standing and walking are in doubt by the time spent hardly above standing.
fn within(accuracy: &BandAccuracy, band: &Band, place: usize, half: Half, slow: Slow) -> Within {
    let Slow {
        hardly_s,
        shifted_m,
    } = slow;
    let (stood_s, walked_s) = (accuracy.stood * hardly_s, accuracy.walked * hardly_s);
    let (less_s, more_s, less_m, more_m) = match place {
        0 => (walked_s, stood_s, 0.0, shifted_m),
        1 => (
            stood_s,
            walked_s,
            shifted_m.hypot(HARDLY_M_S * stood_s),
            HARDLY_M_S * walked_s,
        ),
        _ => (0.0, 0.0, 0.0, 0.0),
    };
    let around = |value: f64, half: f64, less: f64, more: f64| {
        Measured::within(value, value - half.hypot(less), value + half.hypot(more)).at_least(0.0)
    };
    Within {
        time_s: around(band.time_s, half.time_s, less_s, more_s),
        distance_m: around(band.distance_m, half.way_m, less_m, more_m),
    }
}

/// Adds the time between two samples to the bands that the line between their speeds crosses, and to each band's way what lies
/// under its part of the line.
fn share_out(a: &Sample, b: &Sample, bands: &mut [Band], ways_m: &mut [f64]) {
    let lasts_s = b.time_s - a.time_s;
    let stands_s = lasts_s * f64::midpoint(a.standing, b.standing);
    if let Some(stand) = bands.first_mut() {
        stand.time_s += stands_s;
    }
    let step_s = lasts_s - stands_s;
    let low = a.speed_m_s.min(b.speed_m_s).max(0.0);
    let high = a.speed_m_s.max(b.speed_m_s).max(0.0);
    for (band, way_m) in bands.iter_mut().zip(ways_m) {
        let to = band.to_m_s.unwrap_or(f64::INFINITY);
        if to < low || high < band.from_m_s {
            continue;
        }
        if high <= low {
            if band.from_m_s <= low && low < to {
                band.time_s += step_s;
                *way_m += step_s * low;
            }
            continue;
        }
        let (from, to) = (low.max(band.from_m_s), high.min(to));
        if from < to {
            let time_s = step_s * (to - from) / (high - low);
            band.time_s += time_s;
            *way_m += time_s * f64::midpoint(from, to);
        }
    }
}

/// Adds to the bands the way that the motion made of what lies under their speeds, and begins anew.
fn settle(way_m: f64, ways_m: &mut [f64], bands: &mut [Band]) {
    let under_m: f64 = ways_m.iter().sum();
    let scale = if under_m > 0.0 { way_m / under_m } else { 0.0 };
    for (band, under_m) in bands.iter_mut().zip(ways_m) {
        band.distance_m += *under_m * scale;
        *under_m = 0.0;
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::efforts::measure::hand_made::{at_10_hz, sampled};

    #[test]
    fn an_even_rise_spends_time_by_the_width_of_each_band() {
        // 1 m/s2 from 0 to 10 m/s: a band of 1 m/s takes 1 s and covers its middle speed times that.
        let motion = sampled(10.0, 10.0, |t| t);
        let found = bands(&motion, &Bands::default());
        let times = [0.2, 1.8, 2.0, 1.5, 1.5, 3.0];
        let distances = [0.02, 1.98, 6.0, 7.125, 9.375, 25.5];
        for ((band, time), distance) in found.iter().zip(times).zip(distances) {
            assert!(
                (band.time_s - time).abs() < 1e-9,
                "{}: {} s",
                band.name,
                band.time_s
            );
            assert!(
                (band.distance_m - distance).abs() < 1e-9,
                "{}: {} m",
                band.name,
                band.distance_m
            );
        }
    }

    #[test]
    fn an_edge_belongs_to_the_band_above() {
        let found = bands(&at_10_hz(&[7.0; 11]), &Bands::default());
        assert!((found[5].time_s - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_bands_sum_to_the_distance_of_the_motion() {
        let mut motion = sampled(60.0, 10.0, |t| 4.0 + 4.0 * (t / 7.0).sin());
        for sample in &mut motion.samples {
            // A receiver whose speed reads 3 % more than the smoothed one.
            sample.travel_m *= 1.03;
        }
        let total: f64 = bands(&motion, &Bands::default())
            .iter()
            .map(|band| band.distance_m)
            .sum();
        assert!((total - motion.samples[600].travel_m).abs() < 1e-9);
    }

    #[test]
    fn who_may_stand_stands_for_that_share_of_the_time() {
        let mut motion = sampled(100.0, 10.0, |_| 0.3);
        for sample in &mut motion.samples {
            sample.standing = 0.75;
            sample.travel_m *= 0.25;
        }
        let found = bands(&motion, &Bands::default());
        assert!((found[0].time_s - 75.0).abs() < 1e-6 && (found[1].time_s - 25.0).abs() < 1e-6);
        assert!((found[1].distance_m - 7.5).abs() < 1e-6 && found[0].distance_m == 0.0);
        // He may have stood throughout.
        let stood = found[0].within.expect("an interval").time_s;
        assert!(stood.high > 80.0 && stood.low > 30.0, "{stood:?}");
    }

    #[test]
    fn the_time_near_an_edge_is_in_doubt_and_the_time_far_from_it_is_not() {
        let within = |speed: f64, sd: f64| {
            let mut motion = sampled(200.0, 10.0, |_| speed);
            for sample in &mut motion.samples {
                sample.speed_sd_m_s = sd;
            }
            let sprint = bands(&motion, &Bands::default())[5].clone();
            (sprint.time_s, sprint.within.expect("an interval").time_s)
        };
        let (time_s, near) = within(6.9, 0.1);
        assert!(
            time_s < 1e-9 && near.low < 1e-9 && near.high > 3.0,
            "{near:?}"
        );
        let (time_s, far) = within(6.0, 0.1);
        assert!(time_s < 1e-9 && far.high < 1e-3, "{far:?}");
        let (time_s, fast) = within(9.0, 0.1);
        assert!((time_s - 200.0).abs() < 1e-6 && fast.high - fast.low < 1e-3);
        let (_, farther) = within(6.75, 0.1);
        assert!(
            0.0 < farther.high && farther.high < near.high,
            "{farther:?}"
        );
    }

    #[test]
    fn every_interval_holds_its_value_and_none_reaches_below_nothing() {
        let mut motion = sampled(60.0, 10.0, |t| 4.0 + 4.0 * (t / 7.0).sin());
        for sample in &mut motion.samples {
            sample.speed_sd_m_s = 0.3;
        }
        for band in bands(&motion, &Bands::default()) {
            let Within { time_s, distance_m } = band.within.expect("an interval");
            for (value, within) in [(band.time_s, time_s), (band.distance_m, distance_m)] {
                assert!((within.value - value).abs() < 1e-9, "{band:?}");
                assert!(0.0 <= within.low && within.low <= value && value <= within.high);
            }
        }
    }

    /// A receiver's speed that is late and flat beside the one made of it takes no way from the fast to the slow.
    #[test]
    fn a_late_way_stays_with_the_speeds_it_was_made_of() {
        let mut motion = sampled(300.0, 10.0, |t| {
            if ((t / 10.0) as u32).is_multiple_of(3) {
                8.0
            } else {
                1.0
            }
        });
        let of = |motion: &Motion| bands(motion, &Bands::default())[5].distance_m;
        let plain = of(&motion);
        let ways: Vec<f64> = motion.samples.iter().map(|s| s.travel_m).collect();
        for (k, sample) in motion.samples.iter_mut().enumerate() {
            sample.travel_m = ways[k.saturating_sub(10)];
        }
        assert!(
            (of(&motion) / plain - 1.0).abs() < 0.06,
            "{} of {plain}",
            of(&motion)
        );
    }

    #[test]
    fn gaps_belong_to_no_band() {
        let mut motion = sampled(10.0, 10.0, |_| 3.0);
        motion.runs = vec![0..31, 71..101];
        let total: f64 = bands(&motion, &Bands::default())
            .iter()
            .map(|band| band.time_s)
            .sum();
        assert!((total - 5.9).abs() < 1e-9);
    }
}
