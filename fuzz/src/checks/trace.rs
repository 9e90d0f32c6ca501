//! Recordings.

use std::io::Write as _;

use flate2::Compression;
use flate2::write::GzEncoder;
use repledger::trace::{self, Error, Options, Position, Trace};
use repledger::track::{self, Rules};

use super::output;

/// Longest input that is also read packed.
const PACKED: usize = 4_000;

/// Any bytes: GPX, a table or neither, packed by gzip or not. Points read by their bytes are those that an XML reader's events give.
pub fn gpx(bytes: &[u8]) {
    if let Ok(text) = std::str::from_utf8(bytes) {
        let [events, scanned] = trace::gpx::read_both_ways(text);
        same(&scanned, &events);
    }
    reading(bytes, &Options::default());
}

/// The same, where a first line `columns=SPEC` says what the columns are.
pub fn csv(bytes: &[u8]) {
    let given = bytes.strip_prefix(b"columns=").and_then(|rest| {
        let end = rest.iter().position(|&b| b == b'\n')?;
        let columns = std::str::from_utf8(&rest[..end]).ok()?;
        Some((columns.to_owned(), &rest[end + 1..]))
    });
    match given {
        Some((columns, rest)) => {
            let columns = Some(columns);
            reading(
                rest,
                &Options {
                    columns,
                    dates: None,
                },
            );
        }
        None => reading(bytes, &Options::default()),
    }
}

fn reading(bytes: &[u8], options: &Options) {
    let read = trace::read(bytes, options);
    same(&read, &trace::read(bytes, options));
    if !bytes.starts_with(&[0x1f, 0x8b]) && !bytes.is_empty() && bytes.len() <= PACKED {
        same(&read, &trace::read(&packed(bytes), options));
    }
    match read {
        Ok(trace) => holds(&trace),
        Err(error) => output::message(&error),
    }
}

fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut encoder = GzEncoder::new(Vec::new(), Compression::none());
    encoder.write_all(bytes).expect("there is memory");
    encoder.finish().expect("there is memory")
}

/// Two readings of the same text are the same.
fn same(one: &Result<Trace, Error>, other: &Result<Trace, Error>) {
    match (one, other) {
        (Ok(one), Ok(other)) => {
            assert_eq!(one.fixes, other.fixes);
            assert_eq!((one.clock, &one.format), (other.clock, &other.format));
            assert_eq!(one.title, other.title);
            assert_eq!(one.set_aside, other.set_aside);
            assert_eq!(one.defects, other.defects);
        }
        (Err(one), Err(other)) => assert_eq!(one, other),
        _ => panic!("{one:?} and {other:?}"),
    }
}

fn holds(trace: &Trace) {
    assert!(!trace.fixes.is_empty());
    for fix in &trace.fixes {
        assert!(fix.time_s.is_finite());
        let position = fix.position.map(|position| match position {
            Position::Geodetic {
                latitude_deg,
                longitude_deg,
            } => [latitude_deg, longitude_deg],
            Position::Local { x_m, y_m } => [x_m, y_m],
        });
        let measured = [
            fix.speed_m_s,
            fix.course_deg,
            fix.elevation_m,
            fix.heart_rate_bpm,
            fix.cadence,
            fix.hdop,
        ];
        assert!(position.is_some() || fix.speed_m_s.is_some());
        assert!(
            (measured.iter().flatten())
                .chain(position.iter().flatten())
                .all(|number| number.is_finite())
        );
    }
    match track::clean(trace, &Rules::default()) {
        Ok(track) => {
            let set_aside: usize = track.set_aside.iter().map(|s| s.count).sum();
            assert_eq!(track.fixes, trace.fixes_in_file());
            assert_eq!(track.points.len() + set_aside, track.fixes);
            assert!(track.points.is_sorted_by(|a, b| a.time_s < b.time_s));
        }
        Err(error) => output::message(&error),
    }
    written(trace);
}

/// What can be written as GPX comes back.
fn written(trace: &Trace) {
    let Ok(bytes) = trace::gpx::write(trace) else {
        return;
    };
    let again = trace::read(&bytes, &Options::default()).expect("what was written can be read");
    let places = |trace: &Trace| -> Vec<_> { trace.fixes.iter().map(|f| f.position).collect() };
    assert_eq!(places(&again), places(trace));
    assert_eq!(again.fixes_in_file(), trace.fixes.len());
}
