//! Worlds: the habits of a player, his session and his place, drawn anew for every session.
//!
//! A review must not learn the habits of the simulator, so no constant of theirs is the same twice: how far rests and work by
//! feel stray from the plan, how distances are paced out, what is done in a rest, how games go, how warm-ups are staged,
//! when the recording begins and ends, and what else was trained. Receivers are drawn beside them, in
//! [`Receiver::random`](crate::simulation::Receiver::random). Constants are fitted on worlds of even seeds and reported on
//! worlds of odd ones.

use crate::simulation::athlete::Athlete;
use crate::simulation::rng::{Rng, sometimes};

/// Who plays, and how such a day goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct World {
    /// Who runs.
    pub athlete: Athlete,
    /// His habits; `None` for a player who keeps to his plan to the second, with a recording that begins and ends with it.
    pub habits: Option<Habits>,
}

/// Habits of one session. Times in s; shares of 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Habits {
    /// Scatter of rests about the plan, standard deviation of the logarithm.
    pub rest_sd: f64,
    /// Scatter of timed work about the plan, standard deviation of the logarithm: small by the watch, large by feel.
    pub feel_sd: f64,
    /// The same of continuous blocks.
    pub block_sd: f64,
    /// How much too long distances are paced out.
    pub paced: f64,
    /// Longest rest after a block that has none planned.
    pub dawdle_s: f64,
    /// What is done in rests.
    pub rests: Rests,
    /// How games go.
    pub game: Game,
    /// Share of the warm-up that is stretching.
    pub warm_up_stretch: f64,
    /// Share of the cool-down that is stretching, at its end.
    pub cool_down_stretch: f64,
    /// From the start of the recording to the pitch: the car park, the changing room, a talk.
    pub before_s: f64,
    /// From the last work to the end of the recording.
    pub after_s: f64,
    /// The ride to the pitch and home with the recording running.
    pub rides: [Option<Ride>; 2],
    /// Other drills before, between and after the plan's blocks: the plan covers part of the session.
    pub others_s: [f64; 3],
    /// What most players do not do.
    pub manner: Manner,
}

/// What most players do not do; [`Manner::USUAL`] is what they do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Manner {
    /// Times the usual braking after a run: one that is let out goes on for some metres.
    pub braking: f64,
    /// Times the usual pace of work that is not all-out.
    pub pace: f64,
    /// Whether reps go to and fro, each from where the last one ended.
    pub to_and_fro: bool,
    /// Share of technical work that is runs with the ball and at it.
    pub finishing: f64,
    /// Accelerations that end a warm-up.
    pub strides: u32,
    /// How often a rep begins out of some steps on the spot.
    pub steps: f64,
}

impl Manner {
    /// Of most players.
    pub const USUAL: Self = Self {
        braking: 1.0,
        pace: 1.0,
        to_and_fro: false,
        finishing: 0.0,
        strides: 0,
        steps: 0.0,
    };
}

/// A ride with the recording running.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ride {
    /// By bicycle, or else by car.
    pub bicycle: bool,
    /// Usual speed under way, m/s.
    pub speed_m_s: f64,
    /// About how long it takes.
    pub length_s: f64,
}

/// What is done in rests, as weights that need not sum to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rests {
    /// Standing.
    pub stand: f64,
    /// Walking about.
    pub walk: f64,
    /// Jogging a little way.
    pub jog: f64,
    /// Juggling.
    pub juggle: f64,
    /// Fetching the ball.
    pub fetch: f64,
}

/// How a game goes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Game {
    /// Half of the area's length and width, m.
    pub half_m: [f64; 2],
    /// Times the usual pace of everything.
    pub intensity: f64,
    /// Mean time between two restarts.
    pub restart_every_s: f64,
    /// Mean time that play then rests.
    pub restart_s: f64,
    /// Weights of what is done in play: standing, walking, jogging, running, sprinting.
    pub play: [f64; 5],
}

impl World {
    /// A player who keeps to his plan to the second.
    #[must_use]
    pub(crate) fn plain(athlete: Athlete) -> Self {
        Self {
            athlete,
            habits: None,
        }
    }

    /// What this player does that most do not.
    #[must_use]
    pub(super) fn manner(&self) -> Manner {
        self.habits.map_or(Manner::USUAL, |h| h.manner)
    }

    /// An athlete with habits drawn for one session.
    #[must_use]
    pub(crate) fn random(athlete: Athlete, rng: &mut Rng) -> Self {
        Self {
            athlete,
            habits: Some(Habits::random(rng)),
        }
    }
}

