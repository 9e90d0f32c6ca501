//! Reading recordings: what is read, what is set aside, and what is refused.

use std::fmt::Write as _;
use std::io::Write as _;

use proptest::prelude::*;
use repledger::trace::{self, Clock, DateOrder, Error, Fix, Format, Options, Position, Trace};

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

// ---- Held against other readers ----

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
        let theirs = gpx::read(bytes).expect("well-formed");
        assert_eq!(theirs.version, gpx::GpxVersion::Gpx11);
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

// ---- GPX ----

#[test]
fn all_that_a_point_carries() {
    let trace = ok(gpx(&point(
        "<ele>501.5</ele><time>2026-05-12T17:30:00.25Z</time><course>271.5</course><speed>4.25</speed>\
         <sat>11</sat><hdop>0.8</hdop><fix>3d</fix>\
         <extensions><a:b xmlns:a=\"urn:a\"><a:hr>151</a:hr><a:cad>88</a:cad></a:b></extensions>",
    )));
    assert_eq!(
        trace.fixes,
        [Fix {
            time_s: 0.0,
            position: Some(Position::Geodetic {
                latitude_deg: 48.1,
                longitude_deg: 11.5
            }),
            speed_m_s: Some(4.25),
            course_deg: Some(271.5),
            elevation_m: Some(501.5),
            heart_rate_bpm: Some(151.0),
            cadence: Some(88.0),
            hdop: Some(0.8),
            satellites: Some(11),
            segment: 0,
            line: 4,
        }]
    );
    assert_eq!(trace.title.as_deref(), Some("Café"));
    assert_eq!(
        trace.format,
        Format::Gpx {
            version: Some("1.1".to_owned())
        }
    );
    assert_eq!(
        trace.clock,
        Clock::Utc("2026-05-12T17:30:00.25Z".parse().expect("RFC 3339"))
    );
}

/// Each way of writing one point with a speed of 5.5 m/s and a heart rate of 150.
#[test]
fn one_point_written_in_many_ways() {
    let time = "<time>2026-05-12T17:30:00Z</time>";
    let ways = [
        format!("<trkpt lat='48.1' lon='11.5'>{time}<speed>5.5</speed><hr>150</hr></trkpt>"),
        format!(
            "<trkpt lon='11.5' x='y' lat='48.1' ><extensions><speed>5.5</speed><hr>150</hr></extensions>{time}</trkpt >"
        ),
        "<n:trkpt lat='48.1' lon='11.5'><n:time>2026-05-12T17:30:00Z</n:time><n:extensions><v:Speed>5.5</v:Speed><v:HeartRate>150</v:HeartRate></n:extensions></n:trkpt>".to_owned(),
        format!(
            "<trkpt lat='48.1' lon='11.5'>{time}<extensions><p><q><r><s:speed> 5.5\n</s:speed></r><heartrate>150</heartrate></q></p></extensions></trkpt>"
        ),
        format!(
            "<trkpt lat='48.1' lon='11.5'>{time}<speed>5<!-- split -->.5</speed><hr><![CDATA[150]]></hr></trkpt>"
        ),
        format!(
            "<trkpt lat='48.1' lon='11.5'>{time}<speed>5&#46;5</speed><hr>&#x31;50</hr></trkpt>"
        ),
        format!(
            "<trkpt lat='48.1' lon='11.5'><time/><ele/>{time}<speed>5.5</speed><hr>150</hr><sat/><hdop></hdop></trkpt>"
        ),
        // What GPX 1.0 defines goes before an extension, wherever it stands.
        format!(
            "<trkpt lat='48.1' lon='11.5'>{time}<extensions><speed>9</speed><time>1999</time><hr>150</hr></extensions><speed>5.5</speed></trkpt>"
        ),
        format!("<trkpt lat='48,1' lon='11,5'>{time}<speed>5,5</speed><hr>150</hr></trkpt>"),
    ];
    for way in ways {
        let trace = ok(gpx(&way));
        assert_eq!(trace.fixes.len(), 1, "{way}");
        let fix = &trace.fixes[0];
        assert_eq!(degrees(fix), (48.1, 11.5), "{way}");
        assert_eq!(fix.speed_m_s, Some(5.5), "{way}");
        assert_eq!(fix.heart_rate_bpm, Some(150.0), "{way}");
        assert!(trace.defects.is_empty(), "{way}: {:?}", trace.defects);
    }
}

#[test]
fn every_encoding_gives_the_same_trace() {
    let text = gpx(&(0..3).map(point_at).collect::<String>());
    let plain = ok(&text);
    assert_eq!(plain.title.as_deref(), Some("Café"));
    let utf16 = text.replace("UTF-8", "UTF-16");
    let little: Vec<u8> = utf16.encode_utf16().flat_map(u16::to_le_bytes).collect();
    let big: Vec<u8> = utf16.encode_utf16().flat_map(u16::to_be_bytes).collect();
    let latin: Vec<u8> = text
        .replace("UTF-8", "ISO-8859-1")
        .chars()
        .map(|c| u8::try_from(u32::from(c)).expect("Latin-1"))
        .collect();
    let undeclared: Vec<u8> = text
        .replace(" encoding=\"UTF-8\"", "")
        .chars()
        .map(|c| u8::try_from(u32::from(c)).expect("Latin-1"))
        .collect();
    let mut gz = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::default());
    gz.write_all(text.as_bytes()).expect("memory");
    let forms: [(&str, Vec<u8>); 10] = [
        ("mark", [b"\xef\xbb\xbf", text.as_bytes()].concat()),
        ("crlf", text.replace('\n', "\r\n").into_bytes()),
        ("cr", text.replace('\n', "\r").into_bytes()),
        ("utf-16le", little.clone()),
        ("utf-16be", big.clone()),
        ("utf-16le, mark", [b"\xff\xfe".to_vec(), little].concat()),
        ("utf-16be, mark", [b"\xfe\xff".to_vec(), big].concat()),
        ("latin-1", latin),
        ("windows-1252", undeclared),
        ("gzip", gz.finish().expect("memory")),
    ];
    for (name, bytes) in forms {
        let trace = ok(bytes);
        assert_eq!(trace.fixes, plain.fixes, "{name}");
        assert_eq!(trace.title, plain.title, "{name}");
        assert!(trace.defects.is_empty(), "{name}: {:?}", trace.defects);
    }
}

