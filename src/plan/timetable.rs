//! What a plan asks for on the clock: start, work and rest of each block, expected distance and high-speed metres.

use crate::curve::Curve;
use crate::plan::{Block, Category, Dose, Effort, FreeRest, Plan, Rest, Target, Work};
use crate::units::SpeedUnit;

/// No sane session lasts longer, s: a rest that makes one so long is asked about.
pub(super) const LONGEST_S: f64 = 3.0 * 3600.0;

/// What is assumed of running where the plan does not say. All but the plan's own top speed are common practice, no
/// source, unless a field says otherwise.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Assumptions {
    /// Top speed of a player whose plan gives none, m/s.
    pub top_speed_m_s: f64,
    /// Time constant of a standing start, s: 1.0 to 1.3 s in footballers (Hoppe et al. 2018, `PLoS` One,
    /// doi:10.1371/journal.pone.0192708, report 1.1 s for a team-sport group).
    pub tau_s: f64,
    /// Speed of walking back, m/s.
    pub walk_m_s: f64,
    /// Speed of jogging back, m/s.
    pub jog_m_s: f64,
    /// Full rest after a maximal run: a minute for every ten metres, s a metre, a coaching rule.
    pub full_rest_s_a_metre: f64,
    /// Pace of a run that is to be easy, m/s.
    pub easy_m_s: f64,
    /// Speed from which metres are high-speed metres, m/s.
    pub high_speed_m_s: f64,
    /// Fastest speed between two turns of a shuttle, m/s.
    pub shuttle_m_s: f64,
    /// Speeding up and braking in a shuttle, m/s2.
    pub shuttle_m_s2: f64,
    /// Time of a counted rep of unknown length, s.
    pub counted_rep_s: f64,
    /// In which unit people are told speeds.
    pub speeds: SpeedUnit,
}

impl Default for Assumptions {
    fn default() -> Self {
        Self {
            top_speed_m_s: Curve::PLANNED.vmax_m_s,
            tau_s: Curve::PLANNED.tau_s,
            walk_m_s: 1.4,
            jog_m_s: 2.5,
            full_rest_s_a_metre: 6.0,
            easy_m_s: 2.5,
            high_speed_m_s: 5.5,
            shuttle_m_s: 5.5,
            shuttle_m_s2: 4.0,
            counted_rep_s: 3.0,
            speeds: SpeedUnit::default(),
        }
    }
}

/// A plan on the clock.
#[derive(Clone, Debug, PartialEq)]
pub struct Timetable {
    /// A slot a block, in the order of the plan.
    pub slots: Vec<Slot>,
    /// From the start of the first block to the end of the last, the rest behind it included, s.
    pub total_s: f64,
    /// All work, s.
    pub work_s: f64,
    /// All rest, s.
    pub rest_s: f64,
    /// Metres of the reps whose length is known.
    pub distance_m: f64,
    /// Metres at or above [`Assumptions::high_speed_m_s`], if the reps reach their speed.
    pub high_speed_m: f64,
    /// Reps of the plan; a continuous block counts as one.
    pub reps: u64,
    /// Reps whose length is known.
    pub reps_with_distance: u64,
    /// Whether any time is estimated.
    pub estimated: bool,
    /// The top speed used, m/s: the plan's, else the assumed one.
    pub top_speed_m_s: f64,
}

impl Timetable {
    /// Work over rest; `None` without any rest.
    #[must_use]
    pub(crate) fn work_to_rest(&self) -> Option<f64> {
        (self.rest_s > 0.0).then(|| self.work_s / self.rest_s)
    }
}

