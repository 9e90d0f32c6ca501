//! Sessions of nothing but sprints all out, whose curves are known: what the fit of curves is judged by.

use std::f64::consts::TAU;

use crate::profile::Curve;
use crate::simulation::body::State;
use crate::simulation::rng::Rng;
use crate::simulation::truth::Truth;

/// Sprints in a session, two minutes apart.
const SPRINTS: usize = 6;

/// A session of sprints from a stand, and of each its start, s, and its curve.
#[must_use]
pub fn all_out(seed: u64) -> (Truth, Vec<(f64, Curve)>) {
    let mut rng = Rng::stream(seed, 77);
    let player = Curve {
        vmax_m_s: rng.range(7.8, 9.4),
        tau_s: rng.range(1.0, 1.4),
    };
    let ripple = rng.range(0.01, 0.04);
    let mut speed_m_s = Vec::new();
    let mut states = Vec::new();
    let mut curves = Vec::new();
    let (mut x_m, mut y_m) = (0.0, 0.0);
    let heading = rng.range(0.0, TAU);
    let mut go = |speed: f64, shown: f64, way: f64| {
        let (vx_m_s, vy_m_s) = (way * shown * heading.cos(), way * shown * heading.sin());
        x_m += vx_m_s * Truth::STEP_S;
        y_m += vy_m_s * Truth::STEP_S;
        states.push(State {
            x_m,
            y_m,
            vx_m_s,
            vy_m_s,
        });
        speed_m_s.push(speed);
        states.len() as f64 * Truth::STEP_S
    };
    let seconds = |s: f64| (s / Truth::STEP_S) as usize;
    for k in 0..seconds(90.0) {
        // A little walking there and back, or the recording would hold nothing but a stand and a sprint.
        let way = if (k / 1500) % 2 == 0 { 1.0 } else { -1.0 };
        go(1.3, 1.3, way);
    }
    for _ in 0..SPRINTS {
        let curve = Curve {
            vmax_m_s: player.vmax_m_s * (1.0 + 0.015 * rng.normal()),
            tau_s: player.tau_s * (1.0 + 0.03 * rng.normal()),
        };
        let distance_m = rng.range(25.0, 50.0);
        let mut start_s = 0.0;
        for _ in 0..seconds(rng.range(8.0, 15.0)) {
            start_s = go(0.0, 0.0, 1.0);
        }
        curves.push((start_s, curve));
        let run_s = curve.time_s(distance_m);
        for k in 1..=seconds(run_s) {
            let time_s = k as f64 * Truth::STEP_S;
            let speed = curve.speed_m_s(time_s);
            let step = (TAU * 4.0 * time_s).sin();
            go(speed, speed * (1.0 + ripple * step), 1.0);
        }
        let top = curve.speed_m_s(run_s);
        for k in 1..=seconds(top / 4.0) {
            let speed = top - 4.0 * k as f64 * Truth::STEP_S;
            go(speed, speed, 1.0);
        }
        let back_m = distance_m + top * top / 8.0;
        for _ in 0..seconds(back_m / 1.4) {
            go(1.4, 1.4, -1.0);
        }
    }
    for _ in 0..seconds(30.0) {
        go(0.0, 0.0, 1.0);
    }
    let heart_rate_bpm = vec![120.0; states.len() / 100 + 1];
    let truth = Truth {
        start: "2026-05-12T17:30:00Z".parse().unwrap_or_default(),
        acceleration_m_s2: vec![0.0; states.len()],
        top_speed_m_s: speed_m_s.iter().copied().fold(0.0, f64::max),
        distance_m: speed_m_s.iter().sum::<f64>() * Truth::STEP_S,
        states,
        speed_m_s,
        heart_rate_bpm,
        reps: Vec::new(),
        unplanned: Vec::new(),
        rides: Vec::new(),
        sprints: Vec::new(),
        high_speed_runs: Vec::new(),
        accelerations: Vec::new(),
    };
    (truth, curves)
}
