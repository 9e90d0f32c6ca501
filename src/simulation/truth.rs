//! What truly happened in a simulated session.

use jiff::Timestamp;

use crate::simulation::body::{STEP_S, State};
use crate::simulation::filter::Butterworth;

/// The truth of one session. Times are seconds from the first fix of the recording; samples lie [`Truth::STEP_S`] apart.
#[derive(Clone, Debug)]
pub struct Truth {
    /// The moment of time 0.
    pub start: Timestamp,
    /// Where the athlete was, step ripple included, while the recording ran.
    pub states: Vec<State>,
    /// Speed without the step ripple, m/s.
    pub speed_m_s: Vec<f64>,
    /// Rate of change of speed below 1 Hz, m/s2.
    pub acceleration_m_s2: Vec<f64>,
    /// Heart rate, beats a minute, one value a second.
    pub heart_rate_bpm: Vec<f64>,
    /// Every rep of the plan, in its order; a continuous block is one rep.
    pub reps: Vec<Rep>,
    /// Work that the plan does not know.
    pub unplanned: Vec<Unplanned>,
    /// Start and end of rides by car or bicycle, s: part of no total and no effort.
    pub rides: Vec<(f64, f64)>,
    /// True sprints, by the default thresholds.
    pub sprints: Vec<Span>,
    /// True high-speed runs, by the default thresholds.
    pub high_speed_runs: Vec<Span>,
    /// True accelerations, by the default thresholds.
    pub accelerations: Vec<Span>,
    /// Distance of all movement above 0.2 m/s, m.
    pub distance_m: f64,
    /// Highest speed, m/s.
    pub top_speed_m_s: f64,
}

/// What became of a planned rep.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Outcome {
    /// Carried out.
    Done,
    /// Started and cut off.
    Short,
    /// Run in full below the speed asked for.
    Slow,
    /// Not in the recording.
    Missed,
}

/// One rep of the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is a trait of its own that a rep has or has not"
)]
pub struct Rep {
    /// Block, from 1.
    pub block: usize,
    /// Set, from 1.
    pub set: usize,
    /// Rep, from 1.
    pub rep: usize,
    /// What became of it.
    pub outcome: Outcome,
    /// What was run; `None` when missed.
    pub run: Option<Run>,
    /// Rest to the next rep that was run in the same set, s.
    pub rest_s: Option<f64>,
    /// Rest to the next set or block that was begun, s; only after the last rep run in a set.
    pub rest_after_set_s: Option<f64>,
    /// Whether the reps of its set run on without rest.
    pub runs_on: bool,
    /// The speed asked for, m/s.
    pub mark_m_s: Option<f64>,
    /// Whether it is a bout of play, of technical work, of warming up or cooling down, whose edges no line marks.
    pub played: bool,
    /// The share of it that the recording holds; 0 when it was not run.
    pub visible: f64,
    /// Whether nobody can tell which reps of its set were left out, but only how many: rests are self-paced or were not
    /// kept.
    pub order_only: bool,
    /// Whether it was timed by feel and came out so short that one may call it so.
    pub by_feel: bool,
}

/// A stretch of work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Run {
    /// Leaves rest, s.
    pub start_s: f64,
    /// Starts to brake, or has stopped at a line, s.
    pub end_s: f64,
    /// Way covered in between, m.
    pub distance_m: f64,
    /// Highest speed in between, m/s.
    pub peak_speed_m_s: f64,
}

/// Work that the plan does not know.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unplanned {
    /// Why it was done.
    pub kind: UnplannedKind,
    /// What was run.
    pub run: Run,
}

/// Reasons for unplanned work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UnplannedKind {
    /// One rep more than planned.
    ExtraRep,
    /// A sprint for its own sake.
    Sprint,
    /// A ball was fetched.
    FetchBall,
    /// A whole drill that the plan does not know.
    OtherDrill,
}

/// A stretch above a threshold.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Largest value inside: m/s of a run, m/s2 of an acceleration.
    pub peak: f64,
    /// Whether a slightly other threshold or dwell (3 %) would still find it.
    pub clear: bool,
}

impl Truth {
    /// Time between samples, s.
    pub const STEP_S: f64 = STEP_S;

    /// Length of the recording, s.
    #[must_use]
    pub fn duration_s(&self) -> f64 {
        self.states.len().saturating_sub(1) as f64 * STEP_S
    }

    /// The state at a time, between samples by straight line.
    #[must_use]
    pub fn state_at(&self, time_s: f64) -> State {
        let last = self.states.len().saturating_sub(1);
        let at = (time_s / STEP_S).clamp(0.0, last as f64);
        let (i, part) = (at.floor() as usize, at.fract());
        let (Some(a), Some(b)) = (self.states.get(i), self.states.get((i + 1).min(last))) else {
            return State::default();
        };
        let mix = |p: f64, q: f64| p + part * (q - p);
        State {
            x_m: mix(a.x_m, b.x_m),
            y_m: mix(a.y_m, b.y_m),
            vx_m_s: mix(a.vx_m_s, b.vx_m_s),
            vy_m_s: mix(a.vy_m_s, b.vy_m_s),
        }
    }

    /// The way covered and the highest speed between two times.
    #[must_use]
    pub(crate) fn run(&self, start_s: f64, end_s: f64) -> Run {
        let (distance_m, peak_speed_m_s) = measure(&self.speed_m_s, start_s, end_s);
        Run {
            start_s,
            end_s,
            distance_m,
            peak_speed_m_s,
        }
    }
}