/// One block on the clock.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slot {
    /// From the start of the plan, s.
    pub start_s: f64,
    /// End of the block without the rest behind it, s from the start of the plan.
    pub end_s: f64,
    /// Work of all reps, s.
    pub work_s: f64,
    /// Rest between reps and sets, s; the rest behind the block is [`Slot::then_s`].
    pub rest_s: f64,
    /// Rest behind the block, s.
    pub then_s: f64,
    /// Whether `work_s` is estimated, not written.
    pub work_estimated: bool,
    /// Whether `rest_s` is estimated, not written.
    pub rest_estimated: bool,
    /// Work of one rep, s.
    pub rep_s: f64,
    /// Rest between two reps of a set, s.
    pub rep_rest_s: f64,
    /// Rest between two sets, s.
    pub set_rest_s: f64,
    /// Metres of all reps, if the length of a rep is known.
    pub distance_m: Option<f64>,
    /// High-speed metres of all reps, if the plan asks for a speed.
    pub high_speed_m: Option<f64>,
}

/// Puts a plan on the clock.
///
/// ## Definition
/// A set of n reps has n - 1 rests, a block of n sets n - 1 rests between sets; where no rest between sets is written,
/// the rest between reps is taken. A straight rep over a distance follows the mono-exponential sprint
/// v(t) = v (1 - exp(-t / tau)) with v the top speed for `speed` blocks, else the speed asked for; a shuttle speeds up
/// and brakes evenly on each way. Walking back is estimated from the length and [`Assumptions::walk_m_s`].
///
/// ## Units
/// Times in s from the start of the first block, lengths in m.
///
/// ## References
/// Furusawa, Hill, Parkinson (1927), Proc R Soc B 102:29, for the sprint's form.
#[must_use]
pub fn timetable(plan: &Plan, assumptions: &Assumptions) -> Timetable {
    let mut assumptions = *assumptions;
    if let Some(top_speed) = plan.header.top_speed_m_s {
        assumptions.top_speed_m_s = top_speed;
    }
    let mut table = Timetable {
        slots: Vec::with_capacity(plan.blocks.len()),
        total_s: 0.0,
        work_s: 0.0,
        rest_s: 0.0,
        distance_m: 0.0,
        high_speed_m: 0.0,
        reps: 0,
        reps_with_distance: 0,
        estimated: false,
        top_speed_m_s: assumptions.top_speed_m_s,
    };
    for block in &plan.blocks {
        let slot = slot(block, table.total_s, &assumptions);
        let reps = u64::from(block.sets()) * u64::from(block.reps());
        table.total_s = slot.end_s + slot.then_s;
        table.work_s += slot.work_s;
        table.rest_s += slot.rest_s + slot.then_s;
        table.distance_m += slot.distance_m.unwrap_or(0.0);
        table.high_speed_m += slot.high_speed_m.unwrap_or(0.0);
        table.reps += reps;
        table.reps_with_distance += if slot.distance_m.is_some() { reps } else { 0 };
        table.estimated |= slot.work_estimated || slot.rest_estimated;
        table.slots.push(slot);
    }
    table
}

fn slot(block: &Block, start_s: f64, assumptions: &Assumptions) -> Slot {
    let runs: Vec<Run> = if block.mixed.is_empty() {
        vec![run(block, assumptions)]
    } else {
        (0..block.mixed.len())
            .map(|rep| run(&block.of_rep(1, rep), assumptions))
            .collect()
    };
    let run = Run::mean(&runs);
    let (sets, reps) = (f64::from(block.sets()), f64::from(block.reps()));
    let mut rest_estimated = block.every_s.is_some() && block.work_s().is_none();
    let rep_rest_s = match block.rest {
        Rest::RunOn => 0.0,
        Rest::Timed(seconds) => seconds,
        Rest::WalkBack => {
            rest_estimated = reps > 1.0 || (sets > 1.0 && block.between_sets_s.is_none());
            free_rest_over_s(block, run.back_m, assumptions)
        }
    };
    let set_rest_s = block.between_sets_s.unwrap_or(rep_rest_s);
    let work_s = sets * reps * run.time_s;
    let rest_s = sets * (reps - 1.0) * rep_rest_s + (sets - 1.0) * set_rest_s;
    Slot {
        start_s,
        end_s: start_s + work_s + rest_s,
        work_s,
        rest_s,
        then_s: block.then_s.unwrap_or(0.0),
        work_estimated: block.work_s().is_none(),
        rest_estimated,
        rep_s: run.time_s,
        rep_rest_s,
        set_rest_s,
        distance_m: run.distance_m.map(|m| m * sets * reps),
        high_speed_m: run.high_speed_m.map(|m| m * sets * reps),
    }
}

