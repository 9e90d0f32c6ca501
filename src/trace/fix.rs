//! A fix and the trace that holds them.

use jiff::tz::Offset;
use jiff::{SignedDuration, Timestamp, civil};

use super::{Defect, Format, SetAside};

/// One recording as read: the fixes in the order of the file, and everything that could not be used.
#[derive(Clone, Debug)]
pub struct Trace {
    /// The fixes that carry a time and a position or a speed, in the order written.
    pub fixes: Vec<Fix>,
    /// What `time_s` of a fix counts from.
    pub clock: Clock,
    /// The offset from universal time that its times are written with, where they name one other than 0.
    pub offset: Option<Offset>,
    /// The format that was found.
    pub format: Format,
    /// The name of the recording, if the file gives one.
    pub title: Option<String>,
    /// What recorded it, if the file says so.
    pub device: Option<String>,
    /// Fixes that were read but cannot be used, by reason. `fixes.len()` plus these counts is every fix of the file.
    pub set_aside: Vec<SetAside>,
    /// What was found wrong or worth a word, with its place.
    pub defects: Vec<Defect>,
}

impl Trace {
    /// When the first fix was recorded, by the clock that the file has.
    #[must_use]
    pub fn first(&self) -> Clock {
        let into_s = self.fixes.first().map_or(0.0, |fix| fix.time_s);
        let Ok(into) = SignedDuration::try_from_secs_f64(into_s) else {
            return self.clock;
        };
        match self.clock {
            Clock::Utc(start) => start.checked_add(into).map_or(self.clock, Clock::Utc),
            Clock::ZoneUnknown(start) => start
                .checked_add(into)
                .map_or(self.clock, Clock::ZoneUnknown),
            Clock::Elapsed => Clock::Elapsed,
        }
    }

    /// A trace of which every fix can be used, without a name.
    #[must_use]
    pub fn new(fixes: Vec<Fix>, clock: Clock, format: Format) -> Self {
        Self {
            fixes,
            clock,
            offset: None,
            format,
            title: None,
            device: None,
            set_aside: Vec::new(),
            defects: Vec::new(),
        }
    }

    /// Every fix of the file, used or not.
    #[must_use]
    pub fn fixes_in_file(&self) -> usize {
        self.fixes.len() + self.set_aside.iter().map(|s| s.count).sum::<usize>()
    }
}

/// One recorded position with its time, as the receiver wrote it; by default one of which nothing is known.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Fix {
    /// Seconds from the origin of [`Trace::clock`].
    pub time_s: f64,
    /// Where, if the file says so.
    pub position: Option<Position>,
    /// The receiver's own speed over ground, m/s.
    pub speed_m_s: Option<f64>,
    /// Course over ground, degrees clockwise from true north.
    pub course_deg: Option<f64>,
    /// Height above the geoid or ellipsoid as written, m.
    pub elevation_m: Option<f64>,
    /// Heart rate, beats a minute.
    pub heart_rate_bpm: Option<f64>,
    /// Cadence as written, steps or strides a minute.
    pub cadence: Option<f64>,
    /// Horizontal dilution of precision.
    pub hdop: Option<f64>,
    /// Satellites used.
    pub satellites: Option<u32>,
    /// Which unbroken segment of the file the fix belongs to; no distance is joined across a change.
    pub segment: u32,
    /// Line of the file where the fix begins, from 1; 0 when it comes from none.
    pub line: u64,
}

/// A place, in the frame of the file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Position {
    /// WGS 84 degrees.
    Geodetic {
        /// North positive, -90 to 90.
        latitude_deg: f64,
        /// East positive, -180 to 180.
        longitude_deg: f64,
    },
    /// Metres in a local system.
    Local {
        /// First axis, m.
        x_m: f64,
        /// Second axis, m.
        y_m: f64,
    },
}

/// What the times of a trace count from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clock {
    /// Universal time is known.
    Utc(Timestamp),
    /// A date and time without a zone.
    ZoneUnknown(civil::DateTime),
    /// Only seconds since the receiver started.
    Elapsed,
}

impl Clock {
    /// RFC 3339 in universal time; without a zone where the file gave none; nothing where it gave no date.
    #[must_use]
    pub(crate) fn text(self) -> Option<String> {
        match self {
            Self::Utc(timestamp) => Some(timestamp.to_string()),
            Self::ZoneUnknown(datetime) => Some(datetime.to_string()),
            Self::Elapsed => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_start_says_its_zone_only_when_it_is_known() -> Result<(), jiff::Error> {
        let utc: Timestamp = "2026-05-12T17:30:00.5Z".parse()?;
        let civil: civil::DateTime = "2026-05-12T17:30:00".parse()?;
        assert_eq!(
            Clock::Utc(utc).text().as_deref(),
            Some("2026-05-12T17:30:00.5Z")
        );
        assert_eq!(
            Clock::ZoneUnknown(civil).text().as_deref(),
            Some("2026-05-12T17:30:00")
        );
        assert_eq!(Clock::Elapsed.text(), None);
        Ok(())
    }
}
