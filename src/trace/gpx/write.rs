//! Writes a trace as GPX 1.1, by the `gpx` crate; reading is ours, since a file that is damaged gives what stands before the damage.

use geo_types::Point;
use gpx::{Gpx, GpxVersion, Track, TrackSegment, Waypoint};
use time::OffsetDateTime;

use crate::trace::{Clock, Error, Fix, Position, Trace};

/// The bytes of a GPX 1.1 file with one track and a segment for each segment of the trace.
///
/// Position, time, elevation, hdop and satellites are kept. Speed, course, heart rate and cadence are lost: GPX 1.1 itself has
/// no place for them and the `gpx` crate writes no extensions. So are what was set aside and the defects.
///
/// # Errors
/// [`Error::Write`] where GPX cannot hold the trace: positions in a local system or none at all, or times without a date and a zone.
///
/// # Examples
/// ```
/// use repledger::trace::{self, Options};
///
/// let csv = b"time,lat,lon\n2026-05-12T17:30:00Z,48.1,11.5\n";
/// let trace = trace::read(csv, &Options::default())?;
/// let again = trace::read(&trace::gpx::write(&trace)?, &Options::default())?;
/// assert_eq!(again.fixes[0].position, trace.fixes[0].position);
/// # Ok::<(), trace::Error>(())
/// ```
pub fn write(trace: &Trace) -> Result<Vec<u8>, Error> {
    let Clock::Utc(origin) = trace.clock else {
        return Err(cannot(
            "GPX needs times with a date and a zone, which this recording has not",
        ));
    };
    let origin_ns = origin.as_nanosecond();
    let mut segments: Vec<TrackSegment> = Vec::new();
    let mut current = None;
    for fix in &trace.fixes {
        if current != Some(fix.segment) {
            segments.push(TrackSegment::new());
            current = Some(fix.segment);
        }
        if let Some(segment) = segments.last_mut() {
            segment.points.push(point(fix, origin_ns)?);
        }
    }
    let document = Gpx {
        version: GpxVersion::Gpx11,
        creator: Some("repledger".to_owned()),
        tracks: vec![Track {
            name: trace.title.clone(),
            segments,
            ..Track::new()
        }],
        ..Gpx::default()
    };
    let mut out = Vec::new();
    gpx::write(&document, &mut out).map_err(|error| cannot(&error.to_string()))?;
    Ok(out)
}

fn point(fix: &Fix, origin_ns: i128) -> Result<Waypoint, Error> {
    let Some(Position::Geodetic {
        latitude_deg,
        longitude_deg,
    }) = fix.position
    else {
        return Err(cannot("GPX needs a latitude and a longitude for every fix"));
    };
    let ns = origin_ns + (fix.time_s * 1e9).round() as i128;
    let time = OffsetDateTime::from_unix_timestamp_nanos(ns)
        .map_err(|_| cannot("a time is out of the range of GPX"))?;
    let mut point = Waypoint::new(Point::new(longitude_deg, latitude_deg));
    point.time = Some(time.into());
    point.elevation = fix.elevation_m;
    point.hdop = fix.hdop;
    point.sat = fix.satellites.map(u64::from);
    Ok(point)
}

fn cannot(message: &str) -> Error {
    Error::Write {
        message: message.to_owned(),
    }
}
