//! Kinds of value: how a speed, a time, a share is written and read.

use std::borrow::Cow;

use crate::settings::value::Value;
use crate::units::MPH;

/// What a setting takes. Ranges include both ends and are in the first unit of the kind.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// m/s; km/h and mph are read too.
    Speed(f64, f64),
    /// m/s2.
    Acceleration(f64, f64),
    /// s; ms and min are read too.
    Time(f64, f64),
    /// Hz.
    Frequency(f64, f64),
    /// Degrees.
    Angle(f64, f64),
    /// A share, 1 being all; per cent are read too.
    Share(f64, f64),
    /// kg; lb are read too.
    Mass(f64, f64),
    /// m; cm are read too.
    Length(f64, f64),
    /// Degrees Celsius.
    Temperature(f64, f64),
    /// mmHg; hPa are read too.
    Pressure(f64, f64),
    /// A whole number.
    Count(u32, u32),
    /// One of these words.
    Choice(&'static [&'static str]),
    /// Any text.
    Text,
}

/// A way to write a quantity: the number written, times `times`, divided by `per`, is the quantity in SI.
struct Unit {
    name: &'static str,
    times: f64,
    per: f64,
}

const fn unit(name: &'static str, times: f64, per: f64) -> Unit {
    Unit { name, times, per }
}

/// The first unit of each is the one that is written.
const SPEEDS: &[Unit] = &[
    unit("m/s", 1.0, 1.0),
    unit("km/h", 1.0, 3.6),
    unit("mph", MPH, 1.0),
];
const ACCELERATIONS: &[Unit] = &[unit("m/s2", 1.0, 1.0)];
const TIMES: &[Unit] = &[
    unit("s", 1.0, 1.0),
    unit("ms", 1.0, 1000.0),
    unit("min", 60.0, 1.0),
];
const FREQUENCIES: &[Unit] = &[unit("hz", 1.0, 1.0)];
const ANGLES: &[Unit] = &[
    unit("deg", 1.0, 1.0),
    unit("°", 1.0, 1.0),
    unit("degree", 1.0, 1.0),
    unit("degrees", 1.0, 1.0),
];
const MASSES: &[Unit] = &[unit("kg", 1.0, 1.0), unit("lb", POUND_KG, 1.0)];
const LENGTHS: &[Unit] = &[unit("m", 1.0, 1.0), unit("cm", 1.0, 100.0)];
const TEMPERATURES: &[Unit] = &[unit("°c", 1.0, 1.0), unit("c", 1.0, 1.0)];
/// One standard atmosphere is 760 mmHg and 1013.25 hPa.
const PRESSURES: &[Unit] = &[unit("mmhg", 1.0, 1.0), unit("hpa", 760.0, 1013.25)];
/// International avoirdupois pound.
const POUND_KG: f64 = 0.453_592_37;
const SHARES: &[Unit] = &[unit("%", 1.0, 100.0)];