#[test]
fn a_new_segment_or_track_is_a_break_and_the_rest_is_ignored() {
    let p = point_at(0);
    let trace = ok(format!(
        "<gpx version='1.0'><name>Session</name><wpt lat='1' lon='2'><time>2020-01-01T00:00:00Z</time><name>w</name></wpt>\
         <rte><name>r</name><rtept lat='1' lon='2'/></rte>\
         <extensions><trkpt lat='1' lon='2'><time>2020-01-01T00:00:00Z</time></trkpt></extensions>\
         <trk><name>t</name><trkseg>{p}{p}</trkseg><trkseg/><trkseg>{p}</trkseg></trk><trk><trkseg>{p}</trkseg></trk></gpx>"
    ));
    let segments: Vec<u32> = trace.fixes.iter().map(|f| f.segment).collect();
    assert_eq!(segments, [0, 0, 1, 2]);
    assert_eq!(trace.title.as_deref(), Some("Session"));
    assert_eq!(trace.fixes_in_file(), 4);
    assert_eq!(trace.defects.len(), 1);
    assert_eq!(
        trace.defects[0].message,
        "1 route and 1 waypoint ignored: they carry no motion"
    );
}

#[test]
fn a_point_that_cannot_be_used_is_set_aside_with_its_reason() {
    let time = "<time>2026-05-12T17:30:00Z</time>";
    let tag = |lat: &str, lon: &str| format!("<trkpt lat='{lat}' lon='{lon}'>{time}</trkpt>\n");
    for (bad, reason) in [
        (tag("91", "0"), "position out of range"),
        (tag("-90.0001", "0"), "position out of range"),
        (tag("0", "180.0001"), "position out of range"),
        (tag("NaN", "0"), "position out of range"),
        (tag("0", "inf"), "position out of range"),
        (tag("1e308", "0"), "position out of range"),
        (tag("undefined", "0"), "position not a number"),
        (tag("48\0", "0"), "position not a number"),
        (
            format!("<trkpt lat='1'>{time}</trkpt>\n"),
            "one coordinate of two missing",
        ),
        (
            format!("<trkpt>{time}</trkpt>\n"),
            "one coordinate of two missing",
        ),
        (point(""), "no time"),
        (point("<time/>"), "no time"),
        (point("<time> </time>"), "no time"),
        (point("<time>soon</time>"), "time not readable"),
        (point("<time>2026-05-12</time>"), "time not readable"),
        (
            point("<time>04/05/2026 10:00:00</time>"),
            "time not readable",
        ),
        (
            point(&format!("<time>{}</time>", "1".repeat(5000))),
            "time not readable",
        ),
        (
            point("<time>2026-05-12T17:30:00Z&custom;</time>"),
            "time not readable",
        ),
        (
            point("<time>9999-12-31T23:59:59Z</time>"),
            "time out of range (1970 to 2200)",
        ),
        (
            point("<time>0001-01-01T00:00:00Z</time>"),
            "time out of range (1970 to 2200)",
        ),
        (
            point(&format!("{time}<fix>none</fix>")),
            "the receiver says it had no fix",
        ),
        ("<trkpt lat='1' lon='2'/>\n".to_owned(), "no time"),
    ] {
        let trace = ok(gpx(&format!("{}{bad}{bad}{}", point_at(0), point_at(1))));
        assert_eq!(trace.fixes.len(), 2, "{bad}");
        assert_eq!(reasons(&trace), [(reason, 2, Some(5))], "{bad}");
        assert_eq!(trace.fixes[1].line, 7, "{bad}");
    }
}

#[test]
fn a_bad_extra_costs_only_itself() {
    for (bad, name) in [
        ("<speed>-1</speed>", "speed"),
        ("<speed>1e308</speed>", "speed"),
        ("<speed>NaN</speed>", "speed"),
        ("<hr>999</hr>", "heart rate"),
        ("<hr>high</hr>", "heart rate"),
        ("<ele>1e308</ele>", "elevation"),
        ("<hdop>x</hdop>", "hdop"),
        ("<sat>3.5</sat>", "satellites"),
        ("<course>400</course>", "course"),
        ("<cad>-3</cad>", "cadence"),
    ] {
        let time = "<time>2026-05-12T17:30:00Z</time>";
        let trace = ok(gpx(&point(&format!("{time}{bad}")).repeat(3)));
        assert_eq!(trace.fixes.len(), 3, "{bad}");
        assert!(trace.set_aside.is_empty(), "{bad}");
        assert_eq!(trace.defects.len(), 1, "{bad}: {:?}", trace.defects);
        assert_eq!(
            trace.defects[0].message,
            format!("{name} not usable and left out of 3 fixes")
        );
        assert_eq!(trace.defects[0].line, Some(4));
    }
    // A strap without contact writes 0: not known, and no fault of the file.
    let trace = ok(gpx(&point("<time>2026-05-12T17:30:00Z</time><hr>0</hr>")));
    assert_eq!(trace.fixes[0].heart_rate_bpm, None);
    assert!(trace.defects.is_empty());
}

#[test]
fn longitude_180_and_the_poles_are_places() {
    let time = "<time>2026-05-12T17:30:00Z</time>";
    for (lat, lon) in [("0", "180"), ("0", "-180"), ("90", "0"), ("-90", "0")] {
        let trace = ok(gpx(&format!(
            "<trkpt lat='{lat}' lon='{lon}'>{time}</trkpt>"
        )));
        assert_eq!(trace.fixes.len(), 1);
    }
}

