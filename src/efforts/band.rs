//! Speed bands: every moment of the motion belongs to exactly one.

use crate::efforts::Bands;
use crate::motion::{Motion, Sample};

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
}

/// Shares out the time and distance of a motion among the speed bands, from standing to sprinting.
///
/// Between two samples speed runs in a straight line, and the line is cut at the edges of the bands. The distance between
/// them is the motion's own ([`Sample::travel_m`]), shared out in proportion, so that the bands sum to the distance of
/// the session. The time in gaps belongs to no band, so the times sum to the length of the runs.
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
        })
        .collect();
    for run in &motion.runs {
        for pair in motion.samples[run.clone()].windows(2) {
            share_out(&pair[0], &pair[1], &mut bands);
        }
    }
    bands
}

/// Adds the time and distance between two samples to the bands that the line between their speeds crosses.
fn share_out(a: &Sample, b: &Sample, bands: &mut [Band]) {
    let step_s = b.time_s - a.time_s;
    let low = a.speed_m_s.min(b.speed_m_s).max(0.0);
    let high = a.speed_m_s.max(b.speed_m_s).max(0.0);
    let line_m = step_s * f64::midpoint(low, high);
    // What the motion says was covered, for each metre under the line.
    let scale = if line_m > 0.0 {
        (b.travel_m - a.travel_m) / line_m
    } else {
        0.0
    };
    for band in bands {
        let to = band.to_m_s.unwrap_or(f64::INFINITY);
        if to < low || high < band.from_m_s {
            continue;
        }
        if high <= low {
            if band.from_m_s <= low && low < to {
                band.time_s += step_s;
                band.distance_m += line_m * scale;
            }
            continue;
        }
        let (from, to) = (low.max(band.from_m_s), high.min(to));
        if from < to {
            let time_s = step_s * (to - from) / (high - low);
            band.time_s += time_s;
            band.distance_m += time_s * f64::midpoint(from, to) * scale;
        }
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
