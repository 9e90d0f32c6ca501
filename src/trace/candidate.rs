//! A fix as a reader finds it, before it is judged.

use jiff::tz::Offset;

use super::defect::Reason;
use super::fix::Position;
use super::time::Moment;

/// A field as found in the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Field {
    /// Missing or empty.
    Absent,
    /// There, but no number.
    Bad,
    /// A number, perhaps not finite.
    Number(f64),
}

impl Field {
    /// The same with the number times `factor`.
    pub(super) fn times(self, factor: f64) -> Self {
        match self {
            Self::Number(value) => Self::Number(value * factor),
            other => other,
        }
    }
}

/// One fix before it is judged.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate {
    pub line: u64,
    pub time: Result<Moment, Reason>,
    /// The zone of that time, where it names one other than 0.
    pub offset: Option<Offset>,
    pub position: Result<Option<Position>, Reason>,
    pub speed_m_s: Field,
    pub course_deg: Field,
    pub elevation_m: Field,
    pub heart_rate_bpm: Field,
    pub cadence: Field,
    pub hdop: Field,
    pub satellites: Field,
}

impl Candidate {
    /// A fix of which nothing is known yet.
    pub(super) fn on(line: u64) -> Self {
        Self {
            line,
            time: Err(Reason::NoTime),
            offset: None,
            position: Ok(None),
            speed_m_s: Field::Absent,
            course_deg: Field::Absent,
            elevation_m: Field::Absent,
            heart_rate_bpm: Field::Absent,
            cadence: Field::Absent,
            hdop: Field::Absent,
            satellites: Field::Absent,
        }
    }
}

/// Degrees north and east, where both are there and in range.
pub(super) fn geodetic(latitude: Field, longitude: Field) -> Result<Option<Position>, Reason> {
    pair(latitude, longitude)?
        .map(|(latitude_deg, longitude_deg)| {
            let known =
                (-90.0..=90.0).contains(&latitude_deg) && (-180.0..=180.0).contains(&longitude_deg);
            known
                .then_some(Position::Geodetic {
                    latitude_deg,
                    longitude_deg,
                })
                .ok_or(Reason::PositionOutOfRange)
        })
        .transpose()
}

/// Metres in a local system, where both are there and within 1,000 km.
pub(super) fn local(x: Field, y: Field) -> Result<Option<Position>, Reason> {
    pair(x, y)?
        .map(|(x_m, y_m)| {
            (x_m.abs() <= 1e6 && y_m.abs() <= 1e6)
                .then_some(Position::Local { x_m, y_m })
                .ok_or(Reason::PositionOutOfRange)
        })
        .transpose()
}

fn pair(a: Field, b: Field) -> Result<Option<(f64, f64)>, Reason> {
    match (a, b) {
        (Field::Number(a), Field::Number(b)) => Ok(Some((a, b))),
        (Field::Absent, Field::Absent) => Ok(None),
        (Field::Bad, _) | (_, Field::Bad) => Err(Reason::BadPosition),
        (Field::Absent, _) | (_, Field::Absent) => Err(Reason::HalfPosition),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_in_range() {
        let n = Field::Number;
        assert!(geodetic(n(90.0), n(180.0)).is_ok_and(|p| p.is_some()));
        assert!(geodetic(n(-90.0), n(-180.0)).is_ok_and(|p| p.is_some()));
        for (lat, lon, reason) in [
            (n(91.0), n(0.0), Reason::PositionOutOfRange),
            (n(0.0), n(180.1), Reason::PositionOutOfRange),
            (n(f64::NAN), n(0.0), Reason::PositionOutOfRange),
            (n(0.0), n(f64::INFINITY), Reason::PositionOutOfRange),
            (Field::Bad, n(0.0), Reason::BadPosition),
            (n(0.0), Field::Absent, Reason::HalfPosition),
        ] {
            assert_eq!(geodetic(lat, lon), Err(reason));
        }
        assert_eq!(local(n(1e308), n(0.0)), Err(Reason::PositionOutOfRange));
        assert_eq!(local(Field::Absent, Field::Absent), Ok(None));
    }
}
