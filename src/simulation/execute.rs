//! Carries out a plan, with departures, and writes down what truly happened.

use std::fmt;

use crate::limits::SIMULATED_H;
use crate::plan::timetable::{Assumptions, timetable};
use crate::plan::{Block, Plan};
use crate::simulation::athlete::Athlete;
use crate::simulation::body::{Body, Place};
use crate::simulation::departures::{At, Departure, Departures};
use crate::simulation::drill::{Drill, Field, Form, planned_rest};
use crate::simulation::rng::Rng;
use crate::simulation::truth::{Truth, UnplannedKind};
use crate::simulation::way;
use crate::simulation::world::World;

/// The plan takes longer than the simulator goes on for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TooLong {
    /// How long the plan takes, s.
    pub plan_s: f64,
}

impl fmt::Display for TooLong {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hours = self.plan_s / 3600.0;
        write!(
            f,
            "the plan takes about {hours:.1} h, and plans of up to {SIMULATED_H} h are simulated"
        )
    }
}

impl std::error::Error for TooLong {}

/// Carries out a plan in a plain world: an athlete who keeps to it to the second but for the departures.
///
/// The same plan, athlete, departures and seed give the same truth.
///
/// # Errors
/// When the plan takes longer than 4 hours.
pub fn execute(
    plan: &Plan,
    athlete: &Athlete,
    departures: &Departures,
    seed: u64,
) -> Result<Truth, TooLong> {
    execute_in(plan, &World::plain(*athlete), departures, seed)
}

/// Carries out a plan by the habits of a world.
///
/// # Errors
/// When the plan takes longer than 4 hours.
pub(crate) fn execute_in(
    plan: &Plan,
    world: &World,
    departures: &Departures,
    seed: u64,
) -> Result<Truth, TooLong> {
    let table = timetable(plan, &Assumptions::default());
    // No rep is over in less than a second, however short it is written.
    let plan_s = table.total_s.max(table.reps as f64);
    if plan_s > SIMULATED_H * 3600.0 {
        return Err(TooLong { plan_s });
    }
    Ok(play(plan, world, departures, seed))
}

/// Carries out a plan of reasonable length.
pub(super) fn play(plan: &Plan, world: &World, departures: &Departures, seed: u64) -> Truth {
    let mut stage = Stage::new(plan, world, departures, seed);
    stage.play();
    stage.truth()
}

/// A rep as it was carried out, in the athlete's own time.
#[derive(Clone, Copy, Debug)]
pub(super) struct Done {
    pub(super) at: At,
    pub(super) start_s: f64,
    pub(super) end_s: f64,
    pub(super) cut: bool,
}

pub(super) struct Stage<'a> {
    pub(super) plan: &'a Plan,
    pub(super) departures: &'a Departures,
    pub(super) body: Body,
    pub(super) world: World,
    /// Choices of the athlete; the body has its own numbers, so that its noise does not change the story.
    pub(super) rng: Rng,
    pub(super) field: Field,
    pub(super) done: Vec<Done>,
    pub(super) extra: Vec<(UnplannedKind, f64, f64)>,
    /// Start of each block in the order done.
    pub(super) block_starts: Vec<f64>,
    /// When the session was over.
    pub(super) over_s: f64,
    /// Where the way to the pitch on foot begins.
    pub(super) car_park: Option<Place>,
    /// Start and end of each ride.
    pub(super) rides: Vec<(f64, f64)>,
    pub(super) corner: usize,
    pub(super) seed: u64,
}
impl<'a> Stage<'a> {
    fn new(plan: &'a Plan, world: &World, departures: &'a Departures, seed: u64) -> Self {
        let mut rng = Rng::stream(seed, 1);
        let field = Field::of(plan);
        let at = field.spot(&mut rng);
        let from = (world.habits.as_ref()).and_then(|h| way::start(field, h, &mut rng));
        let at = from.map_or(at, |(from, _)| from);
        Self {
            plan,
            departures,
            body: Body::new(world.athlete, at, Rng::stream(seed, 2)),
            world: *world,
            rng,
            field,
            done: Vec::new(),
            extra: Vec::new(),
            block_starts: Vec::new(),
            over_s: 0.0,
            car_park: from.map(|(_, by)| by),
            rides: Vec::new(),
            corner: 0,
            seed,
        }
    }

