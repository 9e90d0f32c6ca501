//! Costs of a matching: negative log-likelihoods, each relative to its peak and with a floor.
//!
//! Every clue is capped: one that is far off may be a departure from the plan that is not modelled, and must not outweigh
//! all others together. The numbers are odds of what players do, in nats (`-ln p`), set from how often each is expected;
//! none is fitted to a recording.
//!
//! A rep is run in full, cut short or taken easy, and each of these has a peak, a time, a shape and a place of its own: a sprint left
//! after half of its way never reaches its peak, one way of a shuttle has no turn, who jogs is slower by as much in his peak as in his
//! time. The clues are weighed within each of them, and what is likelier counts.
//!
//! What a bout makes up of the planned work is its `dose`, what else it looks like its `likeness`, as far as the `quality` of the
//! recording tells; the `bounds` say what is not weighed at all.
//!
//! In the example of [`crate::review`] the first rep of 12 s and a bout of 10.8 s are a share of 0.90 of the work, which costs a rep in
//! full little and one cut short more than 3: together, and with a peak as expected, -1.3 nats. Neither bout knows which rep it is.

mod bell;
mod bounds;
mod dose;
mod legs;
mod likeness;
mod quality;

use crate::bouts::Bout;
use crate::plan::Category;
use crate::review::items::{Item, Kind};
use bell::either;
use bounds::{DEAREST_PAIR, SHORTEST_S, allows_share, allows_time};
use dose::{by_way, dose, share_of};
use likeness::{Pace, SLOWER, unlike};

pub(super) use bell::bell;
pub(super) use dose::{STOPS, end_s, full_cost, otherwise_full, short_cost, work_share};
pub(super) use legs::evenness;
pub(super) use quality::{Quality, quality};

/// A rep more than planned.
pub(super) const EXTRA: f64 = 4.0;
/// So near in time, as a logarithm. A leap of the positions draws the work out of which it is made.
const LIKE: f64 = 0.3;
const LIKE_LEAPT: f64 = 0.5;
/// Who goes on for longer leaves nothing out; by so much, as a logarithm, it is still that rep.
const LONGER: f64 = 0.5;
/// Who walks into a rep, or runs out of it, takes so much longer, s.
const WALKED_S: f64 = 1.5;
/// So near in peak, as a share of what is expected, and from where on the positions are wrong.
const LIKE_PEAK: f64 = 0.7;
const WILD_PEAK: f64 = 1.5;

/// The cost of an item being done by a bout; `None` when it cannot be.
pub(super) fn pair(item: &Item, bout: &Bout, quality: &Quality) -> Option<f64> {
    if item.kind == Kind::Stretch {
        return None;
    }
    let time_s = end_s(item, bout) - bout.start_s;
    if time_s <= SHORTEST_S {
        return None;
    }
    let quality = &quality.of(bout);
    let by_way = by_way(item, bout, time_s, quality);
    let (share, sd) = share_of(item, bout, time_s, quality, by_way);
    if !allows_share(share, sd) || !allows_time(item, time_s, by_way.then_some(SLOWER.1)) {
        return None;
    }
    let dose = dose(item, bout, share, sd, quality);
    let extra = if item.kind == Kind::Extra { EXTRA } else { 0.0 };
    if either(dose.full, dose.short) + extra > DEAREST_PAIR {
        return None;
    }
    let pace = by_way.then(|| Pace::of(item, time_s, share, quality));
    let whole = unlike(item, bout, quality, pace.as_ref(), 1.0);
    let cut = if share < 1.0 {
        unlike(item, bout, quality, pace.as_ref(), share)
    } else {
        whole
    };
    let cost = either(dose.full + whole, dose.short + cut) + extra;
    (cost <= DEAREST_PAIR).then_some(cost)
}

/// Whether a bout is so like a rep, in its time and its peak, that nobody should say that there was none: its way may be measured
/// wrongly, or it was run in another manner. `leapt` says whether the positions leapt in it; a sprint faster than anybody sprints is
/// none the less one, of which the positions are wrong.
pub(super) fn resembles(item: &Item, bout: &Bout, leapt: bool) -> bool {
    let time_s = end_s(item, bout) - bout.start_s;
    // Up to this much of a longer time was walked.
    let time_s = (time_s - WALKED_S).max(time_s.min(item.work.value));
    let off = (time_s.max(0.1) / item.work.value).ln();
    let peak = bout.peak_m_s / item.peak.value;
    let wild = peak >= WILD_PEAK;
    item.kind == Kind::Bout
        && item.reps == 1
        && off > if leapt || wild { -LIKE_LEAPT } else { -LIKE }
        && off < LONGER
        && peak >= LIKE_PEAK
        && (!wild || item.category == Category::Speed)
}

