//! Axes with round numbers, as coordinates that plotters draws in and as words beside them.

use std::ops::Range;

use plotters::coord::ranged1d::{DefaultFormatting, KeyPointHint, Ranged};

use crate::units::SpeedUnit;

/// A linear axis that carries its own ticks.
#[derive(Clone, Debug)]
pub(super) struct Axis {
    /// Values at the two ends.
    pub(super) range: Range<f64>,
    /// Where grid lines and numbers stand.
    pub(super) ticks: Vec<f64>,
    /// What the number at a tick is times its value: 1, but for speeds that are told in another unit than m/s.
    pub(super) per: f64,
}

impl Ranged for Axis {
    type FormatOption = DefaultFormatting;
    type ValueType = f64;

    fn map(&self, value: &f64, limit: (i32, i32)) -> i32 {
        let share = (value - self.range.start) / (self.range.end - self.range.start);
        let span = f64::from(limit.1) - f64::from(limit.0);
        (f64::from(limit.0) + span * share).round() as i32
    }

    fn key_points<Hint: KeyPointHint>(&self, _hint: Hint) -> Vec<f64> {
        self.ticks.clone()
    }

    fn range(&self) -> Range<f64> {
        self.range.clone()
    }
}

impl Axis {
    /// An axis over `range` with ticks at multiples of 1, 2 or 5 times a power of ten, at most `most` of them.
    pub(super) fn numbers(range: Range<f64>, most: usize) -> Self {
        let step = round_step((range.end - range.start) / most.max(1) as f64);
        Self::stepped(range, step)
    }

    /// An axis over `range` with a tick at each multiple of `step`.
    pub(super) fn stepped(range: Range<f64>, step: f64) -> Self {
        let first = (range.start / step - 1e-9).ceil();
        let count = ((range.end / step + 1e-9).floor() - first).clamp(-1.0, 200.0);
        let ticks = (0..=count as i64)
            .filter(|_| count >= 0.0)
            .map(|i| (first + i as f64) * step)
            .collect();
        Self {
            range,
            ticks,
            per: 1.0,
        }
    }

    /// The same of speeds in m/s, with at most `most` ticks at round numbers of the unit that they are told in.
    pub(super) fn told_in(self, speeds: SpeedUnit, most: usize) -> Self {
        let per = speeds.of(1.0);
        let told = Self::numbers(self.range.start * per..self.range.end * per, most);
        Self {
            range: self.range,
            ticks: told.ticks.iter().map(|tick| tick / per).collect(),
            per,
        }
    }

    /// The numbers at the ticks.
    pub(super) fn numbers_told(&self) -> impl Iterator<Item = f64> + '_ {
        self.ticks.iter().map(|tick| tick * self.per)
    }

    /// The place of `value` between the ends, 0 to 1 inside.
    pub(super) fn share(&self, value: f64) -> f64 {
        (value - self.range.start) / (self.range.end - self.range.start)
    }
}

/// A whole number without a sign on zero, with a true minus.
pub(super) fn whole(value: f64) -> String {
    let rounded = value.round();
    if rounded < 0.0 {
        format!("−{:.0}", -rounded)
    } else {
        format!("{:.0}", rounded.abs())
    }
}

/// The least of 1, 2, 5 times a power of ten that is at least `least`.
pub(super) fn round_step(least: f64) -> f64 {
    if !(least.is_finite() && least > 0.0) {
        return 1.0;
    }
    let power = 10f64.powf(least.log10().floor());
    [1.0, 2.0, 5.0, 10.0]
        .iter()
        .map(|m| m * power)
        .find(|step| *step >= least * (1.0 - 1e-9))
        .unwrap_or(10.0 * power)
}

/// Steps of a time axis that people count in, s.
const STEPS_S: [f64; 19] = [
    1.0, 2.0, 5.0, 10.0, 15.0, 30.0, 60.0, 120.0, 300.0, 600.0, 900.0, 1200.0, 1800.0, 3600.0,
    7200.0, 10_800.0, 14_400.0, 21_600.0, 43_200.0,
];

/// How the numbers of a time axis are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Clock {
    /// `4:05`
    MinutesSeconds,
    /// `12`
    Minutes,
    /// `1:05`
    HoursMinutes,
    /// `1:05:30`
    HoursMinutesSeconds,
}

