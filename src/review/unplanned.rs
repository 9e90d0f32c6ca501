//! Work that is not in the plan: reps more than planned, bouts that nothing of the plan explains, fast work right beside a rep, and sprints
//! in the middle of work that has none.

use crate::bouts::{Bout, Bouts};
use crate::efforts;
use crate::plan::Category;
use crate::review::doubt::WORK_M_S;
use crate::review::items::Kind;
use crate::review::matching::Matching;
use crate::review::taken::Taken;
use crate::review::{Evidence, Unplanned};

/// Work so fast that begins right after a rep ends, or ends right before one begins, is none of its run-out, m/s.
const BESIDE_M_S: f64 = 5.5;
/// Right after, or before, is within this, s: bouts farther apart are two in the list.
const BESIDE_S: f64 = 4.0;

/// The bouts that the plan does not explain.
#[derive(Clone, Debug, Default)]
pub(super) struct Left<'b> {
    /// Those beside what the plan explains, at whatever pace, in order of start.
    pub bouts: Vec<&'b Bout>,
    /// What was sprinted in the middle of calm work, which explains it no more than it would standing. Sprints of games belong to them; a
    /// warm-up may end in some.
    pub calm_sprints: Vec<&'b Bout>,
}

impl<'b> Left<'b> {
    pub(crate) fn of(evidence: &Evidence<'b>, matching: &Matching, taken: &Taken) -> Self {
        let is_calm = |k: &usize| {
            matches!(
                matching.items[*k].category,
                Category::Technical | Category::CoolDown
            )
        };
        Self {
            bouts: taken.left_of(&evidence.bouts.list),
            calm_sprints: (0..matching.items.len())
                .filter(is_calm)
                .filter_map(|k| matching.place(k))
                .flat_map(|place| sprints(evidence, place))
                .collect(),
        }
    }

    /// The work beside what the plan explains, in order of start.
    pub(crate) fn work(&self) -> impl Iterator<Item = &'b Bout> {
        let bouts = self.bouts.iter().copied();
        bouts.filter(|b| b.peak_m_s >= WORK_M_S)
    }
}

/// Work that the plan does not explain, in order of start.
pub(super) fn list(
    evidence: &Evidence<'_>,
    matching: &Matching,
    taken: &Taken,
    left: &Left<'_>,
) -> Vec<Unplanned> {
    let bouts = evidence.bouts;
    let items = || matching.items.iter().enumerate();
    let extras: Vec<&Bout> = items()
        .filter(|(_, item)| item.kind == Kind::Extra)
        .filter_map(|(k, _)| matching.bout(k, &bouts.candidates))
        .collect();
    let no_extra = |b: &&Bout| {
        let next = extras.partition_point(|e| e.stop_s <= b.start_s);
        extras.get(next).is_none_or(|e| b.stop_s <= e.start_s)
    };
    let mut list: Vec<Unplanned> = (left.work())
        .chain(left.calm_sprints.iter().copied())
        .chain(beside(bouts, taken))
        .filter(no_extra)
        .chain(extras.iter().copied())
        .map(|bout| {
            let window = evidence.motion.window(bout.start_s, bout.end_s);
            Unplanned {
                start_s: bout.start_s,
                end_s: bout.end_s,
                distance_m: evidence.motion.distance(window.clone()),
                peak_speed_m_s: evidence.motion.peak_speed(window),
            }
        })
        .collect();
    list.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    list
}

/// The bouts with a sprint in them that lie wholly in a time, s.
fn sprints<'b>(
    evidence: &Evidence<'b>,
    (from_s, to_s): (f64, f64),
) -> impl Iterator<Item = &'b Bout> + use<'b> {
    let (efforts, bouts) = (evidence.efforts, evidence.bouts);
    (bouts.starting_within((from_s, to_s)))
        .filter(move |b| b.stop_s <= to_s)
        .filter(|b| {
            let mut all = efforts.list.iter();
            all.any(|e| {
                e.kind == efforts::Kind::Sprint && b.start_s <= e.start_s && e.end_s <= b.stop_s
            })
        })
}

/// Fast work with hardly a pause before or after a rep, which the finest list of bouts holds as one with it: of candidates in what
/// of such a bout is left beside the rep, the longest.
fn beside<'b>(bouts: &'b Bouts, taken: &Taken) -> Vec<&'b Bout> {
    let mut found: Vec<&Bout> = Vec::new();
    for whole in bouts.list.iter().filter(|b| b.peak_m_s >= BESIDE_M_S) {
        // What is none of the plan is listed as a whole.
        if taken.leaves(whole) {
            continue;
        }
        let within = taken.about(whole);
        let free = |c: &&Bout| {
            let clear = |&(from_s, to_s): &(f64, f64)| c.stop_s <= from_s || to_s <= c.start_s;
            let near = |&(from_s, to_s): &(f64, f64)| {
                (c.start_s - to_s).abs() < BESIDE_S || (from_s - c.stop_s).abs() < BESIDE_S
            };
            within.iter().all(clear) && within.iter().any(near)
        };
        let mut parts: Vec<&Bout> = (bouts.stopping_within((whole.start_s, whole.stop_s)))
            .filter(|c| c.start_s >= whole.start_s && c.peak_m_s >= BESIDE_M_S)
            .filter(free)
            .collect();
        parts.sort_by(|a, b| b.stop_run_s().total_cmp(&a.stop_run_s()));
        let longest = found.len();
        for part in parts {
            let apart = |o: &&Bout| part.stop_s <= o.start_s || o.stop_s <= part.start_s;
            if found[longest..].iter().all(apart) {
                found.push(part);
            }
        }
    }
    found
}
