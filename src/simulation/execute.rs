//! Carries out a plan, with departures, and writes down what truly happened.

use jiff::{SignedDuration, Timestamp};

use crate::plan::{Block, Dose, Plan};
use crate::simulation::athlete::Athlete;
use crate::simulation::body::{Body, Place, STEP_S};
use crate::simulation::departures::{At, Departure, Departures};
use crate::simulation::drill::{Drill, Field, Form, mark, planned_rest};
use crate::simulation::rng::Rng;
use crate::simulation::truth::{self, Outcome, Rep, Truth, Unplanned, UnplannedKind};
use crate::simulation::{free, heart, work};

/// Carries out a plan.
///
/// The same plan, athlete, departures and seed give the same truth.
#[must_use]
pub fn execute(plan: &Plan, athlete: &Athlete, departures: &Departures, seed: u64) -> Truth {
    let mut stage = Stage::new(plan, *athlete, departures, seed);
    stage.play();
    stage.truth()
}

/// A rep as it was carried out, in the athlete's own time.
#[derive(Clone, Copy, Debug)]
struct Done {
    at: At,
    start_s: f64,
    end_s: f64,
    cut: bool,
}

struct Stage<'a> {
    plan: &'a Plan,
    departures: &'a Departures,
    body: Body,
    /// Choices of the athlete; the body has its own numbers, so that its noise does not change the story.
    rng: Rng,
    field: Field,
    done: Vec<Done>,
    extra: Vec<(UnplannedKind, f64, f64)>,
    /// Start of each block in the order done.
    block_starts: Vec<f64>,
    corner: usize,
    seed: u64,
}

/// What happens in a rest beside resting.
#[derive(Clone, Copy, Debug, Default)]
struct Incidents {
    fetch_m: Option<f64>,
    sprint_m: Option<f64>,
    drink_s: Option<f64>,
}

impl<'a> Stage<'a> {
    fn new(plan: &'a Plan, athlete: Athlete, departures: &'a Departures, seed: u64) -> Self {
        let mut rng = Rng::stream(seed, 1);
        let field = Field::of(plan);
        let at = field.spot(&mut rng);
        Self {
            plan,
            departures,
            body: Body::new(athlete, at, Rng::stream(seed, 2)),
            rng,
            field,
            done: Vec::new(),
            extra: Vec::new(),
            block_starts: Vec::new(),
            corner: 0,
            seed,
        }
    }

