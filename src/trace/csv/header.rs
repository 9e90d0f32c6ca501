//! Header words: which column holds what, in which unit.

use crate::trace::Error;
use crate::trace::error::excerpt;
use crate::units::{MILE_M, SpeedUnit, YARD_M};

/// One knot in m/s, exactly: the nautical mile is 1,852 m (Monaco, 1929).
const KNOT: f64 = 1852.0 / 3600.0;
/// One foot in metres, exactly: a third of a yard.
const FOOT_M: f64 = YARD_M / 3.0;

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    Time,
    Date,
    Latitude,
    Longitude,
    X,
    Y,
    Speed,
    Course,
    Elevation,
    HeartRate,
    Cadence,
    Hdop,
    Satellites,
}

/// How many roles there are.
const ROLES: usize = 13;

/// A column of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Column {
    pub index: usize,
    /// SI units in one of the column's, 1 where the header names none. For time: seconds.
    pub factor: f64,
    /// Whether the header names the unit.
    pub unit_named: bool,
    /// Whether the header says that the times are universal.
    pub utc: bool,
    /// Among columns of one role the highest is read.
    rank: u8,
}

/// Where in a row everything stands.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Layout {
    columns: [Option<Column>; ROLES],
    /// The columns known, as written.
    pub found: Vec<String>,
    /// Cells of the header.
    pub width: usize,
}

impl Layout {
    fn empty() -> Self {
        Self {
            columns: [None; ROLES],
            found: Vec::new(),
            width: 0,
        }
    }

    pub(super) fn get(&self, role: Role) -> Option<Column> {
        self.columns.get(role as usize).copied().flatten()
    }

    /// The layout that a header line gives; `line` is for messages.
    pub(super) fn of_header<'a>(
        cells: impl Iterator<Item = &'a str>,
        line: u64,
    ) -> Result<Self, Error> {
        let mut layout = Self::empty();
        for (index, cell) in cells.enumerate() {
            if !cell.is_empty() {
                layout.width = index + 1;
            }
            let Some(heading) = heading(cell) else {
                continue;
            };
            let column = heading.column(index).ok_or_else(|| Error::Unit {
                line: Some(line),
                column: shortened(cell),
                expected: units(heading.role),
            })?;
            layout.found.push(shortened(cell));
            layout.offer(heading.role, column);
        }
        Ok(layout.with_date_as_time())
    }

    /// The layout that `--columns` gives.
    pub(super) fn of_option(columns: &str) -> Result<Self, Error> {
        let mut layout = Self::empty();
        for (index, word) in columns.split([',', ';']).map(str::trim).enumerate() {
            layout.width = index + 1;
            if word.is_empty() || word == "-" {
                continue;
            }
            let heading = heading(word).ok_or_else(|| Error::Columns {
                word: shortened(word),
                problem: "is not known",
            })?;
            let column = heading.column(index).ok_or_else(|| Error::Unit {
                line: None,
                column: shortened(word),
                expected: units(heading.role),
            })?;
            if layout.get(heading.role).is_some() {
                return Err(Error::Columns {
                    word: shortened(word),
                    problem: "comes twice",
                });
            }
            layout.found.push(shortened(word));
            layout.offer(heading.role, column);
        }
        let layout = layout.with_date_as_time();
        match layout.missing() {
            None => Ok(layout),
            Some(_) => Err(Error::Columns {
                word: shortened(columns),
                problem: "lacks a time, or a position (lat and lon, or x and y) or speed",
            }),
        }
    }

    /// Takes the units from a line of their own below the header.
    pub(super) fn take_units<'a>(&mut self, cells: impl Iterator<Item = &'a str>) {
        for (index, cell) in cells.enumerate() {
            for (role, slot) in ALL.into_iter().zip(&mut self.columns) {
                if let Some(column) = slot
                    && column.index == index
                    && !column.unit_named
                    && let Some(Unit::Factor(factor)) = unit(role, &normal(cell))
                {
                    column.factor = factor;
                    column.unit_named = true;
                }
            }
        }
    }

    /// What a recording needs and this layout lacks.
    pub(super) fn missing(&self) -> Option<&'static str> {
        let has = |role| self.get(role).is_some();
        if !has(Role::Time) {
            Some("the time")
        } else if has(Role::Latitude) && has(Role::Longitude)
            || has(Role::X) && has(Role::Y)
            || has(Role::Speed)
        {
            None
        } else {
            Some("the position (latitude and longitude, or x and y) or the speed")
        }
    }

    fn offer(&mut self, role: Role, column: Column) {
        if let Some(slot) = self.columns.get_mut(role as usize)
            && slot.is_none_or(|before| before.rank < column.rank)
        {
            *slot = Some(column);
        }
    }

    /// A lone `date` column holds the time as well.
    fn with_date_as_time(mut self) -> Self {
        if self.get(Role::Time).is_none()
            && let Some(date) = self.get(Role::Date)
        {
            self.offer(Role::Time, date);
            if let Some(slot) = self.columns.get_mut(Role::Date as usize) {
                *slot = None;
            }
        }
        self
    }
}

