//! Continuous blocks: warm-up, technical work, games, steady running, cool-down.

use std::f64::consts::{PI, TAU};

use crate::plan::Category;
use crate::simulation::body::{Body, Place};
use crate::simulation::drill::Field;
use crate::simulation::rng::Rng;

/// Moves as such a block does, until a time.
pub(super) fn play(
    body: &mut Body,
    rng: &mut Rng,
    field: Field,
    category: Category,
    at: Place,
    until_s: f64,
) {
    match category {
        Category::WarmUp => warm_up(body, rng, field, at, until_s),
        Category::Technical => technical(body, rng, at, until_s),
        Category::Game => game(body, rng, field, until_s),
        Category::CoolDown => cool_down(body, rng, field, at, until_s),
        Category::Strength | Category::Resistance | Category::Speed => {
            steady(body, rng, field, until_s);
        }
        // Indoors, with nothing to record: he stands.
        Category::Gym => {}
    }
}

fn laps(body: &mut Body, rng: &mut Rng, field: Field, speed_m_s: f64, until_s: f64) {
    let first = rng.whole(0, 3) as usize;
    body.lap(
        |n| field.corner(n),
        first,
        (speed_m_s, 0.9),
        f64::INFINITY,
        until_s,
    );
}

fn around(rng: &mut Rng, at: Place, near_m: f64, far_m: f64) -> Place {
    let (angle, far) = (rng.range(-PI, PI), rng.range(near_m, far_m));
    [at[0] + far * angle.cos(), at[1] + far * angle.sin()]
}

/// Laps, then stretching, skips and a few strides.
fn warm_up(body: &mut Body, rng: &mut Rng, field: Field, at: Place, until_s: f64) {
    let share = rng.range(0.3, 0.55);
    let jog = body.athlete.jog_m_s * rng.range(0.9, 1.08);
    let laps_end = body.now_s() + share * (until_s - body.now_s());
    laps(body, rng, field, jog, laps_end);
    while body.now_s() < until_s {
        match rng.whole(0, 9) {
            0..=2 => {
                let pause = body.now_s() + rng.range(10.0, 30.0);
                body.stand(pause.min(until_s));
            }
            3..=6 => {
                // Skips and swings over a short line and back.
                let line_m = rng.range(8.0, 16.0);
                let to = around(rng, at, line_m, line_m + 2.0);
                let pace = rng.range(1.3, 2.6);
                body.go(to, pace, 0.7, 0.7, until_s);
                body.go(at, rng.range(1.2, 2.4), 0.7, 0.7, until_s);
            }
            7 | 8 => {
                let jog = body.athlete.jog_m_s * rng.range(0.85, 1.05);
                let end = (body.now_s() + rng.range(12.0, 30.0)).min(until_s);
                laps(body, rng, field, jog, end);
            }
            _ => {
                let to = around(rng, at, 15.0, 25.0);
                let pace = body.athlete.top_speed_m_s * rng.range(0.45, 0.7);
                body.go(to, pace, body.athlete.tau_s * 1.4, 2.0, until_s);
                body.brake(2.0, 1.2, until_s);
                body.walk(at, until_s);
            }
        }
    }
}

/// Juggling, wall passes, slow dribbling.
fn technical(body: &mut Body, rng: &mut Rng, at: Place, until_s: f64) {
    let style = match rng.whole(0, 9) {
        0..=3 => 0,
        4 | 5 => 1,
        _ => 2,
    };
    while body.now_s() < until_s {
        let piece = (body.now_s() + rng.range(15.0, 60.0)).min(until_s);
        match (style, rng.whole(0, 3)) {
            (_, 0) => body.stand((body.now_s() + rng.range(3.0, 12.0)).min(until_s)),
            (0, _) => {
                // Juggling: small steps to where the ball falls.
                while body.now_s() < piece {
                    let to = around(rng, at, 0.2, 1.4);
                    body.go(to, rng.range(0.4, 1.1), 0.4, 0.25, piece);
                    let still = body.now_s() + rng.range(0.3, 2.0);
                    body.stand(still.min(piece));
                }
            }
            (1, _) => {
                // Wall passes: a step or two to meet the ball and back.
                while body.now_s() < piece {
                    let to = around(rng, at, 0.6, 2.2);
                    body.go(to, rng.range(0.9, 1.9), 0.35, 0.35, piece);
                    let still = body.now_s() + rng.range(0.2, 0.9);
                    body.stand(still.min(piece));
                }
            }
            _ => {
                // Dribbling about some cones.
                while body.now_s() < piece {
                    let to = around(rng, at, 4.0, 10.0);
                    body.go(to, rng.range(1.4, 2.6), 0.7, 0.8, piece);
                }
            }
        }
    }
}

/// Bursts of all intensities in a small area, standing and walking in between.
fn game(body: &mut Body, rng: &mut Rng, field: Field, until_s: f64) {
    let top = body.athlete.top_speed_m_s;
    let centre = [field.length_m / 2.0, field.width_m / 2.0];
    let (half_l, half_w) = (rng.range(12.0, 25.0), rng.range(9.0, 18.0));
    while body.now_s() < until_s {
        let to = [
            centre[0] + rng.range(-half_l, half_l),
            centre[1] + rng.range(-half_w, half_w),
        ];
        let end = (body.now_s() + rng.range(1.5, 7.0)).min(until_s);
        match rng.whole(0, 19) {
            0..=3 => body.stand(end),
            4..=9 => body.walk(to, end),
            10..=14 => body.go(
                to,
                body.athlete.jog_m_s * rng.range(0.9, 1.3),
                0.8,
                0.8,
                end,
            ),
            15..=17 => {
                body.go(
                    to,
                    top * rng.range(0.45, 0.68),
                    body.athlete.tau_s,
                    1.2,
                    end,
                );
                body.brake(
                    body.athlete.braking_m_s2 * rng.range(0.5, 1.0),
                    1.2,
                    until_s,
                );
            }
            _ => {
                body.go(to, top * rng.range(0.7, 1.0), body.athlete.tau_s, 1.5, end);
                body.brake(
                    body.athlete.braking_m_s2 * rng.range(0.7, 1.0),
                    1.0,
                    until_s,
                );
            }
        }
    }
}

/// Slow jogging, then walking and stretching.
fn cool_down(body: &mut Body, rng: &mut Rng, field: Field, at: Place, until_s: f64) {
    let jog = body.athlete.jog_m_s * rng.range(0.75, 0.95);
    // Some jog to the end; of stretching at the end no receiver can tell when it is over.
    let share = rng.range(0.55, 1.0);
    let jog_end = body.now_s() + share * (until_s - body.now_s());
    laps(body, rng, field, jog, jog_end);
    while body.now_s() < until_s {
        if rng.chance(0.5) {
            let to = around(rng, at, 4.0, 12.0);
            body.walk(to, until_s);
        } else {
            let pause = body.now_s() + rng.range(10.0, 35.0);
            body.stand(pause.min(until_s));
        }
    }
}

/// A long run at one pace with slow swells.
fn steady(body: &mut Body, rng: &mut Rng, field: Field, until_s: f64) {
    let pace = body.athlete.top_speed_m_s * rng.range(0.36, 0.46);
    let mut swell = rng.range(0.0, TAU);
    let mut corner = rng.whole(0, 3) as usize;
    while body.now_s() < until_s {
        let now = (pace * (1.0 + 0.03 * swell.sin()), 1.2);
        let end = (body.now_s() + 10.0).min(until_s);
        corner = body.lap(|n| field.corner(n), corner, now, f64::INFINITY, end);
        swell += 0.4;
    }
}
