//! Made recordings, written as files: every half minute a run of 6 s up to 7.5 m/s, walking between, due north.

use std::fmt::Write as _;

/// Metres of one degree of latitude at 50 degrees north (WGS 84).
const DEGREE_M: f64 = 111_229.0;

/// Speed at a time, m/s: from a walk into a run that comes to 7.5 m/s, held until he brakes at 4 m/s2.
fn speed_m_s(time_s: f64) -> f64 {
    let into_s = (time_s + 15.0) % 30.0;
    let run_m_s = if into_s < 6.0 {
        7.5 * (1.0 - (-into_s).exp())
    } else {
        7.5 - 4.0 * (into_s - 6.0)
    };
    run_m_s.max(1.2)
}

/// Time, distance north and speed of each fix.
fn fixes(count: u32, hz: f64) -> impl Iterator<Item = (f64, f64, f64)> {
    let mut y_m = 0.0;
    (0..count).map(move |i| {
        let time_s = f64::from(i) / hz;
        let speed_m_s = speed_m_s(time_s);
        y_m += speed_m_s / hz;
        (time_s, y_m, speed_m_s)
    })
}

/// A GPX file of so many fixes from 2026-05-12 17:30 UTC on, at most an hour of them.
pub fn gpx(count: u32, hz: f64) -> String {
    let mut text = String::from(
        "<?xml version=\"1.0\"?>\n<gpx version=\"1.1\" creator=\"made\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n\
         <trk><name>Made evening</name><trkseg>\n",
    );
    for (time_s, y_m, _) in fixes(count, hz) {
        let of_day_s = 17.0 * 3600.0 + 1800.0 + time_s;
        let (hours, minutes) = ((of_day_s / 3600.0) as u32, (of_day_s / 60.0) as u32 % 60);
        let _ = writeln!(
            text,
            "<trkpt lat=\"{:.7}\" lon=\"8.0\"><time>2026-05-12T{hours:02}:{minutes:02}:{:06.3}Z</time></trkpt>",
            50.0 + y_m / DEGREE_M,
            of_day_s % 60.0
        );
    }
    text + "</trkseg></trk></gpx>\n"
}

/// A CSV file with elapsed time, local metres and speed.
pub fn csv(count: u32, hz: f64) -> String {
    let mut text = String::from("time (s),x (m),y (m),speed (m/s)\n");
    for (time_s, y_m, speed_m_s) in fixes(count, hz) {
        let _ = writeln!(text, "{time_s},0,{y_m:.3},{speed_m_s:.3}");
    }
    text
}
