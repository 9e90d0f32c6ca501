//! Stretches of the motion at or above a threshold: what sprints, high-speed runs and accelerations share.

use std::ops::Range;

use crate::measured::Z95;
use crate::motion::{Motion, Sample};

/// When a value is high for long enough.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rule {
    /// The value counts at or above this.
    pub(super) from: f64,
    /// Least duration, s.
    pub(super) dwell_s: f64,
    /// Longest dip that does not end a stretch, s.
    pub(super) bridge_s: f64,
}

/// What is held against the threshold.
#[derive(Clone, Copy)]
pub(super) struct Quantity {
    /// The value of a sample.
    pub(super) value: fn(&Sample) -> f64,
    /// Its standard deviation, in the same unit.
    pub(super) sd: fn(&Sample) -> f64,
    /// Over how much more of it efforts get rarer by a factor e, in the same unit: infinite where they do not, negative where they get
    /// more.
    pub(super) rarer_over: f64,
}

/// A stretch that satisfies a [`Rule`].
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Stretch {
    /// The samples inside; never empty.
    pub(super) window: Range<usize>,
    /// When the value crossed upwards, between two samples, or the first sample of the run.
    pub(super) start_s: f64,
    /// When the value crossed downwards, or the last sample of the run.
    pub(super) end_s: f64,
    /// Whether the stretch would vanish if every value were lower by the half-width of its 95 % interval.
    pub(super) near_threshold: bool,
}

/// Finds the stretches at or above the threshold, in time order, none touching another.
///
/// ## Definition
/// A stretch begins and ends where straight lines between the samples cross the threshold. Stretches with a dip of at
/// most [`Rule::bridge_s`] between them are one; then those shorter than [`Rule::dwell_s`], dips included, are dropped.
/// The end of a run ends a stretch: nothing is known of the time in a gap. Samples that no fix supports
/// ([`Sample::bridged`]) may lie inside a stretch, but neither begin nor end one.
pub(super) fn stretches(motion: &Motion, quantity: Quantity, rule: Rule) -> Vec<Stretch> {
    let mut found = find(motion, quantity.value, rule);
    let certain = find(
        motion,
        |sample| (quantity.value)(sample) - Z95 * (quantity.sd)(sample),
        rule,
    );
    // Lower values only shrink stretches, so each certain one lies inside one of those found; both are in time order.
    let mut certain = certain.iter().peekable();
    for stretch in &mut found {
        while certain
            .next_if(|c| c.window.start < stretch.window.start)
            .is_some()
        {}
        stretch.near_threshold = certain
            .peek()
            .is_none_or(|c| c.window.start >= stretch.window.end);
    }
    found
}

/// The same without looking at what the interval could undo.
pub(super) fn find(motion: &Motion, value: impl Fn(&Sample) -> f64, rule: Rule) -> Vec<Stretch> {
    motion
        .runs
        .iter()
        .flat_map(|run| in_run(&motion.samples, run, &value, rule))
        .collect()
}

/// The stretches of one run, or of a part of it.
pub(super) fn in_run(
    samples: &[Sample],
    run: &Range<usize>,
    value: impl Fn(&Sample) -> f64,
    rule: Rule,
) -> Vec<Stretch> {
    // A dwell of exactly ten steps of 0.1 s must not fail by the last bit of the sum of ten steps.
    let slack_s = 1e-6;
    let mut joined: Vec<Stretch> = Vec::new();
    for next in above(samples, run, &value, rule.from) {
        match joined.last_mut() {
            Some(last) if next.start_s - last.end_s <= rule.bridge_s + slack_s => {
                last.window.end = next.window.end;
                last.end_s = next.end_s;
            }
            _ => joined.push(next),
        }
    }
    joined
        .into_iter()
        .filter_map(|stretch| supported(samples, stretch))
        .filter(|stretch| stretch.end_s - stretch.start_s >= rule.dwell_s - slack_s)
        .collect()
}

/// The unbroken stretches at or above `from` in one run, however short.
fn above(
    samples: &[Sample],
    run: &Range<usize>,
    value: &impl Fn(&Sample) -> f64,
    from: f64,
) -> Vec<Stretch> {
    let mut stretches = Vec::new();
    let mut open: Option<(usize, f64)> = None;
    for index in run.clone() {
        let high = value(&samples[index]) >= from;
        let before = (index > run.start).then(|| index - 1);
        match (open, high) {
            (None, true) => {
                let start_s = before.map_or(samples[index].time_s, |before| {
                    crossing_s(&samples[before], &samples[index], value, from)
                });
                open = Some((index, start_s));
            }
            (Some((start, start_s)), false) => {
                stretches.push(Stretch {
                    window: start..index,
                    start_s,
                    end_s: crossing_s(&samples[index - 1], &samples[index], value, from),
                    near_threshold: false,
                });
                open = None;
            }
            _ => {}
        }
    }
    if let Some((start, start_s)) = open {
        stretches.push(Stretch {
            window: start..run.end,
            start_s,
            end_s: samples[run.end - 1].time_s,
            near_threshold: false,
        });
    }
    stretches
}

