//! The part `profile` of the review's JSON.

use serde::Serialize;

use super::parts::{
    Interval, QUANTITY_DECIMALS, SHARE_DECIMALS, Split, TIME_DECIMALS, interval, quantity, rounded,
    time,
};
use crate::profile::{self, DISPUTED, Fade, Fit, HIGH_W_KG};

#[derive(Serialize)]
pub(super) struct Profile {
    sprints: Vec<Sprint>,
    best: Option<usize>,
    fades: Vec<FadePart>,
    metabolic: Option<Metabolic>,
}

#[derive(Serialize)]
struct Sprint {
    block: Option<usize>,
    set: Option<usize>,
    rep: Option<usize>,
    start_s: Option<f64>,
    end_s: Option<f64>,
    not_fitted: Option<&'static str>,
    curve: Option<CurvePart>,
}

#[derive(Serialize)]
struct CurvePart {
    movement_start_s: Option<Interval>,
    top_speed_m_s: Option<Interval>,
    time_constant_s: Option<Interval>,
    start_acceleration_m_s2: Option<Interval>,
    distance_m: Option<f64>,
    splits: Vec<Split>,
    distance_90_m: Option<Interval>,
    distance_95_m: Option<Interval>,
    plan_too_short: Option<bool>,
    power: Option<PowerPart>,
}

#[derive(Serialize)]
struct PowerPart {
    force_n_kg: Option<Interval>,
    velocity_m_s: Option<Interval>,
    power_w_kg: Option<Interval>,
}

#[derive(Serialize)]
struct FadePart {
    block: usize,
    set: usize,
    reps: usize,
    slope_m_s: Option<Interval>,
    verdict: &'static str,
}

#[derive(Serialize)]
struct Metabolic {
    model: &'static str,
    energy_j_kg: Option<f64>,
    high_from_w_kg: f64,
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
