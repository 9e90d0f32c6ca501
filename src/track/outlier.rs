//! Finds positions that were displaced for a while, as when a receiver follows a reflected signal.

use crate::estimation::quantile::midpoint;
use crate::estimation::{collected, length};
use crate::note::Note;
use crate::track::{Draft, Rules, Tally, apart_m};

/// A displacement shorter than this is left to the smoother's gate, m.
const LEAST_M: f64 = 3.5;
/// What differs from the step before by less than so many times what is usual in the recording is its noise, or a turn.
const USUAL: f64 = 5.0;
/// No step of a runner differs from the one before by this much, m: it is a jump whether or not it is undone at once.
const CLEAR_M: f64 = 8.0;
/// How far a runner may be from where his last velocity would have taken him, m and m/s.
const ASTRAY_M: f64 = 3.0;
const ASTRAY_M_S: f64 = 1.5;
/// The longest displaced stretch, s.
const LONGEST_S: f64 = 7.5;
/// No more fixes than this are looked through for its end: what 100 a second, the most that receivers write, make of that time.
const MOST_FIXES: usize = 750;
/// Steps longer than this hide too much motion for the test on displacements, s.
const LONGEST_STEP_S: f64 = 1.6;
/// How long a receiver may take to settle, s.
const SETTLING_S: f64 = 20.0;
/// No receiver's own speed beyond this times the fastest believable one is read.
const SPEED_MARGIN: f64 = 1.2;
/// A place is written again for at least so long before it is taken for a receiver that has stalled, s.
const STALLED_S: f64 = 1.0;
/// Older receivers write many positions twice; fewer repeats than this share are a player standing still.
const REPEAT_SHARE: f64 = 0.05;

/// Why a position is not used; `None` while it is.
type Verdicts = Vec<Option<&'static str>>;

/// The position of one draft.
#[derive(Clone, Copy, Debug)]
struct Place {
    /// Which draft.
    index: usize,
    time_s: f64,
    at_m: [f64; 2],
}

impl Place {
    fn apart_m(&self, other: &Self) -> f64 {
        apart_m(self.at_m, other.at_m)
    }
}

/// Removes positions that cannot be: a fix that keeps its speed stays, any other is set aside.
pub(super) fn set_aside(
    mut drafts: Vec<Draft>,
    rules: &Rules,
    tally: &mut Tally,
    notes: &mut Vec<Note>,
) -> Vec<Draft> {
    let mut wild_speeds = 0;
    for draft in &mut drafts {
        if draft
            .speed_m_s
            .is_some_and(|v| !(0.0..=rules.max_speed_m_s * SPEED_MARGIN).contains(&v))
        {
            draft.speed_m_s = None;
            wild_speeds += 1;
        }
    }
    if wild_speeds > 0 {
        notes.push(Note::WildSpeeds { count: wild_speeds });
    }
    let mut verdicts: Verdicts = vec![None; drafts.len()];
    let mut standing = collected(drafts.iter().enumerate().filter_map(|(index, d)| {
        d.position_m.map(|at_m| Place {
            index,
            time_s: d.time_s,
            at_m,
        })
    }));
    for mark in [stalled, repeated, displaced, unsettled, too_fast] {
        mark(&standing, rules, &mut verdicts);
        standing.retain(|place| verdicts[place.index].is_none());
    }

    let mut speed_kept = 0;
    let mut verdicts = verdicts.into_iter();
    drafts.retain_mut(|draft| {
        let verdict = verdicts.next().flatten();
        if verdict.is_some() {
            draft.position_m = None;
            speed_kept += usize::from(draft.speed_m_s.is_some());
        }
        let kept = draft.position_m.is_some() || draft.speed_m_s.is_some();
        if !kept {
            tally.add(
                verdict.unwrap_or("neither position nor believable speed"),
                draft.line,
            );
        }
        kept
    });
    if speed_kept > 0 {
        notes.push(Note::WildPositions { count: speed_kept });
    }
    drafts
}