#[test]
fn times_in_many_forms_are_one_instant() {
    for time in [
        "2026-05-12T17:30:00Z",
        "2026-05-12T17:30:00.000Z",
        "2026-05-12T19:30:00+02:00",
        "2026-05-12T12:00:00-0530",
        "2026-05-12 17:30:00 UTC",
        "2026-05-12T17:29:60Z",
    ] {
        let trace = ok(gpx(&point(&format!("<time>{time}</time>"))));
        assert_eq!(
            trace.clock,
            Clock::Utc("2026-05-12T17:30:00Z".parse().expect("RFC 3339")),
            "{time}"
        );
    }
}

#[test]
fn times_without_a_zone_are_read_and_told() {
    let trace = ok(gpx(&point("<time>2026-05-12T17:30:00.5</time>").repeat(2)));
    assert_eq!(
        trace.clock,
        Clock::ZoneUnknown("2026-05-12T17:30:00.5".parse().expect("ISO 8601"))
    );
    assert_eq!(trace.defects.len(), 1);
    assert!(trace.defects[0].message.contains("no zone"));
}

#[test]
fn of_mixed_clocks_the_one_of_most_fixes_is_kept() {
    let local = point("<time>2026-05-12T17:30:00</time>");
    let trace = ok(gpx(&format!(
        "{local}{}{}{local}{}",
        point_at(0),
        point_at(1),
        point_at(2)
    )));
    assert!(matches!(trace.clock, Clock::Utc(_)));
    assert_eq!(trace.fixes.len(), 3);
    assert_eq!(
        reasons(&trace),
        [(
            "another kind of time than most fixes of the file",
            2,
            Some(4)
        )]
    );
}

// ---- Damage ----

/// A file cut anywhere gives the points that were complete, and counts the one that was not.
#[test]
fn a_file_cut_anywhere_keeps_what_came_before() {
    let text = gpx(&(0..4).map(point_at).collect::<String>());
    let whole = ok(&text).fixes;
    for cut in 1..text.len() {
        if !text.is_char_boundary(cut) {
            continue;
        }
        let part = &text[..cut];
        let complete = part.matches("</trkpt>").count();
        let started = part.matches("<trkpt ").count();
        match read(part) {
            Ok(trace) => {
                assert_eq!(trace.fixes, whole[..complete], "cut at {cut}");
                assert_eq!(trace.fixes_in_file(), started, "cut at {cut}");
                let closed = part.trim_end().ends_with("</gpx>");
                assert_eq!(trace.defects.is_empty(), closed, "cut at {cut}");
            }
            Err(error) => {
                assert_eq!(complete, 0, "cut at {cut}: {error}");
            }
        }
    }
}

#[test]
fn damage_half_way_names_its_line_and_counts_what_follows() {
    let text = gpx(&format!(
        "{}{}</wrong>\n{}{}",
        point_at(0),
        point_at(1),
        point_at(2),
        point_at(3)
    ));
    let trace = ok(text);
    assert_eq!(trace.fixes.len(), 2);
    assert_eq!(
        reasons(&trace),
        [("after the damage in the file", 2, Some(6))]
    );
    assert_eq!(trace.defects.len(), 1);
    assert_eq!(trace.defects[0].line, Some(6));
    assert!(
        trace.defects[0].message.contains("damaged"),
        "{:?}",
        trace.defects
    );
}

#[test]
fn a_point_inside_a_point_is_counted() {
    let inner = point_at(1);
    let trace = ok(gpx(&point(&format!(
        "<time>2026-05-12T17:30:00Z</time>{}",
        inner.trim()
    ))));
    assert_eq!(trace.fixes.len(), 1);
    assert_eq!(reasons(&trace), [("inside another point", 1, Some(4))]);
}

#[test]
fn zero_bytes_and_a_second_document_are_told() {
    let text = gpx(&point_at(0));
    let padded = format!("{text}{}", "\0".repeat(4096));
    let trace = ok(padded);
    assert_eq!(trace.fixes.len(), 1);
    assert_eq!(trace.defects[0].message, "the file holds zero bytes");
    let two = ok(format!("{text}{text}"));
    assert_eq!(two.fixes.len(), 2);
    assert_eq!(two.fixes[1].segment, 1);
    assert!(two.defects[0].message.contains("another document"));
}

// ---- What is refused ----

#[test]
fn what_is_no_recording_gets_a_message_with_a_way_out() {
    for (bytes, expected) in [
        (&b""[..], "empty"),
        (b" \r\n\t", "empty"),
        (b"\0\0\0\0", "empty"),
        (b"PK\x03\x04\x14\0\0\0", "zip archive"),
        (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "a picture"),
        (
            b"\x0e\x10\xd9\x07\0\0\0\0\x01\x02\x03\x04\x05\x06\x07\x08",
            "binary",
        ),
        (b"\x1f\x8b\x08\0garbage", "gzip"),
        (
            b"<!DOCTYPE html>\n<html><body>Sign in</body></html>",
            "web page",
        ),
        (
            b"<!doctype HTML>\n<meta charset=utf-8><p>Sign in",
            "web page",
        ),
        (b"<HTML><head></head></HTML>", "web page"),
        (
            b"<?xml version='1.0'?>\n<kml/>",
            "line 2: the root element is <kml>",
        ),
        (b"{\"points\": []}", "JSON"),
        (b"<gpx></gpx>", "no track"),
        (
            b"<gpx><rte><rtept lat='1' lon='2'/></rte><wpt lat='1' lon='2'/></gpx>",
            "only 1 route and 1 waypoint",
        ),
        (b"<gpx><trk/></gpx>", "no fixes"),
        (
            b"<gpx><trk><trkseg>\n<trkpt lat='1' lon='2'/></trkseg></trk></gpx>",
            "1 no time (first on line 2)",
        ),
        (b"<gpx>\n<trk", "line 2: "),
        (b"<gpx><trk>", "no fix stands before it"),
        (b"not a recording at all", "--columns"),
        (b"\xff\xfe\0\0<\0\0\0", "UTF-32"),
    ] {
        let error = read(bytes).expect_err(expected).to_string();
        assert!(error.contains(expected), "{error:?} lacks {expected:?}");
        let way_out = [
            "export",
            "download",
            "save",
            "fetch",
            "name them",
            "recording needs",
        ];
        assert!(way_out.iter().any(|word| error.contains(word)), "{error}");
    }
}

