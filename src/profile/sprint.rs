//! The sprint curve of each maximal sprint from rest.

use std::ops::Range;

use crate::measured::{Measured, Z95};
use crate::motion::{Motion, Sample};
use crate::profile::fit::{self, Found, Prior, Reading};
use crate::profile::power::{self, Body};
use crate::profile::receiver::Receiver;
use crate::profile::{Curve, Place};

/// One sprint that was looked at.
#[derive(Clone, Debug, PartialEq)]
pub struct Sprint {
    /// Which rep of the plan it is, if it is one.
    pub place: Option<Place>,
    /// Start of the stretch, seconds from the session's start.
    pub start_s: f64,
    /// Its end.
    pub end_s: f64,
    /// The curve, or why there is none.
    pub fit: Result<Fit, Unfit>,
}

/// The curve of a sprint, and what follows from it, with 95 % intervals.
#[derive(Clone, Debug, PartialEq)]
pub struct Fit {
    /// Speed that the sprint tends to, m/s.
    pub vmax_m_s: Measured,
    /// Time constant, s.
    pub tau_s: Measured,
    /// Start of the movement, seconds from the session's start.
    pub start_s: Measured,
    /// Acceleration at the start, m/s2.
    pub start_acceleration_m_s2: Measured,
    /// Distance from the start to where the sprint ended, m.
    pub distance_m: f64,
    /// Times from the start of the movement, only of distances that were run.
    pub splits: Vec<Split>,
    /// Distance at which 90 % of `vmax_m_s` is reached, m.
    pub distance_90_m: Measured,
    /// Distance at which 95 % of it is reached, m.
    pub distance_95_m: Measured,
    /// Distance at which 95 % of the player's top speed is reached: the one that plan or settings give, else this sprint's, m.
    pub needed_m: Measured,
    /// Whether the distance that the plan asked for is too short to reach 95 % of this player's top speed: the plan, not
    /// the player, fell short. `None` without a planned distance, and where the interval of `needed_m` holds it.
    pub plan_too_short: Option<bool>,
    /// Force, speed and power, when mass and height are known.
    pub power: Option<Power>,
}

/// The time of a distance from the start of the movement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Split {
    /// m.
    pub distance_m: f64,
    /// s.
    pub time_s: Measured,
}

/// Force, speed and power by [`power::force_velocity`], with intervals.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Power {
    /// N/kg.
    pub force_n_kg: Measured,
    /// m/s.
    pub velocity_m_s: Measured,
    /// W/kg.
    pub power_w_kg: Measured,
}

/// Why a sprint has no curve.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unfit {
    /// The plan asked for less than top speed.
    HeldBack,
    /// It did not begin from a stand or a slow walk.
    NotFromRest,
    /// Fixes are missing in it.
    Bridged,
    /// Too few readings.
    TooLittle,
    /// The speed does not rise as a sprint's does.
    OtherShape,
    /// The intervals would be too wide to say anything.
    TooVague,
}

impl Unfit {
    /// The reason as a clause.
    #[must_use]
    pub(crate) fn in_words(self) -> &'static str {
        match self {
            Self::HeldBack => "the plan asked for less than top speed",
            Self::NotFromRest => "it did not start from rest",
            Self::Bridged => "fixes are missing in it",
            Self::TooLittle => "too few fixes lie in it",
            Self::OtherShape => "its speed did not rise as in a sprint all out from rest",
            Self::TooVague => "the recording leaves its curve open",
        }
    }
}

/// A stretch that may hold a sprint.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    pub(super) place: Option<Place>,
    pub(super) start_s: f64,
    pub(super) end_s: f64,
    pub(super) distance_planned_m: Option<f64>,
    /// Whether the plan asked for less than all.
    pub(super) held_back: bool,
}

/// Distances of splits, m.
const SPLITS_M: [f64; 5] = [5.0, 10.0, 20.0, 30.0, 40.0];
/// A sprint begins below this speed, m/s.
const REST_M_S: f64 = 1.5;
/// Nobody speeds up for longer than this, s.
const LONGEST_RISE_S: f64 = 12.0;
/// The plateau of a sprint ends where its speed falls below this share of the peak.
const PLATEAU: f64 = 0.98;
/// Fewest samples between the corners.
const LEAST_READINGS: usize = 5;
/// A top speed less sure than this share, one standard deviation, is none.
const VAGUE_VMAX: f64 = 0.12;
/// The same for the time constant.
const VAGUE_TAU: f64 = 0.45;

