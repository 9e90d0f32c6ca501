//! How an athlete departs from his plan.

use crate::plan::{Block, Dose, Plan};
use crate::simulation::rng::Rng;

/// One departure. Blocks count from 0; sets and reps from 1, as in a review.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Departure {
    /// A rep is not run.
    LeaveOut {
        /// Which.
        at: At,
        /// Whether he waits as long as the rep would have taken.
        waits: bool,
    },
    /// One rep more at the end of a set.
    Extra {
        /// The last rep of the set.
        at: At,
    },
    /// A rep is broken off.
    Cut {
        /// Which.
        at: At,
        /// The share that is run, 0.5 to 0.75.
        share: f64,
    },
    /// A rep is run in full, but slowly.
    Slow {
        /// Which.
        at: At,
        /// Share of the speed that it should have had.
        share: f64,
    },
    /// The rest after a rep is far off.
    Rest {
        /// After which.
        at: At,
        /// Times the planned rest.
        factor: f64,
    },
    /// A drink inside a set.
    Drink {
        /// After which rep.
        at: At,
        /// How much longer the rest becomes, s.
        longer_s: f64,
    },
    /// A ball is fetched inside a set, at a jog.
    FetchBall {
        /// After which rep.
        at: At,
        /// How far off it lies, m.
        away_m: f64,
    },
    /// A sprint that nobody asked for, in the rest after a rep or a block.
    Sprint {
        /// After which rep.
        at: At,
        /// Its length, m.
        metres: f64,
    },
    /// A set is skipped.
    SkipSet {
        /// Block, from 0.
        block: usize,
        /// Set, from 1.
        set: u32,
    },
    /// A block is skipped.
    SkipBlock {
        /// Block, from 0.
        block: usize,
    },
    /// A block changes places with the next.
    Swap {
        /// Block, from 0.
        block: usize,
    },
    /// The recording starts only when this share of the session's first blocks has gone by.
    StartLate {
        /// 0 to 1: into the first block; 1 to 2: into the second.
        blocks: f64,
    },
    /// The recording stops when this share of the session is still to come.
    StopEarly {
        /// 0.02 to 0.3 of the whole time.
        share: f64,
    },
}

/// A rep of the plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct At {
    /// Block, from 0.
    pub block: usize,
    /// Set, from 1.
    pub set: u32,
    /// Rep, from 1.
    pub rep: u32,
}

/// All departures of one session.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Departures {
    /// In no order.
    pub list: Vec<Departure>,
}

/// How far a session strays from its plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mess {
    /// Not at all, but for human scatter.
    Clean,
    /// 2 to 5 departures.
    Usual,
    /// 8 to 16 departures.
    Messy,
}

impl Mess {
    /// All of them, tidiest first.
    pub const ALL: [Self; 3] = [Self::Clean, Self::Usual, Self::Messy];

    /// A word for tables.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Clean => "clean",
            Self::Usual => "usual",
            Self::Messy => "messy",
        }
    }
}

impl Departures {
    /// None: the plan is carried out.
    #[must_use]
    pub fn clean() -> Self {
        Self::default()
    }

    /// 2 to 5.
    #[must_use]
    pub fn usual(plan: &Plan, rng: &mut Rng) -> Self {
        let n = rng.whole(2, 5);
        Self::some(plan, n, rng)
    }

    /// 8 to 16.
    #[must_use]
    fn messy(plan: &Plan, rng: &mut Rng) -> Self {
        let n = rng.whole(8, 16);
        Self::some(plan, n, rng)
    }

    /// As many as the word says.
    #[must_use]
    pub(crate) fn of(mess: Mess, plan: &Plan, rng: &mut Rng) -> Self {
        match mess {
            Mess::Clean => Self::clean(),
            Mess::Usual => Self::usual(plan, rng),
            Mess::Messy => Self::messy(plan, rng),
        }
    }

    fn some(plan: &Plan, n: u32, rng: &mut Rng) -> Self {
        let mut all = Self::clean();
        // A draw may find no place for its kind, or one that is taken: draw again, but not for ever.
        for _ in 0..40 * n {
            if all.list.len() >= n as usize {
                break;
            }
            if let Some(one) = draw(plan, rng)
                && all.has_room_for(&one)
            {
                all.list.push(one);
            }
        }
        all
    }

    /// Whether a departure can join these: one a rep, one of those that concern whole sets, blocks or the recording.
    fn has_room_for(&self, new: &Departure) -> bool {
        self.list.iter().all(|old| match (old.at(), new.at()) {
            (Some(a), Some(b)) => a != b,
            (None, None) => {
                std::mem::discriminant(old) != std::mem::discriminant(new)
                    && (old.block().is_none() || old.block() != new.block())
            }
            _ => true,
        })
    }

    pub(super) fn at(&self, at: At) -> impl Iterator<Item = &Departure> {
        self.list.iter().filter(move |d| d.at() == Some(at))
    }

