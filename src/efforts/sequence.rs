//! Sprint sequences: sprints that follow each other before the legs have recovered.

use crate::efforts::{Effort, Sequence, Thresholds};

/// Groups sprints that follow each other closely; `sprints` in time order.
///
/// ## What it finds
/// Repeated sprints, the phase of play or training in which sprinting tires most.
///
/// ## Definition
/// [`Thresholds::sequence_sprints`] (2) sprints or more, each starting within [`Thresholds::sequence_recovery_s`] (60 s)
/// of the end of the one before. A stricter usage asks for three sprints with a mean recovery below 21 s; set both to get it.
///
/// ## Units
/// Time in s.
///
/// ## Example
/// Sprints that start at 0, 30 and 200 s: the first two are a sequence, the third stands alone.
///
/// ## References
/// Two within 60 s: Buchheit et al. (2010), Int J Sports Med 31:709, 10.1055/s-0030-1261897. Three with less than 21 s:
/// Spencer et al. (2004), J Sports Sci 22:843.
pub(super) fn sequences(sprints: &[Effort], thresholds: &Thresholds) -> Vec<Sequence> {
    sprints
        .chunk_by(|a, b| b.start_s - a.end_s <= thresholds.sequence_recovery_s)
        .filter(|group| group.len() >= thresholds.sequence_sprints.max(2))
        .map(|group| {
            let recovery_s: f64 = group
                .windows(2)
                .map(|pair| pair[1].start_s - pair[0].end_s)
                .sum();
            Sequence {
                start_s: group[0].start_s,
                end_s: group[group.len() - 1].end_s,
                sprints: group.len(),
                mean_recovery_s: recovery_s / (group.len() - 1) as f64,
            }
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::efforts::measure::hand_made::sampled;
    use crate::efforts::sprint;

    /// Sprints of 2 s that start at these times.
    fn sprints_at(starts_s: &[f64]) -> Vec<Effort> {
        let fast = |t: f64| starts_s.iter().any(|start| *start <= t && t <= start + 2.0);
        let motion = sampled(300.0, 10.0, |t| if fast(t) { 8.0 } else { 1.0 });
        sprint::sprints(&motion, &Thresholds::default()).0
    }

    #[test]
    fn the_example_of_the_documentation() {
        let found = sequences(&sprints_at(&[1.0, 31.0, 201.0]), &Thresholds::default());
        let [sequence] = &found[..] else {
            panic!("one sequence expected");
        };
        assert_eq!(sequence.sprints, 2);
        assert!((sequence.mean_recovery_s - 28.0).abs() < 0.3);
    }

    #[test]
    fn the_least_number_of_sprints_counts() {
        let thresholds = Thresholds {
            sequence_sprints: 3,
            ..Thresholds::default()
        };
        assert!(sequences(&sprints_at(&[1.0, 31.0, 201.0]), &thresholds).is_empty());
        assert_eq!(
            sequences(&sprints_at(&[1.0, 31.0, 61.0]), &thresholds).len(),
            1
        );
        assert!(sequences(&[], &thresholds).is_empty());
    }
}
