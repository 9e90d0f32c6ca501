//! The session that ships with the project.

use jiff::Timestamp;

use crate::plan::Plan;
use crate::simulation::Simulated;
use crate::simulation::athlete::Athlete;
use crate::simulation::departures::{At, Departure, Departures};
use crate::simulation::execute::{TooLong, execute_in};
use crate::simulation::receiver::{Kind, Receiver};
use crate::simulation::rng::Rng;
use crate::simulation::world::World;

/// An invented winger carries out the demo plan, seen by one kind of receiver.
///
/// He leaves out the fifth channel run of the second set, breaks off the third run with the ball, takes nearly two
/// minutes over a drink after the second run of the first set, sprints once for the joy of it, and runs the last 40 m
/// well below the speed asked for. Departures for which the plan has no place change nothing.
///
/// # Errors
/// When the plan is another, and takes longer than 4 hours.
pub fn demo(plan: &Plan, kind: Kind) -> Result<Simulated, TooLong> {
    let seed = 2026;
    let athlete = Athlete {
        top_speed_m_s: 8.65,
        tau_s: 1.15,
        braking_m_s2: 3.8,
        walk_m_s: 1.42,
        jog_m_s: 2.65,
        ripple: 0.035,
        scatter: 0.015,
        fatigue: 0.02,
        wander_rad: 0.02,
        turn_m_s: 0.6,
        turn_s: 0.42,
    };
    let at = |block, set, rep| At { block, set, rep };
    let departures = Departures {
        list: vec![
            Departure::Rest {
                at: at(3, 1, 2),
                factor: 4.2,
            },
            Departure::LeaveOut {
                at: at(3, 2, 5),
                waits: true,
            },
            Departure::Cut {
                at: at(4, 1, 3),
                share: 0.55,
            },
            Departure::Sprint {
                at: at(4, 1, 6),
                metres: 32.0,
            },
            Departure::Slow {
                at: at(5, 1, 5),
                share: 0.86,
            },
        ],
    };
    let world = World::plain(athlete);
    let mut truth = execute_in(plan, &world, &departures, seed)?;
    // 2026-05-12T17:30:00Z, a Tuesday evening.
    truth.start = Timestamp::from_second(1_778_607_000).unwrap_or(truth.start);
    let mut receiver = Receiver::plain(kind, &mut Rng::stream(seed, 23));
    receiver.heart_rate = kind != Kind::Local25;
    receiver.decimals = 7;
    // Open water far from any coast.
    receiver.site = (-38.2, -110.4, 0.6);
    let recording = receiver.record(&truth, seed);
    Ok(Simulated {
        plan: plan.clone(),
        world,
        departures,
        truth,
        receiver,
        recording,
    })
}