    pub(super) fn skips_set(&self, block: usize, set: u32) -> bool {
        self.list.contains(&Departure::SkipSet { block, set })
    }

    /// The blocks in the order in which they are done.
    pub(super) fn order(&self, blocks: usize) -> Vec<usize> {
        let mut order: Vec<usize> = (0..blocks).collect();
        for departure in &self.list {
            if let Departure::Swap { block } = *departure
                && block + 1 < blocks
            {
                order.swap(block, block + 1);
            }
        }
        order.retain(|&block| !self.list.contains(&Departure::SkipBlock { block }));
        order
    }
}

impl Departure {
    /// The rep that it concerns.
    #[must_use]
    pub(crate) fn at(&self) -> Option<At> {
        match *self {
            Self::LeaveOut { at, .. }
            | Self::Extra { at }
            | Self::Cut { at, .. }
            | Self::Slow { at, .. }
            | Self::Rest { at, .. }
            | Self::Drink { at, .. }
            | Self::FetchBall { at, .. }
            | Self::Sprint { at, .. } => Some(at),
            _ => None,
        }
    }

    fn block(&self) -> Option<usize> {
        match *self {
            Self::SkipSet { block, .. } | Self::SkipBlock { block } | Self::Swap { block } => {
                Some(block)
            }
            _ => None,
        }
    }
}

/// A random departure that this plan has a place for.
fn draw(plan: &Plan, rng: &mut Rng) -> Option<Departure> {
    let kind = rng.whole(0, 99);
    if kind < 12 {
        return draw_large(plan, rng);
    }
    // Only where a speed is asked for can a rep be too slow.
    let slow = (57..=66).contains(&kind);
    let repeated: Vec<usize> = (0..plan.blocks.len())
        .filter(|&b| matches!(plan.blocks[b].dose, Dose::Reps { .. }))
        .filter(|&b| !slow || (plan.blocks[b].target.is_some() && !plan.blocks[b].runs_on()))
        .collect();
    let block = *rng.pick(&repeated)?;
    let planned = &plan.blocks[block];
    let at = At {
        block,
        set: rng.whole(1, planned.sets()),
        rep: rng.whole(1, planned.reps()),
    };
    let last = At {
        rep: planned.reps(),
        ..at
    };
    let rests = !planned.runs_on() && at.rep < planned.reps();
    match kind {
        12..=29 => Some(Departure::LeaveOut {
            at: if planned.runs_on() { last } else { at },
            waits: !planned.runs_on() && rng.chance(0.75),
        }),
        30..=39 => Some(Departure::Extra { at: last }),
        40..=56 => Some(Departure::Cut {
            at,
            share: rng.range(0.5, 0.75),
        }),
        57..=66 => Some(Departure::Slow {
            at,
            share: rng.range(0.8, 0.93),
        }),
        67..=79 => (rests || at.rep == planned.reps()).then(|| Departure::Rest {
            at,
            factor: rng.either(0.4, 0.5, 2.0) * rng.range(0.9, 1.15),
        }),
        80..=85 => rests.then(|| Departure::Drink {
            at,
            longer_s: rng.range(30.0, 110.0),
        }),
        86..=91 => rests.then(|| Departure::FetchBall {
            at,
            away_m: rng.range(12.0, 32.0),
        }),
        _ => (rests || at.rep == planned.reps()).then(|| Departure::Sprint {
            at,
            metres: rng.range(18.0, 40.0),
        }),
    }
}

/// Departures that concern whole sets, blocks or the recording.
fn draw_large(plan: &Plan, rng: &mut Rng) -> Option<Departure> {
    let blocks = plan.blocks.len();
    let any = u32::try_from(blocks).ok()?.checked_sub(1)?;
    let block = rng.whole(0, any) as usize;
    match rng.whole(0, 9) {
        0..=2 => {
            let sets: Vec<usize> = (0..blocks).filter(|&b| plan.blocks[b].sets() > 1).collect();
            let block = *rng.pick(&sets)?;
            Some(Departure::SkipSet {
                block,
                set: rng.whole(1, plan.blocks[block].sets()),
            })
        }
        3 | 4 => (blocks > 2).then_some(Departure::SkipBlock { block }),
        5 => (block + 1 < blocks && may_swap(&plan.blocks[block], &plan.blocks[block + 1]))
            .then_some(Departure::Swap { block }),
        6 | 7 => Some(Departure::StartLate {
            blocks: rng.either(0.7, rng.clone().range(0.2, 0.9), 1.1),
        }),
        _ => Some(Departure::StopEarly {
            share: rng.range(0.03, 0.25),
        }),
    }
}

/// Two blocks written alike cannot be told apart when swapped, and nobody cools down first.
fn may_swap(a: &Block, b: &Block) -> bool {
    use crate::plan::Category::{CoolDown, WarmUp};
    let middle = |c| c != WarmUp && c != CoolDown;
    middle(a.category) && middle(b.category) && a.dose != b.dose
}