/// The expected time of one rep, s.
pub(super) fn rep_s(block: &Block, assumptions: &Assumptions) -> f64 {
    run(block, assumptions).time_s
}

/// The expected time of a block without the rest behind it, s.
pub(super) fn block_s(block: &Block, assumptions: &Assumptions) -> f64 {
    slot(block, 0.0, assumptions).end_s
}

/// The expected rest after a rep, where its length is free, s.
pub(super) fn free_rest_s(block: &Block, assumptions: &Assumptions) -> f64 {
    free_rest_over_s(block, run(block, assumptions).back_m, assumptions)
}

fn free_rest_over_s(block: &Block, back_m: f64, assumptions: &Assumptions) -> f64 {
    match block.free_rest {
        FreeRest::Walk => back_m / assumptions.walk_m_s,
        FreeRest::Jog => back_m / assumptions.jog_m_s,
        FreeRest::Full => back_m * assumptions.full_rest_s_a_metre,
    }
}

/// One rep as expected.
struct Run {
    time_s: f64,
    distance_m: Option<f64>,
    high_speed_m: Option<f64>,
    /// The way back to the start, m.
    back_m: f64,
}

impl Run {
    /// The mean of the reps of a set; what is not known of one is not known of all.
    fn mean(runs: &[Self]) -> Self {
        let count = runs.len().max(1) as f64;
        let known = |value: fn(&Self) -> Option<f64>| {
            let values: Option<Vec<f64>> = runs.iter().map(value).collect();
            values.map(|values| values.iter().sum::<f64>() / count)
        };
        Self {
            time_s: runs.iter().map(|run| run.time_s).sum::<f64>() / count,
            distance_m: known(|run| run.distance_m),
            high_speed_m: known(|run| run.high_speed_m),
            back_m: runs.iter().map(|run| run.back_m).sum::<f64>() / count,
        }
    }
}

fn run(block: &Block, assumptions: &Assumptions) -> Run {
    let asked = asked_speed(block, assumptions);
    let sprint = Curve {
        vmax_m_s: asked.unwrap_or_else(|| usual_pace_m_s(block.category)),
        tau_s: assumptions.tau_s,
    };
    if let Some(time_s) = block.work_s() {
        // How far a timed rep goes is known only where a speed is asked for and no turn is in the way.
        let straight = matches!(block.dose, Dose::Reps { .. }) && !block.there_and_back;
        let known = asked
            .filter(|_| straight)
            .map(|_| sprint.distance_m(time_s));
        return Run {
            time_s,
            distance_m: known,
            high_speed_m: known.map(|m| metres_above(sprint, assumptions.high_speed_m_s, m)),
            back_m: known
                .or(block.over_m)
                .unwrap_or_else(|| sprint.distance_m(time_s)),
        };
    }
    let (Some(distance_m), Some(one_way_m)) = (block.rep_distance_m(), block.one_way_m()) else {
        let time_s = assumptions.counted_rep_s;
        return Run {
            time_s,
            distance_m: None,
            high_speed_m: None,
            back_m: sprint.distance_m(time_s),
        };
    };
    if block.there_and_back {
        let speed = asked.map_or(assumptions.shuttle_m_s, |asked| {
            asked.min(assumptions.shuttle_m_s)
        });
        let legs = (distance_m / one_way_m).max(1.0);
        return Run {
            time_s: legs * leg_s(one_way_m, speed, assumptions.shuttle_m_s2),
            distance_m: Some(distance_m),
            high_speed_m: None,
            back_m: one_way_m,
        };
    }
    Run {
        time_s: sprint.time_s(distance_m),
        distance_m: Some(distance_m),
        high_speed_m: asked.map(|_| metres_above(sprint, assumptions.high_speed_m_s, distance_m)),
        back_m: one_way_m,
    }
}

