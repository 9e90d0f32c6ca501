//! What several JSON documents have in common: how numbers are rounded, and the parts that look alike in each.

pub(super) mod totals;

use schemars::JsonSchema;
use serde::Serialize;

use super::words;
use crate::efforts;
use crate::measured::Measured;
use crate::profile;
use crate::review::{self, TopSpeedSource};

/// Decimals of times in s: a millisecond is finer than any receiver's clock.
pub(super) const TIME_DECIMALS: i32 = 3;
/// Decimals of distances in m, speeds in m/s and accelerations in m/s2.
pub(super) const QUANTITY_DECIMALS: i32 = 3;
/// Decimals of shares, angles and percentages.
pub(super) const SHARE_DECIMALS: i32 = 4;

/// A document for people and programs, ended by a line feed.
pub(super) fn pretty(document: &impl Serialize) -> Result<String, serde_json::Error> {
    serde_json::to_string_pretty(document).map(|text| text + "\n")
}

/// A measured quantity; present only when all three numbers are finite.
#[derive(Serialize, JsonSchema)]
pub(super) struct Interval {
    /// The best single value.
    value: f64,
    /// Lower end, at most `value`.
    low: f64,
    /// Upper end, at least `value`.
    high: f64,
}

/// Time and distance between two speeds.
#[derive(Serialize, JsonSchema)]
pub(super) struct Band<'a> {
    /// Such as `sprint`.
    name: &'a str,
    /// Lower edge, m/s.
    #[schemars(with = "f64")]
    from_m_s: Option<f64>,
    /// Upper edge, m/s; null for the fastest band.
    to_m_s: Option<f64>,
    /// Time, s.
    #[schemars(with = "f64", range(min = 0))]
    time_s: Option<f64>,
    /// Distance, m.
    #[schemars(with = "f64", range(min = 0))]
    distance_m: Option<f64>,
}

impl<'a> Band<'a> {
    pub(super) fn of(band: &'a efforts::Band) -> Self {
        Self {
            name: &band.name,
            from_m_s: quantity(band.from_m_s),
            to_m_s: band.to_m_s.and_then(quantity),
            time_s: time(band.time_s),
            distance_m: quantity(band.distance_m),
        }
    }
}

/// What became of the planned reps.
#[derive(Serialize, JsonSchema)]
pub(super) struct Counts {
    /// Reps in the plans.
    planned: usize,
    /// Done.
    done: usize,
    /// Cut off.
    short: usize,
    /// Below the speed asked for.
    slow: usize,
    /// Not in the recording.
    missed: usize,
    /// The recording cannot tell.
    unresolved: usize,
}

impl Counts {
    pub(super) fn of(counts: review::Counts) -> Self {
        Self {
            planned: counts.planned,
            done: counts.done,
            short: counts.short,
            slow: counts.slow,
            missed: counts.missed,
            unresolved: counts.unresolved,
        }
    }
}

/// The time that a distance from the first movement took.
#[derive(Serialize, JsonSchema)]
pub(super) struct Split {
    /// Distance, m.
    #[schemars(with = "f64", extend("exclusiveMinimum" = 0))]
    distance_m: Option<f64>,
    /// Time, s.
    time_s: Option<Interval>,
}

impl Split {
    pub(super) fn of(split: &profile::Split) -> Self {
        Self {
            distance_m: quantity(split.distance_m),
            time_s: interval(split.time_s, TIME_DECIMALS),
        }
    }
}

pub(super) fn time(seconds: f64) -> Option<f64> {
    rounded(seconds, TIME_DECIMALS)
}

pub(super) fn quantity(value: f64) -> Option<f64> {
    rounded(value, QUANTITY_DECIMALS)
}

pub(super) fn maybe(measured: Option<Measured>, decimals: i32) -> Option<Interval> {
    measured.and_then(|m| interval(m, decimals))
}

pub(super) fn interval(measured: Measured, decimals: i32) -> Option<Interval> {
    Some(Interval {
        value: rounded(measured.value, decimals)?,
        low: rounded(measured.low, decimals)?,
        high: rounded(measured.high, decimals)?,
    })
}

/// A finite number, kept to a thousandth of its unit: finer than any receiver or plan.
pub(super) fn to_thousandth(value: f64) -> f64 {
    // Adding 0 turns a negative zero into zero.
    (value * 1e3).round() / 1e3 + 0.0
}

/// Rounds for writing; a number that is not finite is not known. Adding 0 turns a negative zero into zero.
pub(super) fn rounded(value: f64, decimals: i32) -> Option<f64> {
    let scale = 10_f64.powi(decimals);
    let scaled = value * scale;
    let result = if scaled.is_finite() {
        scaled.round() / scale
    } else {
        value
    };
    result.is_finite().then_some(result + 0.0)
}

/// A top speed that shares are taken of, and its source.
#[derive(Serialize, JsonSchema)]
pub(super) struct TopSpeed {
    /// Top speed, m/s.
    speed_m_s: Option<Interval>,
    /// Who says so: the plan's header, the settings, the athlete's best of an earlier day in the diary, or the best of this
    /// session.
    #[schemars(extend("enum" = words::TOP_SPEED_SOURCES))]
    source: &'static str,
    /// The day on which the diary's was measured, as YYYY-MM-DD; null for others.
    date: Option<String>,
}

impl TopSpeed {
    pub(super) fn of(top: review::TopSpeed) -> Self {
        Self {
            speed_m_s: interval(top.speed_m_s, QUANTITY_DECIMALS),
            source: words::top_speed_source(top.source),
            date: match top.source {
                TopSpeedSource::Diary { date } => date.map(|date| date.to_string()),
                _ => None,
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unknown_numbers_are_null_and_never_zero() {
        assert_eq!(rounded(f64::NAN, 3), None);
        assert_eq!(rounded(f64::INFINITY, 3), None);
        assert!(
            interval(
                Measured {
                    value: 1.0,
                    low: f64::NEG_INFINITY,
                    high: 2.0
                },
                3
            )
            .is_none()
        );
    }

    #[test]
    fn rounding_keeps_the_interval_around_its_value() {
        let kept = interval(Measured::within(8.412_34, 8.412_31, 8.412_39), 3)
            .map(|i| (i.low, i.value, i.high));
        assert_eq!(kept, Some((8.412, 8.412, 8.412)));
    }

    #[test]
    fn negative_zero_is_written_as_zero() {
        assert_eq!(
            rounded(-0.000_01, 3).map(f64::is_sign_negative),
            Some(false)
        );
    }
}
