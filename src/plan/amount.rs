//! Numbers with units: how they become SI values, within which bounds, and how they are written back.

use std::ops::RangeInclusive;

use crate::units::{SpeedUnit, YARD_M};

/// Times that can be planned, s: from a tenth of a second to a day.
pub(super) const TIME_S: RangeInclusive<f64> = 0.1..=86_400.0;
/// Rests that can be planned, s.
pub(super) const REST_S: RangeInclusive<f64> = 0.0..=86_400.0;
/// Lengths that can be planned, m.
pub(super) const LENGTH_M: RangeInclusive<f64> = 0.5..=100_000.0;
/// Speeds that can be asked for, m/s. Nobody has been seen to run faster than 12.4 m/s (Bolt 2009, 65 to 70 m).
pub(super) const SPEED_M_S: RangeInclusive<f64> = 0.5..=13.0;
/// Shares of top speed that can be asked for.
pub(super) const SHARE: RangeInclusive<f64> = 0.05..=1.2;

/// A time in seconds, kept to the millisecond so that `0.7 min` is 42 s.
pub(super) fn seconds(value: f64, unit_s: f64) -> f64 {
    (value * unit_s * 1e3).round() / 1e3
}

/// A length in metres, kept to a tenth of a millimetre, in which a whole number of yards is exact.
pub(super) fn metres(value: f64, unit_m: f64) -> f64 {
    (value * unit_m * 1e4).round() / 1e4
}

/// A share of one, kept to a millionth.
pub(super) fn share(percent: f64) -> f64 {
    (percent * 1e4).round() / 1e6
}

/// A speed in m/s.
pub(super) fn metres_per_second(value: f64, unit: SpeedUnit) -> f64 {
    value * unit.in_m_s()
}

/// The time as it is written in the tidy form: seconds up to two minutes, then minutes, or `m:ss` between them.
pub(crate) fn time_text(seconds: f64) -> String {
    let whole = seconds.fract() == 0.0 && REST_S.contains(&seconds);
    if !whole || seconds < 120.0 {
        return format!("{seconds} s");
    }
    let (minutes, rest) = ((seconds / 60.0).floor(), seconds % 60.0);
    if rest == 0.0 {
        format!("{minutes} min")
    } else {
        format!("{minutes}:{rest:02}")
    }
}

/// The length in metres to the decimetre, else in whole yards, else in the unit in which it comes out even.
pub(crate) fn length_text(length_m: f64) -> String {
    for (unit, unit_m, places) in [
        ("m", 1.0, 10.0),
        ("yd", YARD_M, 1.0),
        ("m", 1.0, 100.0),
        ("yd", YARD_M, 100.0),
    ] {
        let value = (length_m / unit_m * places).round() / places;
        if same(metres(value, unit_m), length_m) {
            return format!("{value} {unit}");
        }
    }
    format!("{length_m} m")
}

/// The speed in the first unit in which it comes out even, else in m/s.
pub(super) fn speed_text(speed_m_s: f64) -> String {
    for (name, unit) in [
        ("m/s", SpeedUnit::MetresPerSecond),
        ("km/h", SpeedUnit::KilometresPerHour),
        ("mph", SpeedUnit::MilesPerHour),
    ] {
        let value = (speed_m_s / unit.in_m_s() * 1e3).round() / 1e3;
        if same(metres_per_second(value, unit), speed_m_s) {
            return format!("{value} {name}");
        }
    }
    format!("{speed_m_s} m/s")
}

/// The share in per cent.
pub(super) fn share_text(share: f64) -> String {
    format!("{}%", (share * 1e6).round() / 1e4)
}

/// Equal to the last bit: what is written must be read back as the very same number.
fn same(a: f64, b: f64) -> bool {
    a.to_bits() == b.to_bits()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_written_in_the_unit_where_they_come_out_even() {
        assert_eq!(time_text(90.0), "90 s");
        assert_eq!(time_text(120.0), "2 min");
        assert_eq!(time_text(125.0), "2:05");
        assert_eq!(time_text(120.5), "120.5 s");
        assert_eq!(length_text(metres(10.0, YARD_M)), "10 yd");
        assert_eq!(length_text(47.0), "47 m");
        assert_eq!(length_text(metres(100.0, YARD_M)), "100 yd");
        assert_eq!(length_text(7.32), "7.32 m");
        assert_eq!(length_text(9.1441), "9.1441 m");
        let speed = metres_per_second(24.0, SpeedUnit::KilometresPerHour);
        assert_eq!(speed_text(speed), "24 km/h");
        assert_eq!(speed_text(8.8), "8.8 m/s");
        let speed = metres_per_second(18.5, SpeedUnit::MilesPerHour);
        assert_eq!(speed_text(speed), "18.5 mph");
        assert_eq!(share_text(share(92.5)), "92.5%");
    }

    #[test]
    fn a_yard_is_exact() {
        // The international yard, 0.9144 m, agreed in 1959.
        assert!(same(metres(100.0, YARD_M), 91.44));
        assert!(same(seconds(0.7, 60.0), 42.0));
    }
}
