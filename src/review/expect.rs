//! What to expect of a planned item before the recording is seen: times of work and rest, peak speed.
//!
//! All of these are wide: they only have to tell a rep from a walk, and are replaced by the session's own values once a
//! first matching has found some reps.

use crate::curve::Curve;
use crate::plan::Category;
use crate::review::items::Shuttle;

/// A guess at a positive quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Guess {
    /// The likeliest value.
    pub value: f64,
    /// Standard deviation of its logarithm for times; of the value itself for speeds.
    pub sd: f64,
}

impl Guess {
    pub(crate) const fn new(value: f64, sd: f64) -> Self {
        Self { value, sd }
    }
}

/// Rest between blocks when the plan does not say: a minute or so, to walk over and set out.
pub(super) const BETWEEN_BLOCKS: Guess = Guess::new(60.0, 0.7);

/// How well a player keeps a planned time of work: to 6 %.
pub(super) fn timed_work(s: f64) -> Guess {
    Guess::new(s.max(0.1), 0.06)
}

/// How well the time of intermittent work is kept and seen: its borders are hardly sharper than some seconds.
pub(super) fn stretch(s: f64) -> Guess {
    Guess::new(s.max(1.0), 0.06 + 4.0 / s.max(10.0))
}

/// How well a player keeps a planned rest, until the session says.
pub(super) fn timed_rest(s: f64) -> Guess {
    Guess::new(s.max(1.0), 0.16)
}

/// Rest between sets when the plan does not say: somewhat longer than that between reps.
pub(super) fn between_sets(rest: &Guess) -> Guess {
    Guess::new(rest.value.max(30.0) * 1.5, 0.7)
}

/// Walking back over the distance of the rep at 1.4 m/s, with some standing; a lap leaves no way back.
pub(super) fn walk_back(distance_m: Option<f64>, work: Guess) -> Guess {
    let way_m = distance_m.unwrap_or(4.0 * work.value);
    Guess::new(0.8 * way_m / 1.4 + 8.0, 0.4)
}

/// The sprint of a player of such a top speed whose start is as usual.
fn sprint(top_m_s: f64) -> Curve {
    Curve {
        vmax_m_s: top_m_s,
        ..Curve::EXPECTED
    }
}

/// The time of a sprint of a player whose start is as usual, s.
pub(super) fn usual_time_s(distance_m: f64, top_m_s: f64) -> f64 {
    sprint(top_m_s).time_s(distance_m).max(0.1)
}

/// The share of his top speed that he has after a distance.
pub(super) fn share_of_top(distance_m: f64, top_m_s: f64) -> f64 {
    sprint(top_m_s).speed_m_s(usual_time_s(distance_m, top_m_s)) / top_m_s
}

/// With the ball a player is a tenth slower. How much is a habit of his, the same for all reps of a block, and every rep counts for
/// itself here: so only half of it is expected.
const WITH_BALL: f64 = 0.95;

/// A run of up to 20 s, m/s, and how fast a longer one is that the plan gives a length.
const SHORT_RUN_M_S: f64 = 5.5;
const RUN_M_S: f64 = 4.5;
/// Up to this time a run is a short one, s; of longer ones speed falls with this power of the time. All out it is 0.06 (Riegel 1981,
/// American Scientist 69:285, exponent from memory); reps are run with something left.
const SHORT_RUN_S: f64 = 20.0;
const FALLS_WITH: f64 = 0.12;

/// The peak of a longer run. Who sprints slower runs slower, but not by as much.
fn run(top_m_s: f64, time_s: Option<f64>) -> Guess {
    let times = time_s.map_or(1.0, |s| s.max(SHORT_RUN_S) / SHORT_RUN_S);
    let peak_m_s =
        SHORT_RUN_M_S * times.powf(-FALLS_WITH) * (top_m_s / Curve::EXPECTED.vmax_m_s).sqrt();
    Guess::new(peak_m_s, 1.2)
}

/// The peak speed to expect, with the standard deviation in m/s. `time_s` is how long the plan has it last, if it says.
pub(super) fn peak(
    category: Category,
    distance_m: Option<f64>,
    shuttle: Option<Shuttle>,
    with_ball: bool,
    top_speed_m_s: Option<f64>,
    time_s: Option<f64>,
) -> Guess {
    let top = top_speed_m_s.unwrap_or(Curve::EXPECTED.vmax_m_s);
    let guess = if let Some(shuttle) = shuttle {
        // Half of the way at 3 m/s2 up, half down; done with care it is much slower.
        Guess::new((3.0 * shuttle.leg_m).sqrt().clamp(2.0, 5.0), 1.6)
    } else {
        match category {
            Category::Speed => Guess::new(top * share_of_top(distance_m.unwrap_or(30.0), top), 1.0),
            Category::Strength => Guess::new(4.5, 1.5),
            // With the ball, round cones: hardly a run.
            Category::Technical => Guess::new(4.0, 1.5),
            _ => run(top, time_s.or(distance_m.map(|m| m / RUN_M_S))),
        }
    };
    if with_ball {
        Guess::new(WITH_BALL * guess.value, guess.sd)
    } else {
        guess
    }
}

/// The time of work to expect when the plan gives none.
pub(super) fn untimed_work(
    distance_m: Option<f64>,
    shuttle: Option<Shuttle>,
    peak: Guess,
    reps: f64,
    category: Category,
) -> Guess {
    match (distance_m, shuttle) {
        (
            _,
            Some(Shuttle {
                leg_m,
                legs: Some(legs),
            }),
        ) => {
            // At 4 m/s2 up and down, and a fifth more for the turn and for care.
            let top = peak.value.max(2.0);
            let ramp_m = top * top / 4.0;
            let leg_s = if leg_m < ramp_m {
                2.0 * (leg_m / 4.0).sqrt()
            } else {
                2.0 * top / 4.0 + (leg_m - ramp_m) / top
            };
            Guess::new(legs * leg_s * 1.2, 0.35)
        }
        (Some(m), _) => {
            let sd = match category {
                Category::Speed => 0.18,
                Category::Resistance => 0.22,
                _ => 0.35,
            };
            Guess::new(usual_time_s(m, peak.value * 1.03), sd)
        }
        (None, _) => Guess::new(6.0 * reps, 0.7),
    }
}
