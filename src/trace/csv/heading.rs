//! One header cell: its role and its unit, however they are spelt.

use super::angle::sides;
use super::compact::Glued;
use super::role::{Role, TEMPO, role};
use super::unit::{Unit, normal, unit};

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
    /// The order of digits that the header names, as ddmmyy or yymmdd.
    pub order: Option<Glued>,
    /// The sign that the letter O stands for, east or west by the language of the header.
    pub o: Option<f64>,
    /// Among columns of one role the highest is read.
    pub rank: u8,
}

impl Column {
    /// Whether the header says that dates are written ddmmyy.
    pub(super) fn is_day_first(&self) -> bool {
        self.order == Some(Glued::Dmy)
    }
}

/// A header cell that was recognised.
#[derive(Debug)]
pub(super) struct Heading {
    pub role: Role,
    rank: u8,
    /// The unit in normal form, empty where none is named.
    unit: String,
    utc: bool,
    /// The order of digits that it names.
    order: Option<Glued>,
    o: Option<f64>,
    /// A latitude or longitude with `(N/S)` or `(E/W)` behind it: the angle itself, or beside another the column of its letters.
    pub sided: bool,
    /// Tempo, as a time: a word that could have been a speed.
    pub doubtful: bool,
}

impl Heading {
    /// The column, `None` for a unit that is not known.
    pub(super) fn column(&self, index: usize) -> Option<Column> {
        let named = if self.unit.is_empty() || self.sided {
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
            order: self.order,
            o: self.o,
            rank: self.rank,
        })
    }
}

/// Recognises `speed (km/h)`, `speed [m/s]`, `speed_mps`, `speed:km/h`, `Speed km/h`, `speedKmh` and their like.
pub(super) fn heading(cell: &str) -> Option<Heading> {
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
        let role = tempo(&name, role, &bracketed)?;
        let letters = sides(&bracketed).filter(|(of, _)| *of == role);
        return Some(Heading {
            role,
            rank,
            utc: utc(&bracketed),
            order: order(&name, &bracketed),
            o: letters.or_else(|| sides(&name)).and_then(|(_, o)| o),
            sided: letters.is_some(),
            doubtful: name == TEMPO && role == Role::Time,
            unit: bracketed,
        });
    }
    // The unit may be the last words of the name.
    for tail in 1..=3.min(words.len().saturating_sub(1)) {
        let (front, back) = words.split_at_checked(words.len() - tail)?;
        let front = match front.split_last() {
            Some((&("in" | "en" | "em"), name)) => name,
            _ => front,
        };
        let unit_word = back.join(" ");
        let name = front.join(" ");
        if let Some((role, rank)) = role(&name)
            && let Some(role) = tempo(&name, role, &unit_word)
            && (matches!(unit(role, &unit_word), Some(Unit::Factor(_)))
                || role == Role::Time
                    && matches!(unit_word.as_str(), "utc" | "gmt" | "local" | "iso"))
        {
            return Some(Heading {
                role,
                rank,
                utc: utc(&unit_word),
                order: order(&name, &unit_word),
                o: None,
                sided: false,
                doubtful: name == TEMPO && role == Role::Time,
                unit: unit_word,
            });
        }
    }
    None
}

/// What a column of that name holds, which for tempo its unit tells: a speed, a time, or a pace, which is not read.
fn tempo(name: &str, role: Role, word: &str) -> Option<Role> {
    if name != TEMPO || matches!(unit(Role::Time, word), Some(Unit::Factor(_))) {
        return Some(role);
    }
    match unit(Role::Speed, word) {
        Some(Unit::Factor(_)) => Some(Role::Speed),
        _ => (!word.contains('/')).then_some(role),
    }
}

/// The order of day, month and year that the words of a heading name.
fn order(name: &str, unit: &str) -> Option<Glued> {
    let named = |pattern| name.contains(pattern) || unit.contains(pattern);
    if named("ddmmyy") {
        Some(Glued::Dmy)
    } else {
        named("yymmdd").then_some(Glued::Ymd)
    }
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
            "speed_ms",
            "speed:m/s",
            "Velocity m/s",
            "speed (gps)",
            "Speed, m/s",
            "speed in m/s",
            "ground_speed (m/s)",
            "Vitesse en m/s",
            "Velocidad en m/s",
            "Velocidade em m/s",
            "Tempo [m/s]",
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
            "Tempo (km/h)",
            "tempo_kmh",
            "Snelheid (km/u)",
            "Snelheid [km/uur]",
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
            ("tempo", Role::Time),
            ("Tempo (s)", Role::Time),
            ("Tijdstip", Role::Time),
            ("Breedte", Role::Latitude),
            ("Lengte", Role::Longitude),
            ("Frequência cardíaca", Role::HeartRate),
            ("N/Z", Role::LatitudeSide),
            ("O/W", Role::LongitudeSide),
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
            "Tempo (min/km)",
        ] {
            assert!(heading(cell).is_none(), "{cell}");
        }
    }
}