/// What a terminal would obey does not get into a title or a message.
#[test]
fn control_characters_of_the_file_are_not_passed_on() {
    let text = gpx(&point_at(0)).replace("Café", "a\u{1b}[2Jb\u{7}\n c");
    assert_eq!(ok(text).title.as_deref(), Some("a[2Jb c"));
    for text in [
        "\u{1b}]0;x\u{7} no table",
        "<\u{1b}[2J/>",
        "time,speed (\u{1b}/h)\n1,2\n",
        "<gpx><a\u{1b}[2J></b></gpx>",
    ] {
        let message = read(text).expect_err("no recording").to_string();
        assert!(!message.contains(char::is_control), "{message:?}");
    }
}

#[test]
fn entities_are_refused() {
    let bomb = "<?xml version='1.0'?>\n<!DOCTYPE gpx [<!ENTITY a 'aaaa'><!ENTITY b '&a;&a;&a;'>]>\n<gpx><trk><name>&b;</name></trk></gpx>";
    assert_eq!(
        read(bomb).expect_err("entities"),
        Error::Declarations { line: 2 }
    );
    let outside =
        "<!DOCTYPE gpx SYSTEM \"http://example.org/gpx.dtd\">".to_owned() + &gpx(&point_at(0));
    // A document type that declares nothing here does no harm, and nothing is fetched.
    assert_eq!(
        ok(outside.replace("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n", ""))
            .fixes
            .len(),
        1
    );
}

/// Each hostile document follows one good point: the point is kept, the rest refused.
#[test]
fn hostile_documents_are_refused_within_bounds() {
    let start = format!("<gpx><trk><trkseg>{}", point_at(0));
    let attributes = (0..100_000).fold(String::new(), |mut all, i| {
        let _ = write!(all, " a{i}='1'");
        all
    });
    let namespaces = (0..20_000).fold(String::new(), |mut all, i| {
        let _ = write!(all, "<a xmlns:n{i}='urn:{i}'>");
        all
    });
    for (name, rest) in [
        ("mismatch", format!("<{0}></{0}x>", "n".repeat(60_000))),
        ("nesting", "<a>".repeat(1_000_000)),
        (
            "text",
            format!(
                "<desc>{}</desc></trkseg></trk></gpx>",
                "x".repeat(3_000_000)
            ),
        ),
        (
            "attribute",
            format!(
                "<trkpt lat='{}' lon='1'/></trkseg></trk></gpx>",
                "1".repeat(3_000_000)
            ),
        ),
        (
            "attributes",
            format!("<trkpt{attributes}/></trkseg></trk></gpx>"),
        ),
        ("namespaces", namespaces),
        (
            "name",
            format!("<{}/></trkseg></trk></gpx>", "n".repeat(3_000_000)),
        ),
        (
            "comment",
            format!("<!--{}--></trkseg></trk></gpx>", "c".repeat(3_000_000)),
        ),
        ("unclosed", format!("<![CDATA[{}", "c".repeat(3_000_000))),
    ] {
        let trace = ok(format!("{start}{rest}"));
        assert_eq!(trace.fixes.len(), 1, "{name}");
        assert_eq!(trace.defects.len(), 1, "{name}");
        assert!(trace.defects[0].message.len() < 300, "{name}");
    }
}

#[test]
fn an_endless_row_of_repeated_names_is_counted_quickly() {
    // Looking back for the tag of each would take 10^12 steps.
    let text = format!(
        "<gpx><trk><trkseg>{}</x>{}",
        point_at(0),
        "a:trkpt ".repeat(300_000)
    );
    assert_eq!(ok(text).fixes_in_file(), 1);
}

// ---- Tables ----

/// Three fixes, 0.1 s apart, at 18.0, 18.9 and 19.8 km/h.
fn is_the_table(text: &str, options: &Options) {
    let trace = trace::read(text.as_bytes(), options).unwrap_or_else(|e| panic!("{text}\n{e}"));
    assert_eq!(trace.fixes.len(), 3, "{text}");
    assert!(trace.set_aside.is_empty(), "{text}");
    for (i, fix) in trace.fixes.iter().enumerate() {
        let i = i as f64;
        assert!(
            (fix.time_s - trace.fixes[0].time_s - 0.1 * i).abs() < CLOCK_S,
            "{text}\n{fix:?}"
        );
        let speed = fix.speed_m_s.expect("a speed");
        assert!((speed - (5.0 + 0.25 * i)).abs() < EXACT, "{text}\n{fix:?}");
        let (latitude, longitude) = degrees(fix);
        assert!((latitude - 48.1).abs() < EXACT, "{text}\n{fix:?}");
        assert!(
            (longitude - (11.5 + 0.000_01 * i)).abs() < EXACT,
            "{text}\n{fix:?}"
        );
    }
}

