//! When each rep of a plan would be run, if the plan were kept to the second.

use crate::plan::Plan;
use crate::plan::timetable::{Assumptions, timetable};

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
/// Blocks, work and rest are those of the plan's [`timetable`], which estimates what the plan leaves open; `top_m_s` is
/// the athlete's top speed, where known.
pub(super) fn schedule(plan: &Plan, top_m_s: Option<f64>, most: usize) -> Vec<Slot> {
    let mut assumptions = Assumptions::default();
    if let Some(m_s) = top_m_s {
        assumptions.top_speed_m_s = m_s;
    }
    let table = timetable(plan, &assumptions);
    let mut slots = Vec::new();
    for (index, (block, times)) in plan.blocks.iter().zip(&table.slots).enumerate() {
        let mut now_s = times.start_s;
        for set in 0..block.sets() as usize {
            if set > 0 {
                now_s += times.set_rest_s;
            }
            for rep in 0..block.reps() as usize {
                if slots.len() >= most {
                    return slots;
                }
                if rep > 0 {
                    now_s += times.rep_rest_s;
                }
                slots.push(Slot {
                    block: index,
                    set,
                    rep,
                    start_s: now_s,
                    end_s: now_s + times.rep_s,
                });
                now_s += times.rep_s;
            }
        }
    }
    slots
}

#[cfg(test)]
mod tests {
    use super::schedule;
    use crate::plan::{Block, Category, Dose, Header, Plan, Rest, Work};

    fn block(dose: Dose, rest: Rest) -> Block {
        Block {
            rest,
            between_sets_s: Some(60.0),
            ..Block::new(Category::Resistance, dose)
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