#[cfg(test)]
mod tests {
    use super::dose::SHORT;
    use super::likeness::EASY;
    use super::*;
    use crate::bouts::Shape;
    use crate::motion::{Motion, SpeedFrom};
    use crate::review::items;

    fn item(plan: &str) -> Item {
        let plan = crate::plan::parse(plan).expect("a plan");
        items::schedule(&plan, &[0], Some(8.0)).items[0].clone()
    }

    fn sharp() -> Quality {
        quality(&Motion::of_run(Vec::new(), 10.0, SpeedFrom::Both))
    }

    /// A run along a line from 0 to each of the turns, then to the stop, m.
    fn bout(turns_m: &[f64], stop_m: f64, time_s: f64, peak_m_s: f64) -> Bout {
        let along_m: Vec<f64> = [&[0.0], turns_m, &[stop_m]].concat();
        let path_m = along_m.windows(2).map(|leg| (leg[1] - leg[0]).abs()).sum();
        let extent_m = along_m.iter().copied().fold(0.0, f64::max);
        Bout {
            start_s: 100.0,
            end_s: 100.0 + time_s,
            stop_s: 100.0 + time_s,
            line_s: 100.0 + time_s,
            window: 0..1,
            peak_m_s,
            path_m,
            path_to_end_m: path_m,
            activity_m_s: 3.0,
            shape: Some(Shape {
                start_m: [0.0; 2],
                stop_m: [stop_m, 0.0],
                middle_m: [extent_m / 2.0, 0.0],
                axis: [1.0, 0.0],
                extent_m,
                width_m: 0.0,
                turns_m: turns_m.to_vec(),
                turns_at: vec![0; turns_m.len()],
                stop_along_m: stop_m,
                uneven: None,
            }),
            bridged: 0.0,
        }
    }

    fn costs(plan: &str, bout: &Bout) -> f64 {
        pair(&item(plan), bout, &sharp()).unwrap_or(f64::INFINITY)
    }

    /// Of a sprint in a hole of the recording the smoother makes a slow run: it may be the sprint. Seen so, it is none.
    #[test]
    fn a_sprint_that_was_hardly_seen_may_be_one() {
        let sprint = "speed 4 x 30 m, rest 60 s";
        let usual = item(sprint).peak.value;
        let slow = bout(&[], 34.0, 7.4, 0.7 * usual);
        let unseen = Bout {
            bridged: 0.9,
            ..slow.clone()
        };
        let (hardly, seen) = (costs(sprint, &unseen), costs(sprint, &slow));
        assert!(hardly + 3.0 < seen, "{hardly} {seen}");
        let long = bout(&[], 60.0, 12.0, 0.7 * usual);
        assert!(
            costs(
                sprint,
                &Bout {
                    bridged: 0.9,
                    ..long
                }
            ) > costs(sprint, &unseen) + 4.0
        );
    }

    /// Half of a sprint, at the peak and in the time in which half of one is run, costs no more than that it is cut short.
    #[test]
    fn a_sprint_cut_short_is_slower_for_it() {
        let full = item("speed 4 x 40 m, rest 60 s");
        let (time_s, peak_m_s) = (
            full.work.value * full.time_of_part(0.5),
            full.peak.value * full.peak_of_part(0.5),
        );
        assert!((0.5..0.7).contains(&full.time_of_part(0.5)));
        assert!((0.8..0.99).contains(&full.peak_of_part(0.5)));
        let cost = costs(
            "speed 4 x 40 m, rest 60 s",
            &bout(&[], 20.0, time_s, peak_m_s),
        );
        assert!(cost < SHORT + 0.2, "{cost}");
    }

    /// He brakes after 19 m of 30 and stands on the line: that is the whole way, which nobody who left after 19 m covers. Where the others of
    /// the block run over their line, it is a rep cut short.
    #[test]
    fn who_stands_on_his_line_has_run_the_whole_way() {
        let open = item("speed 4 x 30 m, rest 60 s");
        let tolerances = crate::review::Tolerances::default();
        let full = |item: &Item, stops_m: f64| {
            let bout = Bout {
                path_m: stops_m,
                ..bout(&[], 19.0, 3.7, 0.97 * item.peak.value)
            };
            let (share, sd) = work_share(item, &bout, 3.7, &sharp());
            let otherwise = otherwise_full(item, &bout, share, &sharp());
            crate::review::verdict::full(share, sd, otherwise, &tolerances)
        };
        assert!(full(&open, 29.8) > 0.9 && full(&open, 23.0) < 0.1);
        let over = Item {
            ends: items::Ends::AtBrake,
            ..open.clone()
        };
        assert!(full(&over, 29.8) < 0.1);
        let on = Item {
            ends: items::Ends::AtStop,
            ..open
        };
        assert!(full(&on, 29.8) > 0.9 && full(&on, 23.0) < 0.1);
    }

