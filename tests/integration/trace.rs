//! Reading recordings: what is read, what is set aside, and what is refused.

mod damage;
mod gpx;
mod other_readers;
mod properties;
mod refused;
mod tables;

use repledger::trace::{self, Error, Fix, Options, Position, Trace};

/// Degrees, metres and m/s pass through a decimal text and at most one multiplication.
const EXACT: f64 = 1e-12;
/// A time of this century in seconds since 1970, as a double, is good to 0.24 µs; spreadsheet days to 0.6 µs.
const CLOCK_S: f64 = 1e-6;

fn read(text: impl AsRef<[u8]>) -> Result<Trace, Error> {
    trace::read(text.as_ref(), &Options::default())
}

fn ok(text: impl AsRef<[u8]>) -> Trace {
    read(text).expect("a recording")
}

fn reasons(trace: &Trace) -> Vec<(&str, usize, Option<u64>)> {
    trace
        .set_aside
        .iter()
        .map(|s| (s.reason.as_str(), s.count, s.first_line))
        .collect()
}

fn degrees(fix: &Fix) -> (f64, f64) {
    match fix.position {
        Some(Position::Geodetic {
            latitude_deg,
            longitude_deg,
        }) => (latitude_deg, longitude_deg),
        other => panic!("degrees expected, not {other:?}"),
    }
}

/// A GPX 1.1 document around track points.
fn gpx(points: &str) -> String {
    format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <gpx version=\"1.1\" creator=\"test\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n\
         <trk><name>Café</name><trkseg>\n{points}\n</trkseg></trk>\n</gpx>\n"
    )
}

/// A point at 48.1, 11.5 with children.
fn point(children: &str) -> String {
    format!("<trkpt lat=\"48.1\" lon=\"11.5\">{children}</trkpt>\n")
}

/// A point a number of seconds after 17:30:00 UTC.
fn point_at(s: u32) -> String {
    point(&format!(
        "<ele>500</ele><time>2026-05-12T17:{:02}:{:02}Z</time>",
        30 + s / 60,
        s % 60
    ))
}
