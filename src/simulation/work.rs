//! The reps themselves: one alone, or a set that runs on.

use crate::simulation::body::{Body, Pace, Place};
use crate::simulation::drill::{Drill, Field, Form};
use crate::simulation::rng::Rng;

/// How one rep is meant by the athlete at that moment.
#[derive(Clone, Copy, Debug)]
pub(super) struct Intent {
    /// Speed that the run tends to, m/s.
    pub(super) pace_m_s: f64,
    /// Share of the rep that is run; 1 in full.
    pub(super) share: f64,
    /// Times the planned duration or distance: nobody is exact.
    pub(super) measure: f64,
}

/// Runs one rep alone and stops the clock where work ends; returns start and end, s.
pub(super) fn alone(
    body: &mut Body,
    rng: &mut Rng,
    drill: &Drill,
    field: Field,
    corner: &mut usize,
    intent: Intent,
) -> (f64, f64) {
    let aim = match drill.form {
        Form::LapMetres(_) | Form::LapSeconds(_) => nearest_corner(body, field, corner),
        _ => drill.along(500.0),
    };
    body.face(aim);
    let start_s = body.now_s();
    let far = f64::INFINITY;
    let pace = Pace::Towards {
        speed_m_s: intent.pace_m_s,
        tau_s: drill.tau_s,
    };
    let part = intent.share * intent.measure;
    let lap = |body: &mut Body, corner: &mut usize, metres: f64, until: f64| {
        *corner = body.lap(
            |n| field.corner(n),
            *corner,
            (intent.pace_m_s, drill.tau_s),
            metres,
            until,
        );
    };
    match drill.form {
        Form::Free(_) | Form::FreeSeconds { .. } => {}
        Form::Metres(m) => {
            body.straight(aim, pace, m * part, far);
        }
        Form::Seconds(s) => {
            body.straight(aim, pace, far, start_s + s * part);
        }
        Form::LapMetres(m) => lap(body, corner, m * part, far),
        Form::LapSeconds(s) => lap(body, corner, far, start_s + s * part),
        Form::Legs { leg_m, legs } => {
            shuttle(
                body,
                rng,
                drill,
                leg_m,
                f64::from(legs) * intent.share,
                intent.pace_m_s,
            );
        }
        Form::TimedLegs { leg_m, seconds } => {
            timed_shuttle(
                body,
                rng,
                drill,
                leg_m,
                start_s + seconds * part,
                intent.pace_m_s,
            );
        }
    }
    (start_s, body.now_s())
}

/// Runs a set whose reps follow each other without rest. `reps` may be broken: 3.6 stops inside the fourth. Returns
/// start and end of every rep begun, s.
pub(super) fn run_on(
    body: &mut Body,
    rng: &mut Rng,
    drill: &Drill,
    field: Field,
    corner: &mut usize,
    reps: f64,
    pace_m_s: f64,
) -> Vec<(f64, f64)> {
    let laps = !matches!(drill.form, Form::Legs { .. } | Form::TimedLegs { .. });
    let aim = if laps {
        nearest_corner(body, field, corner)
    } else {
        drill.along(500.0)
    };
    body.face(aim);
    let start_s = body.now_s();
    let mut marks = vec![start_s];
    let whole = reps.ceil().max(1.0) as u32;
    match drill.form {
        Form::Legs { leg_m, legs } => {
            let ends = shuttle(body, rng, drill, leg_m, reps * f64::from(legs), pace_m_s);
            let last = ends.len();
            marks.extend(
                (ends.iter().enumerate())
                    .filter(|(i, _)| (i + 1) % legs as usize == 0 || i + 1 == last)
                    .map(|(_, t)| *t),
            );
        }
        Form::TimedLegs { leg_m, seconds } => {
            timed_shuttle(body, rng, drill, leg_m, start_s + reps * seconds, pace_m_s);
            marks.extend((1..whole).map(|n| start_s + f64::from(n) * seconds));
            marks.push(body.now_s());
        }
        Form::Seconds(seconds) | Form::LapSeconds(seconds) => {
            let until = start_s + reps * seconds;
            *corner = body.lap(
                |n| field.corner(n),
                *corner,
                (pace_m_s, drill.tau_s),
                f64::INFINITY,
                until,
            );
            marks.extend((1..whole).map(|n| start_s + f64::from(n) * seconds));
            marks.push(body.now_s());
        }
        Form::Metres(metres) | Form::LapMetres(metres) => {
            for n in 1..=whole {
                let part = (reps - f64::from(n - 1)).min(1.0);
                let far = f64::INFINITY;
                *corner = body.lap(
                    |n| field.corner(n),
                    *corner,
                    (pace_m_s, drill.tau_s),
                    metres * part,
                    far,
                );
                marks.push(body.now_s());
            }
        }
        Form::Free(_) | Form::FreeSeconds { .. } => {}
    }
    marks.windows(2).map(|pair| (pair[0], pair[1])).collect()
}

/// The corner of the lap that lies ahead of the nearest one.
fn nearest_corner(body: &Body, field: Field, corner: &mut usize) -> Place {
    let nearest = (0..4).min_by(|&a, &b| {
        let far = |n| body.distance_to(field.corner(n));
        far(a).total_cmp(&far(b))
    });
    *corner = nearest.unwrap_or(0) + 1;
    field.corner(*corner)
}

/// Legs between the two lines, a stop at the last; returns the end of each leg, s. A broken number stops under way.
fn shuttle(
    body: &mut Body,
    rng: &mut Rng,
    drill: &Drill,
    leg_m: f64,
    legs: f64,
    pace_m_s: f64,
) -> Vec<f64> {
    let far = f64::INFINITY;
    let whole = legs.ceil().max(1.0) as u32;
    let mut ends = Vec::new();
    for number in 0..whole {
        let part = (legs - f64::from(number)).min(1.0);
        let last = number + 1 == whole;
        let to = line(body, rng, drill, leg_m, number, part);
        if number > 0 {
            body.turn(to, far);
        }
        let arrive = if last { 0.0 } else { body.athlete.turn_m_s };
        body.leg(to, pace_m_s, drill.tau_s, arrive, far);
        ends.push(body.now_s());
    }
    ends
}

/// Legs between the two lines until `until_s`.
fn timed_shuttle(
    body: &mut Body,
    rng: &mut Rng,
    drill: &Drill,
    leg_m: f64,
    until_s: f64,
    pace_m_s: f64,
) {
    let mut number = 0;
    while body.now_s() < until_s {
        let to = line(body, rng, drill, leg_m, number, 1.0);
        if number > 0 {
            body.turn(to, until_s);
        }
        body.leg(to, pace_m_s, drill.tau_s, body.athlete.turn_m_s, until_s);
        number += 1;
    }
}

/// A point on the line that leg `number` runs to, or the part of the way there; feet do not hit lines exactly.
fn line(body: &Body, rng: &mut Rng, drill: &Drill, leg_m: f64, number: u32, part: f64) -> Place {
    let out = number.is_multiple_of(2);
    let miss = if body.athlete.scatter > 0.0 {
        0.2 * rng.scatter()
    } else {
        0.0
    };
    let at = if out {
        leg_m * part
    } else {
        leg_m * (1.0 - part)
    };
    drill.along(at + miss)
}
