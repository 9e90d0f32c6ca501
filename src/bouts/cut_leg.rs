//! Cut legs: when the time of a shuttle is up, its last leg is left after a few steps. It never gets as fast as the legs before it, so that
//! no level of activity holds both: the one that has the last leg has the jog to the start as well.

use crate::bouts::edge::{Edges, peak_m_s};
use crate::motion::Motion;

/// Turning round takes no longer than this, s.
const TURN_S: f64 = 0.6;
/// A last leg that was cut off takes no longer than this, s.
const CUT_LEG_S: f64 = 4.0;

/// The unions of work that ends in a turn with a short last leg behind it, those that are not there yet, to within so many samples.
/// `edges` are in order of start.
pub(super) fn unions(motion: &Motion, edges: &[Edges], near: usize) -> Vec<Edges> {
    if !motion.has_position {
        return Vec::new();
    }
    let (turn, longest) = (motion.samples_in(TURN_S), motion.samples_in(CUT_LEG_S));
    let peak = |e: &Edges| peak_m_s(&motion.samples[e.start..=e.stop]);
    let from = |start: usize| &edges[edges.partition_point(|e| e.start < start)..];
    let mut unions = Vec::new();
    for work in edges {
        let after = from(work.stop)
            .iter()
            .take_while(|e| e.start <= work.stop + turn);
        let legs = after.filter(|leg| leg.stop - leg.start <= longest && turned(motion, work, leg));
        // The next leg is the shortest of what begins there; rest comes after it.
        let Some(leg) = legs.min_by_key(|leg| (leg.stop, leg.end)) else {
            continue;
        };
        if from(leg.stop)
            .first()
            .is_some_and(|e| e.start <= leg.stop + turn)
        {
            continue;
        }
        let known = (from(work.start.saturating_sub(near)).iter())
            .take_while(|e| e.start <= work.start + near)
            .any(|e| e.stop.abs_diff(leg.stop) <= near);
        if !known && peak(leg) < peak(work) {
            unions.push(Edges {
                start: work.start,
                end: leg.end,
                stop: leg.stop,
            });
        }
    }
    unions
}

/// Whether a leg goes back on the way on which a bout came to its end.
fn turned(motion: &Motion, work: &Edges, leg: &Edges) -> bool {
    let samples = &motion.samples;
    let came = &samples[work.end.min(work.stop.saturating_sub(1))];
    let (at, gone) = (&samples[work.stop], &samples[leg.stop]);
    let (in_x_m, in_y_m) = (at.x_m - came.x_m, at.y_m - came.y_m);
    let (out_x_m, out_y_m) = (gone.x_m - at.x_m, gone.y_m - at.y_m);
    let along = in_x_m * out_x_m + in_y_m * out_y_m;
    along < -0.7 * in_x_m.hypot(in_y_m) * out_x_m.hypot(out_y_m)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::bouts::{Rules, find};
    use crate::motion::{Sample, SpeedFrom};

    /// A jog to the line; out and back over 10 m, and 4 m of a third leg, between standing; by tenths of a second.
    fn timed_shuttle() -> Motion {
        let leg = |t: f64, from_s: f64, long_s: f64, top_m_s: f64| {
            let in_s = (t - from_s).min(from_s + long_s - t);
            (4.0 * in_s).clamp(0.0, top_m_s)
        };
        let mut x_m = 0.0;
        let samples = (0..300).map(|k| {
            let t = f64::from(k) / 10.0;
            let velocity = leg(t, 4.0, 6.0, 3.0) + leg(t, 10.0, 3.6, 4.0) - leg(t, 13.6, 3.6, 4.0)
                + leg(t, 17.2, 2.0, 3.3);
            x_m += 0.1 * velocity;
            Sample {
                time_s: t,
                x_m,
                vx_m_s: velocity,
                speed_m_s: velocity.abs(),
                ..Sample::default()
            }
        });
        let mut motion = Motion::of_run(samples.collect(), 10.0, SpeedFrom::Both);
        for k in 1..motion.samples.len() {
            motion.samples[k].acceleration_m_s2 =
                10.0 * (motion.samples[k].speed_m_s - motion.samples[k - 1].speed_m_s);
        }
        motion
    }

    #[test]
    fn the_leg_on_which_time_was_up_belongs_to_the_shuttle() {
        let bouts = find(&timed_shuttle(), &Rules::default());
        let whole = bouts
            .candidates
            .iter()
            .find(|bout| (bout.start_s - 10.0).abs() < 0.4 && (bout.stop_s - 19.2).abs() < 0.4);
        let shape = whole.and_then(|bout| bout.shape.as_ref());
        assert_eq!(shape.map(crate::bouts::Shape::reversals), Some(2));
    }

    #[test]
    fn a_walk_on_is_no_leg() {
        let leg = |start, end, stop| Edges { start, end, stop };
        let edges = [leg(100, 162, 172), leg(173, 184, 192)];
        let mut motion = timed_shuttle();
        assert_eq!(unions(&motion, &edges, 3).len(), 1);
        for sample in &mut motion.samples[173..] {
            sample.x_m = 30.0 - sample.x_m;
        }
        assert_eq!(unions(&motion, &edges, 3).len(), 0);
    }
}
