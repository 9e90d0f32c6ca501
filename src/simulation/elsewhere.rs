//! Another world than [`world`](crate::simulation::World)'s: players, coaches and days unlike those that constants are fitted on.
//!
//! What a review has learnt of one simulator it may have learnt of its author. Here rests and work by feel are looser, paces
//! differ more, and players do what the others never do: they let a run out, run to and fro, step about before a start, jog
//! their rests, end a warm-up with accelerations, shoot at goal in technical work, stand in goal in games. Nothing is fitted
//! on it.

use crate::simulation::athlete::Athlete;
use crate::simulation::rng::{Rng, sometimes};
use crate::simulation::world::{Game, Habits, Manner, Rests, World};

impl World {
    /// An athlete of another world, with habits drawn for one session.
    #[must_use]
    pub(crate) fn elsewhere(athlete: Athlete, rng: &mut Rng) -> Self {
        let usual = Habits::random(rng);
        let by_feel = rng.chance(0.6);
        let habits = Habits {
            rest_sd: rng.range(0.2, 0.6),
            feel_sd: if by_feel {
                rng.range(0.08, 0.2)
            } else {
                rng.range(0.01, 0.05)
            },
            block_sd: rng.range(0.04, 0.15),
            paced: (0.05 * rng.normal()).clamp(-0.12, 0.12),
            dawdle_s: rng.range(30.0, 400.0),
            rests: rests(rng),
            game: game(rng, usual.game),
            manner: manner(rng),
            ..usual
        };
        let athlete = Athlete {
            fatigue: rng.range(0.0, 0.12),
            ..athlete
        };
        Self {
            athlete,
            habits: Some(habits),
        }
    }
}

/// Some jog through every rest, some sit down, some play with the ball.
fn rests(rng: &mut Rng) -> Rests {
    Rests {
        stand: rng.range(0.2, 4.0),
        walk: rng.range(0.2, 3.0),
        jog: sometimes(rng, 0.5, 0.2, 4.0),
        juggle: sometimes(rng, 0.5, 0.3, 2.0),
        fetch: sometimes(rng, 0.5, 0.1, 1.0),
    }
}

/// One in six keeps goal; play stops for longer.
fn game(rng: &mut Rng, usual: Game) -> Game {
    let restart_s = rng.range(3.0, 20.0);
    if rng.chance(1.0 / 6.0) {
        let play = [0.3, 0.4, 0.18, 0.08, 0.04].map(|share| share * rng.range(0.7, 1.3));
        return Game {
            half_m: [rng.range(4.0, 8.0), rng.range(4.0, 8.0)],
            restart_s,
            play,
            ..usual
        };
    }
    Game { restart_s, ..usual }
}

fn manner(rng: &mut Rng) -> Manner {
    Manner {
        braking: rng.either(0.5, 1.0, rng.clone().range(0.2, 0.6)),
        pace: rng.range(0.75, 1.15),
        to_and_fro: rng.chance(0.4),
        finishing: sometimes(rng, 0.4, 0.2, 0.8),
        strides: rng.either(0.5, 0, 4),
        steps: sometimes(rng, 0.4, 0.2, 0.8),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::simulation::{Kind, Mess, Outcome, session_elsewhere};

    /// Each habit of the other world is met, and none always.
    #[test]
    fn players_elsewhere_do_what_others_do_not() {
        let athlete = Athlete::exact(8.0, 1.2);
        let all: Vec<Habits> = (0..200)
            .filter_map(|n| World::elsewhere(athlete, &mut Rng::stream(n, 25)).habits)
            .collect();
        let share = |is: &dyn Fn(&Habits) -> bool| {
            all.iter().filter(|h| is(h)).count() as f64 / all.len() as f64
        };
        // Standard errors are 0.035 at most.
        for (often, is) in [
            (
                0.5,
                (&|h: &Habits| h.manner.braking < 1.0) as &dyn Fn(&Habits) -> bool,
            ),
            (0.4, &|h| h.manner.to_and_fro),
            (0.4, &|h| h.manner.finishing > 0.0),
            (0.5, &|h| h.manner.strides > 0),
            (0.4, &|h| h.manner.steps > 0.0),
            (1.0 / 6.0, &|h| h.game.half_m[0] < 10.0),
        ] {
            assert!((share(is) - often).abs() < 0.14, "{often} {}", share(is));
        }
    }

    /// However he goes about it: who carries out his plan has done every rep of it, in order.
    #[test]
    fn what_is_carried_out_elsewhere_is_done() {
        for seed in 0..6 {
            let one = session_elsewhere(seed, Kind::Unit5, Mess::Clean);
            assert!(
                one.truth.reps.iter().all(|r| r.outcome == Outcome::Done),
                "seed {seed}"
            );
            let starts: Vec<f64> = (one.truth.reps.iter())
                .filter_map(|r| r.run.map(|run| run.start_s))
                .collect();
            assert!(starts.is_sorted(), "seed {seed}");
        }
    }
}
