//! The parts of a recording in which the player runs, with what leads up to it and follows.

use crate::track::{Point, apart_m};

/// He runs from here, m/s...
const RUNS_M_S: f64 = 2.5;
/// ... to here: beyond lies a jump.
const JUMPS_M_S: f64 = 14.0;
/// So many fixes before and after belong to it.
const BEFORE: usize = 5;
const AFTER: usize = 6;
/// A silence longer than this ends a part, s.
const SILENCE_S: f64 = 4.0;
/// Enough fixes to judge by; of more, every other part is taken, or every third.
const ENOUGH: usize = 1000;

pub(super) fn around_runs<'a>(runs: &[&'a [Point]]) -> Vec<&'a [Point]> {
    let mut found = Vec::new();
    for points in runs {
        let mut open: Option<(usize, usize)> = None;
        for (k, pair) in points.windows(2).enumerate() {
            let silent = pair[1].time_s - pair[0].time_s > SILENCE_S;
            if running(pair) && !silent {
                open = match open {
                    Some((from, to)) if k <= to => Some((from, k + AFTER)),
                    last => {
                        take(points, last, &mut found);
                        Some((k.saturating_sub(BEFORE), k + AFTER))
                    }
                };
            }
            if silent {
                let cut = open.map(|(from, to)| (from, to.min(k)));
                take(points, cut, &mut found);
                open = None;
            }
        }
        take(points, open, &mut found);
    }
    let total: usize = found.iter().map(|part| part.len()).sum();
    let every = total.div_ceil(ENOUGH).max(1);
    found.into_iter().step_by(every).collect()
}

fn take<'a>(points: &'a [Point], part: Option<(usize, usize)>, found: &mut Vec<&'a [Point]>) {
    if let Some((from, to)) = part {
        found.push(&points[from..(to + 1).min(points.len())]);
    }
}

fn running(pair: &[Point]) -> bool {
    let speed = match (pair[0].position_m(), pair[1].position_m()) {
        (Some(a), Some(b)) => {
            let dt_s = (pair[1].time_s - pair[0].time_s).max(0.3);
            apart_m(a, b) / dt_s
        }
        _ => pair[1].speed_m_s().unwrap_or(0.0),
    };
    (RUNS_M_S..JUMPS_M_S).contains(&speed)
}
