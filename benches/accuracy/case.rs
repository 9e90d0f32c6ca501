//! A recording with its plan, and what is known to be true of it: what every score is held against.

use jiff::Timestamp;
use repledger::plan::Plan;
use repledger::session::Session;
use repledger::simulation::score::{self, Clocks, Expected};
use repledger::simulation::{Kind, Mess, SPRINT, Simulated, Span, Truth};
use repledger::trace::Clock;

/// One session to be judged.
pub struct Case {
    /// Its seed, or the name of its file.
    pub name: String,
    /// The row of the tables that it counts in: the kind of its receiver, or of its source.
    pub group: String,
    /// How far it strayed from its plan, where that is known.
    pub mess: Option<Mess>,
    /// The recording's file.
    pub bytes: Vec<u8>,
    /// What was meant to be done, where there was a plan.
    pub plan: Option<Plan>,
    /// What is true.
    pub known: Known,
    /// How he strayed, for a reader.
    pub departures: String,
}

/// What is true of a session; `None` where it is not known.
pub struct Known {
    /// Of every planned rep.
    pub reps: Vec<Expected>,
    /// Distance, m.
    pub distance_m: Option<f64>,
    /// Top speed, m/s.
    pub top_speed_m_s: Option<f64>,
    /// Sprints.
    pub sprints: Option<Truly>,
    /// Accelerations.
    pub accelerations: Option<Truly>,
    /// How its times are those of an account.
    pub time: Time,
}

/// Efforts that truly took place.
pub struct Truly {
    /// Those above the threshold.
    pub strict: Vec<Span>,
    /// Those just below it, which nobody can blame a detector for.
    pub nearly: Vec<Span>,
}

/// The clock of what is true.
pub enum Time {
    /// Of a simulated session; the device's lag is found by correlation.
    Simulated(Box<Truth>),
    /// From a moment, or from the recording's own beginning; the device is known to be late by so much, s.
    From(Option<Timestamp>, f64),
}

impl Time {
    /// The clocks of an account and of what is true.
    pub fn clocks(&self, session: &Session) -> Clocks {
        match self {
            Self::Simulated(truth) => Clocks::of(session, truth),
            Self::From(moment, lag_s) => {
                let shift_s = match (session.track.start, moment) {
                    (Clock::Utc(start), Some(moment)) => {
                        start.duration_since(*moment).as_secs_f64()
                    }
                    _ => score::before(session),
                };
                Clocks {
                    add_s: shift_s - lag_s,
                    lag_s: *lag_s,
                }
            }
        }
    }
}

/// A session of the simulator.
pub fn simulated(one: Simulated, seed: u64, kind: Kind, mess: Mess) -> Case {
    let truth = &one.truth;
    Case {
        name: format!("seed {seed}"),
        group: kind.word().to_owned(),
        mess: Some(mess),
        bytes: one.bytes(),
        departures: format!("{:?}", one.departures.list),
        known: Known {
            reps: Expected::of(truth),
            distance_m: Some(truth.distance_m),
            top_speed_m_s: Some(truth.top_speed_m_s),
            sprints: Some(Truly {
                strict: truth.sprints.clone(),
                nearly: SPRINT.nearly(&truth.speed_m_s),
            }),
            accelerations: Some(Truly {
                strict: truth.accelerations.clone(),
                nearly: Vec::new(),
            }),
            time: Time::Simulated(Box::new(one.truth)),
        },
        plan: Some(one.plan),
    }
}