impl Clock {
    /// The form for ticks `step_s` apart up to `end_s`.
    pub(super) fn of(step_s: f64, end_s: f64) -> Self {
        match (step_s < 60.0, end_s < 3600.0) {
            (true, true) => Self::MinutesSeconds,
            (true, false) => Self::HoursMinutesSeconds,
            (false, true) => Self::Minutes,
            (false, false) => Self::HoursMinutes,
        }
    }

    /// What the form is called beside the axis.
    pub(super) fn unit(self) -> &'static str {
        match self {
            Self::MinutesSeconds => "min:s",
            Self::Minutes => "min",
            Self::HoursMinutes => "h:min",
            Self::HoursMinutesSeconds => "h:min:s",
        }
    }

    /// A time in this form.
    pub(super) fn write(self, time_s: f64) -> String {
        let s = time_s.max(0.0).round() as u64;
        match self {
            Self::MinutesSeconds => format!("{}:{:02}", s / 60, s % 60),
            Self::Minutes => format!("{}", s / 60),
            Self::HoursMinutes => format!("{}:{:02}", s / 3600, s / 60 % 60),
            Self::HoursMinutesSeconds => {
                format!("{}:{:02}:{:02}", s / 3600, s / 60 % 60, s % 60)
            }
        }
    }
}

/// The least step of a time axis that gives at most `most` ticks over `span_s`.
pub(super) fn time_step(span_s: f64, most: usize) -> f64 {
    let least = span_s / most.max(1) as f64;
    STEPS_S
        .iter()
        .copied()
        .find(|step| *step >= least)
        .unwrap_or_else(|| round_step(least / 86_400.0) * 86_400.0)
}

/// A length of time in words, such as "3 min 20 s" or "1 h 30 min".
pub(super) fn spell(duration_s: f64) -> String {
    let s = duration_s.max(0.0).round() as u64;
    let (h, min, s) = (s / 3600, s / 60 % 60, s % 60);
    match (h, min, s) {
        (0, 0, _) => format!("{s} s"),
        (0, _, 0) => format!("{min} min"),
        (0, 1..10, _) => format!("{min} min {s} s"),
        (0, _, _) => format!("{} min", if s < 30 { min } else { min + 1 }),
        (_, 0, _) => format!("{h} h"),
        _ => format!("{h} h {min} min"),
    }
}

#[cfg(test)]
mod tests {
    use super::{Axis, Clock, spell, time_step};
    use crate::units::SpeedUnit;

    #[test]
    fn ticks_are_round_and_inside() {
        assert_eq!(Axis::numbers(0.0..9.3, 5).ticks, [0.0, 2.0, 4.0, 6.0, 8.0]);
        assert_eq!(Axis::numbers(-12.0..11.0, 4).ticks, [-10.0, 0.0, 10.0]);
        assert!(Axis::stepped(3.1..3.4, 5.0).ticks.is_empty());
    }

    #[test]
    fn speeds_have_round_numbers_in_the_unit_that_they_are_told_in() {
        let axis = Axis::numbers(0.0..9.3, 6).told_in(SpeedUnit::KilometresPerHour, 6);
        let told: Vec<f64> = axis.numbers_told().map(f64::round).collect();
        assert_eq!(told, [0.0, 10.0, 20.0, 30.0]);
        assert_eq!(axis.range, 0.0..9.3);
        assert!((axis.ticks[1] - 10.0 / 3.6).abs() < 1e-12);
        let plain = Axis::numbers(0.0..9.3, 6);
        assert_eq!(
            plain.clone().told_in(SpeedUnit::MetresPerSecond, 6).ticks,
            plain.ticks
        );
    }

    #[test]
    fn time_is_counted_as_people_count_it() {
        assert!((time_step(180.0, 8) - 30.0).abs() < 1e-9);
        assert!((time_step(5400.0, 12) - 600.0).abs() < 1e-9);
        assert!((time_step(86_400.0, 10) - 10_800.0).abs() < 1e-9);
        assert_eq!(Clock::of(30.0, 180.0).write(90.0), "1:30");
        assert_eq!(Clock::of(600.0, 5400.0).write(4200.0), "1:10");
        assert_eq!(spell(200.0), "3 min 20 s");
        assert_eq!(spell(5400.0), "1 h 30 min");
    }
}
