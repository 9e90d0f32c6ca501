//! One session held against its truth.

use std::collections::HashMap;
use std::time::Instant;

use repledger::efforts::{Effort, Kind as EffortKind};
use repledger::measured::Measured;
use repledger::motion::Motion;
use repledger::plan::Rest;
use repledger::review::{PlanReview, RepReview, SetReview, Verdict};
use repledger::session::{self, Session};
use repledger::settings::Settings;
use repledger::simulation::{Kind, Mess, Outcome, Rep, Rule, SPRINT, Simulated, Span, Truth};
use repledger::trace::Clock;

/// Hits and misses of a search.
#[derive(Clone, Copy, Debug, Default)]
pub struct Found {
    /// Found and true.
    pub hit: usize,
    /// True and not found.
    pub missed: usize,
    /// Found and not true.
    pub false_alarm: usize,
}

/// An interval, the truth, and whether it holds it.
#[derive(Clone, Copy, Debug)]
pub struct Covered {
    pub holds: bool,
    pub width: f64,
}

/// What the tables add up.
#[derive(Clone, Debug)]
pub struct Score {
    pub seed: u64,
    pub kind: Kind,
    pub mess: Mess,
    pub failure: Option<String>,
    pub seconds: f64,
    pub lag_s: f64,
    pub distance_error: Option<f64>,
    pub top_speed_error: Option<f64>,
    pub peak_errors: Vec<f64>,
    pub sprints: Found,
    pub clear_sprints: Found,
    pub accelerations: Found,
    pub accelerations_counted: bool,
    pub covered: HashMap<&'static str, Vec<Covered>>,
    pub planned: usize,
    pub resolved: usize,
    pub right: usize,
    pub not_done: Found,
    pub reps: Found,
    pub all_right: bool,
    pub resolved_right: bool,
    pub matched_peak_errors: Vec<f64>,
    pub work_errors: Vec<f64>,
    pub rest_errors: Vec<f64>,
    pub wrong: Vec<String>,
    pub departures: String,
}

/// Runs the library over one session and scores what comes out.
pub fn of(simulated: &Simulated, seed: u64, kind: Kind, mess: Mess) -> Score {
    let mut score = Score {
        seed,
        kind,
        mess,
        failure: None,
        seconds: 0.0,
        lag_s: 0.0,
        distance_error: None,
        top_speed_error: None,
        peak_errors: Vec::new(),
        sprints: Found::default(),
        clear_sprints: Found::default(),
        accelerations: Found::default(),
        accelerations_counted: false,
        covered: HashMap::new(),
        planned: simulated.truth.reps.len(),
        resolved: 0,
        right: 0,
        not_done: Found::default(),
        reps: Found::default(),
        all_right: false,
        resolved_right: false,
        matched_peak_errors: Vec::new(),
        work_errors: Vec::new(),
        rest_errors: Vec::new(),
        wrong: Vec::new(),
        departures: format!("{:?}", simulated.departures.list),
    };
    let bytes = simulated.bytes();
    let begun = Instant::now();
    let outcome = session::analyse(&bytes, Some(&simulated.plan), &Settings::default());
    score.seconds = begun.elapsed().as_secs_f64();
    let session = match outcome {
        Ok(session) => session,
        Err(failure) => {
            score.failure = Some(failure.to_string());
            return score;
        }
    };
    let truth = &simulated.truth;
    // Seconds to add to a time of the account to get one of the truth.
    let shift_s = match session.track.start {
        Clock::Utc(start) => start.duration_since(truth.start).as_secs_f64(),
        _ => 0.0,
    };
    // A device's own filter writes everything late; that lag is no error.
    score.lag_s = lag(&session.motion, truth, shift_s);
    let clock = Clocks {
        add_s: shift_s - score.lag_s,
    };
    score.motion(&session, truth, clock);
    if let Some(review) = &session.review.plan {
        score.matching(simulated, review, clock);
    }
    score
}

/// From times of the account to times of the truth.
#[derive(Clone, Copy)]
struct Clocks {
    add_s: f64,
}

impl Score {
    fn cover(&mut self, name: &'static str, measured: Measured, truth: f64) {
        self.covered.entry(name).or_default().push(Covered {
            holds: measured.holds(truth),
            width: measured.width(),
        });
    }

