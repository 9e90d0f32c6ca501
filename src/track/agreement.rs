//! Holds the receiver's speed against its own positions: a wrong unit shows as a factor between the two.

use crate::note::Note;
use crate::track::{Draft, apart_m};

/// Steps between fixes this long or longer, s: shorter ones are mostly position noise.
const STEP_S: f64 = 3.0;
/// Longest step, s.
const LONGEST_S: f64 = 10.0;
/// Only steps that positions say were run at this speed or more count, m/s.
const MOVING_M_S: f64 = 1.0;
/// Fewest such steps to judge by.
const LEAST_STEPS: usize = 20;
/// Positions cut corners and wander, so that the two never agree exactly; a wrong unit is off by 2.2 or 3.6.
const LEAST: f64 = 0.55;
const MOST: f64 = 1.9;

/// Drops the receiver's speed where it contradicts the positions, and says so.
pub(super) fn check(drafts: &mut [Draft], notes: &mut Vec<Note>) {
    let Some(factor) = factor(drafts) else { return };
    if (LEAST..=MOST).contains(&factor) {
        return;
    }
    for draft in drafts.iter_mut().filter(|d| d.position_m.is_some()) {
        draft.speed_m_s = None;
    }
    notes.push(Note::SpeedDisagrees { factor });
}

/// The receiver's way over that of its positions, both over steps of a few seconds in motion.
fn factor(drafts: &[Draft]) -> Option<f64> {
    let (mut by_speed_m, mut by_position_m, mut steps) = (0.0, 0.0, 0);
    let mut begin: Option<(f64, [f64; 2])> = None;
    let mut way_m = 0.0;
    for pair in drafts.windows(2) {
        let (a, b) = (&pair[0], &pair[1]);
        let dt_s = b.time_s - a.time_s;
        let (Some(from), Some(to), Some(v), Some(w)) =
            (a.position_m, b.position_m, a.speed_m_s, b.speed_m_s)
        else {
            begin = None;
            continue;
        };
        if dt_s > LONGEST_S {
            begin = None;
            continue;
        }
        let (start_s, start) = *begin.get_or_insert_with(|| {
            way_m = 0.0;
            (a.time_s, from)
        });
        way_m += f64::midpoint(v, w) * dt_s;
        let passed_s = b.time_s - start_s;
        if passed_s >= STEP_S {
            let straight_m = apart_m(start, to);
            if straight_m > MOVING_M_S * passed_s {
                by_speed_m += way_m;
                by_position_m += straight_m;
                steps += 1;
            }
            begin = None;
        }
    }
    (steps >= LEAST_STEPS).then(|| by_speed_m / by_position_m)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn walk(speed_m_s: f64) -> (bool, usize) {
        let mut drafts: Vec<Draft> = (0..200)
            .map(|k| Draft {
                time_s: f64::from(k),
                position_m: Some([1.5 * f64::from(k), 0.0]),
                speed_m_s: Some(speed_m_s),
                ..Draft::default()
            })
            .collect();
        let mut notes = Vec::new();
        check(&mut drafts, &mut notes);
        (drafts.iter().all(|d| d.speed_m_s.is_some()), notes.len())
    }

    #[test]
    fn a_wrong_unit_is_found() {
        assert_eq!(walk(1.5), (true, 0));
        assert_eq!(walk(1.3), (true, 0));
        assert_eq!(walk(1.5 / 3.6), (false, 1));
        assert_eq!(walk(1.5 * 3.6), (false, 1));
    }
}
