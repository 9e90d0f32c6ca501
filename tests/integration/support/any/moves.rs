//! Any session that was run: stretches of rest and runs in all directions, with the errors of a receiver.

use std::fmt::Write as _;
use std::io::Write as _;

use flate2::{Compression, write::GzEncoder};
use geographiclib_rs::{DirectGeodesic, Geodesic};
use jiff::{SignedDuration, Timestamp};
use proptest::prelude::*;
use repledger::simulation::Rng;

/// Speeding up and braking, m/s2.
const RAMP_M_S2: f64 = 4.0;

/// One fix, in metres about the place where he began.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fix {
    pub time_s: f64,
    pub at_m: [f64; 2],
    pub speed_m_s: Option<f64>,
}

/// What a receiver wrote of a session.
#[derive(Clone, Debug)]
pub struct Moves {
    pub hz: f64,
    pub fixes: Vec<Fix>,
}

/// A run after a rest.
#[derive(Clone, Copy, Debug)]
pub struct Run {
    pub rest_s: f64,
    pub heading_rad: f64,
    pub work_s: f64,
    pub speed_m_s: f64,
}

/// Any run.
pub fn run() -> impl Strategy<Value = Run> {
    (
        5.0..40.0_f64,
        0.0..std::f64::consts::TAU,
        2.0..15.0_f64,
        2.0..8.6_f64,
    )
        .prop_map(|(rest_s, heading_rad, work_s, speed_m_s)| Run {
            rest_s,
            heading_rad,
            work_s,
            speed_m_s,
        })
}

/// Any session of a few minutes, at 1, 5 or 10 fixes a second, with or without the receiver's speed.
pub fn moves() -> impl Strategy<Value = Moves> {
    (
        prop::collection::vec(run(), 2..7),
        prop::sample::select(vec![1.0, 5.0, 10.0]),
        any::<bool>(),
        any::<u64>(),
    )
        .prop_map(|(runs, hz, with_speed, seed)| ran(&runs, hz, with_speed, seed))
}

/// Runs as a receiver writes them: noise of each fix and a slow wander, more of both where fixes are fewer.
pub fn ran(runs: &[Run], hz: f64, with_speed: bool, seed: u64) -> Moves {
    let mut chance = Rng::new(seed);
    let noise_m = if hz < 4.0 { 0.15 } else { 0.03 };
    let (mut fixes, mut at_m, mut wander_m) = (Vec::new(), [0.0; 2], [0.0; 2]);
    let (mut v, mut heading_rad) = (0.0_f64, 0.0_f64);
    let mut step = |v: f64, heading_rad: f64| {
        at_m = [
            at_m[0] + v * heading_rad.cos() / hz,
            at_m[1] + v * heading_rad.sin() / hz,
        ];
        wander_m = wander_m.map(|w: f64| 0.99 * w + 0.1 * noise_m * chance.normal());
        let thrown = [0, 1].map(|k| at_m[k] + wander_m[k] + noise_m * chance.normal());
        // To the millimetre and to a hundredth, as receivers write.
        fixes.push(Fix {
            time_s: (fixes.len() as f64 / hz * 1e3).round() / 1e3,
            at_m: thrown.map(|m| (m * 1e3).round() / 1e3),
            speed_m_s: with_speed.then(|| ((v + 0.04 * chance.normal()).abs() * 1e2).round() / 1e2),
        });
    };
    for one in runs {
        for _ in 0..(one.rest_s * hz) as usize {
            v = (v - RAMP_M_S2 / hz).max(0.0);
            step(v, heading_rad);
        }
        heading_rad = one.heading_rad;
        for _ in 0..(one.work_s * hz) as usize {
            v = (v + RAMP_M_S2 / hz).min(one.speed_m_s);
            step(v, heading_rad);
        }
    }
    for _ in 0..(15.0 * hz) as usize {
        v = (v - RAMP_M_S2 / hz).max(0.0);
        step(v, heading_rad);
    }
    Moves { hz, fixes }
}

/// Where and when a session is said to have been, and how its file is written.
#[derive(Clone, Debug)]
pub struct Written {
    /// Latitude and longitude of where he began; local metres when `None`.
    pub origin: Option<[f64; 2]>,
    pub start: Timestamp,
    pub form: Form,
}

#[derive(Clone, Debug)]
pub enum Form {
    Gpx,
    Table(Table),
}

