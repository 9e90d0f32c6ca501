//! One session held against its truth.

use std::collections::HashMap;
use std::time::Instant;

use repledger::efforts::{Effort, Kind as EffortKind};
use repledger::measured::Measured;
use repledger::session::{self, Session};
use repledger::settings::Settings;
use repledger::simulation::score::{
    self, Clocks, Expected, Held, RepScore, SetScore, Tally, shared_s,
};
use repledger::simulation::{Mess, Run, Span};

use crate::case::{Case, Known, Truly};

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
    pub name: String,
    pub group: String,
    pub mess: Option<Mess>,
    pub failure: Option<String>,
    pub seconds: f64,
    pub lag_s: f64,
    pub distance_error: Option<f64>,
    pub top_speed_error: Option<f64>,
    pub peak_errors: Vec<f64>,
    pub sprints: Found,
    pub clear_sprints: Found,
    /// How many sprints there were, and how many were said, with the interval.
    pub sprint_count: Option<(usize, Measured)>,
    pub accelerations: Found,
    pub accelerations_counted: bool,
    pub covered: HashMap<&'static str, Vec<Held>>,
    /// Whether there was a plan, so that its reps count.
    pub planned: bool,
    pub tally: Tally,
    pub reps: Found,
    pub all_right: bool,
    /// What was said with a probability: that, whether the rep was called done, and whether it was right.
    pub said: Vec<Said>,
    pub matched_peak_errors: Vec<f64>,
    pub work_errors: Vec<f64>,
    pub bout_errors: Vec<f64>,
    pub rest_errors: Vec<f64>,
    pub wrong: Vec<String>,
    pub departures: String,
}

/// A verdict with its probability, and whether it was right.
#[derive(Clone, Copy, Debug)]
pub struct Said {
    pub probability: f64,
    pub done: bool,
    pub right: bool,
}

/// Runs the library over one session and scores what comes out.
pub fn of(case: &Case) -> Score {
    let mut score = Score {
        name: case.name.clone(),
        group: case.group.clone(),
        mess: case.mess,
        failure: None,
        seconds: 0.0,
        lag_s: 0.0,
        distance_error: None,
        top_speed_error: None,
        peak_errors: Vec::new(),
        sprints: Found::default(),
        clear_sprints: Found::default(),
        sprint_count: None,
        accelerations: Found::default(),
        accelerations_counted: false,
        covered: HashMap::new(),
        planned: case.plan.is_some(),
        tally: Tally::default(),
        reps: Found::default(),
        all_right: false,
        said: Vec::new(),
        matched_peak_errors: Vec::new(),
        work_errors: Vec::new(),
        bout_errors: Vec::new(),
        rest_errors: Vec::new(),
        wrong: Vec::new(),
        departures: case.departures.clone(),
    };
    let begun = Instant::now();
    let outcome = session::analyse(&case.bytes, case.plan.as_ref(), &Settings::default());
    score.seconds = begun.elapsed().as_secs_f64();
    let session = match outcome {
        Ok(session) => session,
        Err(failure) => {
            score.failure = Some(failure.to_string());
            score.matching(&score::untold(&case.known.reps), case);
            return score;
        }
    };
    let clocks = case.known.time.clocks(&session);
    score.lag_s = clocks.lag_s;
    score.motion(&session, &case.known, clocks);
    if let Some(review) = &session.review.plan {
        score.matching(&score::sets(&case.known.reps, review, clocks), case);
    }
    score
}

impl Score {
    fn cover(&mut self, name: &'static str, held: Held) {
        self.covered.entry(name).or_default().push(held);
    }