#[test]
fn dialects_of_one_table() {
    let tables = [
        "time,lat,lon,speed (km/h)\n0.0,48.1,11.5,18.0\n0.1,48.1,11.50001,18.9\n0.2,48.1,11.50002,19.8\n",
        "time_s;latitude;longitude;speed_kmh\n0,0;48,1;11,5;18,0\n0,1;48,1;11,50001;18,9\n0,2;48,1;11,50002;19,8",
        "Elapsed (s)\tLatitude (°)\tLongitude (°)\tVelocity km/h\r\n0\t48.1\t11.5\t18\r\n0.1\t48.1\t11.50001\t18.9\r\n0.2\t48.1\t11.50002\t19.8\r\n",
        "\u{feff}\"time\",\"lat\",\"lng\",\"speed [m/s]\"\n\"0,0\",\"48,1\",\"11,5\",\"5,0\"\n\"0,1\",\"48,1\",\"11,50001\",\"5,25\"\n\"0,2\",\"48,1\",\"11,50002\",\"5,5\"\n",
        "sep=;\nt;lat;long;speed_mps\n0;48.1;11.5;5\n0.1;48.1;11.50001;5.25\n0.2;48.1;11.50002;5.5\n",
        "Speed: fast, but tired\nDate: 12 May; time: evening\ntime,lat,lon,speed (m/s),depth (fathoms),altitude (fathoms)\n0,48.1,11.5,5,1,1\n0.1,48.1,11.50001,5.25,1,1\n0.2,48.1,11.50002,5.5,1,1\n",
        "Training of the under-17\nfirst half, left wing\n\nlongitude,latitude,note,speed,t\n11.5,48.1,a,5,0\n11.50001,48.1,,5.25,0.1\n\n11.50002,48.1,b,5.5,0.2\n\n",
        "time,lat,lon,speed\n(s),[deg],[deg],(km/h)\n0,48.1,11.5,18\n0.1,48.1,11.50001,18.9\n0.2,48.1,11.50002,19.8\n",
        "# made by hand\n# time,lat,lon,speed\ntime_ms,lat,lon,speed_mps\n0,48.1,11.5,5\n# pause\n100,48.1,11.50001,5.25\n200,48.1,11.50002,5.5\n",
        "time,lat,lon,speed (m/s),\n0,48.1,11.5,5,\n0.1,48.1,11.50001,5.25,\n0.2,48.1,11.50002,5.5,\n",
        "time,lat,lon,speed (m/s)\r0,48.1,11.5,5\r0.1,48.1,11.50001,5.25\r0.2,48.1,11.50002,5.5\r",
        "time|lat|lon|speed (m/s)\n0|48.1|11.5|5\n0.1|48.1|11.50001|5.25\n0.2|48.1|11.50002|5.5\n",
    ];
    for table in tables {
        is_the_table(table, &Options::default());
    }
}

#[test]
fn columns_stand_in_for_a_header() {
    let told = |columns: &str| Options {
        columns: Some(columns.to_owned()),
        dates: None,
    };
    is_the_table(
        "0.0,48.1,11.5,18.0,x\n0.1,48.1,11.50001,18.9,x\n0.2,48.1,11.50002,19.8,x\n",
        &told("time,lat,lon,speed:km/h,-"),
    );
    is_the_table(
        "0,0;48,1;11,5;5,0\n0,1;48,1;11,50001;5,25\n0,2;48,1;11,50002;5,5\n",
        &told("time,lat,lon,speed"),
    );
    // A header that the columns make superfluous is passed over, and so are its words.
    let text = "a,b,c,d\n0.0,48.1,11.5,5\n0.1,48.1,11.50001,5.25\n0.2,48.1,11.50002,5.5\n";
    is_the_table(text, &told("t,lat,lon,speed:m/s"));
    let trace = trace::read(text.as_bytes(), &told("t,lat,lon,speed:m/s")).expect("a table");
    assert_eq!(trace.defects.len(), 1);
    assert_eq!(trace.defects[0].line, Some(1));
}

/// Each row: the clock to be found, the header, and 17:30:00, 17:30:00.5 and 17:30:01 of 2026-05-13 in its own way.
///
/// 2026-05-13T17:30:00Z is 1,778,693,400 s after 1970 (`date -u -d 2026-05-13T17:30:00Z +%s`); the day is the 46,155th of a
/// spreadsheet (25,569 for 1970-01-01, and 20,586 days), and 63,000 of 86,400 seconds are 0.72916 of it.
const TIMES: &str = "
    utc     | time       | 2026-05-13T17:30:00Z      | 2026-05-13T17:30:00.5Z      | 2026-05-13T17:30:01Z
    utc     | time       | 2026-05-13T19:30:00+02:00 | 2026-05-13T19:30:00.5+02:00 | 2026-05-13T19:30:01+02:00
    utc     | Time (UTC) | 2026-05-13 17:30:00       | 2026-05-13 17:30:00.500     | 2026-05-13 17:30:01
    utc     | timestamp  | 1778693400                | 1778693400.5                | 1778693401
    utc     | time_s     | 1778693400                | 1778693400.5                | 1778693401
    utc     | timestamp  | 1778693400000             | 1778693400500               | 1778693401000
    utc     | time (ms)  | 1778693400000             | 1778693400500               | 1778693401000
    utc     | epoch      | 1778693400000000          | 1778693400500000            | 1778693401000000
    local   | time       | 2026-05-13 17:30:00       | 2026-05-13 17:30:00.5       | 2026-05-13 17:30:01
    local   | time       | 2026/05/13 17:30:00       | 2026/05/13 17:30:00.5       | 2026/05/13 17:30:01
    local   | time       | 13/05/2026 17:30:00       | 13/05/2026 17:30:00.5       | 13/05/2026 17:30:01
    local   | time       | 13.05.2026 17:30:00       | 13.05.2026 17:30:00,5       | 13.05.2026 17:30:01
    local   | time       | 5/13/2026 5:30:00 PM      | 5/13/2026 5:30:00.5 PM      | 5/13/2026 5:30:01 PM
    local   | date       | 2026-05-13 17:30:00       | 2026-05-13 17:30:00.5       | 2026-05-13 17:30:01
    local   | time       | 46155.7291666667          | 46155.7291724537            | 46155.7291782407
    elapsed | time       | 17:30:00                  | 17:30:00.5                  | 17:30:01.0
    elapsed | time       | 1050:00                   | 1050:00.5                   | 1050:01
    elapsed | elapsed    | 63000                     | 63000.5                     | 63001
    elapsed | time_ms    | 63000000                  | 63000500                    | 63001000
    elapsed | time (min) | 1050                      | 1050.0083333333             | 1050.0166666667
    elapsed | t          | 0.7291666667              | 0.7291724537                | 0.7291782407