    fn play(&mut self) {
        let order = self.departures.order(self.plan.blocks.len());
        let drills: Vec<Drill> = (self.plan.blocks.iter())
            .map(|block| Drill::of(self.plan, block, &self.body.athlete, &mut self.rng))
            .collect();
        let first = order
            .first()
            .map_or(self.body.place(), |&b| drills[b].start);
        let before = self.rng.range(4.0, 50.0);
        self.body.idle(self.body.place(), before * 0.6);
        self.body.walk(first, before + 60.0);
        self.body.idle(first, before);
        for (turn, &index) in order.iter().enumerate() {
            let block = &self.plan.blocks[index];
            let next = order.get(turn + 1).map(|&b| drills[b].start);
            self.block_starts.push(self.body.now_s());
            self.block(index, block, drills[index]);
            let away = next.unwrap_or(self.body.place());
            let planned = block.then_s.map(|s| self.human(s, 0.07, 1.5));
            let free_s = self.rng.range(12.0, 70.0);
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
        let after = self.body.now_s() + self.rng.range(5.0, 60.0);
        self.body.brake(2.0, 1.0, after);
        self.body.idle(self.body.place(), after);
    }

    /// A duration as a human keeps it: relative scatter and an absolute one.
    fn human(&mut self, seconds: f64, share: f64, absolute_s: f64) -> f64 {
        if self.body.athlete.scatter <= 0.0 {
            return seconds;
        }
        let kept = seconds * (1.0 + share * self.rng.scatter()) + absolute_s * self.rng.scatter();
        kept.max(0.5 * seconds)
    }

    fn block(&mut self, index: usize, block: &Block, drill: Drill) {
        let mut drill = drill;
        let sets: Vec<u32> = (1..=block.sets())
            .filter(|&set| !self.departures.skips_set(index, set))
            .collect();
        for (turn, &set) in sets.iter().enumerate() {
            if block.runs_on() {
                self.run_on_set(index, block, set, drill);
            } else {
                self.rested_set(index, block, set, &mut drill);
            }
            if turn + 1 < sets.len() {
                let last = At {
                    block: index,
                    set,
                    rep: block.reps(),
                };
                let planned = block.between_sets_s.or(planned_rest(block));
                let planned = planned
                    .map(|s| self.human(s, 0.07, 1.5))
                    .map(|s| s * self.rest_factor(last));
                let free_s = self.rng.range(45.0, 110.0);
                self.rest(drill.start, planned, free_s, self.incidents(last), 0.0);
            }
        }
    }

    /// A set whose reps are parted by rest.
    fn rested_set(&mut self, index: usize, block: &Block, set: u32, drill: &mut Drill) {
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
            let (start_s, end_s, cut) = self.rep(at, block, drill);
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
                self.between_reps(at, block, drill, end_s);
            }
        }
    }

    /// The rest after a rep, and where the next one starts.
    fn between_reps(&mut self, at: At, block: &Block, drill: &mut Drill, end_s: f64) {
        let planned = planned_rest(block).map(|s| self.human(s, 0.05, 0.8) * self.rest_factor(at));
        if let (Some(length_s), Form::Metres(_) | Form::Seconds(_)) = (planned, drill.form) {
            let walk_s = self.body.distance_to(drill.start) / self.body.athlete.walk_m_s + 4.0;
            let jog_s = self.body.distance_to(drill.start) / self.body.athlete.jog_m_s + 5.0;
            let back = walk_s < length_s || (jog_s < length_s && self.rng.chance(0.35));
            if !back {
                // Too far to go back: the next rep runs the other way, from a little beyond where this one ended.
                let [x, y] = self.body.place();
                drill.line = [-drill.line[0], -drill.line[1]];
                drill.start = [x - 3.0 * drill.line[0], y - 3.0 * drill.line[1]];
            }
        }
        if matches!(drill.form, Form::LapMetres(_) | Form::LapSeconds(_)) {
            drill.start = self.body.place();
        }
        let pause_s = self.rng.range(1.0, 9.0);
        let incidents = self.incidents(at);
        let before_s = self.body.now_s() - end_s;
        self.rest(drill.start, planned, pause_s, incidents, before_s);
    }

    fn rest_factor(&self, at: At) -> f64 {
        let factor = |d: &Departure| match *d {
            Departure::Rest { factor, .. } => Some(factor),
            _ => None,
        };
        self.departures.at(at).find_map(factor).unwrap_or(1.0)
    }

    fn incidents(&self, at: At) -> Incidents {
        let mut all = Incidents::default();
        for departure in self.departures.at(at) {
            match *departure {
                Departure::Drink { longer_s, .. } => all.drink_s = Some(longer_s),
                Departure::FetchBall { away_m, .. } => all.fetch_m = Some(away_m),
                Departure::Sprint { metres, .. } => all.sprint_m = Some(metres),
                _ => {}
            }
        }
        all
    }

    fn incidents_after_block(&self, index: usize, block: &Block) -> Incidents {
        self.incidents(At {
            block: index,
            set: block.sets(),
            rep: block.reps(),
        })
    }

    /// Rests until `planned` seconds after the end of work (which was `before_s` ago), or, without a plan, until back
    /// at the place and `pause_s` more.
    fn rest(
        &mut self,
        back: Place,
        planned: Option<f64>,
        pause_s: f64,
        incidents: Incidents,
        before_s: f64,
    ) {
        let end_s = self.body.now_s() - before_s;
        let longer_s = incidents.drink_s.unwrap_or(0.0);
        let far = f64::INFINITY;
        let until = planned.map_or(far, |s| end_s + s + longer_s);
        let by = self.body.athlete.braking_m_s2 * self.rng.range(0.6, 1.0);
        self.body.brake(by, self.body.athlete.walk_m_s, until);
        if let Some(away_m) = incidents.fetch_m {
            self.fetch(away_m);
        }
        if let Some(metres) = incidents.sprint_m {
            self.sprint(metres);
        }
        if incidents.drink_s.is_some() {
            let spot = self.near(self.rng.clone().range(4.0, 14.0));
            self.body.walk(spot, until);
            let drunk = self.body.now_s() + longer_s * 0.6;
            self.body.stand(drunk.min(until));
        }
        // Whoever is late jogs back, and if that is not enough starts late.
        let walk_s = self.body.distance_to(back) / self.body.athlete.walk_m_s + 1.0;
        if self.body.now_s() + walk_s > until {
            let jog = self.body.athlete.jog_m_s;
            self.body.go(back, jog, 0.7, 0.7, far);
            self.body
                .brake(2.0, 0.5, until.max(self.body.now_s() + 1.0));
        } else {
            self.body.walk(back, far);
        }
        let until = if until == far {
            self.body.now_s() + pause_s
        } else {
            until
        };
        self.body.idle(back, until);
    }

    /// A random place so far away, on the field.
    fn near(&mut self, away_m: f64) -> Place {
        let [x, y] = self.body.place();
        let angle = self.rng.range(0.0, std::f64::consts::TAU);
        [
            (x + away_m * angle.cos()).clamp(-3.0, self.field.length_m + 3.0),
            (y + away_m * angle.sin()).clamp(-3.0, self.field.width_m + 3.0),
        ]
    }

    fn fetch(&mut self, away_m: f64) {
        let home = self.body.place();
        let spot = self.near(away_m);
        let start_s = self.body.now_s();
        let jog = self.body.athlete.jog_m_s * self.rng.range(0.95, 1.4);
        let limit = start_s + 60.0;
        self.body.go(spot, jog, 0.8, 0.8, limit);
        self.body.brake(2.5, 0.4, limit);
        self.body.go(home, jog * 0.9, 0.8, 1.5, limit);
        self.extra
            .push((UnplannedKind::FetchBall, start_s, self.body.now_s()));
    }

    fn sprint(&mut self, metres: f64) {
        let wait = self.body.now_s() + self.rng.range(2.0, 8.0);
        self.body.stand(wait);
        let [x, y] = self.body.place();
        // Towards the middle, where there is room.
        let middle = [self.field.length_m / 2.0, self.field.width_m / 2.0];
        let (dx, dy) = (middle[0] - x, middle[1] - y);
        let far = dx.hypot(dy).max(0.1);
        let aim = [x + 500.0 * dx / far, y + 500.0 * dy / far];
        self.body.face(aim);
        let start_s = self.body.now_s();
        let pace = crate::simulation::body::Pace::Towards {
            speed_m_s: self.body.athlete.top_speed_m_s * self.rng.range(0.9, 1.0),
            tau_s: self.body.athlete.tau_s,
        };
        self.body.straight(aim, pace, metres, start_s + 15.0);
        self.extra
            .push((UnplannedKind::Sprint, start_s, self.body.now_s()));
        self.body
            .brake(self.body.athlete.braking_m_s2, 1.0, start_s + 30.0);
    }
}

