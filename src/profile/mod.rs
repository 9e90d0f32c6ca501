//! What the sprints say of the player: top speed, time constant, force and power, fading, each with its interval.
//!
//! A curve (`curve`) is fitted (`fit`) to each maximal sprint from rest (`sprint`), with what the receiver leaves open
//! (`receiver`); force, speed and power follow from it (`power`). `fade` looks at the reps of a set (`slope`), `metabolic` is a model
//! of energy, on request only, and `change` says which change from one session to another can be told.

mod change;
mod fade;
mod fit;
mod metabolic;
mod power;
mod receiver;
mod slope;
mod sprint;

pub use crate::curve::Curve;
pub use change::{Change, Direction, change};
pub use fade::Fade;
pub(crate) use metabolic::DISPUTED;
pub use metabolic::{HIGH_W_KG, Metabolic};
pub use power::{Body, ForceVelocity, force_velocity};
pub(crate) use slope::slope;
pub use sprint::{Fit, Power, Split, Sprint, Unfit};

use crate::efforts::{Efforts, Kind, is_fast_enough};
use crate::motion::Motion;
use crate::note::Note;
use crate::plan::{Block, Category, Plan, Target};
use crate::review::{PlanReview, Review, TopSpeedSource, Verdict};

use receiver::Receiver;
use sprint::Candidate;

/// What the sprints of a session say.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Profile {
    /// Every sprint that was looked at, in order.
    pub sprints: Vec<Sprint>,
    /// Why none was fitted, where the recording is at fault.
    pub not_fitted: Option<Note>,
    /// How the sets faded.
    pub fades: Vec<Fade>,
    /// The model of energy, if it was asked for.
    pub metabolic: Option<Metabolic>,
}

/// A rep of the plan, each number from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Place {
    /// Block.
    pub block: usize,
    /// Set.
    pub set: usize,
    /// Rep.
    pub rep: usize,
}

/// What is known of the player and the air, and what is wanted.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Mass, kg.
    pub mass_kg: Option<f64>,
    /// Height, m.
    pub height_m: Option<f64>,
    /// Temperature of the air, degrees Celsius.
    pub temperature_c: f64,
    /// Pressure of the air, mmHg.
    pub pressure_mmhg: f64,
    /// Whether the model of energy is wanted.
    pub metabolic: Request,
}

/// When the model of energy is worked out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Request {
    /// Never.
    Off,
    /// From 5 fixes a second on.
    On,
    /// From any recording.
    Always,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            mass_kg: None,
            height_m: None,
            temperature_c: 20.0,
            pressure_mmhg: 760.0,
            metabolic: Request::Off,
        }
    }
}

impl Settings {
    /// The body, when mass and height are known.
    fn body(&self) -> Option<Body> {
        Some(Body {
            mass_kg: self.mass_kg?,
            height_m: self.height_m?,
            temperature_c: self.temperature_c,
            pressure_mmhg: self.pressure_mmhg,
        })
    }
}

impl Profile {
    /// Sprints with a curve.
    pub fn fitted(&self) -> impl Iterator<Item = (&Sprint, &Fit)> {
        self.sprints
            .iter()
            .filter_map(|s| s.fit.as_ref().ok().map(|fit| (s, fit)))
    }

    /// The best sprint: the one whose top speed is surely the highest.
    #[must_use]
    pub(crate) fn best(&self) -> Option<(&Sprint, &Fit)> {
        self.fitted()
            .max_by(|a, b| a.1.vmax_m_s.low.total_cmp(&b.1.vmax_m_s.low))
    }

    /// Whether there is nothing to say.
    #[must_use]
    pub(crate) fn is_empty(&self) -> bool {
        self.fitted().next().is_none() && self.fades.is_empty() && self.metabolic.is_none()
    }
}

/// From this share of what a sprint over the distance can reach, a target asks for all that the player has.
const ALL_OUT: f64 = 0.85;

/// What the sprints of a session say.
///
/// With a plan, its sprints are the reps of `speed` blocks without ball that were run; without one, the efforts of the kind
/// sprint. Those that the plan asks to run well below what can be reached over their distance are no maximal sprints and have no curve.
#[must_use]
pub fn profile(
    motion: &Motion,
    efforts: &Efforts,
    (plan, review): (Option<&Plan>, &Review),
    settings: &Settings,
) -> Profile {
    let known_top_m_s = review
        .plan
        .as_ref()
        .and_then(|plan| plan.top_speed)
        .filter(|top| top.source != TopSpeedSource::Session)
        .map(|top| top.speed_m_s.value);
    let candidates = match &review.plan {
        Some(reviewed) => planned(reviewed, |block| {
            plan.and_then(|p| p.blocks.get(block.checked_sub(1)?))
                .is_some_and(|block| held_back(block, known_top_m_s))
        }),
        None => found(efforts),
    };
    let receiver = Receiver::of(motion);
    let sprints = receiver.map_or_else(Vec::new, |receiver| {
        candidates
            .iter()
            .map(|c| sprint::sprint(motion, &receiver, c, known_top_m_s, settings.body()))
            .collect()
    });
    let too_slow = receiver.is_none() && !candidates.is_empty();
    let fast = is_fast_enough(motion.rate_hz);
    let wanted = match settings.metabolic {
        Request::Off => false,
        Request::On => fast,
        Request::Always => true,
    };
    Profile {
        sprints,
        not_fitted: too_slow.then_some(Note::NoCurves),
        fades: review.plan.as_ref().map_or_else(Vec::new, fade::of),
        metabolic: wanted.then(|| metabolic::of(motion)),
    }
}

/// Whether a block asks for less than an all-out sprint over its distance.
fn held_back(block: &Block, top_m_s: Option<f64>) -> bool {
    let top_m_s = top_m_s.unwrap_or(Curve::PRIOR.vmax_m_s);
    let asked_m_s = match block.target {
        Some(Target::ShareOfTop(share)) => share * top_m_s,
        Some(Target::Speed(speed)) => speed,
        None => return false,
    };
    let curve = Curve {
        vmax_m_s: top_m_s,
        ..Curve::PRIOR
    };
    let reach_m_s = block
        .rep_distance_m()
        .map_or(top_m_s, |m| curve.speed_m_s(curve.time_s(m)));
    asked_m_s < ALL_OUT * reach_m_s
}

/// The reps of `speed` blocks without ball that were run, but those of blocks held back, by their number.
fn planned(plan: &PlanReview, held_back: impl Fn(usize) -> bool) -> Vec<Candidate> {
    let mut list = Vec::new();
    for block in plan
        .blocks
        .iter()
        .filter(|b| b.category == Category::Speed && !b.with_ball)
    {
        for set in &block.sets {
            for rep in &set.reps {
                let run = matches!(rep.verdict, Verdict::Done | Verdict::Slow | Verdict::Short);
                if let (true, Some(start_s), Some(end_s)) = (run, rep.start_s, rep.end_s) {
                    list.push(Candidate {
                        place: Some(Place {
                            block: block.index,
                            set: set.index,
                            rep: rep.index,
                        }),
                        start_s,
                        end_s,
                        distance_planned_m: rep.distance_planned_m,
                        held_back: held_back(block.index),
                    });
                }
            }
        }
    }
    list
}

fn found(efforts: &Efforts) -> Vec<Candidate> {
    efforts
        .of_kind(Kind::Sprint)
        .map(|effort| Candidate {
            place: None,
            start_s: effort.start_s,
            end_s: effort.end_s,
            distance_planned_m: None,
            held_back: false,
        })
        .collect()
}
