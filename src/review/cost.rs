//! Costs of a matching: negative log-likelihoods, each relative to its peak and with a floor.
//!
//! Every clue is capped: one that is far off may be a departure from the plan that is not modelled, and must not outweigh
//! all others together. The numbers are odds of what players do, in nats (`-ln p`), set from how often each is expected;
//! none is fitted to a recording.
//!
//! A rep is run in full, cut short or taken easy, and each of these has a peak, a time, a shape and a place of its own: a sprint left
//! after half of its way never reaches its peak, one way of a shuttle has no turn, who jogs is slower by as much in his peak as in his
//! time. The clues are weighed within each of them, and what is likelier counts.

use crate::bouts::{Bout, Shape};
use crate::motion::Motion;
use crate::plan::Category;
use crate::review::items::{Item, Kind, Shuttle};

/// A rep more than planned.
pub(super) const EXTRA: f64 = 4.0;
/// Work cut short: 1 in 25 reps.
const SHORT: f64 = 3.2;
/// A rep taken easy: 1 in 50, slower by so much at least and at most, as a logarithm, its peak within this share of the usual one.
const EASY: f64 = 4.0;
const SLOWER: (f64, f64) = (0.05, 0.5);
const EASY_SD: f64 = 0.06;
/// Shares of the planned work at which a rep is cut short.
const SHORT_FROM: f64 = 0.40;
const SHORT_TO: f64 = 0.82;
/// When the time of a shuttle is up, the leg he is on may be run out, gently, for about so long, s.
const RUN_OUT_S: f64 = 1.0;
/// Work of any other length.
const WORK_FLOOR: f64 = 12.0;
/// A count of turns unlike the plan's.
const RUN_ON_FLOOR: f64 = 3.5;
/// Work that takes longer than expected by so many standard deviations is none of it.
const LONGEST: f64 = 2.5;
/// Less than this share of the planned work is none of it, and so is more than that.
const LEAST_SHARE: f64 = 0.3;
const MOST_SHARE: f64 = 1.4;
/// A peak speed unlike any expected.
const PEAK_FLOOR: f64 = 4.0;
/// A place far from the reps before; laps have no place in common.
const PLACE_FLOOR: f64 = 3.5;
/// What a bout in the place of the rep before earns: of all the pitch, it is just there.
const SAME_PLACE: f64 = -1.5;
/// A shuttle whose length is off, or a straight run that turned round.
const SHAPE_FLOOR: f64 = 4.0;
/// Who walks into a rep or jogs on out of it changes its peak, shape and place all at once: together they cost no more.
const MOST_UNLIKE: f64 = 5.0;
/// A pairing dearer than this is not considered.
const DEAREST_PAIR: f64 = 16.0;

/// What the recording can carry.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Quality {
    /// Standard deviation of a start or an end, s.
    pub edge_sd_s: f64,
    /// Standard deviation of a length on the ground between two moments of a bout, m.
    pub length_sd_m: f64,
    /// Standard deviation of the drift of a place between two reps, m.
    pub place_sd_m: f64,
    /// Standard deviation of a peak speed, m/s.
    pub peak_sd_m_s: f64,
    /// Work shorter than this may lie between two fixes and not be seen, s.
    pub hides_s: f64,
    /// Turns closer to each other than this, one after another, may be smoothed away, s.
    pub hides_turns_s: f64,
    /// Whether positions are known.
    pub has_position: bool,
}

impl Quality {
    /// How long work such as an item's may go on and not be seen, s: it is short, or a set of turns close to each other;
    /// `None` where it is never so quick.
    pub(crate) fn hides_for_s(&self, item: &Item) -> Option<f64> {
        let turns_s = self.hides_turns_for_s(item);
        let longest_s = turns_s.max(self.hides_s * item.reps as f64);
        let quickest_s = item.work.value * (-QUICKEST * item.work.sd).exp();
        (quickest_s < longest_s).then_some(longest_s)
    }

