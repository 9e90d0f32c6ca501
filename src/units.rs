//! Units on the way in and out; inside, everything is SI.

/// Metres in an international yard, exactly (agreement of 1 July 1959).
pub(crate) const YARD_M: f64 = 0.9144;
/// Metres in an international mile, exactly.
pub(crate) const MILE_M: f64 = 1609.344;
/// One kilometre an hour in m/s.
const KM_H: f64 = 1.0 / 3.6;
/// One mile an hour in m/s, exactly 0.44704.
pub(crate) const MPH: f64 = MILE_M / 3600.0;

/// A unit that a speed may be written in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum SpeedUnit {
    /// m/s
    #[default]
    MetresPerSecond,
    /// km/h
    KilometresPerHour,
    /// mph
    MilesPerHour,
}

impl SpeedUnit {
    /// Metres per second in one of this unit.
    #[must_use]
    pub(crate) fn in_m_s(self) -> f64 {
        match self {
            Self::MetresPerSecond => 1.0,
            Self::KilometresPerHour => KM_H,
            Self::MilesPerHour => MPH,
        }
    }
}