    fn motion(&mut self, session: &Session, truth: &Truth, clock: Clocks) {
        let totals = &session.review.totals;
        self.distance_error = Some(100.0 * (totals.distance_m.value / truth.distance_m - 1.0));
        self.cover("distance", totals.distance_m, truth.distance_m);
        if let Some(top) = totals.top_speed_m_s {
            self.top_speed_error = Some(100.0 * (top.value / truth.top_speed_m_s - 1.0));
            self.cover("top", top, truth.top_speed_m_s);
        }
        for rep in single_reps(truth) {
            let Some(run) = rep.run else { continue };
            let (from_s, to_s) = (run.start_s - clock.add_s, run.end_s + 0.7 - clock.add_s);
            let inside = (session.motion.samples.iter())
                .filter(|s| from_s <= s.time_s && s.time_s <= to_s)
                .map(|s| s.speed_m_s);
            let peak = inside.fold(f64::NAN, f64::max);
            if peak.is_finite() {
                self.peak_errors.push(peak - run.peak_speed_m_s);
            }
        }
        let spans = |kind: EffortKind| -> Vec<(f64, f64)> {
            let of_kind = |e: &&Effort| e.kind == kind;
            (session.efforts.list.iter().filter(of_kind))
                .map(|e| (e.start_s + clock.add_s, e.end_s + clock.add_s))
                .collect()
        };
        let found = spans(EffortKind::Sprint);
        self.sprints = strict(&truth.sprints, &found);
        self.clear_sprints = clear(&truth.sprints, SPRINT, &truth.speed_m_s, &found);
        self.accelerations_counted = session.efforts.not_counted.is_none();
        let found = spans(EffortKind::Acceleration);
        self.accelerations = strict(&truth.accelerations, &found);
    }

    fn matching(&mut self, simulated: &Simulated, review: &PlanReview, clock: Clocks) {
        let truth = &simulated.truth;
        let mut all_resolved = true;
        for (block, planned) in review.blocks.iter().zip(&simulated.plan.blocks) {
            for set in &block.sets {
                let true_reps: Vec<&Rep> = (truth.reps.iter())
                    .filter(|r| r.block == block.index && r.set == set.index)
                    .collect();
                let pairs = pair(&true_reps, set, planned.rest == Rest::WalkBack);
                for (rep, told) in pairs {
                    self.rep(rep, told, clock, &mut all_resolved);
                }
                let rest = true_reps.iter().rev().find_map(|r| r.rest_after_set_s);
                if let (Some(rest_s), Some(told_s)) = (rest, set.rest_after_s) {
                    self.rest_errors.push((told_s - rest_s).abs());
                }
            }
        }
        let answered: usize = review
            .blocks
            .iter()
            .flat_map(|b| &b.sets)
            .map(|s| s.reps.len())
            .sum();
        if answered != self.planned {
            self.wrong
                .push(format!("{answered} reps answered of {}", self.planned));
        }
        self.resolved_right = self.wrong.is_empty();
        self.all_right = self.wrong.is_empty() && all_resolved;
    }

    fn rep(&mut self, rep: &Rep, told: &RepReview, clock: Clocks, all_resolved: &mut bool) {
        let truly_done = rep.outcome == Outcome::Done;
        let named = matches!(
            told.verdict,
            Verdict::Short | Verdict::Slow | Verdict::Missed
        );
        match (truly_done, named) {
            (false, true) => self.not_done.hit += 1,
            (false, false) => self.not_done.missed += 1,
            (true, true) => self.not_done.false_alarm += 1,
            (true, false) => {}
        }
        if told.verdict == Verdict::Unresolved {
            *all_resolved = false;
        } else {
            self.resolved += 1;
            if verdict(rep.outcome) == told.verdict {
                self.right += 1;
            } else {
                let (b, s, r) = (rep.block, rep.set, rep.rep);
                self.wrong.push(format!(
                    "{b}.{s}.{r} {:?} not {:?}",
                    told.verdict, rep.outcome
                ));
            }
        }
        let span = told
            .start_s
            .zip(told.end_s)
            .map(|(s, e)| (s + clock.add_s, e + clock.add_s));
        let matched = match (rep.run, span) {
            (Some(run), Some(span)) => {
                let same = shared_of_both((run.start_s, run.end_s), span) >= 0.5;
                if same {
                    self.reps.hit += 1;
                } else {
                    self.reps.missed += 1;
                    self.reps.false_alarm += 1;
                }
                same.then_some(run)
            }
            (Some(_), None) => {
                self.reps.missed += 1;
                None
            }
            (None, Some(_)) => {
                self.reps.false_alarm += 1;
                None
            }
            (None, None) => None,
        };
        let Some(run) = matched else { return };
        if let Some(work) = told.work_s {
            let truly_s = run.end_s - run.start_s;
            self.work_errors.push((work.value - truly_s).abs());
            self.cover("work", work, truly_s);
        }
        if let Some(distance) = told.distance_m {
            self.cover("rep distance", distance, run.distance_m);
        }
        if let Some(peak) = told.peak_speed_m_s {
            self.matched_peak_errors
                .push(peak.value - run.peak_speed_m_s);
            self.cover("rep peak", peak, run.peak_speed_m_s);
        }
        if let (Some(rest), Some(truly_s)) = (told.rest_s, rep.rest_s) {
            self.rest_errors.push((rest.value - truly_s).abs());
            self.cover("rest", rest, truly_s);
        }
    }
}