    fn play(&mut self) {
        let order = self.departures.order(self.plan.blocks.len());
        let drills: Vec<Vec<Drill>> = (self.plan.blocks.iter())
            .map(|block| Drill::of_reps(self.plan, block, &self.world, &mut self.rng))
            .collect();
        let first = order
            .first()
            .map_or(self.body.place(), |&b| drills[b][0].start);
        self.arrive();
        let begun_s = self.body.now_s();
        let before = self.rng.range(4.0, 50.0);
        self.body.idle(self.body.place(), begun_s + before * 0.6);
        self.body.walk(first, begun_s + before + 60.0);
        self.body.idle(first, begun_s + before);
        let between = self.block_before_other_drill(order.len());
        for (turn, &index) in order.iter().enumerate() {
            let block = &self.plan.blocks[index];
            let next = order.get(turn + 1).map(|&b| drills[b][0].start);
            self.block_starts.push(self.body.now_s());
            self.block(index, block, &drills[index]);
            let away = next.unwrap_or(self.body.place());
            let planned = block.then_s.map(|s| self.kept(s, 0.07, 1.5));
            let dawdle_s = self.world.habits.map_or(70.0, |h| h.dawdle_s);
            let free_s = self.rng.range(12.0, dawdle_s);
            if between == Some(turn + 1) {
                self.other_drill(1);
            }
            if next.is_some() {
                self.rest(
                    away,
                    planned,
                    free_s,
                    self.incidents_after_block(index, block),
                    0.0,
                );
            }
        }
        self.over_s = self.body.now_s();
        let after = self.body.now_s() + self.rng.range(5.0, 60.0);
        self.body.brake(2.0, 1.0, after);
        self.body.idle(self.body.place(), after);
        self.leave();
    }

    /// The number of the block, from 1, after which another drill comes, were there one.
    fn block_before_other_drill(&mut self, blocks: usize) -> Option<usize> {
        self.world.habits?;
        let last = u32::try_from(blocks).ok()?.checked_sub(1)?;
        (last > 0).then(|| self.rng.whole(1, last) as usize)
    }

    /// A rest as this player keeps it.
    pub(super) fn kept(&mut self, seconds: f64, share: f64, absolute_s: f64) -> f64 {
        match self.world.habits {
            Some(h) => seconds * (h.rest_sd * self.rng.scatter()).exp(),
            None => self.human(seconds, share, absolute_s),
        }
    }

    /// A duration as a human keeps it: relative scatter and an absolute one.
    pub(super) fn human(&mut self, seconds: f64, share: f64, absolute_s: f64) -> f64 {
        if self.body.athlete.scatter <= 0.0 {
            return seconds;
        }
        let kept = seconds * (1.0 + share * self.rng.scatter()) + absolute_s * self.rng.scatter();
        kept.max(0.5 * seconds)
    }

    fn block(&mut self, index: usize, block: &Block, drills: &[Drill]) {
        // Where the next rep starts, and in which direction.
        let mut place = drills[0];
        let sets: Vec<u32> = (1..=block.sets())
            .filter(|&set| !self.departures.skips_set(index, set))
            .collect();
        for (turn, &set) in sets.iter().enumerate() {
            if block.runs_on() {
                self.run_on_set(index, block, set, drills);
            } else {
                self.rested_set(index, block, set, drills, &mut place);
            }
            if turn + 1 < sets.len() {
                let last = At {
                    block: index,
                    set,
                    rep: block.reps(),
                };
                let planned = block.between_sets_s.or(planned_rest(block));
                let planned = planned
                    .map(|s| self.kept(s, 0.07, 1.5))
                    .map(|s| s * self.rest_factor(last));
                let free_s = self.rng.range(45.0, 110.0);
                self.rest(place.start, planned, free_s, self.incidents(last), 0.0);
            }
        }
    }

