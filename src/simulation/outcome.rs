//! What the recording holds of a session that was played, and what became of each planned rep.

use jiff::civil::Date;
use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp};

use crate::plan::{Block, Rest};
use crate::simulation::body::STEP_S;
use crate::simulation::departures::{At, Departure};
use crate::simulation::drill::{is_played, mark};
use crate::simulation::execute::{Done, Stage};
use crate::simulation::heart;
use crate::simulation::rng::Rng;
use crate::simulation::truth::{self, Outcome, Rep, Truth, Unplanned, UnplannedKind};

impl Stage<'_> {
    /// What the recording holds of all that, in its own time.
    pub(super) fn truth(self) -> Truth {
        let (from_s, to_s) = self.recorded();
        let first = (from_s / STEP_S).round() as usize;
        let last = ((to_s / STEP_S).round() as usize).min(self.body.states.len() - 1);
        let (speed, acceleration) = truth::kinematics(&self.body.states);
        // A ride counts for nothing, and rests the heart.
        let by_foot = self.without_rides(&speed);
        let mut rng = Rng::stream(self.seed, 3);
        let beats = heart::rate(&by_foot, &self.body.athlete, &mut rng);
        let states = self.body.states[first..=last].to_vec();
        let speed_m_s = speed[first..=last].to_vec();
        let acceleration_m_s2 = self.without_rides(&acceleration)[first..=last].to_vec();
        let by_foot = &by_foot[first..=last];
        let mut truth = Truth {
            start: start(&mut rng, self.plan.header.date),
            sprints: truth::SPRINT.find(by_foot),
            high_speed_runs: truth::HIGH_SPEED_RUN.find(by_foot),
            accelerations: truth::ACCELERATION.find(&acceleration_m_s2),
            distance_m: truth::distance(by_foot),
            top_speed_m_s: by_foot.iter().copied().fold(0.0, f64::max),
            heart_rate_bpm: beats.into_iter().skip(from_s as usize).collect(),
            reps: Vec::new(),
            unplanned: Vec::new(),
            rides: (self.rides.iter())
                .map(|&(start_s, end_s)| (start_s - from_s, end_s - from_s))
                .filter_map(|(start_s, end_s)| inside(start_s, end_s, to_s - from_s))
                .collect(),
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

    /// A series of the whole session with zeroes on rides.
    fn without_rides(&self, values: &[f64]) -> Vec<f64> {
        let mut values = values.to_vec();
        for &(start_s, end_s) in &self.rides {
            let from = ((start_s / STEP_S) as usize).min(values.len());
            let to = ((end_s / STEP_S) as usize + 1).clamp(from, values.len());
            values[from..to].fill(0.0);
        }
        values
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
                Departure::StopEarly { share } => to_s = self.over_s * (1.0 - share),
                _ => {}
            }
        }
        (
            from_s.floor(),
            to_s.floor().max(from_s.floor() + 60.0).min(end_s.floor()),
        )
    }

    /// Whether nobody can tell which reps of a set were left out.
    fn order_only(&self, index: usize, set: u32, block: &Block) -> bool {
        let disturbed = |departure: &Departure| match *departure {
            Departure::Rest { factor, .. } => factor >= LONG,
            // Who leaves a rep out and does the next in its place has done as many, whichever it was.
            Departure::LeaveOut { waits, .. } => !waits,
            Departure::Drink { .. } | Departure::FetchBall { .. } => true,
            _ => false,
        };
        let of_set = |at: At| at.block == index && at.set == set;
        let loose = self.world.habits.is_some_and(|h| h.rest_sd > LOOSE_SD);
        block.rest == Rest::WalkBack
            || (loose && !block.runs_on())
            || (!block.runs_on()
                && (self.departures.list.iter())
                    .any(|d| d.at().is_some_and(of_set) && disturbed(d)))
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
                let order_only = self.order_only(index, set, block);
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
                            *d,
                        ))
                    });
                    // Less than a tenth of a rep in the recording is as good as none.
                    let seen = seen.filter(|&(_, share, _)| share > 0.1);
                    let run = seen.map(|((start_s, end_s), ..)| truth.run(start_s, end_s));
                    let outcome = match (seen, run) {
                        (Some((_, share, Done { cut, .. })), Some(run)) => {
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
                        played: is_played(block),
                        visible: seen.map_or(0.0, |(_, share, _)| share),
                        order_only,
                        by_feel: done.is_some_and(|d| short_by_feel(block, d)),
                    });
                }
            }
        }
        add_rests(&mut reps, &truth.unplanned);
        reps
    }
}

/// Whether a rep that was not broken off came out so short that one may call it so.
fn short_by_feel(block: &Block, done: &Done) -> bool {
    let planned_s = block.work_s().filter(|_| !block.runs_on());
    !done.cut && planned_s.is_some_and(|s| done.end_s - done.start_s < 0.9 * s)
}

/// A rest so many times as long as planned parts reps as one that was left out would.
const LONG: f64 = 1.4;
/// Whose rests scatter by more than this (sd of the logarithm) has such rests without meaning to.
const LOOSE_SD: f64 = 0.2;

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
        let other_drill = |until_s: f64| {
            (unplanned.iter())
                .filter(|u| u.kind == UnplannedKind::OtherDrill)
                .any(|u| run.end_s <= u.run.start_s && u.run.start_s < until_s)
        };
        match next {
            // With another drill in between it was no rest.
            Some((start_s, _)) if other_drill(*start_s) => {}
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

/// A moment of the plan's day, else of some day in 2026, on a whole second.
fn start(rng: &mut Rng, planned: Option<Date>) -> Timestamp {
    let day = i64::from(rng.whole(0, 360));
    let second = i64::from(rng.whole(8 * 3600, 20 * 3600));
    // 2026-01-01T00:00:00Z
    let new_year = Timestamp::from_second(1_767_225_600).unwrap_or(Timestamp::UNIX_EPOCH);
    let midnight = planned.and_then(|date| Offset::UTC.to_timestamp(date.at(0, 0, 0, 0)).ok());
    let (from, days) = midnight.map_or((new_year, day), |midnight| (midnight, 0));
    from.checked_add(SignedDuration::from_secs(days * 86_400 + second))
        .unwrap_or(from)
}
