//! One session held against its truth.

use std::collections::HashMap;
use std::time::Instant;

use repledger::efforts::{Effort, Kind as EffortKind};
use repledger::session::{self, Session};
use repledger::settings::Settings;
use repledger::simulation::score::{self, Clocks, Held, RepScore, SetScore, shared_s};
use repledger::simulation::{Kind, Mess, Rep, Rule, SPRINT, Simulated, Span, Truth};

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
    pub covered: HashMap<&'static str, Vec<Held>>,
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
    let clocks = Clocks::of(&session, truth);
    score.lag_s = clocks.lag_s;
    score.motion(&session, truth, clocks);
    if let Some(review) = &session.review.plan {
        score.matching(&score::sets(&simulated.plan, truth, review, clocks));
    }
    score
}

impl Score {
    fn cover(&mut self, name: &'static str, held: Held) {
        self.covered.entry(name).or_default().push(held);
    }

    fn motion(&mut self, session: &Session, truth: &Truth, clocks: Clocks) {
        let totals = &session.review.totals;
        self.distance_error = Some(100.0 * (totals.distance_m.value / truth.distance_m - 1.0));
        self.cover("distance", Held::of(totals.distance_m, truth.distance_m));
        if let Some(top) = totals.top_speed_m_s {
            self.top_speed_error = Some(100.0 * (top.value / truth.top_speed_m_s - 1.0));
            self.cover("top", Held::of(top, truth.top_speed_m_s));
        }
        for rep in single_reps(truth) {
            let Some(run) = rep.run else { continue };
            let (from_s, to_s) = (run.start_s - clocks.add_s, run.end_s + 0.7 - clocks.add_s);
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
                .map(|e| (e.start_s + clocks.add_s, e.end_s + clocks.add_s))
                .collect()
        };
        let found = spans(EffortKind::Sprint);
        self.sprints = strict(&truth.sprints, &found);
        self.clear_sprints = clear(&truth.sprints, SPRINT, &truth.speed_m_s, &found);
        self.accelerations_counted = session.efforts.not_counted.is_none();
        let found = spans(EffortKind::Acceleration);
        self.accelerations = strict(&truth.accelerations, &found);
    }

    fn matching(&mut self, sets: &[SetScore]) {
        for set in sets {
            for rep in &set.reps {
                self.rep(rep);
            }
            self.rest_errors.extend(set.rest_error_s.map(f64::abs));
        }
        let reps = || sets.iter().flat_map(|s| &s.reps);
        let answered = reps().count();
        if answered != self.planned {
            self.wrong
                .push(format!("{answered} reps answered of {}", self.planned));
        }
        self.resolved_right = self.wrong.is_empty();
        self.all_right = self.wrong.is_empty() && reps().all(RepScore::resolved);
    }

    fn rep(&mut self, rep: &RepScore) {
        match (rep.truly_done(), rep.named()) {
            (false, true) => self.not_done.hit += 1,
            (false, false) => self.not_done.missed += 1,
            (true, true) => self.not_done.false_alarm += 1,
            (true, false) => {}
        }
        if rep.resolved() {
            self.resolved += 1;
            if rep.right() {
                self.right += 1;
            } else {
                let (b, s, r) = (rep.truth.block, rep.truth.set, rep.truth.rep);
                self.wrong.push(format!(
                    "{b}.{s}.{r} {:?} not {:?}",
                    rep.verdict, rep.truth.outcome
                ));
            }
        }
        if rep.matched {
            self.reps.hit += 1;
        } else {
            self.reps.missed += usize::from(rep.truth.run.is_some());
            self.reps.false_alarm += usize::from(rep.given);
        }
        self.work_errors.extend(rep.work.map(|h| h.error.abs()));
        self.matched_peak_errors.extend(rep.peak.map(|h| h.error));
        self.rest_errors.extend(rep.rest.map(|h| h.error.abs()));
        let measured = [
            ("work", rep.work),
            ("rep distance", rep.distance),
            ("rep peak", rep.peak),
            ("rest", rep.rest),
        ];
        for (name, held) in measured {
            if let Some(held) = held {
                self.cover(name, held);
            }
        }
    }
}

/// Reps run alone, whose peak means something.
fn single_reps(truth: &Truth) -> impl Iterator<Item = &Rep> {
    (truth.reps.iter())
        .filter(|r| !r.runs_on && r.run.is_some_and(|run| run.end_s - run.start_s < 60.0))
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