";

#[test]
fn times_of_tables() {
    // Ten digits of a day's share are good to 5 µs.
    let close = 1e-5;
    for row in TIMES.lines().map(str::trim).filter(|row| !row.is_empty()) {
        let cells: Vec<&str> = row.split('|').map(str::trim).collect();
        let [clock, header, a, b, c] = cells[..] else {
            panic!("five cells: {row}")
        };
        let trace = ok(format!("{header};speed (m/s)\n{a};1\n{b};1\n{c};1\n"));
        let first = trace.fixes[0].time_s;
        let off = match (trace.clock, clock) {
            (Clock::Elapsed, "elapsed") => first - 63_000.0,
            (Clock::Utc(origin), "utc") => origin
                .duration_since("2026-05-13T17:30:00Z".parse().expect("RFC 3339"))
                .as_secs_f64(),
            (Clock::ZoneUnknown(origin), "local") => origin
                .duration_since("2026-05-13T17:30:00".parse().expect("ISO 8601"))
                .as_secs_f64(),
            (found, _) => panic!("{row}: {found:?}"),
        };
        assert!(off.abs() < close, "{row}: {off} s off");
        for (fix, expected) in trace.fixes.iter().zip([0.0, 0.5, 1.0]) {
            let off = fix.time_s - first - expected;
            assert!(off.abs() < close, "{row}: {fix:?}");
        }
    }
}

#[test]
fn a_date_and_a_time_in_two_columns() {
    for (text, clock) in [
        (
            "date,time,speed (m/s)\n2026-05-13,17:30:00.5,1\n",
            "2026-05-13T17:30:00.5",
        ),
        (
            "Time;Date;speed (m/s)\n17:30:00;13.05.2026;1\n",
            "2026-05-13T17:30:00",
        ),
        (
            "date,time,speed (m/s)\n46155,17:30:00,1\n",
            "2026-05-13T17:30:00",
        ),
        (
            "date,time,speed (m/s)\n2026-05-13,5:30:00 pm,1\n",
            "2026-05-13T17:30:00",
        ),
    ] {
        assert_eq!(
            ok(text).clock,
            Clock::ZoneUnknown(clock.parse().expect("ISO 8601")),
            "{text}"
        );
    }
    assert!(matches!(
        ok("date,time (utc),speed (m/s)\n2026-05-13,17:30:00,1\n").clock,
        Clock::Utc(_)
    ));
}

#[test]
fn a_clock_passes_midnight() {
    let trace = ok("time,speed (m/s)\n23:59:59,1\n00:00:00,1\n00:00:01,1\n");
    let times: Vec<f64> = trace.fixes.iter().map(|f| f.time_s).collect();
    assert_eq!(times, [86_399.0, 86_400.0, 86_401.0]);
}

#[test]
fn a_day_and_month_that_cannot_be_told_are_asked_for() {
    let text = "time,speed (m/s)\n04/05/2026 10:00:00,1\n04/05/2026 10:00:01,1\n";
    let error = read(text).expect_err("4 May or April 5");
    assert_eq!(
        error,
        Error::DateOrder {
            line: 2,
            date: "04/05/2026 10:00:00".to_owned()
        }
    );
    assert!(error.to_string().contains("--dates dmy"));
    for (dates, start) in [
        (DateOrder::DayMonthYear, "2026-05-04T10:00:00"),
        (DateOrder::MonthDayYear, "2026-04-05T10:00:00"),
    ] {
        let options = Options {
            columns: None,
            dates: Some(dates),
        };
        let trace = trace::read(text.as_bytes(), &options).expect("a table");
        assert_eq!(
            trace.clock,
            Clock::ZoneUnknown(start.parse().expect("ISO 8601"))
        );
    }
    // One date above the twelfth, however late, settles the others.
    let rows = "12/05/2026 23:59:59,1\n".repeat(3000);
    let trace = ok(format!("time,speed (m/s)\n{rows}13/05/2026 00:00:00,1\n"));
    assert_eq!(trace.fixes.len(), 3001);
    assert!((trace.fixes[3000].time_s - 1.0).abs() < EXACT);
}

#[test]
fn positions_in_metres_and_speed_alone() {
    let trace = ok("t,x_m,y_m\n0,-52.5,34\n0.04,-52.4,34\n");
    assert_eq!(
        trace.fixes[0].position,
        Some(Position::Local {
            x_m: -52.5,
            y_m: 34.0
        })
    );
    let trace = ok("t,x (cm),y (cm)\n0,100,-50\n");
    assert_eq!(
        trace.fixes[0].position,
        Some(Position::Local {
            x_m: 1.0,
            y_m: -0.5
        })
    );
    let trace = ok("time_s,speed_mps,hr,hdop,satellites,course\n0,4.5,150,0.9,12,90\n");
    let fix = trace.fixes[0];
    assert_eq!(fix.position, None);
    assert_eq!(
        (fix.speed_m_s, fix.heart_rate_bpm),
        (Some(4.5), Some(150.0))
    );
    assert_eq!(
        (fix.hdop, fix.satellites, fix.course_deg),
        (Some(0.9), Some(12), Some(90.0))
    );
    assert!(trace.defects.is_empty(), "{:?}", trace.defects);
}