    /// How quick the turns of an item have to be, one after another, to be smoothed away: the time of all of them, s.
    fn hides_turns_for_s(&self, item: &Item) -> f64 {
        let Some(shuttle) = item.shuttle else {
            return 0.0;
        };
        let legs = if shuttle.legs.is_some() && item.reps == 1 {
            0.0
        } else {
            expected_legs(item, shuttle)
        };
        self.hides_turns_s * legs
    }

    /// Whether turns close to each other may be lost at all.
    pub(crate) fn loses_turns(&self) -> bool {
        self.hides_turns_s > 0.0
    }

    /// Whether a single rep there and back is so short that this receiver hardly tells it from standing about.
    pub(crate) fn hides_way(&self, item: &Item) -> bool {
        let leg_m = item.shuttle.map_or(f64::INFINITY, |s| s.leg_m);
        item.reps == 1 && self.loses_turns() && leg_m < SHORTEST_WAY * self.length_sd_m
    }
}

/// A pace quicker than expected by more standard deviations than this is not looked for.
const QUICKEST: f64 = 1.5;

/// A way shorter than so many standard deviations of a length is lost in them.
const SHORTEST_WAY: f64 = 3.0;

/// Work of fewer fixes than this may be smoothed away.
const HIDING_FIXES: f64 = 4.0;

/// Legs of fewer fixes than this leave hardly more than a trace of walking about.
const HIDING_TURNS: f64 = 3.5;

/// What a motion can carry, by its rate.
pub(super) fn quality(motion: &Motion) -> Quality {
    let (edge_sd_s, length_sd_m, place_sd_m, peak_sd_m_s) = if motion.irregular {
        (1.2, 3.0, 5.0, 0.8)
    } else if motion.rate_hz < 2.0 {
        (0.5, 1.5, 4.0, 0.4)
    } else if motion.rate_hz < 7.0 {
        (0.25, 0.8, 3.0, 0.15)
    } else {
        (0.2, 0.8, 3.0, 0.15)
    };
    Quality {
        edge_sd_s,
        length_sd_m,
        place_sd_m,
        peak_sd_m_s,
        hides_s: if motion.irregular || motion.rate_hz < 0.8 {
            HIDING_FIXES / motion.rate_hz.max(0.01)
        } else {
            0.0
        },
        hides_turns_s: if motion.irregular || motion.rate_hz < 2.0 {
            HIDING_TURNS / motion.rate_hz.max(0.01)
        } else {
            0.0
        },
        has_position: motion.has_position,
    }
}

/// `-ln` of a mixture of a bell of unit height and a floor, for a deviation in standard deviations.
pub(super) fn bell(z: f64, floor: f64) -> f64 {
    // Beyond, the exponential adds nothing, and is slow to say so.
    let z = z.abs().min(9.0);
    -((-0.5 * z * z).exp() + (-floor).exp()).ln()
}

/// `-ln` of the sum of the likelihoods behind two costs.
fn either(a: f64, b: f64) -> f64 {
    let low = a.min(b);
    low - ((low - a).exp() + (low - b).exp()).ln()
}

/// When an item's work ends in a bout, s: for a way there and back at its line, where he may stop or run on, else where braking begins.
pub(super) fn end_s(item: &Item, bout: &Bout) -> f64 {
    if item.to_line {
        bout.line_s
    } else {
        bout.end_s
    }
}

