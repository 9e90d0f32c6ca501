//! A pitch that is kept for later sessions: where it lies on earth.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use crate::geodesy::{Degrees, LocalFrame};
use crate::pitch::{Pitch, Size, Source};

/// A pitch on earth, with the traces that told it.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept {
    /// What it is called.
    pub name: String,
    /// Its size.
    pub size: Size,
    /// Its centre mark.
    pub centre: Degrees,
    /// Direction of the touchlines, anticlockwise from east, from 0 up to pi.
    pub turn_rad: f64,
    /// Standard deviation of the centre along one axis, m.
    pub centre_sd_m: f64,
    /// Standard deviation of the direction, rad.
    pub turn_sd_rad: f64,
    /// How many traces, or files of corners, told it.
    pub traces: u32,
    /// By what those are known again, so that none counts twice.
    pub known_by: Vec<String>,
}

/// The file's form; the names are what stands in it.
#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    name: String,
    length_m: f64,
    width_m: f64,
    centre_latitude_deg: f64,
    centre_longitude_deg: f64,
    touchline_from_east_deg: f64,
    centre_sd_m: f64,
    touchline_sd_deg: f64,
    traces: u32,
    #[serde(default)]
    known_by: Vec<String>,
}

/// A trace farther from the centre than this was not made on the pitch, in halves of its diagonal.
const NEAR: f64 = 1.5;
/// Two that differ by more than so many standard deviations are two pitches.
const APART: f64 = 4.0;
/// A pitch is not known better than this, however many traces told it: standard deviations of centre, m, and direction, degrees.
const SUREST_M: f64 = 1e-3;
const SUREST_DEG: f64 = 1e-3;

impl Kept {
    /// A pitch found in a session, as it lies on earth.
    #[must_use]
    pub fn of(name: String, pitch: &Pitch, frame: &LocalFrame) -> Self {
        Self {
            name,
            size: pitch.size,
            centre: frame.to_degrees(pitch.centre_m.into()),
            turn_rad: pitch.turn_rad,
            centre_sd_m: pitch.centre_sd_m,
            turn_sd_rad: pitch.turn_sd_rad,
            traces: 1,
            known_by: Vec::new(),
        }
    }

    /// Whether another lies elsewhere: farther than both are uncertain by, with the distance in m.
    #[must_use]
    pub fn apart_m(&self, other: &Self) -> Option<f64> {
        let way = LocalFrame::new(self.centre).to_local(other.centre);
        let apart = way.x.hypot(way.y);
        let turn = (other.turn_rad - self.turn_rad + PI / 2.0).rem_euclid(PI) - PI / 2.0;
        let far = apart > APART * self.centre_sd_m.hypot(other.centre_sd_m)
            || turn.abs() > APART * self.turn_sd_rad.hypot(other.turn_sd_rad);
        far.then_some(apart)
    }

    /// The pitch in the metres of a session; `None` where that was made elsewhere.
    #[must_use]
    pub fn in_session(&self, frame: &LocalFrame) -> Option<Pitch> {
        let centre = frame.to_local(self.centre);
        let reach_m = NEAR * 0.5 * self.size.length_m.hypot(self.size.width_m);
        (centre.x.hypot(centre.y) <= reach_m).then(|| Pitch {
            size: self.size,
            centre_m: [centre.x, centre.y],
            turn_rad: self.turn_rad,
            centre_sd_m: self.centre_sd_m,
            turn_sd_rad: self.turn_sd_rad,
            source: Source::Kept(self.name.clone()),
        })
    }

    /// The same with what another trace tells: means weighted by what each knows, as of independent errors.
    #[must_use]
    pub fn with(mut self, other: &Self) -> Self {
        let frame = LocalFrame::new(self.centre);
        let weight = |a: f64, b: f64| a.powi(-2) / (a.powi(-2) + b.powi(-2));
        // No surer than a file may say it is.
        let both =
            |a: f64, b: f64, surest: f64| (a.powi(-2) + b.powi(-2)).sqrt().recip().max(surest);
        let way = frame.to_local(other.centre);
        let share = weight(other.centre_sd_m, self.centre_sd_m);
        self.centre = frame.to_degrees((share * way.x, share * way.y).into());
        let turn = (other.turn_rad - self.turn_rad + PI / 2.0).rem_euclid(PI) - PI / 2.0;
        self.turn_rad =
            (self.turn_rad + weight(other.turn_sd_rad, self.turn_sd_rad) * turn).rem_euclid(PI);
        self.centre_sd_m = both(self.centre_sd_m, other.centre_sd_m, SUREST_M);
        self.turn_sd_rad = both(self.turn_sd_rad, other.turn_sd_rad, SUREST_DEG.to_radians());
        self.traces = self.traces.saturating_add(other.traces);
        self.known_by.extend(other.known_by.iter().cloned());
        self
    }