/// At the start, everything before the last step that nobody can run.
fn unsettled(standing: &[Place], rules: &Rules, verdicts: &mut Verdicts) {
    let Some(first) = standing.first() else {
        return;
    };
    let early = standing
        .iter()
        .take_while(|place| place.time_s - first.time_s <= SETTLING_S)
        .count();
    let last_leap = standing[..early].windows(2).rposition(|w| {
        w[0].apart_m(&w[1]) > (w[1].time_s - w[0].time_s) * rules.max_speed_m_s + LEAST_M
    });
    // A leap that has its return in the same stretch is a displacement, not a start.
    if let Some(at) = last_leap
        && standing[..at]
            .windows(2)
            .all(|w| w[0].apart_m(&w[1]) < LEAST_M)
    {
        for place in &standing[..=at] {
            verdicts[place.index] = Some("the receiver had not settled");
        }
    }
}

/// Positions written again and again until a leap brings the receiver to where the player has run meanwhile: nothing is known of the way,
/// but that it was run in all that time.
fn stalled(standing: &[Place], rules: &Rules, verdicts: &mut Verdicts) {
    let same = |a: &Place, b: &Place| a.at_m == b.at_m;
    let mut next = 0;
    for run in standing.chunk_by(same) {
        next += run.len();
        let [first, again @ ..] = run else { continue };
        let (Some(last), Some(leapt)) = (again.last(), standing.get(next)) else {
            continue;
        };
        let way_m = first.apart_m(leapt);
        let leaps = way_m > (leapt.time_s - last.time_s) * rules.max_speed_m_s + LEAST_M;
        let could_run = way_m <= (leapt.time_s - first.time_s) * rules.max_speed_m_s;
        if leaps && could_run && last.time_s - first.time_s >= STALLED_S {
            for place in again {
                verdicts[place.index] = Some("the position stood still and then jumped");
            }
        }
    }
}

/// Positions written a second time while the player moved on.
fn repeated(standing: &[Place], _: &Rules, verdicts: &mut Verdicts) {
    let again: Vec<usize> = standing
        .windows(4)
        .filter(|w| {
            let moving = |a: &Place, b: &Place| a.apart_m(b) > 0.5 * (b.time_s - a.time_s);
            w[1].at_m == w[2].at_m && moving(&w[0], &w[1]) && moving(&w[2], &w[3])
        })
        .map(|w| w[2].index)
        .collect();
    if again.len() as f64 > REPEAT_SHARE * standing.len() as f64 {
        for i in again {
            verdicts[i] = Some("the position was repeated while moving");
        }
    }
}

/// Stretches displaced and put back.
///
/// With the velocities w of the steps, the entry e = (w(i) - w(i-1)) dt and the exit f = (w(j) - w(j+1)) dt of a
/// displaced stretch cancel, while a sprint and its braking add up: |e + f| tells them apart.
fn displaced(standing: &[Place], _: &Rules, verdicts: &mut Verdicts) {
    let steps: Vec<Step> = standing
        .windows(2)
        .map(|w| Step::between(&w[0], &w[1]))
        .collect();
    let least_m = least_m(&steps);
    let mut i = 1;
    while i < steps.len() {
        let entry = steps[i].beyond(&steps[i - 1]);
        let size = length(entry[0], entry[1]);
        let mut next = i + 1;
        if size > least_m && steps[i].dt_s <= LONGEST_STEP_S {
            let entered_s = standing[i + 1].time_s;
            let left = (i + 1..steps.len().saturating_sub(1))
                .take(MOST_FIXES)
                .take_while(|&j| standing[j].time_s - entered_s <= LONGEST_S)
                .find(|&j| {
                    // The step back must undo the entry both against what follows and against what went before.
                    let undoes = |exit: [f64; 2], share: f64| {
                        length(entry[0] + exit[0], entry[1] + exit[1]) < share * size + 1.5
                    };
                    undoes(steps[j].beyond(&steps[j + 1]), 0.4)
                        && undoes(steps[j].beyond(&steps[i - 1]), 0.6)
                });
            // Jumps may follow on each other; then what ends them is a fix near where he would have been.
            let left = left.or_else(|| {
                let on_course = |m: &usize| steps[i - 1].leads_to(&standing[i], &standing[*m]);
                let soon = |m: &usize| standing[*m].time_s - entered_s <= LONGEST_S;
                let last = standing.len() - 1;
                let ended = (i + 2..=last)
                    .take(MOST_FIXES)
                    .take_while(soon)
                    .find(on_course)
                    .map(|m| m - 1);
                // At the end of the recording there may be no way back to see.
                ended
                    .or(soon(&last).then_some(last))
                    .filter(|_| size > CLEAR_M)
            });
            if let Some(j) = left {
                for place in &standing[i + 1..=j] {
                    verdicts[place.index] = Some("the position jumped");
                }
                // The step back is no measure of motion: the step after it is.
                next = j + 2;
            }
        }
        i = next;
    }
}

