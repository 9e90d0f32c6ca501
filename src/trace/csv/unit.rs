//! Units of columns, and the normal form in which words of a heading are compared.

use super::role::{ALL, Role};
use crate::trace::number;
use crate::units::{MILE_M, SpeedUnit, YARD_M};

/// One knot in m/s, exactly: the nautical mile is 1,852 m (Monaco, 1929).
const KNOT: f64 = 1852.0 / 3600.0;
/// One foot in metres, exactly: a third of a yard.
const FOOT_M: f64 = YARD_M / 3.0;

/// What the words of a unit mean for a role.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Unit {
    /// SI units (for time: seconds) in one.
    Factor(f64),
    /// A remark that is no unit.
    Remark,
}

/// The unit in normal form; `None` for one that is not known and would change the numbers.
pub(super) fn unit(role: Role, word: &str) -> Option<Unit> {
    let factor = match role {
        Role::Time | Role::Date => {
            return Some(match word {
                "s" | "sec" | "secs" | "second" | "seconds" => Unit::Factor(1.0),
                "ms" | "msec" | "msecs" | "millis" | "millisecond" | "milliseconds" => {
                    Unit::Factor(1e-3)
                }
                "us" | "µs" | "microseconds" => Unit::Factor(1e-6),
                "min" | "mins" | "minute" | "minutes" => Unit::Factor(60.0),
                "h" | "hour" | "hours" => Unit::Factor(3600.0),
                "d" | "day" | "days" => Unit::Factor(86_400.0),
                // Names of zones and patterns such as hh:mm:ss say nothing that the values do not.
                _ => Unit::Remark,
            });
        }
        Role::Speed => match word {
            "m/s" | "mps" | "m s" | "ms" | "m s 1" | "m/sec" | "meters/second"
            | "metres/second" | "meters per second" | "metres per second" | "m per s" => {
                SpeedUnit::MetresPerSecond.in_m_s()
            }
            "km/h"
            | "kmh"
            | "km h"
            | "kph"
            | "kmph"
            | "km/hr"
            | "kilometers per hour"
            | "kilometres per hour"
            | "km per h"
            | "km/u"
            | "km/uur"
            | "km u"
            | "km uur" => SpeedUnit::KilometresPerHour.in_m_s(),
            "mph" | "mi/h" | "miles/h" | "miles per hour" => SpeedUnit::MilesPerHour.in_m_s(),
            "kn" | "kt" | "kts" | "knot" | "knots" => KNOT,
            "cm/s" => 0.01,
            "mm/s" => 0.001,
            "ft/s" | "fps" => FOOT_M,
            _ => return remark(word),
        },
        Role::X | Role::Y | Role::Elevation => match word {
            "m" | "meter" | "meters" | "metre" | "metres" => 1.0,
            "cm" => 0.01,
            "mm" => 0.001,
            "km" => 1000.0,
            "ft" | "feet" | "foot" => FOOT_M,
            "yd" | "yds" | "yard" | "yards" => YARD_M,
            "mi" | "miles" => MILE_M,
            _ => return remark(word),
        },
        Role::Latitude | Role::Longitude | Role::Course => match word {
            "deg" | "degs" | "degree" | "degrees" | "°" | "decimal degrees" | "dd"
            | "degrees n" | "degrees e" | "° n" | "° e" => 1.0,
            _ => return remark(word),
        },
        // Beats, steps and counts are written one way only.
        Role::HeartRate => match word {
            "bpm" | "beats/min" | "1/min" | "beats per minute" => 1.0,
            _ => return Some(Unit::Remark),
        },
        Role::Cadence => match word {
            "rpm" | "spm" | "1/min" | "steps/min" => 1.0,
            _ => return Some(Unit::Remark),
        },
        Role::Hdop | Role::Satellites | Role::LatitudeSide | Role::LongitudeSide => {
            return Some(Unit::Remark);
        }
    };
    Some(Unit::Factor(factor))
}

/// Words beside a quantity that are known to be no unit.
fn remark(word: &str) -> Option<Unit> {
    matches!(
        word,
        "gps"
            | "gnss"
            | "raw"
            | "filtered"
            | "smoothed"
            | "doppler"
            | "wgs84"
            | "wgs 84"
            | "2d"
            | "3d"
            | "ground"
            | "true"
            | "msl"
            | "local"
    )
    .then_some(Unit::Remark)
}

/// A value with its unit in the cell, such as `25.3 km/h`, in SI units; `None` where there is no unit that is known.
pub(super) fn with_unit(role: Role, cell: &str) -> Option<f64> {
    let end = cell.rfind(|c: char| c.is_ascii_digit())? + 1;
    let (value, word) = cell.split_at_checked(end)?;
    // `m/s2` and the like end with a digit and are no speed.
    match unit(role, &unit_word(word)) {
        Some(Unit::Factor(factor)) => Some(number::parse(value)? * factor),
        _ => None,
    }
}

/// The units that would do, for a message.
pub(super) fn units(role: Role) -> &'static str {
    match role {
        Role::Speed => "m/s, km/h, mph or kn",
        Role::X | Role::Y | Role::Elevation => "m, cm, km, ft or yd",
        Role::Latitude | Role::Longitude | Role::Course => "degrees",
        _ => "s, ms or min",
    }
}

/// The unit in a cell of its own, with or without brackets, in normal form.
pub(super) fn unit_word(cell: &str) -> String {
    normal(cell.trim_matches(['(', ')', '[', ']', ' ']))
}

/// Whether a cell is a unit of some column.
pub(super) fn is_unit(cell: &str) -> bool {
    let word = unit_word(cell);
    ALL.into_iter()
        .any(|role| matches!(unit(role, &word), Some(Unit::Factor(_))))
}

/// Lower case, words parted by single spaces: `heartRate`, `HEART_RATE` and `Heart-rate` all become `heart rate`.
pub(super) fn normal(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 4);
    let mut lower_before = false;
    for c in text.chars() {
        if c.is_whitespace() || matches!(c, '_' | '-' | '.' | '\u{feff}' | '"' | '\'' | '#') {
            if !out.is_empty() && !out.ends_with(' ') {
                out.push(' ');
            }
            lower_before = false;
            continue;
        }
        if c.is_uppercase() && lower_before {
            out.push(' ');
        }
        lower_before = c.is_lowercase();
        out.extend(c.to_lowercase());
    }
    if out.ends_with(' ') {
        out.pop();
    }
    out
}
