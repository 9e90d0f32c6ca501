//! How a speed is told to people: in the unit that they asked for, `units.speed`.
//!
//! Inside and in documents for programs a speed is an SI `f64` in m/s. Where a person reads one, on a terminal, a page or a picture, it is
//! written here and nowhere else, so that the setting reaches every place. Decimals are given as they suit m/s; in another unit as many
//! are written as say as much.

use crate::measured::Measured;
use crate::units::SpeedUnit;

impl SpeedUnit {
    /// Its sign, as in `8.41 m/s`.
    #[must_use]
    pub fn sign(self) -> &'static str {
        match self {
            Self::MetresPerSecond => "m/s",
            Self::KilometresPerHour => "km/h",
            Self::MilesPerHour => "mph",
        }
    }

    /// The unit that stands beside it where a speed is told first.
    #[must_use]
    pub(crate) fn other(self) -> Self {
        match self {
            Self::MetresPerSecond => Self::KilometresPerHour,
            Self::KilometresPerHour | Self::MilesPerHour => Self::MetresPerSecond,
        }
    }

    /// A speed in m/s as a number of this unit.
    ///
    /// # Examples
    /// ```
    /// use repledger::units::SpeedUnit;
    ///
    /// assert_eq!(SpeedUnit::KilometresPerHour.of(10.0), 36.0);
    /// assert_eq!(SpeedUnit::MetresPerSecond.of(8.41), 8.41);
    /// ```
    #[must_use]
    pub fn of(self, speed_m_s: f64) -> f64 {
        match self {
            Self::MetresPerSecond => speed_m_s,
            // A product of round numbers stays round, a quotient by 1/3.6 does not.
            Self::KilometresPerHour => 3.6 * speed_m_s,
            Self::MilesPerHour => speed_m_s / self.in_m_s(),
        }
    }

    /// A speed in m/s and its ends as numbers of this unit.
    #[must_use]
    pub(crate) fn measured(self, speed_m_s: Measured) -> Measured {
        Measured {
            value: self.of(speed_m_s.value),
            low: self.of(speed_m_s.low),
            high: self.of(speed_m_s.high),
        }
    }

    /// How many decimals say as much as so many of m/s: one less where the unit is smaller, but a decimal stays one.
    #[must_use]
    pub(crate) fn decimals(self, of_m_s: usize) -> usize {
        match self {
            Self::MetresPerSecond => of_m_s,
            Self::KilometresPerHour | Self::MilesPerHour => {
                of_m_s.min(1.max(of_m_s.saturating_sub(1)))
            }
        }
    }

    /// A speed as a bare number: `8.41`, `30.3`.
    #[must_use]
    pub(crate) fn number(self, speed_m_s: f64, decimals: usize) -> String {
        format!(
            "{:.*}",
            self.decimals(decimals),
            self.of(as_kept(speed_m_s))
        )
    }

    /// A speed with its unit: `8.41 m/s`, `30.3 km/h`.
    #[must_use]
    pub(crate) fn text(self, speed_m_s: f64, decimals: usize) -> String {
        format!("{} {}", self.number(speed_m_s, decimals), self.sign())
    }

    /// The same with the other unit in brackets: `8.41 m/s (30.3 km/h)`.
    #[must_use]
    pub(crate) fn both(self, speed_m_s: f64, decimals: usize) -> String {
        let other = self.other().text(speed_m_s, decimals);
        format!("{} ({other})", self.text(speed_m_s, decimals))
    }

    /// A set speed as a bare number without a zero tail: `7`, `25.2`.
    #[must_use]
    pub(crate) fn edge_number(self, speed_m_s: f64, decimals: usize) -> String {
        let number = self.number(speed_m_s, decimals);
        if number.contains('.') {
            number
                .trim_end_matches('0')
                .trim_end_matches('.')
                .to_owned()
        } else {
            number
        }
    }

    /// The same with its unit: `7 m/s`, `25.2 km/h`.
    #[must_use]
    pub(crate) fn edge(self, speed_m_s: f64, decimals: usize) -> String {
        format!("{} {}", self.edge_number(speed_m_s, decimals), self.sign())
    }

    /// The ends of an interval: `8.27 to 8.55`.
    #[must_use]
    pub(crate) fn ends(self, speed_m_s: Measured) -> String {
        let end = |speed_m_s| self.number(speed_m_s, 2);
        format!("{} to {}", end(speed_m_s.low), end(speed_m_s.high))
    }

    /// A small difference of speeds: as many decimals in every unit, since what is small must not become 0.
    #[must_use]
    pub(crate) fn difference(self, speed_m_s: f64) -> String {
        format!("{:.2}", self.of(speed_m_s))
    }
}

/// A speed as the diary keeps it, in whole mm/s, its half rounded up: a review and its entry tell the same last digit.
fn as_kept(speed_m_s: f64) -> f64 {
    // A half in decimals lies beside it in binary.
    const OVER_A_HALF: f64 = 1e-9;
    let thousandths = (speed_m_s * 1000.0).round() / 1000.0;
    thousandths + OVER_A_HALF.copysign(thousandths)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_speed_is_told_in_the_unit_asked_for() {
        use SpeedUnit::{KilometresPerHour as KmH, MetresPerSecond as MS, MilesPerHour as Mph};
        assert_eq!(MS.text(8.412, 2), "8.41 m/s");
        assert_eq!(KmH.text(8.412, 2), "30.3 km/h");
        // 1 mile is 1609.344 m, exactly.
        assert_eq!(Mph.text(8.9408, 2), "20.0 mph");
        assert_eq!(MS.text(8.412, 1), "8.4 m/s");
        assert_eq!(KmH.text(8.412, 1), "30.3 km/h");
        assert_eq!(KmH.text(8.412, 0), "30 km/h");
        assert_eq!(KmH.number(0.1234, 3), "0.44");
        assert_eq!(MS.both(8.412, 2), "8.41 m/s (30.3 km/h)");
        assert_eq!(MS.edge(7.0, 2), "7 m/s");
        assert_eq!(KmH.edge(7.0, 2), "25.2 km/h");
        assert_eq!(KmH.edge(10.0, 2), "36 km/h");
        // A review knows more digits than the diary keeps of it.
        assert_eq!(MS.number(7.135_2, 2), MS.number(7.135, 2));
        assert_eq!(MS.number(7.134_6, 2), MS.number(7.135, 2));
        assert_eq!(MS.number(0.0, 1), "0.0");
        let peak = Measured::within(8.41, 8.27, 8.55);
        assert_eq!(MS.ends(peak), "8.27 to 8.55");
        assert_eq!(KmH.ends(peak), "29.8 to 30.8");
        assert_eq!(KmH.difference(0.05), "0.18");
    }
}
