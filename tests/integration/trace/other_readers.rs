//! Our reader beside others, on the same files.

use repledger::trace::{self, Clock, Error, Fix, Trace};

use super::{CLOCK_S, degrees, gpx, ok, point_at, read};

/// gpxpy 1.6.2 on test files of its own source package; see fixtures/README.md.
#[test]
fn reads_what_gpxpy_reads() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/fixtures/traces/gpxpy");
    let expected = std::fs::read_to_string(format!("{folder}/expected.csv")).expect("committed");
    let rows: Vec<Vec<&str>> = expected
        .lines()
        .skip(1)
        .map(|line| line.split(',').collect())
        .collect();
    let mut files = 0;
    let mut compared = 0;
    for entry in std::fs::read_dir(folder).expect("committed") {
        let path = entry.expect("a readable folder").path();
        if path.extension().is_none_or(|e| e != "gpx") {
            continue;
        }
        files += 1;
        let name = path.file_name().and_then(|n| n.to_str()).expect("a name");
        let rows: Vec<_> = rows.iter().filter(|row| row[0] == name).collect();
        let timed: Vec<_> = rows.iter().filter(|row| !row[5].is_empty()).collect();
        match read(std::fs::read(&path).expect("committed")) {
            Ok(trace) => {
                assert_eq!(trace.fixes_in_file(), rows.len(), "{name}");
                assert_eq!(trace.fixes.len(), timed.len(), "{name}");
                for (fix, row) in trace.fixes.iter().zip(timed) {
                    same_as_gpxpy(&trace, fix, row);
                    compared += 1;
                }
            }
            Err(error) => {
                assert!(timed.is_empty(), "{name}: {error}");
                assert_eq!(
                    matches!(error, Error::NoTrack { .. }),
                    rows.is_empty(),
                    "{name}: {error}"
                );
            }
        }
    }
    assert_eq!((files, compared), (9, 311));
}

fn same_as_gpxpy(trace: &Trace, fix: &Fix, row: &[&str]) {
    let number = |i: usize| row[i].parse::<f64>().ok();
    assert_eq!(fix.segment.to_string(), row[1]);
    let (latitude, longitude) = degrees(fix);
    assert_eq!(Some(latitude), number(2));
    assert_eq!(Some(longitude), number(3));
    assert_eq!(fix.elevation_m, number(4));
    let step = jiff::SignedDuration::from_secs_f64(fix.time_s);
    let (time, zone) = match trace.clock {
        Clock::Utc(origin) => ((origin + step).to_string(), true),
        Clock::ZoneUnknown(origin) => ((origin + step).to_string(), false),
        Clock::Elapsed => panic!("gpxpy knows no elapsed time"),
    };
    let expected = row[5].replace(".000000", "");
    assert_eq!(time, expected);
    assert_eq!(zone, row[5].ends_with('Z'));
    assert_eq!(fix.speed_m_s, number(6));
    assert_eq!(fix.course_deg, number(7));
    assert_eq!(fix.hdop, number(8));
    assert_eq!(fix.satellites.map(f64::from), number(9));
}

/// The gpx crate reads what we write, and what we read.
#[test]
fn the_gpx_crate_agrees() {
    let text = gpx(&(0..50).map(point_at).collect::<String>())
        + "<!-- a comment after the root is allowed -->";
    let ours = ok(&text);
    let written = trace::gpx::write(&ours).expect("degrees and a zone");
    for bytes in [text.as_bytes(), &written] {
        let theirs = ::gpx::read(bytes).expect("well-formed");
        assert_eq!(theirs.version, ::gpx::GpxVersion::Gpx11);
        let again = ok(bytes);
        let points: Vec<_> = theirs
            .tracks
            .iter()
            .flat_map(|t| &t.segments)
            .flat_map(|s| &s.points)
            .collect();
        assert_eq!(points.len(), 50);
        assert_eq!(again.title.as_deref(), theirs.tracks[0].name.as_deref());
        for ((fix, first), theirs) in again.fixes.iter().zip(&ours.fixes).zip(points) {
            assert_eq!(degrees(fix), (theirs.point().y(), theirs.point().x()));
            assert_eq!(fix.elevation_m, theirs.elevation);
            assert!((fix.time_s - first.time_s).abs() < CLOCK_S);
            let Clock::Utc(origin) = again.clock else {
                panic!("a zone")
            };
            let time: jiff::Timestamp = theirs
                .time
                .expect("a time")
                .format()
                .expect("a time")
                .parse()
                .expect("RFC 3339");
            assert!(((time - origin).as_secs_f64() - fix.time_s).abs() < CLOCK_S);
        }
    }
}

#[test]
fn what_gpx_cannot_hold_is_said() {
    for text in [
        "time (s),lat,lon\n0,1,2\n",
        "time,x,y\n2026-05-12T17:30:00Z,1,2\n",
        "time,speed (m/s)\n2026-05-12T17:30:00Z,1\n",
    ] {
        let error = trace::gpx::write(&ok(text)).expect_err("GPX lacks a place for it");
        assert!(error.to_string().starts_with("GPX needs"), "{error}");
    }
}
