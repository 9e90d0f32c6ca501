//! The recording that the benches read: 90 minutes at 10 Hz with speed and heart rate, 54,001 points on a circle.
//!
//! It is made without chance, and its positions and speeds agree, so that both are used.

use std::fmt::Write as _;

/// 90 minutes at 10 Hz.
const POINTS: u32 = 54_001;
/// Of the circle, m.
const RADIUS_M: f64 = 30.0;

/// Where the runner is at a point of the recording, degrees, and how fast, m/s; at pace 1 between 1 and 5 m/s.
fn place(i: u32, pace: f64) -> (f64, f64, f64) {
    const PER_S: f64 = 0.035;
    let time_s = f64::from(i) / 10.0;
    let way_m = 3.0 * time_s + 2.0 / PER_S * (1.0 - (PER_S * time_s).cos());
    let angle = pace * way_m / RADIUS_M;
    (
        48.1 + RADIUS_M / 111_200.0 * angle.sin(),
        11.5 + RADIUS_M / 74_400.0 * angle.cos(),
        pace * (3.0 + 2.0 * (PER_S * time_s).sin()),
    )
}

/// The recording as GPX.
pub fn gpx() -> String {
    gpx_at(1.0)
}

/// The recording at another pace, as GPX.
pub fn gpx_at(pace: f64) -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <gpx version=\"1.1\" creator=\"bench\" xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:m=\"urn:example:motion\">\n\
         <trk><name>Bench</name><trkseg>\n",
    );
    for i in 0..POINTS {
        let (latitude, longitude, speed) = place(i, pace);
        let ms = u64::from(i) * 100;
        let (s, minute) = (ms / 1000, ms / 60_000);
        let _ = write!(
            text,
            "<trkpt lat=\"{latitude:.7}\" lon=\"{longitude:.7}\">\n  <ele>512.4</ele>\n  \
             <time>2026-05-12T{:02}:{:02}:{:02}.{:03}Z</time>\n  <extensions>\n    \
             <m:point>\n      <m:hr>{}</m:hr>\n      <m:speed>{speed:.3}</m:speed>\n    </m:point>\n  \
             </extensions>\n</trkpt>\n",
            17 + minute / 60,
            minute % 60,
            s % 60,
            ms % 1000,
            120 + i % 60,
        );
    }
    text.push_str("</trkseg></trk>\n</gpx>\n");
    text
}

/// The same as a table.
#[allow(dead_code, reason = "not every bench reads it")]
pub fn csv() -> String {
    let mut text = String::from("time_s,lat,lon,speed_mps,hr\n");
    for i in 0..POINTS {
        let (latitude, longitude, speed) = place(i, 1.0);
        let _ = writeln!(
            text,
            "{:.1},{latitude:.7},{longitude:.7},{speed:.3},{}",
            f64::from(i) / 10.0,
            120 + i % 60
        );
    }
    text
}

/// Goes over the XML events of a text and makes nothing of them: the floor under reading it.
pub fn bare_pass(text: &str) -> usize {
    let mut reader = quick_xml::Reader::from_str(text);
    let mut events = 0;
    while let Ok(event) = reader.read_event() {
        if matches!(event, quick_xml::events::Event::Eof) {
            break;
        }
        events += 1;
    }
    events
}