const ALL: [Role; ROLES] = [
    Role::Time,
    Role::Date,
    Role::Latitude,
    Role::Longitude,
    Role::X,
    Role::Y,
    Role::Speed,
    Role::Course,
    Role::Elevation,
    Role::HeartRate,
    Role::Cadence,
    Role::Hdop,
    Role::Satellites,
];

/// Whether a cell is a unit of some column.
pub(super) fn is_unit(cell: &str) -> bool {
    let word = normal(cell);
    ALL.into_iter()
        .any(|role| matches!(unit(role, &word), Some(Unit::Factor(_))))
}

/// A header cell that was recognised.
#[derive(Debug)]
struct Heading {
    role: Role,
    rank: u8,
    /// The unit in normal form, empty where none is named.
    unit: String,
    utc: bool,
}

impl Heading {
    /// The column, `None` for a unit that is not known.
    fn column(&self, index: usize) -> Option<Column> {
        let named = if self.unit.is_empty() {
            Unit::Remark
        } else {
            unit(self.role, &self.unit)?
        };
        let (factor, unit_named) = match named {
            Unit::Factor(factor) => (factor, true),
            Unit::Remark => (1.0, false),
        };
        Some(Column {
            index,
            factor,
            unit_named,
            utc: self.utc,
            rank: self.rank,
        })
    }
}

/// Recognises `speed (km/h)`, `speed [m/s]`, `speed_mps`, `speed:km/h`, `Speed km/h`, `speedKmh` and their like.
fn heading(cell: &str) -> Option<Heading> {
    if cell.len() > 80 {
        return None;
    }
    let (name, bracketed) = match cell.find(['(', '[', '{']) {
        Some(open) => {
            let (name, rest) = cell.split_at_checked(open)?;
            let inner = rest.get(1..)?;
            let close = inner.find([')', ']', '}']).unwrap_or(inner.len());
            (name, inner.get(..close)?)
        }
        None => cell.split_once([':', ',']).unwrap_or((cell, "")),
    };
    let name = normal(name);
    let bracketed = normal(bracketed);
    let words: Vec<&str> = name.split(' ').collect();
    let utc = |unit: &str| {
        words.iter().any(|w| matches!(*w, "utc" | "gmt")) || matches!(unit, "utc" | "gmt" | "z")
    };
    if let Some((role, rank)) = role(&name) {
        return Some(Heading {
            role,
            rank,
            utc: utc(&bracketed),
            unit: bracketed,
        });
    }
    // The unit may be the last words of the name.
    for tail in 1..=3.min(words.len().saturating_sub(1)) {
        let (front, back) = words.split_at_checked(words.len() - tail)?;
        let front = front.strip_suffix(&["in"]).unwrap_or(front);
        let unit_word = back.join(" ");
        if let Some((role, rank)) = role(&front.join(" "))
            && (matches!(unit(role, &unit_word), Some(Unit::Factor(_)))
                || role == Role::Time
                    && matches!(unit_word.as_str(), "utc" | "gmt" | "local" | "iso"))
        {
            return Some(Heading {
                role,
                rank,
                utc: utc(&unit_word),
                unit: unit_word,
            });
        }
    }
    None
}

