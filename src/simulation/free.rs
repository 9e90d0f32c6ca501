//! Continuous blocks: warm-up, technical work, games, steady running, cool-down.

use std::f64::consts::{PI, TAU};

use crate::plan::Category;
use crate::simulation::body::{Body, Place};
use crate::simulation::drill::Field;
use crate::simulation::rng::Rng;
use crate::simulation::world::{Game, World};

/// Moves as such a block does in this world, until a time.
pub(super) fn play(
    body: &mut Body,
    rng: &mut Rng,
    field: Field,
    (category, world): (Category, &World),
    at: Place,
    until_s: f64,
) {
    match (category, world.habits) {
        (Category::WarmUp, None) => warm_up(body, rng, field, at, until_s),
        (Category::WarmUp, Some(h)) => {
            let strides_s = STRIDE_S * f64::from(h.manner.strides);
            let strides_from_s = until_s - strides_s.min(0.3 * (until_s - body.now_s()));
            staged_warm_up(body, rng, field, (at, h.warm_up_stretch), strides_from_s);
            strides(body, rng, at, until_s);
        }
        (Category::Technical, _) => {
            technical(body, rng, (at, world.manner().finishing), until_s);
        }
        (Category::Game, None) => game(body, rng, field, until_s),
        (Category::Game, Some(h)) => restarted_game(body, rng, (field, &h.game), until_s),
        (Category::CoolDown, habits) => {
            let stretch = habits.map(|h| h.cool_down_stretch);
            cool_down(body, rng, field, (at, stretch), until_s);
        }
        (Category::Strength | Category::Resistance | Category::Speed, _) => {
            steady(body, rng, field, until_s);
        }
        // Indoors, with nothing to record: he stands.
        (Category::Gym, _) => {}
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

/// A random place about another.
pub(super) fn around(rng: &mut Rng, at: Place, near_m: f64, far_m: f64) -> Place {
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

/// Stages in any order: laps, skips, stretching on the spot, strides, the ball.
fn staged_warm_up(
    body: &mut Body,
    rng: &mut Rng,
    field: Field,
    (at, stretch): (Place, f64),
    until_s: f64,
) {
    let whole_s = until_s - body.now_s();
    let mut first = true;
    while body.now_s() < until_s {
        let stage = (body.now_s() + whole_s * rng.range(0.1, 0.35)).min(until_s);
        let kind = if first && rng.chance(0.7) {
            0
        } else if rng.chance(stretch) {
            1
        } else {
            rng.whole(2, 5)
        };
        first = false;
        match kind {
            0 | 2 => {
                let jog = body.athlete.jog_m_s * rng.range(0.8, 1.1);
                laps(body, rng, field, jog, stage);
            }
            1 => {
                while body.now_s() < stage {
                    let spot = around(rng, at, 0.5, 3.0);
                    body.walk(spot, stage);
                    let hold = body.now_s() + rng.range(8.0, 40.0);
                    body.stand(hold.min(stage));
                }
            }
            3 => {
                let line_m = rng.range(8.0, 20.0);
                while body.now_s() < stage {
                    let to = around(rng, at, line_m, line_m + 1.0);
                    body.go(to, rng.range(1.2, 2.8), 0.7, 0.7, stage);
                    body.walk(at, stage);
                    let wait = body.now_s() + rng.range(0.0, 8.0);
                    body.stand(wait.min(stage));
                }
            }
            4 => {
                while body.now_s() < stage {
                    let to = around(rng, at, 15.0, 30.0);
                    let pace = body.athlete.top_speed_m_s * rng.range(0.45, 0.85);
                    body.go(to, pace, body.athlete.tau_s * 1.3, 2.0, stage);
                    body.brake(2.0, 1.2, stage);
                    body.walk(at, stage);
                    let wait = body.now_s() + rng.range(3.0, 15.0);
                    body.stand(wait.min(stage));
                }
            }
            _ => technical(body, rng, (at, 0.0), stage),
        }
    }
}

/// Small steps to where the ball falls.
pub(super) fn juggle(body: &mut Body, rng: &mut Rng, at: Place, until_s: f64) {
    while body.now_s() < until_s {
        let to = around(rng, at, 0.2, 1.4);
        body.go(to, rng.range(0.4, 1.1), 0.4, 0.25, until_s);
        let still = body.now_s() + rng.range(0.3, 2.0);
        body.stand(still.min(until_s));
    }
}

/// An acceleration and the walk back, s.
const STRIDE_S: f64 = 30.0;

/// Accelerations one after another, each walked back.
fn strides(body: &mut Body, rng: &mut Rng, at: Place, until_s: f64) {
    while body.now_s() < until_s {
        let to = around(rng, at, 20.0, 35.0);
        let pace = body.athlete.top_speed_m_s * rng.range(0.75, 0.95);
        body.go(to, pace, body.athlete.tau_s, 3.0, until_s);
        body.brake(2.0, 1.2, until_s);
        body.walk(at, until_s);
        body.stand((body.now_s() + rng.range(2.0, 6.0)).min(until_s));
    }
}

/// A run with the ball, a shot, a run after it, and the walk back.
fn finish(body: &mut Body, rng: &mut Rng, at: Place, until_s: f64) {
    let top = body.athlete.top_speed_m_s;
    let to = around(rng, at, 8.0, 20.0);
    body.go(to, top * rng.range(0.35, 0.6), 0.9, 1.0, until_s);
    body.brake(body.athlete.braking_m_s2 * 0.8, 0.6, until_s);
    let on = around(rng, to, 4.0, 10.0);
    body.go(
        on,
        top * rng.range(0.55, 0.9),
        body.athlete.tau_s,
        1.0,
        until_s,
    );
    body.brake(body.athlete.braking_m_s2 * 0.8, 1.0, until_s);
    body.walk(at, until_s);
    body.stand((body.now_s() + rng.range(2.0, 15.0)).min(until_s));
}

/// Juggling, wall passes, slow dribbling, and for a share of the time runs at goal.
fn technical(body: &mut Body, rng: &mut Rng, (at, finishing): (Place, f64), until_s: f64) {
    let style = match rng.whole(0, 9) {
        0..=3 => 0,
        4 | 5 => 1,
        _ => 2,
    };
    while body.now_s() < until_s {
        let piece = (body.now_s() + rng.range(15.0, 60.0)).min(until_s);
        if finishing > 0.0 && rng.chance(finishing) {
            while body.now_s() < piece {
                finish(body, rng, at, piece);
            }
            continue;
        }
        match (style, rng.whole(0, 3)) {
            (_, 0) => body.stand((body.now_s() + rng.range(3.0, 12.0)).min(until_s)),
            (0, _) => juggle(body, rng, at, piece),
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

/// A game with restarts: spells of standing, walking, jogging and bursts, and now and then the ball is out.
///
/// ## Definition
/// Spells of 1 to 4 s in play. Of the highest second in each 5 s of real small-sided games some .02, .08, .15, .35 and .40 lie
/// below .7, 1.6, 2.2, 3.2 m/s and above; a test holds the mean of many such games to that.
fn restarted_game(body: &mut Body, rng: &mut Rng, (field, style): (Field, &Game), until_s: f64) {
    let top = body.athlete.top_speed_m_s;
    let centre = [field.length_m / 2.0, field.width_m / 2.0];
    let mut restart_s = body.now_s() + rng.exponential(style.restart_every_s);
    while body.now_s() < until_s {
        let to = [
            centre[0] + rng.range(-style.half_m[0], style.half_m[0]),
            centre[1] + rng.range(-style.half_m[1], style.half_m[1]),
        ];
        if body.now_s() >= restart_s {
            let end = (body.now_s() + rng.exponential(style.restart_s).min(25.0)).min(until_s);
            if rng.chance(0.6) {
                body.walk(to, end);
            }
            body.stand(end);
            restart_s = body.now_s() + rng.exponential(style.restart_every_s);
            continue;
        }
        let end = (body.now_s() + rng.range(1.0, 4.0)).min(until_s);
        let pace = style.intensity;
        let jog = body.athlete.jog_m_s * pace;
        match rng.weighted(&style.play) {
            0 => body.stand(end),
            1 => body.walk(to, end),
            2 => body.go(to, jog * rng.range(0.75, 1.15), 0.7, 0.8, end),
            3 => {
                let run = (top * pace * rng.range(0.4, 0.65)).min(top);
                body.go(to, run, body.athlete.tau_s, 1.2, end);
                let by = body.athlete.braking_m_s2 * rng.range(0.5, 1.0);
                body.brake(by, 1.2, until_s);
            }
            _ => {
                let sprint = (top * pace * rng.range(0.65, 1.0)).min(top);
                body.go(to, sprint, body.athlete.tau_s, 1.5, end);
                let by = body.athlete.braking_m_s2 * rng.range(0.7, 1.0);
                body.brake(by, 1.0, until_s);
            }
        }
    }
}

/// Slow jogging, then walking and stretching for a share of the time.
fn cool_down(
    body: &mut Body,
    rng: &mut Rng,
    field: Field,
    (at, stretch): (Place, Option<f64>),
    until_s: f64,
) {
    let jog = body.athlete.jog_m_s * rng.range(0.75, 0.95);
    let share = stretch.map_or_else(|| rng.range(0.55, 1.0), |s| 1.0 - s);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::simulation::athlete::Athlete;
    use crate::simulation::world::Habits;

    /// The highest second of each 5 s of play in real small-sided games: shares below .7, 1.6, 2.2, 3.2 m/s and above, over
    /// 24 games of 60 s of six players at 10 Hz.
    const REAL: [f64; 5] = [0.02, 0.08, 0.15, 0.35, 0.40];

    #[test]
    fn games_move_as_real_ones_do() {
        let mut counts = [0.0_f64; 5];
        for seed in 0..24 {
            let mut rng = Rng::new(seed);
            let athlete = Athlete::random(&mut rng);
            let game = Habits::random(&mut rng).game;
            let field = Field {
                length_m: 100.0,
                width_m: 64.0,
            };
            let mut body = Body::new(athlete, [50.0, 32.0], Rng::stream(seed, 2));
            restarted_game(&mut body, &mut rng, (field, &game), 300.0);
            let seconds: Vec<f64> = (body.states.chunks(100))
                .map(|second| {
                    second.iter().map(|s| s.vx_m_s.hypot(s.vy_m_s)).sum::<f64>()
                        / second.len() as f64
                })
                .collect();
            for cell in seconds.chunks_exact(5) {
                let highest = cell.iter().copied().fold(0.0, f64::max);
                let class = [0.7, 1.6, 2.2, 3.2]
                    .iter()
                    .filter(|&&edge| edge <= highest)
                    .count();
                counts[class] += 1.0;
            }
        }
        let all: f64 = counts.iter().sum();
        let shares = counts.map(|n| n / all);
        for (share, real) in shares.iter().zip(REAL) {
            // Real players differ by more than this from one another.
            assert!((share - real).abs() < 0.04, "{shares:.2?} for {REAL:?}");
        }
    }
}