/// Fits the curve to a candidate. `known_top_m_s` is the player's top speed from plan or settings.
///
/// # Definition
/// From the peak back to where the speed was last below 1.5 m/s; from there on to the end of the plateau. Speeds near both
/// corners are left out, since every filter rounds corners. Neighbouring samples of a smoothed path repeat each other, so
/// they count as fewer (`receiver.rs`). A curve is refused when the readings leave it by more than they can by chance.
///
/// # Units
/// m, s.
///
/// # References
/// Furusawa, Hill and Parkinson (1927), Proc R Soc B 102:29; Samozino et al. (2016), Scand J Med Sci Sports 26:648.
pub(super) fn sprint(
    motion: &Motion,
    receiver: &Receiver,
    candidate: &Candidate,
    known_top_m_s: Option<f64>,
    body: Option<Body>,
) -> Sprint {
    let all_out = if candidate.held_back {
        Err(Unfit::HeldBack)
    } else {
        rise(motion, candidate)
    };
    let fit = all_out.and_then(|window| {
        let samples = &motion.samples[window];
        let found = found(samples, receiver, motion.step_s)?;
        let end_s = samples.last().map_or(found.start_s, |s| s.time_s);
        Ok(describe(
            &found,
            receiver,
            end_s,
            candidate,
            known_top_m_s,
            body,
        ))
    });
    Sprint {
        place: candidate.place,
        start_s: candidate.start_s,
        end_s: candidate.end_s,
        fit,
    }
}

/// The samples from rest to the end of the plateau; never empty.
fn rise(motion: &Motion, candidate: &Candidate) -> Result<Range<usize>, Unfit> {
    let window = motion.window(candidate.start_s, candidate.end_s);
    let run = motion
        .runs
        .iter()
        .find(|run| run.start <= window.start && window.start < run.end)
        .ok_or(Unfit::TooLittle)?;
    let window = window.start..window.end.min(run.end);
    let samples = &motion.samples;
    let peak = window
        .max_by(|a, b| samples[*a].speed_m_s.total_cmp(&samples[*b].speed_m_s))
        .ok_or(Unfit::TooLittle)?;
    let peak_m_s = samples[peak].speed_m_s;

    // Rest that lies farther back than a rise may last is as good as none.
    let rest = (run.start..peak)
        .rev()
        .take_while(|k| samples[peak].time_s - samples[k + 1].time_s <= LONGEST_RISE_S)
        .find(|k| samples[*k].speed_m_s < REST_M_S);
    let from = rest.ok_or(Unfit::NotFromRest)? + 1;
    let to = (peak..run.end)
        .find(|k| {
            samples[*k].speed_m_s < PLATEAU * peak_m_s || samples[*k].time_s > candidate.end_s
        })
        .unwrap_or(run.end)
        .max(peak + 1);
    if samples[from..to].iter().any(|s| s.bridged) {
        return Err(Unfit::Bridged);
    }
    Ok(from..to)
}

fn found(samples: &[Sample], receiver: &Receiver, step_s: f64) -> Result<Found, Unfit> {
    let end_s = samples.last().map_or(0.0, |s| s.time_s) - receiver.edge_s;
    let readings: Vec<Reading> = samples
        .iter()
        .filter(|s| receiver.from_m_s <= s.speed_m_s && s.time_s <= end_s)
        .map(|s| Reading {
            time_s: s.time_s,
            speed_m_s: s.speed_m_s,
            sd_m_s: s.speed_sd_m_s.hypot(receiver.speed_sd_m_s),
        })
        .collect();
    let information = (step_s / receiver.correlation_s).min(1.0);
    let prior = receiver.sparse.then_some(PRIOR);
    if readings.len() < LEAST_READINGS {
        return Err(Unfit::TooLittle);
    }
    let mut found =
        fit::fit(&readings, information, prior, receiver.lag_sd_s).ok_or(Unfit::OtherShape)?;
    let mean_sd =
        (readings.iter().map(|r| r.sd_m_s.powi(2)).sum::<f64>() / readings.len() as f64).sqrt();
    if found.rms_m_s > receiver.misfit_share * found.curve.vmax_m_s + 0.5 * mean_sd {
        return Err(Unfit::OtherShape);
    }
    found.covariance[0][0] += (receiver.vmax_share * found.curve.vmax_m_s).powi(2);
    found.covariance[1][1] += receiver.tau_sd_s.powi(2);
    let vague = |i: usize, value: f64, share: f64| found.covariance[i][i].sqrt() > share * value;
    if vague(0, found.curve.vmax_m_s, VAGUE_VMAX) || vague(1, found.curve.tau_s, VAGUE_TAU) {
        return Err(Unfit::TooVague);
    }
    Ok(found)
}

