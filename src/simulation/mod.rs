//! A truth simulator: an athlete carries out a plan, departs from it, and a receiver records it.
//!
//! Everything that the tool claims can be held against a session whose truth is known to the hundredth of a second.
//! [`plans`] writes a plan, [`execute`] moves the athlete of a [`World`] through it at 100 Hz with [`Departures`], and a
//! [`Receiver`] turns the [`Truth`] into a [`Recording`] with the errors of its kind. Habits of the day and errors of the
//! device are drawn anew for each session, so that none can be learnt. One seed gives one session:
//!
//! ```
//! use repledger::simulation::{Kind, Mess, session};
//!
//! let one = session(7, Kind::Watch1, Mess::Usual);
//! let again = session(7, Kind::Watch1, Mess::Usual);
//! assert_eq!(one.recording, again.recording);
//! // Another receiver on the same day sees the same truth.
//! let other = session(7, Kind::Unit10, Mess::Usual);
//! assert_eq!(one.truth.reps, other.truth.reps);
//! ```

mod all_out;
mod around;
mod athlete;
mod body;
mod demo;
mod departures;
mod drift;
mod drill;
mod elsewhere;
mod execute;
mod filter;
mod free;
mod heart;
mod outcome;
pub mod outlook;
pub mod plans;
mod receiver;
mod recording;
mod rep;
mod rest;
mod rng;
pub mod score;
mod truth;
mod way;
mod work;
mod world;

pub use all_out::all_out;
pub use athlete::Athlete;
pub use body::State;
pub use demo::demo;
pub use departures::{At, Departure, Departures, Mess};
pub use drift::OrnsteinUhlenbeck;
pub use execute::{TooLong, execute};
pub use receiver::{Kind, Pause, Receiver};
pub use recording::{Format, Recording, Row};
pub use rng::Rng;
pub use world::{Game, Habits, Manner, Rests, Ride, World};

pub use truth::{Outcome, Rep, Rule, Run, SPRINT, Span, Truth, Unplanned, UnplannedKind};

use crate::plan::Plan;
use crate::trace::Trace;

/// One simulated session.
#[derive(Clone, Debug)]
pub struct Simulated {
    /// What was meant to be done.
    pub plan: Plan,
    /// Who did it, with the habits of the day.
    pub world: World,
    /// How he strayed from it.
    pub departures: Departures,
    /// What truly happened.
    pub truth: Truth,
    /// The device.
    pub receiver: Receiver,
    /// What it wrote.
    pub recording: Recording,
}

impl Simulated {
    /// The bytes of the recording's file.
    #[must_use]
    pub fn bytes(&self) -> Vec<u8> {
        self.recording.bytes()
    }

    /// The recording as read.
    #[must_use]
    pub fn trace(&self) -> Trace {
        self.recording.trace()
    }
}

/// A random session: world, plan, departures and receiver all follow from the seed. The same seed with another kind
/// of receiver is the same session seen by another device; only a mixed one has athletes of its own, as unlike as itself.
#[must_use]
pub fn session(seed: u64, kind: Kind, mess: Mess) -> Simulated {
    drawn(seed, kind, mess, World::random)
}

/// The same of players and days that no constant of a review was fitted on: they rest more loosely, let runs out, run to and fro, jog their
/// rests, and keep goal.
#[must_use]
pub fn session_elsewhere(seed: u64, kind: Kind, mess: Mess) -> Simulated {
    drawn(seed, kind, mess, World::elsewhere)
}

fn drawn(seed: u64, kind: Kind, mess: Mess, world: fn(Athlete, &mut Rng) -> World) -> Simulated {
    let mut rng = Rng::stream(seed, 21);
    let athlete = athlete(kind, &mut rng);
    let plan = plans::random(&athlete, &mut rng);
    let plan = plans::with_bouts(plan, &mut Rng::stream(seed, 24));
    let world = world(athlete, &mut Rng::stream(seed, 25));
    let receiver = Receiver::random(kind, &mut Rng::stream(seed, 23));
    simulated(seed, plan, &world, receiver, mess)
}

/// The same in a plain world: a player who keeps to his plan to the second but for the departures, a recording that begins
/// and ends with it, and a receiver as its kind mostly is.
#[must_use]
pub fn plain_session(seed: u64, kind: Kind, mess: Mess) -> Simulated {
    let mut rng = Rng::stream(seed, 21);
    let athlete = athlete(kind, &mut rng);
    let plan = plans::random(&athlete, &mut rng);
    let receiver = Receiver::plain(kind, &mut Rng::stream(seed, 23));
    simulated(seed, plan, &World::plain(athlete), receiver, mess)
}

fn athlete(kind: Kind, rng: &mut Rng) -> Athlete {
    if kind == Kind::Mixed {
        Athlete::unusual(rng)
    } else {
        Athlete::random(rng)
    }
}

fn simulated(seed: u64, plan: Plan, world: &World, receiver: Receiver, mess: Mess) -> Simulated {
    let departures = Departures::of(mess, &plan, &mut Rng::stream(seed, 22));
    let truth = execute::play(&plan, world, &departures, seed);
    let recording = receiver.record(&truth, seed);
    Simulated {
        plan,
        world: *world,
        departures,
        truth,
        receiver,
        recording,
    }
}