/// Way (movement above 0.2 m/s) and peak between two times.
fn measure(speed_m_s: &[f64], start_s: f64, end_s: f64) -> (f64, f64) {
    let last = speed_m_s.len();
    let from = ((start_s / STEP_S).round().max(0.0) as usize).min(last);
    let to = ((end_s / STEP_S).round().max(0.0) as usize).clamp(from, last);
    let part = &speed_m_s[from..to];
    let way = part.iter().filter(|&&v| v > 0.2).sum::<f64>() * STEP_S;
    (way, part.iter().copied().fold(0.0, f64::max))
}

/// Speed and acceleration by the conventions: the velocity vector through a 2 Hz zero-phase low-pass, its length, and
/// the rate of change of that below 1 Hz.
pub(super) fn kinematics(states: &[State]) -> (Vec<f64>, Vec<f64>) {
    let rate_hz = 1.0 / STEP_S;
    let two = Butterworth::zero_phase(2.0, rate_hz);
    let vx = two.run(&states.iter().map(|s| s.vx_m_s).collect::<Vec<_>>());
    let vy = two.run(&states.iter().map(|s| s.vy_m_s).collect::<Vec<_>>());
    let speed: Vec<f64> = vx.iter().zip(&vy).map(|(x, y)| x.hypot(*y)).collect();
    let slow = Butterworth::zero_phase(1.0, rate_hz).run(&speed);
    let last = slow.len().saturating_sub(1);
    let acceleration = (0..slow.len())
        .map(|i| {
            let (a, b) = (i.saturating_sub(1), (i + 1).min(last));
            if b > a {
                (slow[b] - slow[a]) / ((b - a) as f64 * STEP_S)
            } else {
                0.0
            }
        })
        .collect();
    (speed, acceleration)
}

/// Distance of all movement above 0.2 m/s, m.
pub(super) fn distance(speed_m_s: &[f64]) -> f64 {
    measure(speed_m_s, 0.0, speed_m_s.len() as f64 * STEP_S).0
}

/// What counts as an effort in the truth: a threshold held for a dwell. Fixed, whatever the settings of a review.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// Threshold, m/s or m/s2.
    pub from: f64,
    /// Least duration, s.
    pub dwell_s: f64,
}

/// Dips below a threshold of up to so long are bridged, s.
const BRIDGE_S: f64 = 0.5;

/// How much nearer or farther a rule may be for an effort to count as clear.
const MARGIN: f64 = 0.03;

/// Sprints: 7.0 m/s for 1 s.
pub const SPRINT: Rule = Rule {
    from: 7.0,
    dwell_s: 1.0,
};

/// High-speed runs: 5.5 m/s for 1 s.
pub(crate) const HIGH_SPEED_RUN: Rule = Rule {
    from: 5.5,
    dwell_s: 1.0,
};

/// Accelerations: 3.0 m/s2 for 0.5 s.
pub(crate) const ACCELERATION: Rule = Rule {
    from: 3.0,
    dwell_s: 0.5,
};

impl Rule {
    /// The stretches of a series, [`Truth::STEP_S`] apart, that satisfy the rule.
    #[must_use]
    pub(crate) fn find(self, values: &[f64]) -> Vec<Span> {
        let strict = self.scaled(1.0 + MARGIN).ranges(values);
        self.ranges(values)
            .into_iter()
            .map(|(start, end)| Span {
                start_s: start as f64 * STEP_S,
                end_s: end as f64 * STEP_S,
                peak: values[start..end].iter().copied().fold(f64::MIN, f64::max),
                clear: strict.iter().any(|&(s, e)| s < end && start < e),
            })
            .collect()
    }

    /// The stretches that only a rule 3 % milder finds, which nobody can blame a detector for.
    #[must_use]
    pub fn nearly(self, values: &[f64]) -> Vec<Span> {
        let mut milder = self.scaled(1.0 - MARGIN).find(values);
        let strict = self.scaled(1.0 + MARGIN).ranges(values);
        milder.retain(|span| {
            !(strict.iter())
                .any(|&(s, e)| (s as f64) * STEP_S < span.end_s && span.start_s < e as f64 * STEP_S)
        });
        milder
    }

    fn scaled(self, factor: f64) -> Self {
        Self {
            from: self.from * factor,
            dwell_s: self.dwell_s * factor,
        }
    }

    fn ranges(self, values: &[f64]) -> Vec<(usize, usize)> {
        above(values, self.from, self.dwell_s, BRIDGE_S)
    }
}

/// Half-open index ranges at or above `from`; shorter dips than `bridge_s` are bridged, then shorter ranges dropped.
fn above(values: &[f64], from: f64, dwell_s: f64, bridge_s: f64) -> Vec<(usize, usize)> {
    let mut ranges: Vec<(usize, usize)> = Vec::new();
    for (i, _) in values.iter().enumerate().filter(|(_, v)| **v >= from) {
        match ranges.last_mut() {
            Some(range) if (i - range.1) as f64 * STEP_S <= bridge_s => range.1 = i + 1,
            _ => ranges.push((i, i + 1)),
        }
    }
    ranges.retain(|(s, e)| (e - s) as f64 * STEP_S >= dwell_s - 1e-9);
    ranges
}

#[cfg(test)]
mod tests {
    use super::above;

    #[test]
    fn short_dips_are_bridged_and_short_stretches_dropped() {
        let mut speed = vec![0.0; 1000];
        speed[100..160].fill(8.0);
        speed[200..260].fill(8.0);
        speed[500..590].fill(8.0);
        assert_eq!(above(&speed, 7.0, 1.0, 0.5), [(100, 260)]);
    }
}