    /// As a file.
    ///
    /// # Errors
    /// Only where the writer itself fails.
    pub fn render(&self) -> Result<String, toml::ser::Error> {
        toml::to_string(&File {
            name: self.name.clone(),
            length_m: self.size.length_m,
            width_m: self.size.width_m,
            centre_latitude_deg: self.centre.latitude_deg,
            centre_longitude_deg: self.centre.longitude_deg,
            touchline_from_east_deg: self.turn_rad.to_degrees(),
            centre_sd_m: self.centre_sd_m,
            touchline_sd_deg: self.turn_sd_rad.to_degrees(),
            traces: self.traces,
            known_by: self.known_by.clone(),
        })
    }

    /// From a file.
    ///
    /// # Errors
    /// One sentence with line and field, where the file is none of ours or a number cannot be.
    pub fn parse(text: &str) -> Result<Self, String> {
        let file: File = toml::from_str(text).map_err(|e| e.to_string())?;
        let within = |name: &str, value: f64, from: f64, to: f64| {
            if (from..=to).contains(&value) {
                Ok(value)
            } else {
                Err(format!(
                    "{name} is {value}, which is not between {from} and {to}"
                ))
            }
        };
        Ok(Self {
            size: Size {
                length_m: within("length_m", file.length_m, 5.0, 200.0)?,
                width_m: within("width_m", file.width_m, 5.0, 200.0)?,
            },
            centre: Degrees {
                latitude_deg: within("centre_latitude_deg", file.centre_latitude_deg, -90.0, 90.0)?,
                longitude_deg: within(
                    "centre_longitude_deg",
                    file.centre_longitude_deg,
                    -180.0,
                    180.0,
                )?,
            },
            turn_rad: within(
                "touchline_from_east_deg",
                file.touchline_from_east_deg,
                0.0,
                180.0,
            )?
            .to_radians()
            .rem_euclid(PI),
            centre_sd_m: within("centre_sd_m", file.centre_sd_m, SUREST_M, 100.0)?,
            turn_sd_rad: within("touchline_sd_deg", file.touchline_sd_deg, SUREST_DEG, 90.0)?
                .to_radians(),
            traces: file.traces,
            known_by: file.known_by,
            name: file.name,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn kept(sd_m: f64) -> Kept {
        Kept {
            name: "by the river".to_owned(),
            size: Size {
                length_m: 100.0,
                width_m: 64.0,
            },
            centre: Degrees {
                latitude_deg: -30.0,
                longitude_deg: -110.0,
            },
            turn_rad: 0.4,
            centre_sd_m: sd_m,
            turn_sd_rad: 0.01,
            traces: 1,
            known_by: Vec::new(),
        }
    }

    #[test]
    fn what_is_written_is_read() -> Result<(), String> {
        let text = kept(1.0).render().map_err(|e| e.to_string())?;
        let again = Kept::parse(&text)?;
        assert!((again.turn_rad - 0.4).abs() < 1e-12);
        assert_eq!(again.name, "by the river");
        assert!(Kept::parse(&text.replace("64", "640")).is_err_and(|e| e.contains("width_m")));
        assert!(Kept::parse("length_m = 3").is_err());
        Ok(())
    }

    /// Two equal and independent measures halve the variance; the middle lies between them.
    #[test]
    fn two_traces_tell_it_better_than_one() {
        let one = kept(2.0);
        let frame = LocalFrame::new(one.centre);
        let other = Kept {
            centre: frame.to_degrees((4.0, 0.0).into()),
            ..kept(2.0)
        };
        let both = one.clone().with(&other);
        let moved = frame.to_local(both.centre);
        assert!((moved.x - 2.0).abs() < 1e-6 && moved.y.abs() < 1e-6);
        assert!((both.centre_sd_m - 2.0_f64.sqrt()).abs() < 1e-12);
        assert_eq!(both.traces, 2);
    }

    #[test]
    fn two_that_lie_far_apart_are_two_pitches() {
        let one = kept(1.0);
        let frame = LocalFrame::new(one.centre);
        let east = |x: f64| Kept {
            centre: frame.to_degrees((x, 0.0).into()),
            ..kept(1.0)
        };
        assert_eq!(one.apart_m(&east(3.0)), None);
        assert!(
            one.apart_m(&east(40.0))
                .is_some_and(|m| (m - 40.0).abs() < 0.01)
        );
    }

    #[test]
    fn it_lies_under_sessions_that_were_made_there_only() {
        let kept = kept(1.0);
        let there = LocalFrame::new(Degrees {
            latitude_deg: -30.0003,
            longitude_deg: -110.0,
        });
        let pitch = kept.in_session(&there).expect("33 m off");
        assert!((pitch.centre_m[1] - 33.3).abs() < 0.2, "{pitch:?}");
        let elsewhere = LocalFrame::new(Degrees {
            latitude_deg: -30.01,
            longitude_deg: -110.0,
        });
        assert!(kept.in_session(&elsewhere).is_none());
    }
}