    /// A set whose reps are parted by rest.
    fn rested_set(
        &mut self,
        index: usize,
        block: &Block,
        set: u32,
        drills: &[Drill],
        place: &mut Drill,
    ) {
        let reps = block.reps();
        let has_extra = self
            .departures
            .at(At {
                block: index,
                set,
                rep: reps,
            })
            .any(|d| matches!(d, Departure::Extra { .. }));
        let total = reps + u32::from(has_extra);
        let mut waited_s = 0.0;
        for rep in 1..=total {
            let at = At {
                block: index,
                set,
                rep,
            };
            let mut drill = of_rep(drills, rep).at(place);
            let left_out = self.departures.at(at).find_map(|d| match *d {
                Departure::LeaveOut { waits, .. } => Some(waits),
                _ => None,
            });
            if let Some(waits) = left_out {
                if waits {
                    waited_s += drill.usual_s() + planned_rest(block).unwrap_or(20.0);
                }
                if rep == total && waits {
                    let until = self.body.now_s() + drill.usual_s();
                    self.body.idle(self.body.place(), until);
                }
                continue;
            }
            if waited_s > 0.0 {
                let until = self.body.now_s() + waited_s;
                self.body.idle(self.body.place(), until);
                waited_s = 0.0;
            }
            let (start_s, end_s, cut) = self.rep(at, block, &drill);
            if rep > reps {
                self.extra.push((UnplannedKind::ExtraRep, start_s, end_s));
            } else {
                self.done.push(Done {
                    at,
                    start_s,
                    end_s,
                    cut,
                });
            }
            if rep < total {
                self.between_reps(at, block, &mut drill, end_s);
                *place = drill;
            }
        }
    }
    /// A set without rest between its reps.
    fn run_on_set(&mut self, index: usize, block: &Block, set: u32, drills: &[Drill]) {
        let planned = block.reps();
        let last = At {
            block: index,
            set,
            rep: planned,
        };
        let mut reps = f64::from(planned);
        for rep in 1..=planned {
            if let Some(share) = self.shape(At { rep, ..last }).cut {
                reps = reps.min(f64::from(rep - 1) + share);
            }
        }
        for departure in self.departures.at(last) {
            match departure {
                Departure::LeaveOut { .. } => reps -= 1.0,
                Departure::Extra { .. } => reps += 1.0,
                _ => {}
            }
        }
        if reps <= 0.0 {
            return;
        }
        let drill = drills[0];
        let middle = planned.div_ceil(2);
        let pace = self.pace(
            At {
                rep: middle,
                ..last
            },
            block,
            &of_rep(drills, middle),
            None,
        );
        let runs = if drills.len() > 1 {
            self.run_on_unlike(drills, reps, pace)
        } else {
            self.run_on_alike(&drill, reps, pace)
        };
        let broken = reps.fract() > 1e-9;
        let begun = runs.len();
        for (rep, (start_s, end_s)) in (1..).zip(runs) {
            if rep > planned {
                self.extra.push((UnplannedKind::ExtraRep, start_s, end_s));
            } else {
                let at = At { rep, ..last };
                let cut = broken && rep as usize == begun;
                self.done.push(Done {
                    at,
                    start_s,
                    end_s,
                    cut,
                });
            }
        }
    }

    /// So many reps of one drill that follow each other without rest. Returns start and end of every one begun, s.
    fn run_on_alike(&mut self, drill: &Drill, reps: f64, pace: f64) -> Vec<(f64, f64)> {
        if let Form::FreeSeconds { category, seconds } = drill.form {
            return self.play_on(category, drill.start, seconds, reps);
        }
        self.running_on(drill, reps, pace)
    }

    /// Reps of unlike length that follow each other without rest: each starts where the one before ended, and those between two
    /// lines turn around. Returns start and end of every one begun, s.
    fn run_on_unlike(&mut self, drills: &[Drill], reps: f64, pace: f64) -> Vec<(f64, f64)> {
        let mut place = drills[0];
        let begun = reps.ceil() as u32;
        (1..=begun)
            .flat_map(|rep| {
                let part = (reps - f64::from(rep - 1)).min(1.0);
                let drill = of_rep(drills, rep).at(&place);
                let runs = self.run_on_alike(&drill, part, pace);
                if let Form::Legs { legs: 1, .. } = drill.form {
                    place.start = self.body.place();
                    place.line = [-place.line[0], -place.line[1]];
                }
                runs
            })
            .collect()
    }
}

/// The drill of a rep, from 1; one too many is as the last.
fn of_rep(drills: &[Drill], rep: u32) -> Drill {
    drills[(rep as usize).min(drills.len()).saturating_sub(1)]
}
