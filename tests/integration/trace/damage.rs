//! Damaged files: what stands before the damage is kept.

use super::{gpx, ok, point, point_at, read, reasons};

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