/// Lower case, words parted by single spaces: `heartRate`, `HEART_RATE` and `Heart-rate` all become `heart rate`.
fn normal(text: &str) -> String {
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

/// The role of a name in normal form, with its rank among columns of that role: a full date and time goes before a clock, and a
/// clock before the seconds elapsed.
fn role(name: &str) -> Option<(Role, u8)> {
    Some(match name {
        "timestamp" | "time stamp" | "datetime" | "date time" | "utc" | "utc time" | "time utc"
        | "gps time" | "date and time" | "iso time" | "epoch" | "epoch time" | "unix"
        | "unix time" | "posix time" | "unix timestamp" | "zeitstempel" | "horodatage" => {
            (Role::Time, 2)
        }
        "time" | "t" | "clock" | "local time" | "time of day" | "ts" | "clock time" | "zeit"
        | "uhrzeit" | "heure" | "temps" | "hora" | "tiempo" | "tempo" | "ora" | "tijd" => {
            (Role::Time, 1)
        }
        "elapsed" | "elapsed time" | "time elapsed" | "seconds" | "secs" | "sec" | "duration"
        | "milliseconds" | "session time" | "relative time" | "running time" => (Role::Time, 0),
        "date" | "day" | "utc date" | "local date" | "date utc" | "datum" | "fecha" | "data" => {
            (Role::Date, 0)
        }
        "lat" | "latitude" | "gps lat" | "gps latitude" | "position lat" | "lat deg" | "breite"
        | "breitengrad" | "latitud" | "latitudine" | "breedtegraad" => (Role::Latitude, 0),
        "lon" | "long" | "lng" | "longitude" | "gps lon" | "gps long" | "gps longitude"
        | "position lon" | "position long" | "länge" | "längengrad" | "longitud"
        | "longitudine" | "lengtegraad" => (Role::Longitude, 0),
        "x" | "x pos" | "pos x" | "x position" | "position x" | "xpos" | "posx" | "easting"
        | "east" | "e" => (Role::X, 0),
        "y" | "y pos" | "pos y" | "y position" | "position y" | "ypos" | "posy" | "northing"
        | "north" | "n" => (Role::Y, 0),
        "speed" | "velocity" | "ground speed" | "gps speed" | "speed over ground" | "sog" | "v"
        | "vel" | "spd" | "groundspeed" | "doppler speed" | "geschwindigkeit" | "tempo speed"
        | "vitesse" | "velocidad" | "velocidade" | "velocità" | "snelheid" => (Role::Speed, 0),
        "course" | "heading" | "bearing" | "cog" | "course over ground" | "direction" | "track"
        | "kurs" => (Role::Course, 0),
        "ele" | "elev" | "elevation" | "alt" | "altitude" | "height" | "höhe" => {
            (Role::Elevation, 0)
        }
        "heart rate"
        | "heartrate"
        | "hr"
        | "bpm"
        | "pulse"
        | "heart rate bpm"
        | "herzfrequenz"
        | "puls"
        | "fréquence cardiaque"
        | "frecuencia cardíaca"
        | "frequenza cardiaca"
        | "hartslag" => (Role::HeartRate, 0),
        "cadence" | "cad" | "step rate" | "rpm" | "spm" => (Role::Cadence, 0),
        "hdop" | "horizontal dilution" | "horizontal dilution of precision" => (Role::Hdop, 0),
        "sat"
        | "sats"
        | "satellites"
        | "satellites used"
        | "satellite count"
        | "num sat"
        | "num sats"
        | "num satellites"
        | "number of satellites"
        | "no of satellites"
        | "nsat"
        | "nsats"
        | "num sv"
        | "numsv"
        | "satelliten" => (Role::Satellites, 0),
        _ => return None,
    })
}

/// What the words of a unit mean for a role.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Unit {
    /// SI units (for time: seconds) in one.
    Factor(f64),
    /// A remark that is no unit.
    Remark,
}

