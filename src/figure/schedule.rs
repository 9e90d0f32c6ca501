//! When each rep of a plan would be run, if the plan were kept to the second.

use crate::plan::{Block, Category, Dose, Plan, Rest, Target, Work};

/// Mean speed of a rep as a share of its top speed: much of a short run is spent on getting there.
const MEAN_OF_TOP: f64 = 0.8;
/// Walking speed on the way back, m/s (common practice, no source).
const WALK_M_S: f64 = 1.4;
/// Time of a counted rep without a length, s (common practice, no source).
const COUNTED_REP_S: f64 = 4.0;
/// Top speed where none is known, m/s (common practice, no source).
const TOP_M_S: f64 = 8.0;
/// Speed of a run over a distance that asks for none and is no sprint, m/s (common practice, no source).
const RUN_M_S: f64 = 5.0;

/// A rep of the plan in time; the three numbers count from 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Slot {
    /// Which block.
    pub(super) block: usize,
    /// Which set of it.
    pub(super) set: usize,
    /// Which rep of that.
    pub(super) rep: usize,
    /// Seconds from the start of the plan.
    pub(super) start_s: f64,
    /// Seconds from the start of the plan.
    pub(super) end_s: f64,
}

/// The reps of a plan one after another, at most `most` of them.
///
/// What the plan leaves open is estimated: a distance is run at the speed asked for (or that of its category), and a walk
/// back takes its length at walking speed. `top_m_s` is the athlete's top speed, where known.
pub(super) fn schedule(plan: &Plan, top_m_s: Option<f64>, most: usize) -> Vec<Slot> {
    let top_m_s = top_m_s.unwrap_or(TOP_M_S);
    let mut slots = Vec::new();
    let mut now_s = 0.0;
    for (index, block) in plan.blocks.iter().enumerate() {
        let work_s = rep_time_s(block, top_m_s);
        let rest_s = match block.rest {
            Rest::RunOn => 0.0,
            Rest::Timed(s) => s,
            Rest::WalkBack => block.rep_distance_m().unwrap_or(0.0) / WALK_M_S,
        };
        for set in 0..block.sets() as usize {
            if set > 0 {
                now_s += block.between_sets_s.unwrap_or(rest_s);
            }
            for rep in 0..block.reps() as usize {
                if slots.len() >= most {
                    return slots;
                }
                if rep > 0 {
                    now_s += rest_s;
                }
                slots.push(Slot {
                    block: index,
                    set,
                    rep,
                    start_s: now_s,
                    end_s: now_s + work_s,
                });
                now_s += work_s;
            }
        }
        now_s += block.then_s.unwrap_or(0.0);
    }
    slots
}

/// The time of one rep, s.
fn rep_time_s(block: &Block, top_m_s: f64) -> f64 {
    if let Some(s) = block.work_s() {
        return s;
    }
    let Some(distance_m) = block.rep_distance_m() else {
        return COUNTED_REP_S;
    };
    let fastest_m_s = match (block.target, block.category) {
        (Some(Target::Speed(m_s)), _) => m_s,
        (Some(Target::ShareOfTop(share)), _) => share * top_m_s,
        (None, Category::Speed) => top_m_s,
        (None, _) => RUN_M_S,
    };
    distance_m / (MEAN_OF_TOP * fastest_m_s).max(0.5)
}

/// The dose of a block as it is written, such as "2 × 6 × 12 s".
pub(super) fn dose(block: &Block) -> String {
    let Dose::Reps { sets, reps, work } = block.dose else {
        return block.work_s().map(time).unwrap_or_default();
    };
    let work = match work {
        Work::Duration(s) => format!("{reps} × {}", time(s)),
        Work::Distance(m) => format!("{reps} × {m:.0} m"),
        Work::Count => format!("{reps} reps"),
    };
    if sets == 1 {
        work
    } else {
        format!("{sets} × {work}")
    }
}

/// Seconds, with minutes from 100 s on.
fn time(s: f64) -> String {
    let whole = s.max(0.0).round();
    let (minutes, rest) = ((whole / 60.0).floor(), whole % 60.0);
    if whole < 100.0 && whole != 60.0 {
        format!("{whole} s")
    } else if rest == 0.0 {
        format!("{minutes} min")
    } else {
        format!("{minutes} min {rest} s")
    }
}

#[cfg(test)]
mod tests {
    use super::{dose, schedule};
    use crate::plan::{Block, Category, Dose, Header, Plan, Rest, Work};

    fn block(dose: Dose, rest: Rest) -> Block {
        Block {
            category: Category::Resistance,
            name: None,
            with_ball: false,
            dose,
            over_m: None,
            there_and_back: false,
            target: None,
            rest,
            between_sets_s: Some(60.0),
            then_s: None,
            line: 1,
        }
    }

    /// `3 x 8 x 10 s, rest 20 s, 60 s between sets` lasts 3 x (8 x 10 + 7 x 20) + 2 x 60 = 780 s (common practice, no
    /// source; the sum is by hand).
    #[test]
    fn sets_reps_and_rests_add_up() {
        let work = Dose::Reps {
            sets: 3,
            reps: 8,
            work: Work::Duration(10.0),
        };
        let runs = block(work, Rest::Timed(20.0));
        assert_eq!(dose(&runs), "3 × 8 × 10 s");
        let plan = Plan {
            header: Header::default(),
            blocks: vec![runs],
        };
        let slots = schedule(&plan, None, 1000);
        assert_eq!(slots.len(), 24);
        assert!((slots[23].end_s - 780.0).abs() < 1e-9);
        assert!((slots[8].start_s - (8.0 * 10.0 + 7.0 * 20.0 + 60.0)).abs() < 1e-9);
        assert_eq!(schedule(&plan, None, 5).len(), 5);
    }
}
