//! A simulated recording, as the bytes of a file and as the trace that a reader makes of them.
//!
//! GPX is written by hand, as receivers do it: with decimals cut where theirs are, and extensions, which the `gpx` crate does not write.

use std::fmt::Write as _;

use jiff::{SignedDuration, Timestamp};

use crate::trace::{self, Clock, Fix, Position, Trace};

/// What a receiver wrote.
#[derive(Clone, Debug, PartialEq)]
pub struct Recording {
    /// The moment of time 0.
    pub start: Timestamp,
    /// The form of the file.
    pub format: Format,
    /// Latitude and longitude of the corner of the pitch, degrees, and the bearing of its long side, radians from east.
    pub site: (f64, f64, f64),
    /// Decimals of the degrees.
    pub decimals: usize,
    /// The fixes.
    pub rows: Vec<Row>,
}

/// The form of the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Format {
    /// GPX 1.1, speed and heart rate in extensions.
    Gpx,
    /// `time,lat,lon,speed_m_s`
    Columns,
    /// `time_s,x_m,y_m`
    LocalColumns,
}

/// One fix on the pitch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Row {
    /// Seconds from the start.
    pub time_s: f64,
    /// The number of the unbroken segment of the file that it belongs to, from 0; numbers may be left out.
    pub segment: u32,
    /// Along the touchline, m.
    pub x_m: f64,
    /// Along the goal line, m.
    pub y_m: f64,
    /// The receiver's speed, m/s.
    pub speed_m_s: Option<f64>,
    /// Heart rate, beats a minute.
    pub heart_rate_bpm: Option<f64>,
}

/// WGS 84: semi-major axis, m, and first eccentricity squared (NIMA TR8350.2).
const A_M: f64 = 6_378_137.0;
const E2: f64 = 0.006_694_379_990_14;

impl Recording {
    /// Degrees of a place on the pitch, rounded as the file rounds them.
    ///
    /// Radii of curvature at the corner are used for the whole pitch, which errs by under 2 mm across 150 m.
    fn degrees(&self, row: &Row) -> (f64, f64) {
        let (lat0, lon0, bearing) = self.site;
        let (sin, cos) = bearing.sin_cos();
        let east = cos * row.x_m - sin * row.y_m;
        let north = sin * row.x_m + cos * row.y_m;
        let w2 = 1.0 - E2 * lat0.to_radians().sin().powi(2);
        let meridian = A_M * (1.0 - E2) / w2.powf(1.5);
        let normal = A_M / w2.sqrt();
        let lat = lat0 + (north / meridian).to_degrees();
        let lon = lon0 + (east / (normal * lat.to_radians().cos())).to_degrees();
        let unit = 10_f64.powi(i32::try_from(self.decimals).unwrap_or(7));
        ((lat * unit).round() / unit, (lon * unit).round() / unit)
    }

    fn moment(&self, row: &Row) -> Timestamp {
        let ms = (row.time_s * 1000.0).round() as i64;
        let later = self.start.checked_add(SignedDuration::from_millis(ms));
        later.unwrap_or(self.start)
    }

    /// The file.
    #[must_use]
    pub fn bytes(&self) -> Vec<u8> {
        match self.format {
            Format::Gpx => self.gpx(),
            Format::Columns => self.columns(),
            Format::LocalColumns => self.local_columns(),
        }
        .into_bytes()
    }

    fn first_segment(&self) -> u32 {
        self.rows.first().map_or(0, |row| row.segment)
    }

    fn gpx(&self) -> String {
        let mut out = String::from(concat!(
            "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n",
            "<gpx version=\"1.1\" creator=\"repledger simulate\" xmlns=\"http://www.topografix.com/GPX/1/1\"",
            " xmlns:s=\"urn:repledger:sensor\">\n <trk>\n  <trkseg>\n",
        ));
        let decimals = self.decimals;
        let mut segment = self.first_segment();
        for row in &self.rows {
            if row.segment != segment {
                segment = row.segment;
                out.push_str("  </trkseg><trkseg>\n");
            }
            let (lat, lon) = self.degrees(row);
            let time = self.moment(row);
            // Writing to a string cannot fail.
            let _ = write!(
                out,
                "   <trkpt lat=\"{lat:.decimals$}\" lon=\"{lon:.decimals$}\"><time>{time}</time>"
            );
            if row.speed_m_s.is_some() || row.heart_rate_bpm.is_some() {
                out.push_str("<extensions>");
                if let Some(speed) = row.speed_m_s {
                    let _ = write!(out, "<s:speed>{speed:.2}</s:speed>");
                }
                if let Some(beats) = row.heart_rate_bpm {
                    let _ = write!(out, "<s:hr>{beats:.0}</s:hr>");
                }
                out.push_str("</extensions>");
            }
            out.push_str("</trkpt>\n");
        }
        out.push_str("  </trkseg>\n </trk>\n</gpx>\n");
        out
    }

    fn columns(&self) -> String {
        let mut out = String::from("time,lat,lon,speed_m_s\n");
        let decimals = self.decimals;
        for row in &self.rows {
            let (lat, lon) = self.degrees(row);
            let time = self.moment(row);
            let speed = row.speed_m_s.unwrap_or(0.0);
            let _ = writeln!(
                out,
                "{time:.1},{lat:.decimals$},{lon:.decimals$},{speed:.2}"
            );
        }
        out
    }

    fn local_columns(&self) -> String {
        let mut out = String::from("time_s,x_m,y_m\n");
        for row in &self.rows {
            let _ = writeln!(out, "{:.2},{:.3},{:.3}", row.time_s, row.x_m, row.y_m);
        }
        out
    }

    /// The trace that reading those bytes gives, without the detour over text.
    #[must_use]
    pub fn trace(&self) -> Trace {
        let local = self.format == Format::LocalColumns;
        let gpx = self.format == Format::Gpx;
        // Only GPX knows segments; a new one takes a line of its own.
        let (mut segment, mut last) = (0, self.first_segment());
        let fixes = (0_u32..).zip(&self.rows).map(|(i, row)| {
            if gpx && row.segment != last {
                last = row.segment;
                segment += 1;
            }
            Fix {
                time_s: (row.time_s * 1000.0).round() / 1000.0,
                position: Some(if local {
                    Position::Local {
                        x_m: (row.x_m * 1000.0).round() / 1000.0,
                        y_m: (row.y_m * 1000.0).round() / 1000.0,
                    }
                } else {
                    let (latitude_deg, longitude_deg) = self.degrees(row);
                    Position::Geodetic {
                        latitude_deg,
                        longitude_deg,
                    }
                }),
                speed_m_s: row.speed_m_s.map(|v| (v * 100.0).round() / 100.0),
                heart_rate_bpm: row.heart_rate_bpm,
                // The header takes four lines of a GPX file and one of a table.
                segment,
                line: u64::from(i) + if gpx { 5 + u64::from(segment) } else { 2 },
                ..Fix::default()
            }
        });
        let clock = if local {
            Clock::Elapsed
        } else {
            Clock::Utc(self.start)
        };
        let format = if gpx {
            trace::Format::Gpx {
                version: Some("1.1".to_owned()),
            }
        } else {
            trace::Format::Csv { delimiter: ',' }
        };
        Trace::new(fixes.collect(), clock, format)
    }
}
