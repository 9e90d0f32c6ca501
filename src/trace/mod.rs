//! Reads a recording: `read(bytes)` turns the bytes of a file into a [`Trace`].

use jiff::{Timestamp, civil};

/// One recording as read: the fixes in the order of the file, and everything that could not be used.
#[derive(Clone, Debug)]
pub struct Trace {
    /// The fixes that carry a time and a position or a speed, in the order written.
    pub fixes: Vec<Fix>,
    /// What `time_s` of a fix counts from.
    pub clock: Clock,
    /// The format that was found.
    pub format: Format,
    /// The name of the recording, if the file gives one.
    pub title: Option<String>,
    /// Fixes that were read but cannot be used, by reason. `fixes.len()` plus these counts is every fix of the file.
    pub set_aside: Vec<SetAside>,
    /// What was found wrong or worth a word, with its place.
    pub defects: Vec<Defect>,
}

/// One recorded position with its time, as the receiver wrote it.
#[derive(Clone, Copy, Debug, PartialEq)]
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
    /// Line of the file where the fix begins, from 1.
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

/// The format of a recording, found by content.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Format {
    /// GPX, with the version attribute as written.
    Gpx {
        /// "1.0", "1.1", or whatever was written.
        version: Option<String>,
    },
    /// Text in columns.
    Csv {
        /// The delimiter found.
        delimiter: char,
    },
}

/// Fixes set aside for one reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAside {
    /// Why, in plain words, such as "no time".
    pub reason: String,
    /// How many.
    pub count: usize,
    /// Line of the first one, if it has a place.
    pub first_line: Option<u64>,
}

/// Something wrong or worth a word in the file that did not stop the reading.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Defect {
    /// Line of the file, from 1, if it has a place.
    pub line: Option<u64>,
    /// One plain sentence.
    pub message: String,
}

/// What the reader is told beside the bytes.
#[derive(Clone, Debug, PartialEq, Eq, Default)]
pub struct Options {
    /// Columns of a CSV without a header, such as `time,lat,lon,speed:km/h,-`.
    pub columns: Option<String>,
    /// The order of day and month in dates that do not tell.
    pub dates: Option<DateOrder>,
}

/// Order of day and month in a numeric date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DateOrder {
    /// 31/12/2026
    DayMonthYear,
    /// 12/31/2026
    MonthDayYear,
}