    /// Whoever sprints through his line for half a second more has run none of another length; ten metres more are.
    #[test]
    fn a_sprint_may_go_on_over_its_line() {
        let plan = "speed 4 x 40 m, rest 60 s";
        let whole = item(plan);
        let cost = |metres: f64| {
            let time_s = whole.work.value + (metres - 40.0) / whole.peak.value;
            costs(plan, &bout(&[], metres, time_s, whole.peak.value))
        };
        assert!(cost(44.0) < cost(40.0) + 3.5 && cost(55.0) > cost(44.0) + 3.0);
    }

    /// Out and not back again is half of a shuttle; that it has no turn is no surprise.
    #[test]
    fn one_way_of_a_shuttle_has_no_turn() {
        let plan = "strength 4 x 10 m there and back, rest 40 s";
        let whole = item(plan);
        let one_way = bout(&[], 10.0, 0.5 * whole.work.value, whole.peak.value);
        let cost = costs(plan, &one_way);
        assert!(cost < SHORT + 0.5, "{cost}");
        let both = bout(&[10.0], 0.0, whole.work.value, whole.peak.value);
        assert!(costs(plan, &both) < cost);
    }

    /// A rep at four fifths of the usual speed costs that it was taken easy, and not a time and a peak that nothing explains.
    #[test]
    fn who_takes_it_easy_is_slower_throughout() {
        let plan = "speed 4 x 40 m, rest 60 s";
        let mut usual = item(plan);
        // As the session taught.
        usual.work.sd = 0.06;
        usual.peak.sd = 0.4;
        let (time_s, peak_m_s) = (usual.work.value / 0.8, 0.8 * usual.peak.value);
        let cost = |bout: &Bout| pair(&usual, bout, &sharp()).unwrap_or(f64::INFINITY);
        let full = cost(&bout(&[], 40.0, usual.work.value, usual.peak.value));
        let easy = cost(&bout(&[], 40.0, time_s, peak_m_s));
        assert!((easy - full - EASY).abs() < 0.5, "{easy} {full}");
    }

    /// When the time of a timed shuttle is nearly up at a line, he stops there.
    #[test]
    fn nobody_begins_a_way_that_he_cannot_run() {
        let item = item("strength 4 x 10 s over 7 m there and back, rest 20 s");
        let tolerances = crate::review::Tolerances::default();
        let full = |time_s| {
            let bout = bout(&[7.0, 0.0], 7.0, time_s, 4.0);
            let (share, sd) = work_share(&item, &bout, time_s, &sharp());
            crate::review::verdict::full(share, sd, f64::INFINITY, &tolerances)
        };
        assert!(full(8.8) > 0.9, "{}", full(8.8));
        assert!(full(5.0) < 0.1, "{}", full(5.0));
    }

    /// 15 s of turns on no way that the plan gives: he brakes for the last of them at 11.8 s and stops there at 14.2.
    #[test]
    fn work_that_turns_about_ends_where_he_stops() {
        let item = item("strength 4 x 15 s, rest 45 s");
        let tolerances = crate::review::Tolerances::default();
        let full = |turns_m: &[f64]| {
            let bout = Bout {
                stop_s: 114.2,
                ..bout(turns_m, 10.0, 11.8, 5.0)
            };
            let (share, sd) = work_share(&item, &bout, 11.8, &sharp());
            crate::review::verdict::full(share, sd, f64::INFINITY, &tolerances)
        };
        let (about, straight) = (full(&[10.0, 0.0]), full(&[]));
        assert!(about > 0.9 && straight < 0.6, "{about} {straight}");
    }

    /// Half of 12 s of turns as a watch shows it by positions alone: it shows a part oftener than anybody leaves. A run is seen to its end,
    /// and so are turns by the watch's own speed.
    #[test]
    fn a_part_of_turning_work_is_no_sign_that_he_left() {
        let watch = |speed| quality(&Motion::of_run(Vec::new(), 1.0, speed));
        let full = |plan: &str, speed| {
            let in_part = dose::part_cost(0.5, watch(speed).shows_in_part(&item(plan)));
            crate::review::verdict::full(0.5, 0.1, in_part, &crate::review::Tolerances::default())
        };
        let turns = "strength 4 x 12 s over 5 m there and back, rest 20 s";
        assert!(full(turns, SpeedFrom::Position) > 0.6);
        assert!(full(turns, SpeedFrom::Both) < 0.1);
        assert!(full("resistance 4 x 12 s, rest 20 s", SpeedFrom::Position) < 0.1);
    }