impl Habits {
    /// Habits of one session.
    #[must_use]
    pub(crate) fn random(rng: &mut Rng) -> Self {
        let by_feel = rng.chance(0.5);
        let partly = rng.chance(0.25);
        let mut other = |p: f64| {
            if partly && rng.chance(p) {
                60.0 * rng.range(3.0, 15.0)
            } else {
                0.0
            }
        };
        let others_s = [other(0.7), other(0.5), other(0.6)];
        let rides = [Ride::sometimes(rng), Ride::sometimes(rng)];
        // From the car to the pitch it takes some minutes.
        let mut outside = |ride: Option<Ride>| {
            let least_s = if ride.is_some() { 180.0 } else { 0.0 };
            sometimes(rng, 0.6, 60.0, 600.0).max(least_s)
        };
        let (before_s, after_s) = (outside(rides[0]), outside(rides[1]));
        Self {
            rest_sd: rng.range(0.1, 0.4),
            feel_sd: if by_feel {
                rng.range(0.03, 0.15)
            } else {
                rng.range(0.01, 0.03)
            },
            block_sd: rng.range(0.02, 0.1),
            paced: (0.03 * rng.normal()).clamp(-0.06, 0.06),
            dawdle_s: rng.range(60.0, 240.0),
            rests: Rests::random(rng),
            game: Game::random(rng),
            warm_up_stretch: rng.range(0.0, 0.6),
            cool_down_stretch: sometimes(rng, 0.6, 0.1, 0.7),
            before_s,
            after_s,
            rides,
            others_s,
            manner: Manner::USUAL,
        }
    }
}

impl Ride {
    /// One session in sixteen each way is reached or left with the recording running.
    fn sometimes(rng: &mut Rng) -> Option<Self> {
        let (rides, bicycle) = (rng.chance(0.0625), rng.chance(0.4));
        let speed_m_s = if bicycle {
            rng.range(4.5, 7.5)
        } else {
            rng.range(7.0, 15.0)
        };
        let length_s = rng.range(150.0, 600.0);
        rides.then_some(Self {
            bicycle,
            speed_m_s,
            length_s,
        })
    }
}

impl Rests {
    fn random(rng: &mut Rng) -> Self {
        Self {
            stand: rng.range(0.5, 3.0),
            walk: rng.range(0.3, 3.0),
            jog: sometimes(rng, 0.5, 0.1, 0.6),
            juggle: sometimes(rng, 0.4, 0.2, 1.5),
            fetch: sometimes(rng, 0.5, 0.05, 0.4),
        }
    }
}

impl Game {
    fn random(rng: &mut Rng) -> Self {
        Self {
            half_m: [rng.range(10.0, 28.0), rng.range(8.0, 20.0)],
            intensity: rng.range(0.85, 1.15),
            restart_every_s: rng.range(25.0, 90.0),
            restart_s: rng.range(3.0, 10.0),
            play: [
                rng.range(0.02, 0.10),
                rng.range(0.14, 0.30),
                rng.range(0.22, 0.40),
                rng.range(0.18, 0.32),
                rng.range(0.06, 0.16),
            ],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::simulation::{Kind, Mess, Outcome, UnplannedKind, session};

    /// Of many habits each of what is promised above is drawn, and none of them always.
    #[test]
    fn habits_differ_from_session_to_session() {
        let all: Vec<Habits> = (0..400)
            .map(|n| Habits::random(&mut Rng::stream(n, 25)))
            .collect();
        let share = |is: &dyn Fn(&Habits) -> bool| {
            all.iter().filter(|h| is(h)).count() as f64 / all.len() as f64
        };
        // Standard errors are 0.025 at most.
        assert!((share(&|h| h.feel_sd >= 0.03) - 0.5).abs() < 0.1);
        assert!((share(&|h| h.before_s > 0.0) - 0.62).abs() < 0.1);
        assert!((share(&|h| h.others_s.iter().sum::<f64>() > 0.0) - 0.23).abs() < 0.08);
        assert!((share(&|h| h.rides[0].is_some()) - 0.0625).abs() < 0.05);
        assert!(
            all.iter()
                .all(|h| (0.1..0.4).contains(&h.rest_sd) && h.paced.abs() <= 0.06)
        );
    }

    #[test]
    fn a_session_holds_what_its_world_says() {
        let (mut early, mut others) = (0, 0);
        for seed in 100..112 {
            let one = session(seed, Kind::Unit5, Mess::Clean);
            let habits = one
                .world
                .habits
                .unwrap_or_else(|| Habits::random(&mut Rng::new(1)));
            let first_s = (one.truth.reps.iter().filter_map(|r| r.run))
                .map(|r| r.start_s)
                .fold(f64::INFINITY, f64::min);
            assert!(
                habits.before_s <= first_s,
                "seed {seed}: {first_s} {habits:?}"
            );
            early += usize::from(first_s > 60.0);
            let drills = (one.truth.unplanned.iter())
                .filter(|u| u.kind == UnplannedKind::OtherDrill)
                .count();
            assert_eq!(
                drills > 0,
                habits.others_s.iter().any(|&s| s > 0.0),
                "seed {seed}"
            );
            others += drills;
            assert!(
                one.truth.reps.iter().all(|r| r.outcome == Outcome::Done),
                "seed {seed}"
            );
            assert!(
                one.truth.top_speed_m_s < 11.0,
                "a ride is no sprint, seed {seed}"
            );
        }
        assert!(early > 2 && others > 0, "{early} {others}");
    }
}
