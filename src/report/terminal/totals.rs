//! Distance, top speed and bands of speed.

use crate::measured::Measured;
use crate::review::{Band, Totals};
use crate::session::Session;

use super::style::{QUIET, STRONG, paint};
use super::{COLUMNS, columns};
use crate::report::layout::{clock, hanging, left, right, safe, thousands};
use crate::report::words;
use crate::units::SpeedUnit;

/// Columns of the longest bar.
const BAR: f64 = 26.0;

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
        paint(
            QUIET,
            &format!("(95 %: {} to {})", thousands(m.low), thousands(m.high))
        )
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

/// The bands as a table with a bar of time.
pub(super) fn bands(totals: &Totals, speeds: SpeedUnit) -> String {
    let longest = totals.bands.iter().map(|b| b.time_s).fold(0.0, f64::max);
    let mut out = columns("Band              from       time   distance");
    for band in &totals.bands {
        let bar = if longest > 0.0 {
            "▪".repeat((BAR * band.time_s / longest).ceil() as usize)
        } else {
            String::new()
        };
        let line = format!(
            "{}{} {} {}  {}",
            left(&name(band), 15),
            right(&speeds.edge(band.from_m_s, 1), 9),
            right(&clock(band.time_s), 8),
            right(&format!("{} m", thousands(band.distance_m)), 10),
            paint(QUIET, &bar)
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