    /// A watch misses the turn of 8 m there and back: its own speed has the way all the same, its positions have half of it.
    #[test]
    fn the_way_of_a_turn_that_was_not_seen_is_in_the_speed() {
        let item = item("speed 4 x 8 m there and back, rest 30 s");
        let seen = Bout {
            path_m: 17.0,
            path_to_end_m: 16.0,
            ..bout(&[], 8.0, item.work.value, item.peak.value)
        };
        let share = |speed| {
            let watch = quality(&Motion::of_run(Vec::new(), 1.0, speed));
            work_share(&item, &seen, item.work.value, &watch).0
        };
        assert!((share(SpeedFrom::Both) - 1.0).abs() < 1e-9);
        assert!((share(SpeedFrom::Position) - 0.5).abs() < 1e-9);
    }

    /// Legs of one length and time speak for a set of turns, and the more of them the more; legs of all lengths do not.
    #[test]
    fn little_else_goes_to_and_fro_evenly() {
        let plan = "strength 2 x 6 reps over 10 m there and back, 60 s between sets";
        let set = item(plan);
        let turns_m = [10.0, 0.0, 10.0, 0.0, 10.0, 0.0, 10.0, 0.0, 10.0, 0.0, 10.0];
        let with = |uneven| {
            let mut bout = bout(&turns_m, 0.0, set.work.value, set.peak.value);
            if let Some(shape) = &mut bout.shape {
                shape.uneven = uneven;
            }
            bout
        };
        let [even, uneven, unknown] = [Some(0.05), Some(0.5), None].map(with);
        assert!((evenness(&set, &even) - 1.0).abs() < 1e-9 && evenness(&set, &uneven) == 0.0);
        assert!(costs(plan, &even) < costs(plan, &unknown) - 3.5);
        assert!((costs(plan, &uneven) - costs(plan, &unknown)).abs() < 1e-9);
        // A sprint has no rhythm, however it came about.
        assert!(evenness(&item("speed 4 x 40 m, rest 60 s"), &even) == 0.0);
    }

    /// Of 16 legs of 4 s a watch shows 10: the time says that all of the set was done, which many fixes would not grant.
    #[test]
    fn a_watch_goes_by_the_time_of_turns_that_it_hardly_shows() {
        let set = item("strength 2 x 8 reps over 9 m there and back, 60 s between sets");
        let ten: Vec<f64> = (0..9).map(|k| f64::from(9 * ((k + 1) % 2))).collect();
        let bout = bout(&ten, 0.0, set.work.value, set.peak.value);
        let watch = quality(&Motion::of_run(Vec::new(), 1.0, SpeedFrom::Both));
        let share = |quality: &Quality| work_share(&set, &bout, set.work.value, quality).0;
        assert!((share(&watch) - 1.0).abs() < 1e-9, "{}", share(&watch));
        assert!(
            (share(&sharp()) - 10.0 / 16.0).abs() < 0.01,
            "{}",
            share(&sharp())
        );
    }

    /// A watch hardly shows a start over 5 m, and well one over 15 m; many fixes show both.
    #[test]
    fn work_between_two_fixes_is_hidden() {
        let watch = quality(&Motion::of_run(Vec::new(), 1.0, SpeedFrom::Position));
        let (start, sprint) = (
            item("speed 5 x 5 m, rest 40 s"),
            item("speed 5 x 15 m, rest 40 s"),
        );
        assert!(watch.hides_way(&start) && !watch.hides_way(&sprint));
        assert!(!sharp().hides_way(&start));
    }

    /// A run of another length than the way is no rep by its length, but may have been one that was measured wrongly.
    #[test]
    fn what_resembles_a_rep_may_have_been_one() {
        let item = item("speed 4 x 40 m, rest 60 s");
        let leapt = bout(&[], 90.0, 1.1 * item.work.value, item.peak.value);
        assert!(pair(&item, &leapt, &sharp()).is_none() && resembles(&item, &leapt, false));
        assert!(!resembles(&item, &bout(&[], 40.0, 25.0, 1.6), true));
        // He walked into it for a second and a half; nine seconds are more than a walk into it.
        let longer = |s| bout(&[], 45.0, item.work.value + s, item.peak.value);
        let sprint = longer(1.5);
        assert!(resembles(&item, &sprint, false) && !resembles(&item, &longer(9.0), false));
        // Nobody runs so fast: something was sprinted there. A jog of such a peak is another's work.
        let wild = |item: &Item| bout(&[], 80.0, 1.45 * item.work.value, 1.6 * item.peak.value);
        assert!(resembles(&item, &wild(&item), false));
        let run = self::item("resistance 4 x 40 m, rest 60 s");
        assert!(!resembles(&run, &wild(&run), false));
    }
}
