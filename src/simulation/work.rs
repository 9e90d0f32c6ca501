//! The reps themselves: one alone, or a set that runs on.

use crate::simulation::body::{Pace, Place};
use crate::simulation::drill::{Drill, Form};
use crate::simulation::execute::Stage;

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

/// Without an end of its own, s or m.
const FAR: f64 = f64::INFINITY;

impl Stage<'_> {
    /// Runs one rep alone and stops the clock where work ends; returns start and end, s.
    pub(super) fn alone(&mut self, drill: &Drill, intent: Intent) -> (f64, f64) {
        let aim = match drill.form {
            Form::LapMetres(_) | Form::LapSeconds(_) => self.nearest_corner(),
            _ => drill.along(500.0),
        };
        self.body.face(aim);
        let start_s = self.body.now_s();
        let pace_m_s = intent.pace_m_s;
        let pace = Pace::Towards {
            speed_m_s: pace_m_s,
            tau_s: drill.tau_s,
        };
        let part = intent.share * intent.measure;
        match drill.form {
            Form::Free(_) | Form::FreeSeconds { .. } => {}
            Form::Metres(m) => {
                self.body.straight(aim, pace, m * part, FAR);
            }
            Form::Seconds(s) => {
                self.body.straight(aim, pace, FAR, start_s + s * part);
            }
            Form::LapMetres(m) => self.lap(drill, pace_m_s, m * part, FAR),
            Form::LapSeconds(s) => self.lap(drill, pace_m_s, FAR, start_s + s * part),
            Form::Legs { leg_m, legs } => {
                let legs = f64::from(legs) * intent.share;
                self.shuttle(drill, leg_m, legs, pace_m_s);
            }
            Form::TimedLegs { leg_m, seconds } => {
                self.timed_shuttle(drill, leg_m, start_s + seconds * part, pace_m_s);
            }
        }
        (start_s, self.body.now_s())
    }

    /// Runs a set whose reps follow each other without rest. `reps` may be broken: 3.6 stops inside the fourth. Returns
    /// start and end of every rep begun, s.
    pub(super) fn running_on(
        &mut self,
        drill: &Drill,
        reps: f64,
        pace_m_s: f64,
    ) -> Vec<(f64, f64)> {
        let aim = match drill.form {
            Form::Legs { .. } | Form::TimedLegs { .. } => drill.along(500.0),
            _ => self.nearest_corner(),
        };
        self.body.face(aim);
        let start_s = self.body.now_s();
        let mut marks = vec![start_s];
        let whole = reps.ceil().max(1.0) as u32;
        match drill.form {
            Form::Legs { leg_m, legs } => {
                let ends = self.shuttle(drill, leg_m, reps * f64::from(legs), pace_m_s);
                let last = ends.len();
                marks.extend(
                    (ends.iter().enumerate())
                        .filter(|(i, _)| (i + 1) % legs as usize == 0 || i + 1 == last)
                        .map(|(_, t)| *t),
                );
            }
            Form::TimedLegs { seconds, .. }
            | Form::Seconds(seconds)
            | Form::LapSeconds(seconds) => {
                let until = start_s + reps * seconds;
                if let Form::TimedLegs { leg_m, .. } = drill.form {
                    self.timed_shuttle(drill, leg_m, until, pace_m_s);
                } else {
                    self.lap(drill, pace_m_s, FAR, until);
                }
                marks.extend((1..whole).map(|n| start_s + f64::from(n) * seconds));
                marks.push(self.body.now_s());
            }
            Form::Metres(metres) | Form::LapMetres(metres) => {
                for n in 1..=whole {
                    let part = (reps - f64::from(n - 1)).min(1.0);
                    self.lap(drill, pace_m_s, metres * part, FAR);
                    marks.push(self.body.now_s());
                }
            }
            Form::Free(_) | Form::FreeSeconds { .. } => {}
        }
        marks.windows(2).map(|pair| (pair[0], pair[1])).collect()
    }

    /// Runs around the field, from the corner that lies ahead, so far or so long.
    fn lap(&mut self, drill: &Drill, pace_m_s: f64, metres: f64, until_s: f64) {
        let field = self.field;
        let corner = |n| field.corner(n);
        let pace = (pace_m_s, drill.tau_s);
        self.corner = (self.body).lap(corner, self.corner, pace, metres, until_s);
    }

    /// The corner of the lap that lies ahead of the nearest one.
    fn nearest_corner(&mut self) -> Place {
        let far = |n: &usize| self.body.distance_to(self.field.corner(*n));
        let nearest = (0..4).min_by(|a, b| far(a).total_cmp(&far(b)));
        self.corner = nearest.unwrap_or(0) + 1;
        self.field.corner(self.corner)
    }

    /// Legs between the two lines, a stop at the last; returns the end of each leg, s. A broken number stops under way.
    fn shuttle(&mut self, drill: &Drill, leg_m: f64, legs: f64, pace_m_s: f64) -> Vec<f64> {
        let whole = legs.ceil().max(1.0) as u32;
        let mut ends = Vec::new();
        for number in 0..whole {
            let part = (legs - f64::from(number)).min(1.0);
            let last = number + 1 == whole;
            let to = self.line(drill, leg_m, number, part);
            let arrive = if last {
                0.0
            } else {
                self.body.athlete.turn_m_s
            };
            self.leg(drill, number, to, (pace_m_s, arrive), FAR);
            ends.push(self.body.now_s());
        }
        ends
    }

    /// Legs between the two lines until `until_s`.
    fn timed_shuttle(&mut self, drill: &Drill, leg_m: f64, until_s: f64, pace_m_s: f64) {
        let mut number = 0;
        while self.body.now_s() < until_s {
            let to = self.line(drill, leg_m, number, 1.0);
            let arrive = self.body.athlete.turn_m_s;
            self.leg(drill, number, to, (pace_m_s, arrive), until_s);
            number += 1;
        }
    }

    /// One leg, after a turn where it is not the first.
    fn leg(
        &mut self,
        drill: &Drill,
        number: u32,
        to: Place,
        (pace_m_s, arrive_m_s): (f64, f64),
        until_s: f64,
    ) {
        if number > 0 {
            self.body.turn(to, until_s);
        }
        self.body
            .leg(to, pace_m_s, drill.tau_s, arrive_m_s, until_s);
    }

    /// A point on the line that leg `number` runs to, or the part of the way there; feet do not hit lines exactly.
    fn line(&mut self, drill: &Drill, leg_m: f64, number: u32, part: f64) -> Place {
        let out = number.is_multiple_of(2);
        let miss = if self.body.athlete.scatter > 0.0 {
            0.2 * self.rng.scatter()
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
}