/// What is believed of a footballer before a sparse recording: the usual sprint, its limit +/- 1.2 m/s and its time constant
/// +/- 0.25 s: wide enough to hold men, women and youth.
const PRIOR: Prior = Prior {
    vmax_m_s: (Curve::PRIOR.vmax_m_s, 1.2),
    tau_s: (Curve::PRIOR.tau_s, 0.25),
};

fn describe(
    found: &Found,
    receiver: &Receiver,
    end_s: f64,
    candidate: &Candidate,
    known_top_m_s: Option<f64>,
    body: Option<Body>,
) -> Fit {
    let derived = |f: &dyn Fn(Curve) -> f64| derived(found, f);
    let sd = |i: usize| found.covariance[i][i].max(0.0).sqrt();
    let forced = |told: Measured| {
        let more = Z95 * receiver.force_above_share * told.value;
        let high = told.value + (told.high - told.value).hypot(more);
        Measured::within(told.value, told.low, high)
    };
    let distance_m = found.curve.distance_m(end_s - found.start_s);
    let distance_95_m = derived(&|c| c.distance_of_share_m(0.95));
    // With a known top speed the question is how far he needs to come near that one.
    let needed_m = match known_top_m_s {
        Some(top) => derived(&|c| Curve { vmax_m_s: top, ..c }.distance_of_share_m(0.95)),
        None => distance_95_m,
    };
    Fit {
        vmax_m_s: Measured::normal(found.curve.vmax_m_s, sd(0)).at_least(0.0),
        tau_s: Measured::normal(found.curve.tau_s, sd(1)).at_least(0.0),
        start_s: Measured::normal(found.start_s, sd(2).hypot(receiver.start_sd_s)),
        start_acceleration_m_s2: derived(&Curve::start_acceleration_m_s2),
        distance_m,
        splits: SPLITS_M
            .into_iter()
            .filter(|split_m| *split_m <= distance_m)
            .map(|split_m| Split {
                distance_m: split_m,
                time_s: widened(derived(&|c| c.time_s(split_m)), receiver.split_sd_s),
            })
            .collect(),
        distance_90_m: derived(&|c| c.distance_of_share_m(0.9)),
        distance_95_m,
        needed_m,
        plan_too_short: candidate.distance_planned_m.and_then(|planned_m| {
            let unclear = needed_m.holds(planned_m);
            (!unclear).then_some(planned_m < needed_m.low)
        }),
        power: body.map(|body| Power {
            force_n_kg: forced(derived(&|c| power::force_velocity(c, body).force_n_kg)),
            velocity_m_s: derived(&|c| power::force_velocity(c, body).velocity_m_s),
            power_w_kg: forced(derived(&|c| power::force_velocity(c, body).power_w_kg)),
        }),
    }
}

/// The same with an independent error added.
fn widened(measured: Measured, sd: f64) -> Measured {
    let more = Z95 * sd;
    Measured::within(
        measured.value,
        measured.value - (measured.value - measured.low).hypot(more),
        measured.value + (measured.high - measured.value).hypot(more),
    )
    .at_least(0.0)
}

/// A positive quantity of the curve with its interval: the error goes through its slope, on the scale of the logarithm, so
/// that no end is negative.
fn derived(found: &Found, f: &dyn Fn(Curve) -> f64) -> Measured {
    const STEP: f64 = 1e-4;
    let at = |by_vmax: f64, by_tau: f64| {
        f(Curve {
            vmax_m_s: found.curve.vmax_m_s + by_vmax,
            tau_s: found.curve.tau_s + by_tau,
        })
    };
    let value = at(0.0, 0.0);
    let slope = [
        (at(STEP, 0.0) - at(-STEP, 0.0)) / (2.0 * STEP),
        (at(0.0, STEP) - at(0.0, -STEP)) / (2.0 * STEP),
    ];
    // Of vmax and tau alone.
    let [[v, vt, _], [tv, t, _], _] = found.covariance;
    let variance =
        (slope[0] * v + slope[1] * tv) * slope[0] + (slope[0] * vt + slope[1] * t) * slope[1];
    let share = Z95 * variance.max(0.0).sqrt() / value;
    Measured::within(value, value * (-share).exp(), value * share.exp())
}