    fn motion(&mut self, session: &Session, known: &Known, clocks: Clocks) {
        let totals = &session.review.totals;
        if let Some(truly) = known.distance_m {
            self.distance_error = Some(100.0 * (totals.distance_m.value / truly - 1.0));
            self.cover("distance", Held::of(totals.distance_m, truly));
        }
        if let Some((top, truly)) = totals.top_speed_m_s.zip(known.top_speed_m_s) {
            self.top_speed_error = Some(100.0 * (top.value / truly - 1.0));
            self.cover("top", Held::of(top, truly));
        }
        for run in single_runs(&known.reps) {
            let (from_s, to_s) = (run.start_s - clocks.add_s, run.end_s + 0.7 - clocks.add_s);
            let inside = (session.motion.samples.iter())
                .filter(|s| from_s <= s.time_s && s.time_s <= to_s)
                .map(|s| s.speed_m_s);
            let error = inside.fold(f64::NAN, f64::max) - run.peak_speed_m_s;
            if error.is_finite() {
                self.peak_errors.push(error);
            }
        }
        let spans = |kind: EffortKind| -> Vec<(f64, f64)> {
            let of_kind = |e: &&Effort| e.kind == kind;
            (session.efforts.list.iter().filter(of_kind))
                .map(|e| (e.start_s + clocks.add_s, e.end_s + clocks.add_s))
                .collect()
        };
        if let Some(truly) = &known.sprints {
            let found = spans(EffortKind::Sprint);
            self.sprints = strict(&truly.strict, &found);
            self.clear_sprints = clear(truly, &found);
            if let Some(said) = session.efforts.count(EffortKind::Sprint) {
                self.sprint_count = Some((truly.strict.len(), said));
            }
        }
        if let Some(truly) = &known.accelerations {
            self.accelerations_counted = session.efforts.not_counted.is_none();
            self.accelerations = strict(&truly.strict, &spans(EffortKind::Acceleration));
        }
    }

    fn matching(&mut self, sets: &[SetScore], case: &Case) {
        for set in sets {
            for rep in &set.reps {
                self.rep(rep);
            }
            self.rest_errors.extend(set.rest_error_s.map(f64::abs));
        }
        let planned = case.known.reps.len();
        self.tally = Tally::of(sets);
        self.all_right = self.tally.all_right() && self.tally.planned == planned;
        if self.tally.planned != planned {
            self.wrong
                .push(format!("{} reps answered of {planned}", self.tally.planned));
        }
    }

    fn rep(&mut self, rep: &RepScore) {
        if rep.resolved() {
            self.said.extend(rep.probability.map(|probability| Said {
                probability,
                done: !rep.named(),
                right: rep.right(),
            }));
            if !rep.right() {
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
        let errors = if rep.truth.played {
            &mut self.bout_errors
        } else {
            &mut self.work_errors
        };
        errors.extend(rep.work.map(|h| h.error.abs()));
        let known = |h: &Held| h.error.is_finite();
        self.matched_peak_errors
            .extend(rep.peak.filter(known).map(|h| h.error));
        self.rest_errors.extend(rep.rest.map(|h| h.error.abs()));
        let measured = [
            ("work", rep.work),
            ("rep distance", rep.distance),
            ("rep peak", rep.peak),
            ("rest", rep.rest),
        ];
        for (name, held) in measured {
            if let Some(held) = held.filter(|h| h.error.is_finite()) {
                self.cover(name, held);
            }
        }
    }
}

/// Runs alone, whose peak means something.
fn single_runs(reps: &[Expected]) -> impl Iterator<Item = Run> {
    (reps.iter())
        .filter(|r| !r.rep.runs_on)
        .filter_map(|r| r.rep.run)
        .filter(|run| run.end_s - run.start_s < 60.0)
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
fn clear(truly: &Truly, found: &[(f64, f64)]) -> Found {
    let sure: Vec<Span> = truly.strict.iter().copied().filter(|t| t.clear).collect();
    let all = strict(&sure, found);
    let either = truly.strict.iter().chain(&truly.nearly);
    let false_alarm = (found.iter())
        .filter(|f| !either.clone().any(|t| same(t, **f)))
        .count();
    Found { false_alarm, ..all }
}