/// Departures that shape a single rep.
#[derive(Clone, Copy, Debug, Default)]
struct Shape {
    cut: Option<f64>,
    slow: Option<f64>,
}

impl Stage<'_> {
    fn shape(&self, at: At) -> Shape {
        let mut shape = Shape::default();
        for departure in self.departures.at(at) {
            match *departure {
                Departure::Cut { share, .. } => shape.cut = Some(share),
                Departure::Slow { share, .. } => shape.slow = Some(share),
                _ => {}
            }
        }
        shape
    }

    /// Speed of this rep: the drill's, scattered, a little less with every rep.
    fn pace(&mut self, at: At, block: &Block, drill: &Drill, slow: Option<f64>) -> f64 {
        let athlete = self.body.athlete;
        let total = (block.sets() * block.reps()).max(2) - 1;
        let gone = f64::from((at.set - 1) * block.reps() + at.rep - 1) / f64::from(total);
        let effort = 1.0 + athlete.scatter * self.rng.scatter() - athlete.fatigue * gone.min(1.0);
        match (drill.mark_m_s, slow) {
            (Some(mark), Some(share)) => mark * share / drill.reach,
            (None, Some(share)) => drill.pace_m_s * share,
            // Who has a speed to reach makes up for tired legs.
            (Some(mark), None) => (drill.pace_m_s * effort).max(mark * 1.015 / drill.reach),
            (None, None) => drill.pace_m_s * effort,
        }
    }

    /// Runs one rep; returns start, end and whether it was cut.
    fn rep(&mut self, at: At, block: &Block, drill: &Drill) -> (f64, f64, bool) {
        let shape = self.shape(at);
        if let Form::Free(category) = drill.form {
            let Dose::Continuous { duration_s } = block.dose else {
                return (self.body.now_s(), self.body.now_s(), false);
            };
            let start_s = self.body.now_s();
            let length_s = self.human(duration_s, 0.03, 3.0) * shape.cut.unwrap_or(1.0);
            let until = start_s + length_s;
            free::play(
                &mut self.body,
                &mut self.rng,
                self.field,
                category,
                drill.start,
                until,
            );
            return (start_s, self.body.now_s(), shape.cut.is_some());
        }
        let measure = match drill.form {
            Form::Seconds(s) | Form::LapSeconds(s) | Form::TimedLegs { seconds: s, .. } => {
                (self.human(s, 0.02, 0.25) / s).clamp(0.92, 1.1)
            }
            _ => self.human(1.0, 0.008, 0.0),
        };
        let intent = work::Intent {
            pace_m_s: self.pace(at, block, drill, shape.slow),
            share: shape.cut.unwrap_or(1.0),
            measure,
        };
        let (start_s, end_s) = work::alone(
            &mut self.body,
            &mut self.rng,
            drill,
            self.field,
            &mut self.corner,
            intent,
        );
        (start_s, end_s, shape.cut.is_some())
    }

    /// A set without rest between its reps.
    fn run_on_set(&mut self, index: usize, block: &Block, set: u32, drill: Drill) {
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
        let pace = self.pace(
            At {
                rep: planned.div_ceil(2),
                ..last
            },
            block,
            &drill,
            None,
        );
        let runs = work::run_on(
            &mut self.body,
            &mut self.rng,
            &drill,
            self.field,
            &mut self.corner,
            reps,
            pace,
        );
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

    /// What the recording holds of all that, in its own time.
    fn truth(self) -> Truth {
        let (from_s, to_s) = self.recorded();
        let first = (from_s / STEP_S).round() as usize;
        let last = ((to_s / STEP_S).round() as usize).min(self.body.states.len() - 1);
        let whole = truth::kinematics(&self.body.states);
        let mut rng = Rng::stream(self.seed, 3);
        let beats = heart::rate(&whole.0, &self.body.athlete, &mut rng);
        let states = self.body.states[first..=last].to_vec();
        let speed_m_s = whole.0[first..=last].to_vec();
        let acceleration_m_s2 = whole.1[first..=last].to_vec();
        let mut truth = Truth {
            start: start(&mut rng),
            sprints: truth::SPRINT.find(&speed_m_s),
            high_speed_runs: truth::HIGH_SPEED_RUN.find(&speed_m_s),
            accelerations: truth::ACCELERATION.find(&acceleration_m_s2),
            distance_m: truth::distance(&speed_m_s),
            top_speed_m_s: speed_m_s.iter().copied().fold(0.0, f64::max),
            heart_rate_bpm: beats.into_iter().skip(from_s as usize).collect(),
            reps: Vec::new(),
            unplanned: Vec::new(),
            states,
            speed_m_s,
            acceleration_m_s2,
        };
        let length_s = truth.duration_s();
        truth.unplanned = (self.extra.iter())
            .filter_map(|&(kind, start_s, end_s)| {
                let (start_s, end_s) = inside(start_s - from_s, end_s - from_s, length_s)?;
                let run = truth.run(start_s, end_s);
                Some(Unplanned { kind, run })
            })
            .collect();
        truth.reps = self.reps(&truth, from_s);
        truth
    }

    /// When the recording starts and stops, in the athlete's time, at whole seconds.
    fn recorded(&self) -> (f64, f64) {
        let end_s = self.body.now_s();
        let (mut from_s, mut to_s) = (0.0, end_s);
        for departure in &self.departures.list {
            match *departure {
                Departure::StartLate { blocks } => {
                    let index = (blocks as usize).min(self.block_starts.len().saturating_sub(1));
                    let begin = self.block_starts.get(index).copied().unwrap_or(0.0);
                    let next = self.block_starts.get(index + 1).copied().unwrap_or(end_s);
                    from_s = begin + blocks.fract() * (next - begin);
                }
                Departure::StopEarly { share } => to_s = end_s * (1.0 - share),
                _ => {}
            }
        }
        (
            from_s.floor(),
            to_s.floor().max(from_s.floor() + 60.0).min(end_s.floor()),
        )
    }

    fn reps(&self, truth: &Truth, from_s: f64) -> Vec<Rep> {
        let length_s = truth.duration_s();
        let top = self
            .plan
            .header
            .top_speed_m_s
            .unwrap_or(truth.top_speed_m_s);
        let mut reps = Vec::new();
        for (index, block) in self.plan.blocks.iter().enumerate() {
            let mark_m_s = mark(block, top);
            for set in 1..=block.sets() {
                for rep in 1..=block.reps() {
                    let at = At {
                        block: index,
                        set,
                        rep,
                    };
                    let done = self.done.iter().find(|d| d.at == at);
                    let seen = done.and_then(|d| {
                        let span = inside(d.start_s - from_s, d.end_s - from_s, length_s)?;
                        Some((
                            span,
                            (span.1 - span.0) / (d.end_s - d.start_s).max(STEP_S),
                            d.cut,
                        ))
                    });
                    // Less than a tenth of a rep in the recording is as good as none.
                    let seen = seen.filter(|&(_, share, _)| share > 0.1);
                    let run = seen.map(|((start_s, end_s), ..)| truth.run(start_s, end_s));
                    let outcome = match (seen, run) {
                        (Some((_, share, cut)), Some(run)) => {
                            let slow = mark_m_s.is_some_and(|m| run.peak_speed_m_s < m);
                            if cut || share < 0.9 {
                                Outcome::Short
                            } else if slow {
                                Outcome::Slow
                            } else {
                                Outcome::Done
                            }
                        }
                        _ => Outcome::Missed,
                    };
                    reps.push(Rep {
                        block: index + 1,
                        set: set as usize,
                        rep: rep as usize,
                        outcome,
                        run,
                        rest_s: None,
                        rest_after_set_s: None,
                        runs_on: block.runs_on(),
                        mark_m_s,
                    });
                }
            }
        }
        add_rests(&mut reps, &truth.unplanned);
        reps
    }
}