/// From which change between two steps on a displacement is looked for, m: who turns to and fro at a fix a second changes his step by as
/// much as a small jump does, and so does a noisy receiver.
fn least_m(steps: &[Step]) -> f64 {
    let changes_m = (steps.windows(2))
        .filter(|pair| pair[1].dt_s <= LONGEST_STEP_S)
        .map(|pair| pair[1].beyond(&pair[0]))
        .map(|off| length(off[0], off[1]));
    let usual_m = midpoint(collected(changes_m)).unwrap_or(0.0);
    LEAST_M.max(USUAL * usual_m)
}

/// The velocity between two fixes.
struct Step {
    dt_s: f64,
    velocity_m_s: [f64; 2],
}

impl Step {
    fn between(a: &Place, b: &Place) -> Self {
        let dt_s = b.time_s - a.time_s;
        let (p, q) = (a.at_m, b.at_m);
        Self {
            dt_s,
            velocity_m_s: [(q[0] - p[0]) / dt_s, (q[1] - p[1]) / dt_s],
        }
    }

    /// Whether a runner who kept this velocity from `here` would pass near `there`.
    fn leads_to(&self, here: &Place, there: &Place) -> bool {
        let dt_s = there.time_s - here.time_s;
        let off = [0, 1].map(|k| there.at_m[k] - here.at_m[k] - self.velocity_m_s[k] * dt_s);
        length(off[0], off[1]) < ASTRAY_M + ASTRAY_M_S * dt_s
    }

    /// How far this step went beyond what the other's velocity would have, m.
    fn beyond(&self, other: &Self) -> [f64; 2] {
        [0, 1].map(|k| (self.velocity_m_s[k] - other.velocity_m_s[k]) * self.dt_s)
    }
}