/// The cost of an item being done by a bout; `None` when it cannot be.
pub(super) fn pair(item: &Item, bout: &Bout, quality: &Quality) -> Option<f64> {
    if item.kind == Kind::Stretch {
        return None;
    }
    let time_s = end_s(item, bout) - bout.start_s;
    if time_s <= 0.3 {
        return None;
    }
    let (share, sd) = work_share(item, bout, time_s, quality);
    if share < LEAST_SHARE || share > MOST_SHARE.max((3.2 * sd).exp()) {
        return None;
    }
    let by_way = !item.timed && item.distance_m.is_some() && !by_time(item, time_s, quality);
    let longest = if by_way {
        (LONGEST * item.work.sd).max(SLOWER.1)
    } else {
        LONGEST * item.work.sd.max(0.12)
    };
    if (time_s / item.work.value).ln() > longest {
        return None;
    }
    let dose = dose(item, share, sd);
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

/// The time of a bout beside the share of a length that was run in it: the time must suit the length, at whatever share of it.
struct Pace {
    /// How much longer it took than expected, as a logarithm.
    slower: f64,
    /// What that costs who runs as usual.
    cost: f64,
}

impl Pace {
    fn of(item: &Item, time_s: f64, share: f64, quality: &Quality) -> Self {
        let expected_s = item.work.value * item.time_of_part(share.clamp(0.3, 1.5));
        let slower = (time_s / expected_s).ln();
        let sd = item.work.sd.hypot(quality.edge_sd_s / expected_s);
        Self {
            slower,
            cost: bell(slower / sd, PEAK_FLOOR),
        }
    }
}

/// What a bout looks like beside what is expected of a part of a rep: its pace where its way tells one, its peak, its shape and its place.
fn unlike(item: &Item, bout: &Bout, quality: &Quality, pace: Option<&Pace>, part: f64) -> f64 {
    let peak_m_s = item.peak.value * item.peak_of_part(part);
    let peak_sd = item.peak.sd.hypot(quality.peak_sd_m_s);
    let peak = bell((bout.peak_m_s - peak_m_s) / peak_sd, PEAK_FLOOR);
    let elsewhere = shape(item, bout, quality, part) + place(item, bout, quality, part);
    let usual = (peak + elsewhere).min(MOST_UNLIKE);
    let Some(&Pace { slower, cost }) = pace else {
        return usual;
    };
    let usual = usual + cost;
    if slower < SLOWER.0 || slower > SLOWER.1 {
        return usual;
    }
    // Who takes it easy is slower by as much in his peak as in his time.
    let easy_m_s = peak_m_s * (-slower).exp();
    let off = (bout.peak_m_s - easy_m_s) / quality.peak_sd_m_s.hypot(EASY_SD * peak_m_s);
    let easy = EASY + 0.5 * off * off + elsewhere.min(MOST_UNLIKE);
    either(usual, easy)
}

/// Whether a bout is so like a rep, in its time and its peak, that nobody should say that there was none: its way may be measured
/// wrongly, or it was run in another manner.
pub(super) fn resembles(item: &Item, bout: &Bout) -> bool {
    let time_s = end_s(item, bout) - bout.start_s;
    let off = (time_s.max(0.1) / item.work.value).ln();
    let peak = bout.peak_m_s / item.peak.value;
    item.kind == Kind::Bout
        && item.reps == 1
        && off.abs() < LIKE
        && (LIKE_PEAK.0..LIKE_PEAK.1).contains(&peak)
}

/// So near in time, as a logarithm, and in peak, as a share.
const LIKE: f64 = 0.3;
const LIKE_PEAK: (f64, f64) = (0.7, 1.5);

/// The share of the planned work that a bout makes up, with the standard deviation of its logarithm.
///
/// By time where the plan gives a time; by length on the ground where it gives a length and positions are known.
pub(super) fn work_share(item: &Item, bout: &Bout, time_s: f64, quality: &Quality) -> (f64, f64) {
    if !item.timed
        && !by_time(item, time_s, quality)
        && let Some(length_m) = covered_m(item, bout, quality)
        && let Some(planned_m) = item.distance_m
    {
        let sd = 0.03_f64.hypot(quality.length_sd_m / planned_m);
        return (length_m / (planned_m * item.length_bias), sd);
    }
    let expected_s = item.work.value.max(0.1);
    let sd = item.work.sd.hypot(quality.edge_sd_s * 1.4 / expected_s);
    let Some(shuttle) = item.shuttle.filter(|_| item.timed) else {
        return (time_s / expected_s, sd);
    };
    if time_s > expected_s {
        return (time_s / expected_s, sd.hypot(RUN_OUT_S / expected_s));
    }
    // Nobody begins a way that he cannot run before the time is up: he stops at the line.
    let to_stop_s = (bout.stop_s - bout.start_s).clamp(time_s, expected_s);
    let way_s = leg_s(shuttle.leg_m).min(expected_s);
    (
        to_stop_s / expected_s,
        sd.hypot(WAY_LEFT * way_s / expected_s),
    )
}

/// The part of a way that may be left when the time of a timed shuttle is up.
const WAY_LEFT: f64 = 0.5;

/// Whether only the time tells how much of a set was run: its turns are too close to count its legs.
fn by_time(item: &Item, time_s: f64, quality: &Quality) -> bool {
    item.reps > 1 && time_s < quality.hides_turns_for_s(item)
}

/// The length that a bout covered, in the sense of the plan, m: there and back by the legs between turns, else straight.
///
/// Filtered positions cut the corner at a turn, so a path's own length falls short; the legs are counted in full lengths
/// of the way, and only the last by its own length.
fn covered_m(item: &Item, bout: &Bout, quality: &Quality) -> Option<f64> {
    let shape = bout.shape.as_ref()?;
    match item.shuttle {
        Some(Shuttle { leg_m, legs }) => {
            let seen_m = shape.legs_m();
            let full = seen_m.len().saturating_sub(1) as f64;
            let last = seen_m.last().copied().unwrap_or(0.0) / leg_m;
            let last = if last > 0.7 { 1.0 } else { last };
            let legs_m = (full + last) * leg_m;
            // A turn that was not seen leaves no legs, but no receiver of so many fixes makes the path longer by a way.
            let path_m = if quality.loses_turns() || item.reps > 1 {
                0.0
            } else {
                bout.path_m
            };
            Some(legs_m.max(path_m.min(legs.unwrap_or(0.0) * leg_m)))
        }
        None => item.distance_m.map(|_| bout.path_to_end_m),
    }
}

/// The cost of a share of the planned work for a rep run in full.
pub(super) fn full_cost(share: f64, sd: f64) -> f64 {
    let z = share.max(1e-3).ln() / sd;
    0.5 * z * z
}

/// The cost of a share of the planned work for a rep cut short: even over the shares at which reps are cut, its edges as
/// soft as the measure is.
pub(super) fn short_cost(share: f64, sd: f64) -> f64 {
    let share = share.max(1e-3);
    let outside = (SHORT_FROM / share)
        .ln()
        .max((share / SHORT_TO).ln())
        .max(0.0)
        / sd;
    SHORT + 0.5 * outside * outside
}

/// The costs of a share of the planned work, for a rep run in full, or of a length that nothing explains, and for one cut short.
struct Dose {
    full: f64,
    short: f64,
}

fn dose(item: &Item, share: f64, sd: f64) -> Dose {
    // Turns of a set that runs on are counted wrongly now and then; a run is as long as it is.
    let floor = if item.reps > 1 {
        RUN_ON_FLOOR
    } else {
        WORK_FLOOR
    };
    Dose {
        full: either(full_cost(share, sd) + sd.ln(), floor),
        short: short_cost(share, sd),
    }
}

/// The cost of a shape beside that of so large a part of a rep.
fn shape(item: &Item, bout: &Bout, quality: &Quality, part: f64) -> f64 {
    let Some(shape) = &bout.shape else {
        return 0.0;
    };
    match item.shuttle {
        Some(Shuttle { leg_m, legs }) => {
            let timed = || (end_s(item, bout) - bout.start_s) / leg_s(leg_m);
            let expected = legs.map_or_else(timed, |legs| part * legs);
            // Who turns back before the first line leaves a shorter way.
            let way_m = leg_m * expected.clamp(LEAST_SHARE, 1.0);
            let sd = 0.1_f64.hypot(quality.length_sd_m / way_m);
            let extent = bell((shape.extent_m / way_m).max(1e-3).ln() / sd, SHAPE_FLOOR);
            let turned = if expected >= 1.8 && shape.reversals() == 0 {
                SHAPE_FLOOR
            } else {
                0.0
            };
            extent + turned - rhythm(item, bout)
        }
        None if item.category == Category::Speed => {
            let straight = shape.net_m() / bout.path_m.max(0.1);
            bell((1.0 - straight).max(0.0) / 0.12, SHAPE_FLOOR)
        }
        None => 0.0,
    }
}

/// How evenly a bout goes to and fro as a set of turns does, from 0 to 1; 0 for an item that is no such set.
pub(super) fn evenness(item: &Item, bout: &Bout) -> f64 {
    let (Some(shuttle), Some(shape)) = (item.shuttle, &bout.shape) else {
        return 0.0;
    };
    match shape.uneven {
        Some(uneven) if expected_legs(item, shuttle) >= FEWEST_LEGS => {
            ((EVEN.1 / uneven.max(EVEN.0)).ln() / (EVEN.1 / EVEN.0).ln()).max(0.0)
        }
        _ => 0.0,
    }
}

/// What the rhythm of a bout's legs speaks for a set of so many: little else goes to and fro evenly.
fn rhythm(item: &Item, bout: &Bout) -> f64 {
    let turns = bout.shape.as_ref().map_or(0, Shape::reversals);
    let legs = turns.saturating_sub(1) as f64;
    (EVEN_LEG * legs * evenness(item, bout)).min(MOST_EVEN)
}

/// How unevenly legs go, as a deviation of logarithms: in a set, and in anything else that turns about. Counted over simulated sessions
/// whose truth is known.
const EVEN: (f64, f64) = (0.10, 0.35);
/// What each leg of a set speaks for it, and all of them at most.
const EVEN_LEG: f64 = 0.4;
const MOST_EVEN: f64 = 5.0;
/// A set of fewer legs has no rhythm.
const FEWEST_LEGS: f64 = 5.0;

/// The legs of an item in full: as the plan counts them, else as many as its time lasts for.
fn expected_legs(item: &Item, shuttle: Shuttle) -> f64 {
    let by_time = || item.work.value / leg_s(shuttle.leg_m);
    shuttle.legs.unwrap_or_else(by_time)
}

/// About how long a leg takes, s: at 2.5 m/s with its turn.
fn leg_s(leg_m: f64) -> f64 {
    (leg_m / 2.5).max(1.5)
}

/// The cost of the place of so large a part of a rep, given where the others of its block were: the reps of a set share a lane.
fn place(item: &Item, bout: &Bout, quality: &Quality, part: f64) -> f64 {
    let (Some(usual), Some(shape)) = (item.place_m, &bout.shape) else {
        return 0.0;
    };
    // The middle of a straight run that ends before its line lies nearer to its start, by up to so much.
    let nearer_m = 0.5 * (1.0 - part) * item.straight_m().unwrap_or(0.0);
    let apart = (crate::bouts::distance(usual, shape.middle_m) - nearer_m).max(0.0);
    let sd = quality.place_sd_m.hypot(0.1 * shape.extent_m);
    SAME_PLACE + bell(apart / sd, PLACE_FLOOR)
}

#[cfg(test)]
mod tests {
    use super::*;
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
            crate::review::verdict::full(share, sd, &tolerances)
        };
        assert!(full(8.8) > 0.9, "{}", full(8.8));
        assert!(full(5.0) < 0.1, "{}", full(5.0));
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

    /// A run of another length than the way is no rep by its length, but may have been one that was measured wrongly.
    #[test]
    fn what_resembles_a_rep_may_have_been_one() {
        let item = item("speed 4 x 40 m, rest 60 s");
        let leapt = bout(&[], 90.0, 1.1 * item.work.value, item.peak.value);
        assert!(pair(&item, &leapt, &sharp()).is_none() && resembles(&item, &leapt));
        assert!(!resembles(&item, &bout(&[], 40.0, 25.0, 1.6)));
    }
}