/// Rests from the end of each rep to the start of the next work in time, extra reps included.
fn add_rests(reps: &mut [Rep], unplanned: &[Unplanned]) {
    let mut starts: Vec<(f64, Option<(usize, usize)>)> = (reps.iter())
        .filter_map(|r| r.run.map(|run| (run.start_s, Some((r.block, r.set)))))
        .collect();
    starts.extend(
        (unplanned.iter())
            .filter(|u| u.kind == UnplannedKind::ExtraRep)
            .map(|u| (u.run.start_s, None)),
    );
    starts.sort_by(|a, b| a.0.total_cmp(&b.0));
    for rep in reps {
        let Some(run) = rep.run else { continue };
        let next = starts
            .iter()
            .find(|(start_s, _)| *start_s >= run.end_s - 1e-6);
        match next {
            Some((start_s, Some(set))) if *set == (rep.block, rep.set) => {
                rep.rest_s = (!rep.runs_on).then_some(start_s - run.end_s);
            }
            Some((start_s, Some(_))) => rep.rest_after_set_s = Some(start_s - run.end_s),
            _ => {}
        }
    }
}

/// The part of a stretch inside the recording.
fn inside(start_s: f64, end_s: f64, length_s: f64) -> Option<(f64, f64)> {
    let (start_s, end_s) = (start_s.max(0.0), end_s.min(length_s));
    (start_s < end_s).then_some((start_s, end_s))
}

/// A moment in 2026, on a whole second.
fn start(rng: &mut Rng) -> Timestamp {
    let day = i64::from(rng.whole(0, 360));
    let second = i64::from(rng.whole(8 * 3600, 20 * 3600));
    // 2026-01-01T00:00:00Z
    let new_year = Timestamp::from_second(1_767_225_600).unwrap_or(Timestamp::UNIX_EPOCH);
    new_year
        .checked_add(SignedDuration::from_secs(day * 86_400 + second))
        .unwrap_or(new_year)
}
