//! GPX: what is read of it.

use std::io::Write as _;

use repledger::trace::{Clock, Fix, Format, Position};

use super::{degrees, gpx, ok, point, point_at, reasons};

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

#[test]
fn what_recorded_it_is_what_the_track_names_else_what_wrote_the_file() {
    let device = |root: &str, track: &str| {
        ok(format!(
            "<gpx version=\"1.1\" {root}><trk>{track}<trkseg><trkpt lat=\"0\" lon=\"0\"><time>2026-05-12T17:00:00Z</time>\
             </trkpt></trkseg></trk></gpx>"
        ))
        .device
    };
    let some = |name: &str| Some(name.to_owned());
    assert_eq!(device("creator=\" my  watch \"", ""), some("my watch"));
    let both = device("creator=\"an app\"", "<src>my watch</src>");
    assert_eq!(both, some("my watch"));
    assert_eq!(device("", ""), None);
    assert_eq!(device("creator=\"repledger\"", ""), None);
    let long = "x".repeat(300);
    let kept = device(&format!("creator=\"{long}\""), "");
    assert_eq!(kept.map(|name| name.len()), Some(60));
}