/// The unit in normal form; `None` for one that is not known and would change the numbers.
fn unit(role: Role, word: &str) -> Option<Unit> {
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
            "m/s" | "mps" | "m s" | "m s 1" | "m/sec" | "meters/second" | "metres/second"
            | "meters per second" | "metres per second" | "m per s" => {
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
            | "km per h" => SpeedUnit::KilometresPerHour.in_m_s(),
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
        Role::Hdop | Role::Satellites => return Some(Unit::Remark),
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

/// The units that would do, for a message.
fn units(role: Role) -> &'static str {
    match role {
        Role::Speed => "m/s, km/h, mph or kn",
        Role::X | Role::Y | Role::Elevation => "m, cm, km, ft or yd",
        Role::Latitude | Role::Longitude | Role::Course => "degrees",
        _ => "s, ms or min",
    }
}

fn shortened(cell: &str) -> String {
    excerpt(cell, 40)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(cell: &str, role: Role, factor: f64) {
        let heading = heading(cell).unwrap_or_else(|| panic!("{cell} not known"));
        assert_eq!(heading.role, role, "{cell}");
        let column = heading.column(0).unwrap_or_else(|| panic!("{cell}: unit"));
        assert!(
            (column.factor - factor).abs() < 1e-12,
            "{cell}: {}",
            column.factor
        );
    }

    #[test]
    fn spellings_of_speed() {
        for cell in [
            "speed",
            "Speed",
            "SPEED",
            "v",
            "speed (m/s)",
            "speed_mps",
            "speed [m/s]",
            "speed_m_s",
            "speed:m/s",
            "Velocity m/s",
            "speed (gps)",
            "Speed, m/s",
            "speed in m/s",
            "ground_speed (m/s)",
        ] {
            check(cell, Role::Speed, 1.0);
        }
        for cell in [
            "speed (km/h)",
            "Velocity km/h",
            "speed_kmh",
            "speedKmh",
            "speed:km/h",
            "Speed [KM/H]",
            "speed_km_h",
            "Geschwindigkeit (km/h)",
            "speed kph",
        ] {
            check(cell, Role::Speed, 1.0 / 3.6);
        }
        check("speed_mph", Role::Speed, 0.44704);
        check("speed (knots)", Role::Speed, 0.514_444_444_444_444_4);
        check("speed ft/s", Role::Speed, 0.3048);
    }

    #[test]
    fn spellings_of_the_rest() {
        for (cell, role) in [
            ("lat", Role::Latitude),
            ("Latitude", Role::Latitude),
            ("latitude_deg", Role::Latitude),
            ("latitude (°)", Role::Latitude),
            ("lon", Role::Longitude),
            ("lng", Role::Longitude),
            ("long", Role::Longitude),
            ("Longitude [deg]", Role::Longitude),
            ("x", Role::X),
            ("x_m", Role::X),
            ("X (m)", Role::X),
            ("y_m", Role::Y),
            ("pos_y", Role::Y),
            ("t", Role::Time),
            ("time_s", Role::Time),
            ("timestamp", Role::Time),
            ("elapsed (s)", Role::Time),
            ("Time (UTC)", Role::Time),
            ("date", Role::Date),
            ("heart rate", Role::HeartRate),
            ("heartRate", Role::HeartRate),
            ("hr", Role::HeartRate),
            ("Heart Rate (bpm)", Role::HeartRate),
            ("hr_bpm", Role::HeartRate),
            ("bpm", Role::HeartRate),
            ("HDOP", Role::Hdop),
            ("sat", Role::Satellites),
            ("satellites", Role::Satellites),
            ("No. of Satellites", Role::Satellites),
            ("course (deg)", Role::Course),
            ("ele", Role::Elevation),
            ("altitude (m)", Role::Elevation),
            ("cadence (rpm)", Role::Cadence),
            ("\u{feff}time", Role::Time),
            ("# time", Role::Time),
        ] {
            check(cell, role, 1.0);
        }
        check("time_ms", Role::Time, 1e-3);
        check("x (ft)", Role::X, 0.3048);
    }

    #[test]
    fn words_that_are_no_columns() {
        for cell in [
            "",
            "player",
            "acceleration (m/s2)",
            "distance",
            "12.5",
            "speed zone",
            "time in zone",
            "date of birth",
        ] {
            assert!(heading(cell).is_none(), "{cell}");
        }
    }

    #[test]
    fn a_unit_that_is_not_known_is_an_error() {
        let error = Layout::of_header(["time", "speed (furlong/h)"].into_iter(), 3);
        assert!(
            matches!(error, Err(Error::Unit { line: Some(3), ref column, .. }) if column == "speed (furlong/h)")
        );
        assert!(Layout::of_header(["time", "lat (rad)", "lon (rad)"].into_iter(), 1).is_err());
    }

    #[test]
    fn the_fullest_time_is_read() {
        let layout = Layout::of_header(
            ["elapsed (s)", "Time (UTC)", "timestamp", "speed"].into_iter(),
            1,
        )
        .expect("units are known");
        assert_eq!(layout.get(Role::Time).map(|c| c.index), Some(2));
    }

    #[test]
    fn columns_option() {
        let layout = Layout::of_option("time, lat,lon,speed:km/h,-").expect("known words");
        assert_eq!(layout.width, 5);
        assert_eq!(layout.get(Role::Speed).map(|c| c.index), Some(3));
        for (columns, word) in [
            ("time,lat,lon,sped", "sped"),
            ("time,speed,velocity", "velocity"),
            ("time,lat", "time,lat"),
            ("", ""),
        ] {
            assert!(
                matches!(Layout::of_option(columns), Err(Error::Columns { word: ref w, .. }) if w == word),
                "{columns}"
            );
        }
    }
}