/// The speed that a rep levels off at, where the plan says so: `speed` is maximal whatever mark it must pass.
fn asked_speed(block: &Block, assumptions: &Assumptions) -> Option<f64> {
    let target = block.target.map(|target| match target {
        Target::ShareOfTop(share) => share * assumptions.top_speed_m_s,
        Target::Speed(speed) => speed,
    });
    match (block.category, &block.dose) {
        _ if block.effort == Some(Effort::Easy) && target.is_none() => Some(assumptions.easy_m_s),
        (_, Dose::Reps { .. }) if block.effort == Some(Effort::FlatOut) && target.is_none() => {
            Some(assumptions.top_speed_m_s)
        }
        (Category::Speed, Dose::Reps { work, .. })
            if *work != Work::Count || block.over_m.is_some() =>
        {
            Some(target.unwrap_or(0.0).max(assumptions.top_speed_m_s))
        }
        _ => target,
    }
}

/// The pace of a rep whose speed is not written, m/s: common practice, no source.
fn usual_pace_m_s(category: Category) -> f64 {
    match category {
        Category::WarmUp | Category::Technical | Category::CoolDown | Category::Gym => 2.0,
        Category::Strength | Category::Game => 3.5,
        Category::Resistance => 4.5,
        Category::Speed => 7.0,
    }
}

/// Time of one way of a shuttle from standstill to standstill: even acceleration, a cap, even braking.
fn leg_s(length_m: f64, cap_m_s: f64, acceleration_m_s2: f64) -> f64 {
    if length_m <= cap_m_s * cap_m_s / acceleration_m_s2 {
        2.0 * (length_m / acceleration_m_s2).sqrt()
    } else {
        length_m / cap_m_s + cap_m_s / acceleration_m_s2
    }
}

/// Metres run at or above a speed within the first `distance_m` of a sprint.
fn metres_above(sprint: Curve, threshold_m_s: f64, distance_m: f64) -> f64 {
    let share = threshold_m_s / sprint.vmax_m_s;
    if share >= 1.0 {
        return 0.0;
    }
    (distance_m - sprint.distance_of_share_m(share)).max(0.0)
}

/// A time as a clock shows it, to the second: `4:05`, `1:02:30`.
#[must_use]
pub fn clock_text(seconds: f64) -> String {
    // A plan of a million reps of a day each is below 2^53 s.
    let whole = seconds.max(0.0).round() as u64;
    let (hours, minutes, seconds) = (whole / 3600, whole / 60 % 60, whole % 60);
    if hours > 0 {
        format!("{hours}:{minutes:02}:{seconds:02}")
    } else {
        format!("{minutes}:{seconds:02}")
    }
}

/// Whether a plan is so long that rests which could lie between sets are asked about.
pub(super) fn rests_are_asked(plan: &Plan) -> bool {
    let open = plan.blocks.iter().any(Block::rest_is_open);
    open && timetable(plan, &Assumptions::default()).total_s > LONGEST_S
}

#[cfg(test)]
mod tests {
    use super::{Curve, leg_s, metres_above};

    #[test]
    fn a_speed_is_passed_where_the_model_passes_it() {
        // 90 % of 9.0 m/s is passed at 13.89 m.
        let sprint = Curve {
            vmax_m_s: 9.0,
            tau_s: 1.1,
        };
        assert!((metres_above(sprint, 8.1, 20.0) - (20.0 - 13.89)).abs() < 0.006);
        assert!(metres_above(sprint, 9.0, 20.0).abs() < f64::EPSILON);
    }

    #[test]
    fn shuttle_legs_are_those_of_even_acceleration() {
        // 4 m/s2 in and out, cap 5.5 m/s, computed: 5 m 2.24 s, 9 m 3.01 s, 20 m 5.01 s.
        for (metres, seconds) in [(5.0, 2.24), (9.0, 3.01), (20.0, 5.01)] {
            assert!(
                (leg_s(metres, 5.5, 4.0) - seconds).abs() < 0.006,
                "{metres} m"
            );
        }
    }
}
