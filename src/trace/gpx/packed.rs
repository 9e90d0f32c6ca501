//! Track points in less than half of their memory, while they wait for what stands before them.

use jiff::tz::Offset;

use super::element::Closed;
use crate::trace::Position;
use crate::trace::candidate::{Candidate, Field};
use crate::trace::time::Moment;

/// Track points in their order, most of them packed.
#[derive(Debug, Default)]
pub(super) struct Points {
    plain: Vec<Plain>,
    /// Those that are not plain, each with the number of plain ones before it.
    odd: Vec<(usize, Closed)>,
}

impl Points {
    /// No points, with room for about so many.
    pub(super) fn with_capacity(points: usize) -> Self {
        // What a file claims by its length alone is believed only so far.
        let points = points.min(100_000);
        Self {
            plain: Vec::with_capacity(points),
            odd: Vec::with_capacity(points),
        }
    }

    pub(super) fn push(&mut self, point: Closed) {
        match Plain::of(&point) {
            Some(plain) => self.plain.push(plain),
            None => self.odd.push((self.plain.len(), point)),
        }
    }

    /// Shows all of them in their order, as they came.
    pub(super) fn each(self, mut show: impl FnMut(Closed)) {
        let mut odd = self.odd.into_iter().peekable();
        for (k, plain) in self.plain.iter().enumerate() {
            while let Some((_, point)) = odd.next_if(|(before, _)| *before <= k) {
                show(point);
            }
            show(Ok(plain.whole()));
        }
        odd.for_each(|(_, point)| show(point));
    }
}

/// A point with a place, a time, and no field but what most devices write.
#[derive(Debug)]
struct Plain {
    line: u64,
    time: Moment,
    offset: Option<Offset>,
    latitude_deg: f64,
    longitude_deg: f64,
    /// Speed, elevation, heart rate and cadence, NaN where they are absent.
    numbers: [f64; 4],
}

impl Plain {
    fn of(point: &Closed) -> Option<Self> {
        let candidate = point.as_ref().ok()?;
        let Candidate {
            line,
            time: Ok(time),
            offset,
            position:
                Ok(Some(Position::Geodetic {
                    latitude_deg,
                    longitude_deg,
                })),
            speed_m_s,
            elevation_m,
            heart_rate_bpm,
            cadence,
            course_deg: Field::Absent,
            hdop: Field::Absent,
            satellites: Field::Absent,
        } = *candidate
        else {
            return None;
        };
        let mut numbers = [f64::NAN; 4];
        for (number, field) in
            numbers
                .iter_mut()
                .zip([speed_m_s, elevation_m, heart_rate_bpm, cadence])
        {
            match field {
                Field::Absent => {}
                Field::Number(value) if !value.is_nan() => *number = value,
                Field::Number(_) | Field::Bad => return None,
            }
        }
        Some(Self {
            line,
            time,
            offset,
            latitude_deg,
            longitude_deg,
            numbers,
        })
    }

    fn whole(&self) -> Candidate {
        let [speed_m_s, elevation_m, heart_rate_bpm, cadence] = self.numbers.map(|value| {
            if value.is_nan() {
                Field::Absent
            } else {
                Field::Number(value)
            }
        });
        Candidate {
            time: Ok(self.time),
            offset: self.offset,
            position: Ok(Some(Position::Geodetic {
                latitude_deg: self.latitude_deg,
                longitude_deg: self.longitude_deg,
            })),
            speed_m_s,
            elevation_m,
            heart_rate_bpm,
            cadence,
            ..Candidate::on(self.line)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trace::defect::Reason;

    #[test]
    fn points_come_out_as_they_went_in() {
        let plain = |line| Candidate {
            time: Ok(Moment::Utc(1_778_607_000_000_000_000)),
            offset: Some(Offset::constant(2)),
            position: Ok(Some(Position::Geodetic {
                latitude_deg: -0.0,
                longitude_deg: 11.5,
            })),
            speed_m_s: Field::Number(f64::INFINITY),
            cadence: Field::Number(-0.0),
            ..Candidate::on(line)
        };
        let with = |line, speed_m_s| Candidate {
            speed_m_s,
            ..plain(line)
        };
        let points = || -> Vec<Closed> {
            vec![
                Err((Reason::NoTime, 1)),
                Ok(plain(2)),
                Ok(with(3, Field::Bad)),
                Ok(with(4, Field::Number(f64::NAN))),
                Ok(with(5, Field::Absent)),
                Ok(Candidate {
                    hdop: Field::Number(1.0),
                    ..plain(6)
                }),
                Ok(Candidate {
                    time: Ok(Moment::Local(3)),
                    ..plain(7)
                }),
                Ok(plain(8)),
                Ok(Candidate {
                    position: Ok(None),
                    ..plain(9)
                }),
            ]
        };
        let mut packed = Points::with_capacity(0);
        for point in points() {
            packed.push(point);
        }
        assert_eq!((packed.plain.len(), packed.odd.len()), (4, 5));
        let mut out = Vec::new();
        packed.each(|point| out.push(point));
        assert_eq!(format!("{out:?}"), format!("{:?}", points()));
    }
}
