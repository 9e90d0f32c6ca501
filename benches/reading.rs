//! How long reading takes, beside a bare pass over the XML events of the same bytes.
//!
//! Run with `cargo bench --bench reading`. The file is made: 90 minutes at 10 Hz with speed and heart rate, 54,001 points.

use std::fmt::Write as _;

use divan::counter::BytesCount;
use quick_xml::Reader;
use quick_xml::events::Event;
use repledger::trace::{self, Options};

/// 90 minutes at 10 Hz.
const POINTS: u32 = 54_001;

fn main() {
    divan::main();
}

/// Where a runner on a circle is at a point of the recording: degrees and m/s.
fn place(i: u32) -> (f64, f64, f64) {
    let angle = f64::from(i) * 0.005;
    (
        48.1 + 3e-4 * angle.sin(),
        11.5 + 4e-4 * angle.cos(),
        3.0 + 2.0 * (angle * 0.7).sin(),
    )
}

fn gpx() -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n\
         <gpx version=\"1.1\" creator=\"bench\" xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:m=\"urn:example:motion\">\n\
         <trk><name>Bench</name><trkseg>\n",
    );
    for i in 0..POINTS {
        let (latitude, longitude, speed) = place(i);
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

fn csv() -> String {
    let mut text = String::from("time_s,lat,lon,speed_mps,hr\n");
    for i in 0..POINTS {
        let (latitude, longitude, speed) = place(i);
        let _ = writeln!(
            text,
            "{:.1},{latitude:.7},{longitude:.7},{speed:.3},{}",
            f64::from(i) / 10.0,
            120 + i % 60
        );
    }
    text
}

fn read(bencher: divan::Bencher, text: &str) {
    let options = Options::default();
    bencher
        .counter(BytesCount::of_str(text))
        .bench(|| trace::read(divan::black_box(text.as_bytes()), &options));
}

#[divan::bench]
fn gpx_of_90_minutes(bencher: divan::Bencher) {
    read(bencher, &gpx());
}

#[divan::bench]
fn csv_of_90_minutes(bencher: divan::Bencher) {
    read(bencher, &csv());
}

/// The floor under reading GPX: the events alone, nothing made of them.
#[divan::bench]
fn bare_xml_events(bencher: divan::Bencher) {
    let text = gpx();
    bencher.counter(BytesCount::of_str(&text)).bench(|| {
        let mut reader = Reader::from_str(divan::black_box(&text));
        let mut events = 0_usize;
        while let Ok(event) = reader.read_event() {
            if matches!(event, Event::Eof) {
                break;
            }
            events += 1;
        }
        events
    });
}
