//! What holds of any input.

use std::fmt::Write as _;

use proptest::prelude::*;
use repledger::trace::{self, Clock, Error, Fix, Format, Position, Trace};

use super::{CLOCK_S, gpx, ok, point_at, read};

/// A child, a row's cell or a coordinate, good or bad.
fn cell() -> impl Strategy<Value = String> {
    prop_oneof![
        4 => (-95.0..95.0_f64).prop_map(|v| v.to_string()),
        1 => Just(String::new()),
        1 => prop::sample::select(vec!["NaN", "inf", "1e308", "x", "-", "1,5", "\"", "é", "\0", "2026-05-12T17:30:00Z"])
            .prop_map(str::to_owned),
    ]
}

/// Points with the same tags and other values, as one program writes them.
fn alike() -> impl Strategy<Value = Vec<String>> {
    let last_digits_up_by = |by: u8, text: &str| {
        let bytes = text.bytes().enumerate();
        let up = bytes.map(|(at, byte)| {
            let more = text.as_bytes().get(at + 1);
            match byte {
                b'0'..=b'9' if !more.is_some_and(u8::is_ascii_digit) => {
                    b'0' + (byte - b'0' + by) % 10
                }
                byte => byte,
            }
        });
        String::from_utf8(up.collect()).expect("digits in the place of digits")
    };
    (point(), 1..12_u8).prop_map(move |(point, count)| {
        (0..count).map(|by| last_digits_up_by(by, &point)).collect()
    })
}

/// A point as programs write it, or nearly.
fn point() -> impl Strategy<Value = String> {
    let space = || prop::sample::select(vec!["", "", "\n", " ", "\r\n\t", "\n      "]);
    let number =
        || prop_oneof![4 => (-95.0..95.0_f64).prop_map(|v| format!("{v:.7}")), 1 => cell()];
    let time = (0..90_u32, 0..1_000_u32)
        .prop_map(|(s, ms)| format!("2026-05-12T17:{:02}:{:02}.{ms:03}Z", s / 60, s % 60));
    let names = vec![
        "ele",
        "speed",
        "time",
        "hr",
        "s:hr",
        "a:cad",
        "HDOP",
        "sat",
        "fix",
        "course",
        "x",
        "m:point",
        "extensions",
        "trkpt",
        "é",
        "b.c-d",
    ];
    let field = (prop::sample::select(names), number(), space())
        .prop_map(|(name, value, space)| format!("<{name}>{value}</{name}>{space}"));
    let fields = || prop::collection::vec(field.clone(), 0..4).prop_map(|fields| fields.concat());
    let (more, inside) = (fields(), fields());
    (number(), number(), time, more, inside, space(), any::<(bool, bool, bool)>()).prop_map(
        |(lat, lon, time, more, inside, space, (swapped, packed, double))| {
            let quote = if double { '"' } else { '\'' };
            let (lat, lon) = (lat.replace(['"', '<'], ""), lon.replace(['"', '<'], ""));
            let places = [format!("lat={quote}{lat}{quote}"), format!("lon={quote}{lon}{quote}")];
            let [one, two] = if swapped { [1, 0] } else { [0, 1] };
            let inside = if packed { format!("<s:all>{space}{inside}</s:all>") } else { inside };
            format!(
                "{space}<trkpt {} {}{space}>{space}<time>{time}</time>{space}{more}<extensions>{space}{inside}</extensions>{space}</trkpt>",
                places[one], places[two]
            )
        },
    )
}

/// What may stand in a file to the harm of a reader.
fn odd() -> impl Strategy<Value = String> {
    prop::sample::select(vec![
        "<!-- -->",
        "<!--",
        "-->",
        "<![CDATA[7]]>",
        "&amp;",
        "&#48;",
        "&",
        "<",
        ">",
        "/",
        "\"",
        "'",
        "=",
        " ",
        "\n",
        "é",
        "\0",
        "]]>",
        "<?x?>",
        "<a/>",
        "<a b='1'>",
        "</a>",
        "<trkpt/>",
        "</trkpt>",
        "<trkpt lat='1' lon='2'>",
        "</trkseg><trkseg>",
        "<name>",
        "</name>",
        "x",
        "9",
        "-",
        "</trkpt >",
        "<extensions>",
        "</extensions>",
        "<rte>",
        "</rte>",
        "<time>",
        "2026",
        "<hr>",
        "</hr>",
        "<fix>none</fix>",
        "\u{c}",
    ])
    .prop_map(str::to_owned)
}

/// Found by the property on a changed byte: an end tag whose slash became a colon opened one more point.
#[test]
fn a_colon_in_place_of_the_slash_opens_no_point() {
    let text = gpx(&(0..12).map(point_at).collect::<String>());
    for (at, _) in text.match_indices("</trkpt>") {
        let mut bytes = text.clone().into_bytes();
        bytes[at + 1] = b':';
        if let Ok(trace) = read(&bytes) {
            assert!(
                trace.fixes_in_file() <= 12,
                "{} points",
                trace.fixes_in_file()
            );
        }
    }
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
    fn the_two_readers_of_points_agree(
        points in prop_oneof![prop::collection::vec(point(), 0..12), alike()],
        spoilt in prop::collection::vec((any::<prop::sample::Index>(), odd()), 0..6),
    ) {
        let mut text = gpx(&points.concat());
        for (at, word) in spoilt {
            let places: Vec<usize> = (0..text.len()).filter(|at| text.is_char_boundary(*at)).collect();
            let at = *at.get(&places);
            // In place of what stands there, or between.
            if at % 3 == 0 {
                text.insert_str(at, &word);
            } else {
                let until = (at + word.len()..text.len()).find(|at| text.is_char_boundary(*at));
                text.replace_range(at..until.unwrap_or(text.len()), &word);
            }
        }
        let [events, scanned] = trace::gpx::read_both_ways(&text);
        prop_assert_eq!(format!("{scanned:?}"), format!("{events:?}"), "{}", text);
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
            Err(Error::NothingUsable { set_aside, .. }) => {
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
            Err(Error::NothingUsable { set_aside, .. }) => {
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