#[test]
fn a_row_that_cannot_be_used_is_set_aside_with_its_reason() {
    for (bad, reason) in [
        (",48,11,1", "no time"),
        ("-,48,11,1", "no time"),
        ("soon,48,11,1", "time not readable"),
        ("NaN,48,11,1", "time out of range (1970 to 2200)"),
        ("1e308,48,11,1", "time out of range (1970 to 2200)"),
        ("inf,48,11,1", "time out of range (1970 to 2200)"),
        ("1,91,11,1", "position out of range"),
        ("1,NaN,11,1", "position out of range"),
        ("1,1e308,11,1", "position out of range"),
        ("1,north,11,1", "position not a number"),
        ("1,48\0,11,1", "position not a number"),
        ("1,48,,1", "one coordinate of two missing"),
        ("1,48", "one coordinate of two missing"),
        ("1,,,", "no position and no speed"),
        ("1,null,null,N/A", "no position and no speed"),
        ("1,,,fast", "speed not usable"),
        ("1,,,-1", "speed not usable"),
        ("1,,,1e308", "speed not usable"),
        ("1,48,11,1,7,7", "more cells than columns"),
        ("\"1,48,11,1", "time not readable"),
    ] {
        let trace = ok(format!(
            "time_s,lat,lon,speed (m/s)\n0,48,11,1\n{bad}\n2,,,1\n{bad}\n3,48,11,\n"
        ));
        assert_eq!(trace.fixes.len(), 3, "{bad}: {:?}", trace.set_aside);
        assert_eq!(reasons(&trace), [(reason, 2, Some(3))], "{bad}");
        assert_eq!(trace.fixes[1].position, None);
        assert_eq!(trace.fixes[2].speed_m_s, None);
    }
}

#[test]
fn a_row_cut_off_at_the_end_is_left_out() {
    let trace = ok("time_s,lat,lon\n0,48.1,11.5\n1,48.1,11.5\n2,48.");
    assert_eq!(trace.fixes.len(), 2);
    assert_eq!(reasons(&trace), [("cut off", 1, Some(4))]);
    assert_eq!(trace.defects[0].line, Some(4));
    // With all its cells it is a row, newline or not.
    assert_eq!(
        ok("time_s,lat,lon\n0,48.1,11.5\n1,48.1,11.5").fixes.len(),
        2
    );
}

#[test]
fn a_line_too_long_costs_itself() {
    let long = "9".repeat(1 << 20);
    let trace = ok(format!("time_s,speed_mps\n0,1\n{long}\n1,1\n"));
    assert_eq!(trace.fixes.len(), 2);
    assert_eq!(reasons(&trace), [("line too long", 1, Some(3))]);
    assert!(matches!(
        read(long),
        Err(Error::LineTooLong { line: 1, .. })
    ));
}

#[test]
fn two_tables_in_one_file_are_two_segments() {
    let table = "time_s,speed_mps\n0,1\n1,1\n";
    let trace = ok(table.repeat(2));
    let segments: Vec<u32> = trace.fixes.iter().map(|f| f.segment).collect();
    assert_eq!(segments, [0, 0, 1, 1]);
}

#[test]
fn doubts_about_units_are_told() {
    let said = |text: &str| {
        let trace = ok(text);
        trace
            .defects
            .iter()
            .map(|d| d.message.clone())
            .collect::<String>()
    };
    assert!(said("time_s,speed\n0,5\n1,5\n").contains("read as m/s"));
    assert!(said("time_s,speed\n0,25\n1,26\n").contains("speed (km/h)"));
    assert!(said("time,speed (m/s)\n0,5\n100,5\n200,5\n").contains("milliseconds"));
    assert_eq!(said("time_s,speed_mps\n0,5\n1,5\n"), "");
}

#[test]
fn tables_that_cannot_be_read_say_what_to_do() {
    let told = |columns: &str| Options {
        columns: Some(columns.to_owned()),
        dates: None,
    };
    let none = Options::default();
    for (text, options, expected) in [
        (
            "1,2,3\n4,5,6\n",
            &none,
            "--columns time,lat,lon,speed:km/h,-",
        ),
        (
            "lat,lon\n1,2\n",
            &none,
            "line 1: the header has no column for the time (known: lat, lon)",
        ),
        (
            "a\ntime,hr\n1,2\n",
            &none,
            "line 2: the header has no column for the position",
        ),
        (
            "time,speed (furlong/h)\n1,2\n",
            &none,
            "line 1: the unit of the column \"speed (furlong/h)\" is not known; write m/s",
        ),
        (
            "time,lat,lon\n0,48,1,11,5\n1,48,1,11,5\n",
            &none,
            "line 2 has 5 cells for 3 columns; if numbers are written with decimal commas",
        ),
        ("time,lat,lon\n", &none, "no fixes"),
        (
            "time,lat,lon\nx,1,2\ny,3,4\n",
            &none,
            "none of the 2 fixes can be used: 2 time not readable (first on line 2)",
        ),
        (
            "1,2\n",
            &told("time,sped"),
            "--columns: \"sped\" is not known",
        ),
        ("1,2\n", &told("time,time"), "comes twice"),
        ("1,2\n", &told("lat,lon"), "lacks a time"),
        (
            "1,2\n",
            &told("time,speed:parsec"),
            "the unit of the column \"speed:parsec\"",
        ),
        (
            "a,b\nc,d\n",
            &told("time,speed"),
            "none of the 2 fixes can be used",
        ),
    ] {
        let error = trace::read(text.as_bytes(), options)
            .expect_err(expected)
            .to_string();
        assert!(error.contains(expected), "{error:?} lacks {expected:?}");
    }
}

// ---- Properties ----

