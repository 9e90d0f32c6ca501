//! A sound track of a plan: cues on its clock, and silence between them, to be played on the pitch.
//!
//! [`track()`] lays the plan out on one clock: timed work and rest keep the seconds that are written. What is counted, run over a
//! distance or rested from at one's own pace has no end that a clock knows: it gets a start cue and a window half as long
//! again as is expected, and no cue at its end. `tone` makes a cue a sound, `wav` and `flac` make sounds a file.
//!
//! ```
//! use repledger::plan::{self, cues, timetable::Assumptions};
//!
//! let plan = plan::parse("resistance 2 x 10 s, rest 20 s").unwrap();
//! let track = cues::track(&plan, &Assumptions::default(), 5.0);
//! let starts: Vec<f64> = track.starts.iter().map(|start| start.time_s).collect();
//! assert_eq!(starts, [5.0, 35.0]);
//! assert_eq!(track.total_s, 47.0);
//! ```

mod flac;
mod tone;
mod wav;

use crate::plan::timetable::{self, Assumptions};
use crate::plan::{Block, Dose, FreeRest, Plan, Rest, Work};

pub use flac::flac;
pub use wav::wav;

/// Silence behind the last cue, so that it is heard to its end, s.
const TAIL_S: f64 = 2.0;
/// Half of a work is told from this length on, s.
const HALF_FROM_S: f64 = 120.0;
/// The last seconds of a rest that are counted.
const COUNTED_S: u32 = 3;
/// What is not timed gets so many times what is expected, and is rounded up to whole steps, s.
const GENEROUS: f64 = 1.5;
const STEP_S: f64 = 5.0;

/// A sound at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cue {
    /// Its beginning, s from the start of the track.
    pub time_s: f64,
    /// What it says.
    pub kind: Kind,
}

/// What a cue says; each has a pitch and a length of its own.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// Go.
    Start,
    /// Go, and it is the last rep of the set.
    LastRep,
    /// The time of the work is over.
    End,
    /// One of the last three seconds of a rest.
    Count,
    /// Half of a long work is done.
    Half,
    /// The block is done.
    BlockDone,
}

/// A start of work on the clock of the track.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Start {
    /// Index of the block in the plan, from 0.
    pub block: usize,
    /// Index of the set, from 0.
    pub set: usize,
    /// Index of the rep in the set, from 0; 0 for a set whose reps run on.
    pub rep: usize,
    /// s from the start of the track.
    pub time_s: f64,
}

/// The cues of a plan on one clock.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Track {
    /// In the order of time; of two at one moment the later one sounds.
    pub cues: Vec<Cue>,
    /// When each work starts.
    pub starts: Vec<Start>,
    /// Length of the track, s.
    pub total_s: f64,
}

/// Lays the plan out on one clock, with `lead_s` of silence to reach the pitch.
#[must_use]
pub fn track(plan: &Plan, assumptions: &Assumptions, lead_s: f64) -> Track {
    let mut assumptions = *assumptions;
    if let Some(top_speed) = plan.header.top_speed_m_s {
        assumptions.top_speed_m_s = top_speed;
    }
    let mut out = Track::default();
    let mut now_s = lead_s;
    // The rest before the next work, and whether its last seconds are counted.
    let mut rest_s = lead_s;
    for (index, block) in plan.blocks.iter().enumerate() {
        let steps = steps(block, &assumptions);
        let count = steps.len();
        for (at, step) in steps.into_iter().enumerate() {
            out.count_down(now_s, rest_s);
            out.starts.push(Start {
                block: index,
                set: step.set,
                rep: step.rep,
                time_s: now_s,
            });
            out.cue(
                now_s,
                if step.last_rep {
                    Kind::LastRep
                } else {
                    Kind::Start
                },
            );
            let last = at + 1 == count;
            rest_s = if last {
                block.then_s.unwrap_or(0.0)
            } else {
                step.rest_s
            };
            let end_s = now_s + step.work_s;
            if step.timed && step.work_s >= HALF_FROM_S {
                out.cue(now_s + step.work_s / 2.0, Kind::Half);
            }
            if last {
                out.cue(end_s, Kind::BlockDone);
            } else if step.timed {
                out.cue(end_s, Kind::End);
            }
            now_s = end_s + rest_s;
        }
    }
    out.only_last_of_a_moment();
    out.total_s = now_s + TAIL_S;
    out
}

impl Track {
    fn cue(&mut self, time_s: f64, kind: Kind) {
        self.cues.push(Cue { time_s, kind });
    }

    /// The last seconds before a start, as far as they are rest.
    fn count_down(&mut self, start_s: f64, rest_s: f64) {
        for left in (1..=COUNTED_S).rev() {
            if f64::from(left) <= rest_s - 1.0 {
                self.cue(start_s - f64::from(left), Kind::Count);
            }
        }
    }

    /// Where work follows work at once, its start tells the end of what was before.
    fn only_last_of_a_moment(&mut self) {
        let mut kept: Vec<Cue> = Vec::with_capacity(self.cues.len());
        for cue in &self.cues {
            if kept
                .last()
                .is_some_and(|before| cue.time_s - before.time_s < 0.05)
            {
                kept.pop();
            }
            kept.push(*cue);
        }
        self.cues = kept;
    }
}

/// One work with the rest behind it.
struct Step {
    set: usize,
    rep: usize,
    work_s: f64,
    /// Whether the plan writes the time of the work.
    timed: bool,
    rest_s: f64,
    last_rep: bool,
}

fn steps(block: &Block, assumptions: &Assumptions) -> Vec<Step> {
    let bouts = if block.runs_on() { 1 } else { block.reps() };
    let mut out = Vec::new();
    for set in 0..block.sets() as usize {
        for rep in 0..bouts as usize {
            let own = block.of_rep(1, rep);
            let all = if block.runs_on() { block.reps() } else { 1 };
            let expected_s = f64::from(all) * timetable::rep_s(&own, assumptions);
            let timed = matches!(
                own.dose,
                Dose::Continuous { .. }
                    | Dose::Reps {
                        work: Work::Duration(_),
                        ..
                    }
            );
            // A start every so many seconds leaves no room for more than is expected.
            let exact = timed || block.every_s.is_some();
            let work_s = if exact {
                expected_s
            } else {
                generous(expected_s)
            };
            let rep_rest_s = rep_rest_s(block, assumptions, work_s);
            let last_rep = rep + 1 == bouts as usize;
            let rest_s = if last_rep {
                block.between_sets_s.unwrap_or(rep_rest_s)
            } else {
                rep_rest_s
            };
            out.push(Step {
                set,
                rep,
                work_s,
                timed,
                rest_s,
                last_rep: last_rep && bouts > 1,
            });
        }
    }
    out
}

/// The rest after a rep whose window is `work_s` long.
fn rep_rest_s(block: &Block, assumptions: &Assumptions, work_s: f64) -> f64 {
    if let Some(every_s) = block.every_s {
        return (every_s - work_s).max(0.0);
    }
    match block.rest {
        Rest::RunOn => 0.0,
        Rest::Timed(seconds) => seconds,
        Rest::WalkBack => {
            let expected_s = timetable::free_rest_s(block, assumptions);
            match block.free_rest {
                FreeRest::Walk | FreeRest::Jog => generous(expected_s),
                FreeRest::Full => expected_s,
            }
        }
    }
}

fn generous(seconds: f64) -> f64 {
    (seconds * GENEROUS / STEP_S).ceil() * STEP_S
}
