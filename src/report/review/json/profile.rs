//! The part `profile` of the review's JSON.

use schemars::JsonSchema;
use serde::Serialize;

use crate::profile::{self, DISPUTED, Fade, Fit, HIGH_W_KG};
use crate::report::parts::{
    Interval, QUANTITY_DECIMALS, SHARE_DECIMALS, Split, TIME_DECIMALS, interval, quantity, rounded,
    time,
};

/// What the sprints of the session say of the runner.
#[derive(Serialize, JsonSchema)]
pub(super) struct Profile {
    /// The sprints that were looked at: with a plan the reps of `speed` blocks without ball that were run, else the
    /// efforts of the kind sprint.
    sprints: Vec<Sprint>,
    /// Index into `sprints`, from 0, of the one whose top speed is surely the highest, null when none was fitted.
    best: Option<usize>,
    /// How peak speed changed over the reps of each set with three or more that were run in full.
    fades: Vec<FadePart>,
    /// Energy by a model, null unless `model.metabolic` asks for it.
    metabolic: Option<Metabolic>,
}

/// One sprint.
#[derive(Serialize, JsonSchema)]
struct Sprint {
    /// Block of the plan, from 1; null without a plan.
    #[schemars(range(min = 1))]
    block: Option<usize>,
    /// Set, from 1; null without a plan.
    #[schemars(range(min = 1))]
    set: Option<usize>,
    /// Rep, from 1; null without a plan.
    #[schemars(range(min = 1))]
    rep: Option<usize>,
    /// Start of the rep or effort, s.
    start_s: Option<f64>,
    /// Its end, s.
    end_s: Option<f64>,
    /// Why it has no curve, null where it has one.
    not_fitted: Option<&'static str>,
    /// The mono-exponential curve `v(t) = top_speed (1 - exp(-t / time_constant))`, null where it was not fitted.
    curve: Option<CurvePart>,
}

/// The curve of speed over time that a sprint follows.
#[derive(Serialize, JsonSchema)]
struct CurvePart {
    /// Start of the movement, s.
    movement_start_s: Option<Interval>,
    /// The speed that the sprint tends to, m/s; it need not have been reached.
    top_speed_m_s: Option<Interval>,
    /// Time after which 63.2 % of it is reached, s.
    time_constant_s: Option<Interval>,
    /// Acceleration at the start, m/s2.
    start_acceleration_m_s2: Option<Interval>,
    /// Distance from the start of the movement to the end of the sprint, by the curve, m.
    #[schemars(range(min = 0))]
    distance_m: Option<f64>,
    /// Times from the start of the movement, of the distances among 5, 10, 20, 30 and 40 m that were run.
    splits: Vec<Split>,
    /// Distance at which 90 % of `top_speed_m_s` is reached, m.
    distance_90_m: Option<Interval>,
    /// Distance at which 95 % of it is reached, m.
    distance_95_m: Option<Interval>,
    /// Whether the planned distance is too short to reach 95 % of this player's top speed (the one that plan or
    /// settings give, else this sprint's): the plan, not the player, fell short. null without a planned distance, and
    /// where the interval leaves it open.
    plan_too_short: Option<bool>,
    /// Force, speed and power after Samozino et al. 2016, null unless `athlete.mass` and `athlete.height` are set.
    power: Option<PowerPart>,
}

/// Force, speed and power along the ground.
#[derive(Serialize, JsonSchema)]
struct PowerPart {
    /// Horizontal force at standstill (F0), N/kg.
    force_n_kg: Option<Interval>,
    /// Speed at which no force is left (V0), m/s.
    velocity_m_s: Option<Interval>,
    /// Highest power, W/kg.
    power_w_kg: Option<Interval>,
}

/// One set.
#[derive(Serialize, JsonSchema)]
struct FadePart {
    /// Block, from 1.
    #[schemars(range(min = 1))]
    block: usize,
    /// Set, from 1.
    #[schemars(range(min = 1))]
    set: usize,
    /// Reps that the slope rests on.
    #[schemars(range(min = 3))]
    reps: usize,
    /// Change of peak speed a rep, m/s.
    slope_m_s: Option<Interval>,
    /// What the interval says; unclear when it holds 0.
    #[schemars(extend("enum" = ["slower from rep to rep", "no clear fade", "faster from rep to rep"]))]
    verdict: &'static str,
}

/// Energy by a model.
#[derive(Serialize, JsonSchema)]
struct Metabolic {
    /// Which model, and what is disputed about it.
    model: &'static str,
    /// Energy of all running, J/kg; a model's figure, without interval.
    #[schemars(range(min = 0))]
    energy_j_kg: Option<f64>,
    /// High power begins above this, W/kg.
    high_from_w_kg: f64,
    /// Distance run above it, m.
    #[schemars(range(min = 0))]
    high_distance_m: Option<f64>,
}

impl Profile {
    /// `None` when there is nothing to say.
    pub(super) fn of(profile: &profile::Profile) -> Option<Self> {
        if profile.is_empty() {
            return None;
        }
        let best = profile.best().map(|(sprint, _)| sprint);
        Some(Self {
            sprints: profile.sprints.iter().map(Sprint::of).collect(),
            best: best.and_then(|best| profile.sprints.iter().position(|s| s == best)),
            fades: profile.fades.iter().map(FadePart::of).collect(),
            metabolic: profile.metabolic.map(|m| Metabolic {
                model: DISPUTED,
                energy_j_kg: rounded(m.energy_j_kg, 1),
                high_from_w_kg: HIGH_W_KG,
                high_distance_m: rounded(m.high_distance_m, 1),
            }),
        })
    }
}

impl Sprint {
    fn of(sprint: &profile::Sprint) -> Self {
        let place = sprint.place;
        Self {
            block: place.map(|p| p.block),
            set: place.map(|p| p.set),
            rep: place.map(|p| p.rep),
            start_s: time(sprint.start_s),
            end_s: time(sprint.end_s),
            not_fitted: sprint.fit.as_ref().err().map(|why| why.in_words()),
            curve: sprint.fit.as_ref().ok().map(CurvePart::of),
        }
    }
}

impl CurvePart {
    fn of(fit: &Fit) -> Self {
        let of = |m| interval(m, QUANTITY_DECIMALS);
        Self {
            movement_start_s: interval(fit.start_s, TIME_DECIMALS),
            top_speed_m_s: of(fit.vmax_m_s),
            time_constant_s: interval(fit.tau_s, TIME_DECIMALS),
            start_acceleration_m_s2: of(fit.start_acceleration_m_s2),
            distance_m: quantity(fit.distance_m),
            splits: fit.splits.iter().map(Split::of).collect(),
            distance_90_m: of(fit.distance_90_m),
            distance_95_m: of(fit.distance_95_m),
            plan_too_short: fit.plan_too_short,
            power: fit.power.map(|p| PowerPart {
                force_n_kg: of(p.force_n_kg),
                velocity_m_s: of(p.velocity_m_s),
                power_w_kg: of(p.power_w_kg),
            }),
        }
    }
}

impl FadePart {
    fn of(fade: &Fade) -> Self {
        Self {
            block: fade.block,
            set: fade.set,
            reps: fade.reps,
            slope_m_s: interval(fade.slope_m_s, SHARE_DECIMALS),
            verdict: fade.in_words(),
        }
    }
}