/// How a table is written.
#[derive(Clone, Debug)]
pub struct Table {
    pub delimiter: char,
    /// The sign before decimals.
    pub point: char,
    /// The unit of lengths and how many of it are a metre.
    pub length: (&'static str, f64),
    /// The unit of speed and how many of it are a metre a second.
    pub speed: (&'static str, f64),
    /// The unit of time and how many of it are a second; a date and time when `None`.
    pub time: Option<(&'static str, f64)>,
    pub ends: &'static str,
    pub gzip: bool,
}

impl Default for Table {
    fn default() -> Self {
        Self {
            delimiter: ',',
            point: '.',
            length: ("m", 1.0),
            speed: ("m/s", 1.0),
            time: None,
            ends: "\n",
            gzip: false,
        }
    }
}

impl Default for Written {
    fn default() -> Self {
        Self {
            origin: Some([48.0, 11.0]),
            start: Timestamp::constant(1_778_607_000, 0),
            form: Form::Table(Table::default()),
        }
    }
}

impl Moves {
    /// The file.
    pub fn bytes(&self, written: &Written) -> Vec<u8> {
        match &written.form {
            Form::Gpx => self.gpx(written).into_bytes(),
            Form::Table(table) if table.gzip => {
                let mut gzip = GzEncoder::new(Vec::new(), Compression::fast());
                gzip.write_all(self.table(written, table).as_bytes())
                    .and_then(|()| gzip.finish())
                    .expect("memory takes all")
            }
            Form::Table(table) => self.table(written, table).into_bytes(),
        }
    }

    fn gpx(&self, written: &Written) -> String {
        let mut text = String::from(
            "<gpx version=\"1.1\" creator=\"any\" xmlns=\"http://www.topografix.com/GPX/1/1\"><trk><trkseg>\n",
        );
        for fix in &self.fixes {
            let [lat, lon] = place(written.origin.unwrap_or_default(), fix.at_m);
            let time = moment(written.start, fix.time_s);
            let _ = write!(
                text,
                "<trkpt lat=\"{lat}\" lon=\"{lon}\"><time>{time}</time>"
            );
            if let Some(speed) = fix.speed_m_s {
                let _ = write!(text, "<extensions><speed>{speed}</speed></extensions>");
            }
            text.push_str("</trkpt>\n");
        }
        text + "</trkseg></trk></gpx>\n"
    }

    fn table(&self, written: &Written, table: &Table) -> String {
        let d = table.delimiter;
        let (time, of_time) = table.time.unwrap_or(("utc", 1.0));
        let head = if table.time.is_some() {
            "elapsed"
        } else {
            "timestamp"
        };
        let (length, of_length) = table.length;
        let (speed, of_speed) = table.speed;
        let places = match written.origin {
            Some(_) => format!("lat{d}lon"),
            None => format!("x ({length}){d}y ({length})"),
        };
        let mut text = format!("{head} ({time}){d}{places}{d}speed ({speed}){}", table.ends);
        for fix in &self.fixes {
            let number = |value: f64| value.to_string().replace('.', &table.point.to_string());
            let when = if table.time.is_some() {
                number(fix.time_s * of_time)
            } else {
                moment(written.start, fix.time_s).to_string()
            };
            let [a, b] = match written.origin {
                Some(origin) => place(origin, fix.at_m),
                None => fix.at_m.map(|m| m * of_length),
            };
            let speed = fix
                .speed_m_s
                .map_or(String::new(), |v| number(v * of_speed));
            let _ = write!(
                text,
                "{when}{d}{}{d}{}{d}{speed}{}",
                number(a),
                number(b),
                table.ends
            );
        }
        text
    }
}

fn moment(start: Timestamp, time_s: f64) -> Timestamp {
    let later = SignedDuration::from_millis((time_s * 1e3).round() as i64);
    start.checked_add(later).expect("within the calendar")
}

/// The place so far east and north of an origin: along the geodesic (Karney 2013), by another library.
fn place([lat, lon]: [f64; 2], [east_m, north_m]: [f64; 2]) -> [f64; 2] {
    let azimuth_deg = east_m.atan2(north_m).to_degrees();
    let (lat, lon): (f64, f64) =
        Geodesic::wgs84().direct(lat, lon, azimuth_deg, east_m.hypot(north_m));
    [lat, lon]
}