/// Pairs the reps of a set with what was told of them: by number, or, where rests are self-paced and the number of
/// those run agrees, in order: which of them was left out nobody can see.
fn pair<'a>(
    truth: &[&'a Rep],
    told: &'a SetReview,
    self_paced: bool,
) -> Vec<(&'a Rep, &'a RepReview)> {
    let ran: Vec<&Rep> = truth.iter().copied().filter(|r| r.run.is_some()).collect();
    let given: Vec<&RepReview> = told.reps.iter().filter(|r| r.start_s.is_some()).collect();
    if self_paced && ran.len() == given.len() {
        let not_run = truth.iter().copied().filter(|r| r.run.is_none());
        let not_given = told.reps.iter().filter(|r| r.start_s.is_none());
        return ran
            .into_iter()
            .zip(given)
            .chain(not_run.zip(not_given))
            .collect();
    }
    truth.iter().copied().zip(&told.reps).collect()
}

fn verdict(outcome: Outcome) -> Verdict {
    match outcome {
        Outcome::Done => Verdict::Done,
        Outcome::Short => Verdict::Short,
        Outcome::Slow => Verdict::Slow,
        Outcome::Missed => Verdict::Missed,
    }
}

/// Reps run alone, whose peak means something.
fn single_reps(truth: &Truth) -> impl Iterator<Item = &Rep> {
    (truth.reps.iter())
        .filter(|r| !r.runs_on && r.run.is_some_and(|run| run.end_s - run.start_s < 60.0))
}

fn shared_s(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.1.min(b.1) - a.0.max(b.0)).max(0.0)
}

/// Intersection over union.
fn shared_of_both(a: (f64, f64), b: (f64, f64)) -> f64 {
    let both = shared_s(a, b);
    let either = (a.1 - a.0) + (b.1 - b.0) - both;
    if either > 0.0 { both / either } else { 0.0 }
}

/// Whether two stretches share half of the shorter one.
fn same(span: &Span, found: (f64, f64)) -> bool {
    let truly = (span.start_s, span.end_s);
    let shorter = (truly.1 - truly.0).min(found.1 - found.0);
    shared_s(truly, found) >= 0.5 * shorter
}

fn strict(truth: &[Span], found: &[(f64, f64)]) -> Found {
    let hit = truth
        .iter()
        .filter(|t| found.iter().any(|f| same(t, *f)))
        .count();
    Found {
        hit,
        missed: truth.len() - hit,
        false_alarm: found
            .iter()
            .filter(|f| !truth.iter().any(|t| same(t, **f)))
            .count(),
    }
}

/// The same without those that a 3 % other rule would judge otherwise.
fn clear(truth: &[Span], rule: Rule, values: &[f64], found: &[(f64, f64)]) -> Found {
    let doubtful = rule.nearly(values);
    let sure: Vec<Span> = truth.iter().copied().filter(|t| t.clear).collect();
    let all = strict(&sure, found);
    let false_alarm = (found.iter())
        .filter(|f| !truth.iter().chain(&doubtful).any(|t| same(t, **f)))
        .count();
    Found { false_alarm, ..all }
}

/// How late the motion is against the truth: the delay of the best correlation of speeds, -0.5 to 2.5 s.
fn lag(motion: &Motion, truth: &Truth, shift_s: f64) -> f64 {
    let at = |time_s: f64| {
        let index = (time_s / Truth::STEP_S).round();
        (index >= 0.0)
            .then(|| truth.speed_m_s.get(index as usize).copied())
            .flatten()
    };
    let cost = |late_s: f64| {
        let (mut sum, mut n) = (0.0, 0.0_f64);
        for sample in motion.samples.iter().step_by(2).filter(|s| !s.bridged) {
            if let Some(v) = at(sample.time_s + shift_s - late_s) {
                sum += (sample.speed_m_s - v).powi(2);
                n += 1.0;
            }
        }
        sum / n.max(1.0)
    };
    let tries = (-10..=50).map(|i| f64::from(i) * 0.05);
    tries
        .map(|late_s| (late_s, cost(late_s)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map_or(0.0, |best| best.0)
}