/// Fixes that cannot be reached from the ones before while later ones can.
fn too_fast(standing: &[Place], rules: &Rules, verdicts: &mut Verdicts) {
    let reachable = |a: &Place, b: &Place| {
        a.apart_m(b) <= (b.time_s - a.time_s) * rules.max_speed_m_s + LEAST_M
    };
    let mut last = 0;
    let mut k = 1;
    while k < standing.len() {
        let (before, here) = (&standing[last], &standing[k]);
        if !reachable(before, here) {
            let rest = &standing[k + 1..];
            let back = rest
                .iter()
                .take(MOST_FIXES)
                .take_while(|later| later.time_s - here.time_s <= LONGEST_S)
                .position(|later| reachable(before, later));
            // At the very end there is nobody left to contradict the leap, and it is still a leap.
            if let Some(count) = back.or(rest.is_empty().then_some(0)) {
                for place in &standing[k..=k + count] {
                    verdicts[place.index] = Some("faster than anybody runs");
                }
                k += count + 1;
                continue;
            }
        }
        last = k;
        k += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(xs: &[f64]) -> Vec<Draft> {
        xs.iter()
            .enumerate()
            .map(|(i, &x)| Draft {
                time_s: i as f64,
                position_m: Some([x, 0.0]),
                speed_m_s: None,
                heart_rate_bpm: None,
                segment: 0,
                fix: i as u32,
                line: i as u64 + 1,
            })
            .collect()
    }

    fn left(xs: &[f64]) -> Vec<u32> {
        let mut tally = Tally::new(&[]);
        set_aside(line(xs), &Rules::default(), &mut tally, &mut Vec::new())
            .iter()
            .map(|d| d.fix)
            .collect()
    }

    #[test]
    fn a_displaced_stretch_goes() {
        let mut xs: Vec<f64> = (0..40).map(|i| 1.4 * f64::from(i)).collect();
        for x in &mut xs[30..33] {
            *x += 15.0;
        }
        assert_eq!(left(&xs).len(), 37);
        assert!(!left(&xs).contains(&31));
    }

    /// A receiver that stalls for three seconds of a run at 5 m/s and then leaps to where he is knows nothing of these; one that stands still
    /// and walks on has stood, and a leap that nobody can have run in all that time is none of this.
    #[test]
    fn what_is_written_while_a_receiver_stalls_goes() {
        let run = |stalled: std::ops::Range<usize>, leap_m: f64| {
            let mut drafts = line(&[0.0; 40]);
            for (k, draft) in drafts.iter_mut().enumerate() {
                draft.time_s = 0.2 * k as f64;
                let seen = if stalled.contains(&k) {
                    stalled.start
                } else {
                    k
                };
                let beyond_m = if k >= stalled.end { leap_m } else { 0.0 };
                draft.position_m = Some([seen as f64 + beyond_m, 0.0]);
            }
            let mut tally = Tally::new(&[]);
            set_aside(drafts, &Rules::default(), &mut tally, &mut Vec::new());
            let of_reason = tally.finish().into_iter();
            of_reason
                .filter(|s| s.reason.contains("stood still"))
                .map(|s| s.count)
                .sum::<usize>()
        };
        assert_eq!(run(15..30, 0.0), 14);
        assert_eq!(run(15..18, 0.0), 0);
        assert_eq!(run(15..30, 80.0), 0);
    }

    #[test]
    fn a_sprint_stays() {
        let speeds = [0.0, 0.0, 4.0, 7.0, 8.2, 8.6, 8.8, 5.0, 1.0, 0.0, 0.0];
        let xs: Vec<f64> = speeds
            .iter()
            .scan(0.0, |x, v| {
                *x += v;
                Some(*x)
            })
            .collect();
        assert_eq!(left(&xs).len(), xs.len());
    }

    /// Turns at lines 8 m apart look like displacements of 4 m and back to who has a fix a second. Where the receiver's own noise is no
    /// less they stay, and a jump that is more than any of it goes.
    #[test]
    fn turns_stay_where_the_receiver_is_no_better() {
        let noise_m = [0.0, 1.1, -0.6, 0.7, -1.2, 0.4, 0.9, -0.8];
        let mut xs: Vec<f64> = (0..80).map(|k| noise_m[k % 8]).collect();
        let ways_m = [0.0, 4.0, 8.0, 4.0, 0.0, 4.0, 0.0, 4.0, 8.0, 4.0];
        xs.extend((0..40).map(|k| ways_m[k % 10] + noise_m[k % 8]));
        xs.extend((0..40).map(|k| noise_m[k % 8]));
        assert_eq!(left(&xs).len(), xs.len());
        for x in &mut xs[140..142] {
            *x += 25.0;
        }
        let left = left(&xs);
        assert!(left.len() == xs.len() - 2 && !left.contains(&140));
    }

    #[test]
    fn an_unsettled_start_goes() {
        let mut xs: Vec<f64> = (0..60).map(f64::from).collect();
        for x in &mut xs[..4] {
            *x -= 300.0;
        }
        assert_eq!(left(&xs)[0], 4);
    }

    #[test]
    fn one_wild_fix_goes() {
        let mut xs: Vec<f64> = (0..60).map(f64::from).collect();
        xs[40] += 500.0;
        assert_eq!(left(&xs).len(), 59);
    }
}