impl Kind {
    /// Reads text such as `7.2 m/s`, or `None` when it is not such a value or out of range.
    pub(super) fn read(self, text: &str) -> Option<Value> {
        let text = text.trim();
        match self {
            Self::Choice(words) => {
                let word = words.iter().find(|word| word.eq_ignore_ascii_case(text))?;
                Some(Value::word(word))
            }
            Self::Text => Some(Value::Text(Cow::Owned(text.to_owned()))),
            _ => {
                let split = text
                    .find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | '+' | '-')))
                    .unwrap_or(text.len());
                let (number, unit) = text.split_at(split);
                let number: f64 = number.parse().ok()?;
                let name = unit
                    .trim()
                    .to_lowercase()
                    .replace('²', "2")
                    .replace('^', "");
                if name.is_empty() {
                    return self.take(number);
                }
                let unit = self.units().iter().find(|unit| unit.name == name)?;
                self.take(number * unit.times / unit.per)
            }
        }
    }

    /// Takes a plain number, or `None` when it is out of range.
    pub(super) fn take(self, number: f64) -> Option<Value> {
        let (low, high) = self.range()?;
        let whole = !matches!(self, Self::Count(..)) || number.fract() == 0.0;
        (low <= number && number <= high && whole).then_some(Value::Number(number))
    }

    /// Writes a number with its unit so that it reads back to the same number.
    pub(super) fn write(self, number: f64) -> String {
        let text = self.with_unit(number);
        match self.read(&text) {
            Some(Value::Number(back)) if back.to_bits() == number.to_bits() => text,
            // A share such as 0.57 need not survive the way through per cent.
            _ => format!("{number}"),
        }
    }

    /// What may stand here, in words.
    pub(super) fn expected(self) -> String {
        if let Self::Choice(words) = self {
            let quoted: Vec<String> = words.iter().map(|word| format!("\"{word}\"")).collect();
            return match quoted.as_slice() {
                [most @ .., last] if !most.is_empty() => format!("{} or {last}", most.join(", ")),
                _ => quoted.concat(),
            };
        }
        let (name, hint) = match self {
            Self::Speed(..) => ("a speed", " (m/s, km/h or mph; a plain number is m/s)"),
            Self::Acceleration(..) => ("an acceleration", " (a plain number is m/s2)"),
            Self::Time(..) => ("a time", " (s, ms or min; a plain number is s)"),
            Self::Frequency(..) => ("a frequency", " (a plain number is Hz)"),
            Self::Angle(..) => ("an angle", " (a plain number is degrees)"),
            Self::Share(..) => (
                "a share",
                " (per cent; a plain number is a fraction such as 0.85)",
            ),
            Self::Mass(..) => ("a mass", " (kg or lb; a plain number is kg)"),
            Self::Length(..) => ("a length", " (m or cm; a plain number is m)"),
            Self::Temperature(..) => ("a temperature", " (a plain number is °C)"),
            Self::Pressure(..) => ("a pressure", " (mmHg or hPa; a plain number is mmHg)"),
            Self::Count(..) => ("a whole number", ""),
            Self::Choice(_) | Self::Text => ("a text", ""),
        };
        match self.range() {
            Some((low, high)) => format!(
                "{name} from {} to {}{hint}",
                self.with_unit(low),
                self.with_unit(high)
            ),
            None => name.to_owned(),
        }
    }

    fn with_unit(self, number: f64) -> String {
        let number = match self {
            // Whole per cent print as such although 0.57 times 100 is not 57 to the last bit.
            Self::Share(..) => (number * 1e8).round() / 1e6,
            _ => number,
        };
        match self.units().first() {
            Some(unit) if unit.name == "hz" => format!("{number} Hz"),
            Some(unit) if unit.name == "°c" => format!("{number} °C"),
            Some(unit) if unit.name == "mmhg" => format!("{number} mmHg"),
            Some(unit) => format!("{number} {}", unit.name),
            None => format!("{number}"),
        }
    }

    fn range(self) -> Option<(f64, f64)> {
        match self {
            Self::Speed(low, high)
            | Self::Acceleration(low, high)
            | Self::Time(low, high)
            | Self::Frequency(low, high)
            | Self::Angle(low, high)
            | Self::Mass(low, high)
            | Self::Length(low, high)
            | Self::Temperature(low, high)
            | Self::Pressure(low, high)
            | Self::Share(low, high) => Some((low, high)),
            Self::Count(low, high) => Some((f64::from(low), f64::from(high))),
            Self::Choice(_) | Self::Text => None,
        }
    }

    fn units(self) -> &'static [Unit] {
        match self {
            Self::Speed(..) => SPEEDS,
            Self::Acceleration(..) => ACCELERATIONS,
            Self::Time(..) => TIMES,
            Self::Frequency(..) => FREQUENCIES,
            Self::Angle(..) => ANGLES,
            Self::Mass(..) => MASSES,
            Self::Length(..) => LENGTHS,
            Self::Temperature(..) => TEMPERATURES,
            Self::Pressure(..) => PRESSURES,
            Self::Share(..) => SHARES,
            Self::Count(..) | Self::Choice(_) | Self::Text => &[],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(kind: Kind, text: &str, expected: Option<f64>) {
        assert_eq!(kind.read(text), expected.map(Value::Number), "{text}");
    }

    #[test]
    fn speeds_are_read_in_each_unit() {
        let kind = Kind::Speed(0.0, 20.0);
        check(kind, "7.2", Some(7.2));
        check(kind, "7.2 m/s", Some(7.2));
        check(kind, "7.2m/s", Some(7.2));
        check(kind, " 25.2 km/h ", Some(7.0));
        check(kind, "10 MPH", Some(4.4704));
        check(kind, "7.2 kg", None);
        check(kind, "fast", None);
        check(kind, "", None);
        check(kind, "-1 m/s", None);
        check(kind, "7.2 m/s2", None);
        check(kind, "1.2.3", None);
        check(kind, "nan", None);
    }

    #[test]
    fn other_quantities_are_read() {
        check(Kind::Acceleration(0.0, 10.0), "3 m/s²", Some(3.0));
        check(Kind::Acceleration(0.0, 10.0), "3 m/s^2", Some(3.0));
        check(Kind::Time(0.0, 100.0), "500 ms", Some(0.5));
        check(Kind::Time(0.0, 100.0), "1.5 min", Some(90.0));
        check(Kind::Angle(0.0, 180.0), "90°", Some(90.0));
        check(Kind::Frequency(0.0, 5.0), "1.5 Hz", Some(1.5));
        check(Kind::Share(0.1, 1.0), "85 %", Some(0.85));
        check(Kind::Share(0.1, 1.0), "85", None);
        check(Kind::Mass(20.0, 200.0), "75 kg", Some(75.0));
        check(Kind::Mass(20.0, 200.0), "100 lb", Some(45.359_237));
        check(Kind::Length(1.0, 2.5), "180 cm", Some(1.8));
        check(Kind::Temperature(-30.0, 50.0), "-5 °C", Some(-5.0));
        check(Kind::Pressure(400.0, 850.0), "1013.25 hPa", Some(760.0));
        check(Kind::Count(2, 9), "3", Some(3.0));
        check(Kind::Count(2, 9), "3.5", None);
        check(Kind::Count(2, 9), "3 s", None);
    }

    #[test]
    fn numbers_that_are_none_are_out_of_range() {
        let kind = Kind::Speed(0.0, 20.0);
        for number in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -0.1, 20.1] {
            assert_eq!(kind.take(number), None);
        }
    }

    #[test]
    fn every_share_reads_back_to_itself() {
        let kind = Kind::Share(0.0, 1.0);
        for thousandths in 0..=1000 {
            let share = f64::from(thousandths) / 1000.0;
            check(kind, &kind.write(share), Some(share));
        }
        assert_eq!(kind.write(0.85), "85 %");
    }
}
