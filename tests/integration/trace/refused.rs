//! What is no recording, and what the message says to do.

use std::fmt::Write as _;

use repledger::trace::Error;

use super::{gpx, ok, point_at, read};

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
