//! Distance, top speed and bands of speed.

use crate::measured::Measured;
use crate::review::{Band, Totals};
use crate::session::Session;

use super::style::{QUIET, STRONG, paint};
use super::{COLUMNS, columns};
use crate::report::layout::{clock, ends, hanging, left, right, safe, thousands};
use crate::report::words;
use crate::units::SpeedUnit;

/// Distance and top speed with their intervals.
pub(super) fn lines(session: &Session) -> String {
    let totals = &session.review.totals;
    let top = totals.top_speed_m_s.map_or_else(
        || "not known".to_owned(),
        |top| speed(top, session.settings.speeds),
    );
    format!(
        "Distance   {}\nTop speed  {top}\n",
        distance(totals.distance_m)
    )
}

fn distance(m: Measured) -> String {
    format!(
        "{} {}",
        paint(STRONG, &format!("{} m", thousands(m.value))),
        paint(QUIET, &format!("(95 %: {})", ends(m, thousands)))
    )
}

fn speed(m: Measured, speeds: SpeedUnit) -> String {
    format!(
        "{} {}, {}",
        paint(STRONG, &speeds.text(m.value, 2)),
        paint(QUIET, &format!("(95 %: {})", speeds.ends(m))),
        speeds.other().text(m.value, 2)
    )
}

/// The bands as a table, each number with the ends of its interval behind it.
pub(super) fn bands(totals: &Totals, speeds: SpeedUnit) -> String {
    let head = ["95 %", "distance"];
    let mut out = columns(&format!(
        "Band               from    time  {}{}  {}",
        left(head[0], 18),
        right(head[1], 9),
        head[0]
    ));
    for band in &totals.bands {
        let between = |within: Option<Measured>, text: fn(f64) -> String| {
            within.map_or_else(String::new, |m| ends(m, text))
        };
        let time = between(band.within.map(|w| w.time_s), clock);
        let distance = between(band.within.map(|w| w.distance_m), thousands);
        let line = format!(
            "{}{}{}  {}{}  {}",
            left(&name(band), 14),
            right(&speeds.edge(band.from_m_s, 1), 10),
            right(&clock(band.time_s), 8),
            paint(QUIET, &left(&time, 18)),
            right(&format!("{} m", thousands(band.distance_m)), 9),
            paint(QUIET, &distance)
        );
        out += line.trim_end();
        out.push('\n');
    }
    out
}

fn name(band: &Band) -> String {
    words::spelt(&safe(&band.name))
}

/// The distance in each band, on a line or two.
pub(super) fn bands_in_brief(totals: &Totals) -> String {
    let one = |b: &Band| format!("{} {} m", name(b), thousands(b.distance_m));
    let moved: Vec<_> = totals
        .bands
        .iter()
        .filter(|b| b.distance_m >= 0.5)
        .map(one)
        .collect();
    hanging("By speed   ", &moved.join(", "), COLUMNS)
}