/// When the straight line between two samples on either side of `from` crosses it.
fn crossing_s(a: &Sample, b: &Sample, value: &impl Fn(&Sample) -> f64, from: f64) -> f64 {
    let (low, high) = (value(a), value(b));
    let share = (from - low) / (high - low);
    if share.is_finite() {
        a.time_s + share.clamp(0.0, 1.0) * (b.time_s - a.time_s)
    } else {
        b.time_s
    }
}

/// The stretch without the unsupported samples at its ends; `None` when no sample is supported.
fn supported(samples: &[Sample], mut stretch: Stretch) -> Option<Stretch> {
    let window = stretch.window.clone();
    let first = window.start
        + samples[window.clone()]
            .iter()
            .position(|sample| !sample.bridged)?;
    let last = window.start
        + samples[window.clone()]
            .iter()
            .rposition(|sample| !sample.bridged)?;
    if first != window.start {
        stretch.start_s = samples[first].time_s;
    }
    if last + 1 != window.end {
        stretch.end_s = samples[last].time_s;
    }
    stretch.window = first..last + 1;
    Some(stretch)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::efforts::measure::SPEED;
    use crate::efforts::measure::hand_made::at_10_hz;

    const RULE: Rule = Rule {
        from: 7.0,
        dwell_s: 1.0,
        bridge_s: 0.5,
    };

    fn times(motion: &Motion) -> Vec<(f64, f64)> {
        stretches(motion, SPEED, RULE)
            .iter()
            .map(|s| (round(s.start_s), round(s.end_s)))
            .collect()
    }

    fn round(time_s: f64) -> f64 {
        (time_s * 1000.0).round() / 1000.0
    }

    /// Speeds of 6 m/s with 8 m/s from each first sample up to, not including, its second.
    fn blocks(samples: usize, fast: &[(usize, usize)]) -> Motion {
        let speeds: Vec<f64> = (0..samples)
            .map(|i| {
                if fast.iter().any(|&(from, to)| from <= i && i < to) {
                    8.0
                } else {
                    6.0
                }
            })
            .collect();
        at_10_hz(&speeds)
    }

    #[test]
    fn crossings_lie_between_samples() {
        // 6 to 8 m/s in one step of 0.1 s crosses 7 m/s in the middle.
        assert_eq!(times(&blocks(40, &[(10, 25)])), [(0.95, 2.45)]);
    }

    #[test]
    fn exactly_the_dwell_counts_and_a_step_less_does_not() {
        assert_eq!(times(&blocks(40, &[(10, 20)])), [(0.95, 1.95)]);
        assert_eq!(times(&blocks(40, &[(10, 19)])), []);
    }

    #[test]
    fn a_dip_of_half_a_second_is_bridged_and_a_longer_one_is_not() {
        assert_eq!(times(&blocks(60, &[(10, 22), (27, 40)])), [(0.95, 3.95)]);
        assert_eq!(
            times(&blocks(60, &[(10, 22), (28, 40)])),
            [(0.95, 2.15), (2.75, 3.95)]
        );
    }

    #[test]
    fn short_pieces_joined_over_a_dip_make_one_stretch() {
        assert_eq!(times(&blocks(40, &[(10, 16), (19, 25)])), [(0.95, 2.45)]);
    }

    #[test]
    fn a_gap_ends_a_stretch() {
        let mut motion = blocks(40, &[(0, 40)]);
        motion.runs = vec![0..8, 8..40];
        assert_eq!(times(&motion), [(0.8, 3.9)]);
    }

    #[test]
    fn bridged_samples_neither_begin_nor_end_a_stretch() {
        let mut motion = blocks(60, &[(10, 50)]);
        for sample in &mut motion.samples[..20] {
            sample.bridged = true;
        }
        for sample in &mut motion.samples[25..30] {
            sample.bridged = true;
        }
        assert_eq!(times(&motion), [(2.0, 4.95)]);
        for sample in &mut motion.samples {
            sample.bridged = true;
        }
        assert_eq!(times(&motion), []);
    }

    #[test]
    fn a_value_that_is_no_number_is_not_high() {
        let mut motion = blocks(60, &[(10, 50)]);
        motion.samples[30].speed_m_s = f64::NAN;
        for (start, end) in times(&motion) {
            assert!(start.is_finite() && end.is_finite());
        }
    }

    #[test]
    fn what_the_interval_could_undo_is_near_the_threshold() {
        let mut motion = blocks(80, &[(10, 25), (50, 70)]);
        for sample in &mut motion.samples[..40] {
            sample.speed_sd_m_s = 0.6;
        }
        let near: Vec<bool> = stretches(&motion, SPEED, RULE)
            .iter()
            .map(|s| s.near_threshold)
            .collect();
        assert_eq!(near, [true, false]);
    }
}