/// A child, a row's cell or a coordinate, good or bad.
fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => (-95.0..95.0_f64).prop_map(|v| v.to_string()),
        1 => Just(String::new()),
        1 => prop::sample::select(vec!["NaN", "inf", "1e308", "x", "-", "1,5", "\"", "é", "\0", "2026-05-12T17:30:00Z"])
            .prop_map(str::to_owned),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(256))]

    #[test]
    fn any_bytes_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..2000)) {
        if let Err(error) = read(&bytes) {
            prop_assert!(!error.to_string().is_empty());
        }
    }

    #[test]
    fn any_text_after_a_start_is_read_or_refused(
        start in prop::sample::select(vec!["<gpx><trk><trkseg>", "time,lat,lon,speed\n", "time;speed\n", "\u{feff}", "<"]),
        words in prop::collection::vec(prop::sample::select(vec![
            "<trkpt lat='1' lon='2'>", "</trkpt>", "<time>", "</time>", "2026-05-12T17:30:00Z", "<extensions>", "</extensions>", "<speed>",
            "<![CDATA[", "]]>", "<!--", "-->", "&", ";", "&amp;", "&#0;", "&#x110000;", "<?", "?>", "\"", ",", "\n", "\t", "1", ".", "-", "é",
            "\0", "<trkpt", "/>", "12:30:01", "31/12/2026", "time", "lat", "(", ")", "#",
        ]), 0..60),
    ) {
        let text = start.to_owned() + &words.concat();
        if let Ok(trace) = read(&text) {
            prop_assert!(!trace.fixes.is_empty());
            prop_assert!(trace.fixes.iter().all(|f| f.time_s.is_finite()));
        }
    }

    #[test]
    fn a_changed_byte_loses_no_point_of_a_document(at in 0..2000_usize, byte in any::<u8>()) {
        let text = gpx(&(0..12).map(point_at).collect::<String>());
        let mut bytes = text.clone().into_bytes();
        let at = at % bytes.len();
        bytes[at] = byte;
        if let Ok(trace) = read(&bytes) {
            // One byte can hide the start of one point, or make it look like another; a quote or a comment can hide more.
            let quiet = byte.is_ascii_alphanumeric() || byte >= 0x80;
            if quiet {
                prop_assert!(trace.fixes_in_file() + 1 >= 12, "{} at {at}", trace.fixes_in_file());
            }
            prop_assert!(trace.fixes_in_file() <= 12);
        }
    }

    #[test]
    fn a_changed_byte_costs_no_other_row_of_a_table(at in 0..2000_usize, byte in any::<u8>()) {
        let header = "time_s;lat;lon;speed (m/s)\n";
        let mut bytes = header.as_bytes().to_vec();
        for i in 0..12 {
            bytes.extend(format!("{i};48.1;11.5;5.25\n").bytes());
        }
        let rows = bytes.len() - header.len();
        let at = header.len() + at % rows;
        bytes[at] = byte;
        let trace = ok(&bytes);
        prop_assert!((11..=13).contains(&trace.fixes_in_file()), "{}", trace.fixes_in_file());
        prop_assert!(trace.fixes.len() >= 10);
    }

    #[test]
    fn every_point_is_accounted_for(points in prop::collection::vec((cell(), cell(), cell(), cell()), 1..30)) {
        let text = points.iter().fold(String::new(), |mut text, (lat, lon, time, speed)| {
            let clean = |s: &str| s.replace('"', "&quot;");
            let _ = writeln!(
                text,
                "<trkpt lat=\"{}\" lon=\"{}\"><time>{}</time><speed>{}</speed></trkpt>",
                clean(lat), clean(lon), clean(time), clean(speed)
            );
            text
        });
        match read(gpx(&text)) {
            Ok(trace) => prop_assert_eq!(trace.fixes_in_file(), points.len()),
            Err(Error::NothingUsable { set_aside }) => {
                prop_assert_eq!(set_aside.iter().map(|s| s.count).sum::<usize>(), points.len());
            }
            Err(error) => prop_assert!(false, "{}", error),
        }
    }

    #[test]
    fn every_row_is_accounted_for(rows in prop::collection::vec((cell(), cell(), cell(), cell()), 1..30)) {
        let text = rows.iter().fold("time,lat,lon,speed (m/s)\n".to_owned(), |mut text, (time, lat, lon, speed)| {
            let quoted = |s: &str| format!("\"{}\"", s.replace('"', "\"\""));
            let _ = writeln!(text, "{},{},{},{}", quoted(time), quoted(lat), quoted(lon), quoted(speed));
            text
        });
        let filled = rows
            .iter()
            .filter(|(a, b, c, d)| [a, b, c, d].iter().any(|s| !s.trim().is_empty()))
            .count();
        match read(&text) {
            Ok(trace) => prop_assert_eq!(trace.fixes_in_file(), filled),
            Err(Error::NothingUsable { set_aside }) => {
                prop_assert_eq!(set_aside.iter().map(|s| s.count).sum::<usize>(), filled);
            }
            Err(Error::NoFixes) => prop_assert_eq!(filled, 0),
            Err(error) => prop_assert!(false, "{}", error),
        }
    }

    #[test]
    fn what_is_written_as_gpx_is_read_back(
        fixes in prop::collection::vec((-90.0..=90.0_f64, -180.0..=180.0_f64, 0..10_000_000_u32, 0..3_u32), 1..40),
    ) {
        let mut segment = 0;
        let fixes: Vec<Fix> = fixes
            .into_iter()
            .enumerate()
            .map(|(i, (latitude_deg, longitude_deg, ms, jump))| {
                segment += u32::from(jump == 0 && i > 0);
                Fix {
                    // Whole milliseconds, so that rounding to nanoseconds changes nothing but the last bit.
                    time_s: if i == 0 { 0.0 } else { f64::from(ms) / 1000.0 },
                    position: Some(Position::Geodetic { latitude_deg, longitude_deg }),
                    satellites: Some(jump),
                    segment,
                    ..Fix::default()
                }
            })
            .collect();
        let clock = Clock::Utc("2026-05-12T17:30:00Z".parse().expect("RFC 3339"));
        let mut trace = Trace::new(fixes, clock, Format::Csv { delimiter: ',' });
        trace.title = Some("a & b < c".to_owned());
        let again = ok(trace::gpx::write(&trace).expect("degrees and a zone"));
        prop_assert_eq!(&again.title, &trace.title);
        prop_assert_eq!(again.clock, trace.clock);
        for (a, b) in again.fixes.iter().zip(&trace.fixes) {
            prop_assert!((a.time_s - b.time_s).abs() < CLOCK_S);
            prop_assert_eq!(a.position, b.position);
            prop_assert_eq!((a.segment, a.satellites), (b.segment, b.satellites));
        }
        prop_assert_eq!(again.fixes.len(), trace.fixes.len());
    }
}
