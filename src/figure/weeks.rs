//! Week by week: a small panel a quantity, all over the same weeks.

use super::Error;
use super::axis::Axis;
use super::canvas::{Canvas, Heading, Mark};
use super::panel::Panel;
use super::style::{self, Anchor, Sheet};
use super::svg::Svg;
use super::time_panel::{around, frame, from_zero, thousands, whisker};
use super::{key, lettering};
use crate::measured::Measured;
use crate::progress::{Quantity, Step, Trend, Verdict, WeekRow};
use crate::units::SpeedUnit;

/// Columns of panels on a wide sheet.
const COLUMNS: usize = 2;
/// Room for the numbers of an axis.
const AXIS: f64 = 56.0;
/// Height of a panel, and what its caption and its weeks take.
const HEIGHT: f64 = 118.0;
const CAPTION: f64 = 36.0;
const BELOW: f64 = 26.0;
/// Between two columns.
const GAP: f64 = 24.0;
/// Between the panels and the first line below them, and between the last and the end.
const FOOT: f64 = 20.0;

const PANELS: [(Quantity, &str); 6] = [
    (Quantity::Distance, "distance recorded, m"),
    (Quantity::TopSpeed, "top speed"),
    (Quantity::HighSpeed, "high-speed distance recorded, m"),
    (Quantity::Sprint, "sprint distance recorded, m"),
    (Quantity::Minutes, "minutes of all sessions"),
    (Quantity::Load, "load, RPE x minutes"),
];

/// Draws the weeks of an athlete; `None` where nothing was noted in them.
///
/// # Errors
/// Where it could not be drawn.
pub fn weeks(trend: &Trend<'_>, sheet: Sheet) -> Result<Option<Svg>, Error> {
    let (Some(first), Some(last)) = (trend.weeks.first(), trend.weeks.last()) else {
        return Ok(None);
    };
    if trend.weeks.iter().all(|row| row.totals.sessions == 0) {
        return Ok(None);
    }
    let columns = sheet.either(COLUMNS, 1);
    let rows = PANELS.len().div_ceil(columns);
    let each = CAPTION + HEIGHT + BELOW;
    let name = if trend.athlete.trim().is_empty() {
        ""
    } else {
        trend.athlete
    };
    let one = first.week == last.week;
    let weeks = match (name.is_empty(), one) {
        (true, true) => "Week",
        (true, false) => "Weeks",
        (false, true) => ": week",
        (false, false) => ": weeks",
    };
    let mut title = format!("{name}{weeks} {}", first.week);
    if !one {
        title = format!("{title} to {}", last.week);
    }
    let heading = Heading::new(
        sheet,
        &title,
        "Each bar and dot a week of the diary; whiskers are 95 % intervals. A number above is a clear change from the week before.",
    );
    let notes = foot(trend, sheet);
    let ahead = heading.height;
    let below = ahead + rows as f64 * each + FOOT;
    let height = below + notes.len() as f64 * key::LINE + FOOT;
    let mut page = Canvas::on(sheet, height, heading);
    let width = (sheet.room() - (columns - 1) as f64 * GAP) / columns as f64;
    for (at, (quantity, caption)) in PANELS.into_iter().enumerate() {
        let left = sheet.margin + (at % columns) as f64 * (width + GAP);
        let top = ahead + (at / columns) as f64 * each;
        let told = match quantity {
            Quantity::TopSpeed => format!("{caption}, {}", trend.speeds.sign()),
            _ => caption.to_owned(),
        };
        panel(
            &mut page,
            trend,
            quantity,
            &told,
            (left + AXIS, top + CAPTION, width - AXIS),
        );
    }
    key::draw_note(&mut page, below, &notes);
    Ok(Some(page.finish()))
}

fn panel(
    page: &mut Canvas,
    trend: &Trend<'_>,
    quantity: Quantity,
    caption: &str,
    (left, top, width): (f64, f64, f64),
) {
    let known: Vec<(usize, &WeekRow, Measured)> = (trend.weeks.iter().enumerate())
        .filter_map(|(at, row)| Some((at, row, quantity.of(&row.totals)?)))
        .collect();
    let ends = known
        .iter()
        .flat_map(|(_, _, value)| [value.low, value.high]);
    let speed = quantity == Quantity::TopSpeed;
    // Where nothing is known there is nothing to number.
    let up = if speed {
        around(ends).told_in(trend.speeds, 5)
    } else if known.is_empty() {
        around(ends)
    } else {
        from_zero(ends)
    };
    let count = trend.weeks.len();
    let panel = Panel {
        left,
        top,
        width,
        height: HEIGHT,
        across: Axis {
            range: -0.5..count as f64 - 0.5,
            ticks: Vec::new(),
            per: 1.0,
        },
        up,
    };
    frame(page, &panel, caption, usize::from(speed));
    let slot = width / count as f64;
    for &(at, row, value) in &known {
        let x = panel.x(at as f64);
        let step = row.step(quantity);
        let clear = step.filter(|s| matches!(s.verdict, Verdict::Up | Verdict::Down));
        let colour = if clear.is_some() {
            style::PICKED
        } else {
            style::MEASURED
        };
        if speed {
            whisker(page, &panel, x, value, colour);
            let mark = if row.running { Mark::Ring } else { Mark::Disc };
            page.mark(mark, (x, panel.y(value.value)), 7.0, colour);
        } else {
            let bar = (slot * 0.62).min(34.0);
            let corner = (x - bar / 2.0, panel.y(value.value));
            let size = (bar, panel.bottom() - corner.1);
            if row.running {
                page.outline(corner, size, colour, style::LINE);
            } else {
                page.rect(corner, size, colour, 0.75);
            }
            if value.width() > 0.0 {
                whisker(page, &panel, x, value, style::INK);
            }
        }
        if let Some(step) = clear {
            let y = (panel.y(value.high) - 6.0).max(panel.top + 4.0);
            page.text(
                x,
                y,
                &told(step, trend.speeds),
                style::VALUE,
                Anchor::Middle,
            );
        }
    }
    let words: Vec<String> = trend
        .weeks
        .iter()
        .map(|row| format!("W{:02}", row.week.week))
        .collect();
    let mut free = f64::NEG_INFINITY;
    for (at, word) in words.iter().enumerate() {
        let x = panel.x(at as f64);
        let half = lettering::width(word, style::TICK) / 2.0;
        if free < x - half {
            page.text(x, panel.bottom() + 16.0, word, style::TICK, Anchor::Middle);
            free = x + half + 6.0;
        }
    }
    if known.is_empty() {
        let middle = panel.left + panel.width / 2.0;
        page.text(
            middle,
            panel.top + HEIGHT / 2.0,
            "not known",
            style::TICK,
            Anchor::Middle,
        );
    }
}

/// A clear change with its sign.
fn told(step: &Step, speeds: SpeedUnit) -> String {
    let by = step.difference.value;
    let sign = if by < 0.0 { "−" } else { "+" };
    if step.quantity == Quantity::TopSpeed {
        format!("{sign}{}", speeds.difference(by.abs()))
    } else {
        format!("{sign}{}", thousands(by.abs()))
    }
}

/// What the numbers are made of, and what is clear.
fn foot(trend: &Trend<'_>, sheet: Sheet) -> Vec<String> {
    let thresholds = (trend.weeks.iter().rev())
        .find_map(|row| row.totals.thresholds_m_s)
        .map(|[high, sprint]| {
            let [high, sprint] = [high, sprint].map(|edge| trend.speeds.text(edge, 1));
            format!(" High speed from {high}, sprint from {sprint}.")
        })
        .unwrap_or_default();
    let lines = [
        format!("Recorded sessions only for metres and speed{}; errors of sessions are taken as independent and add as squares.{thresholds} Load of weeks with every session rated.",
            rates(trend)),
        "Clear: beyond both 95 % intervals and beyond this athlete's own scatter from week to week. An open bar or ring is a week that is not over.".to_owned(),
    ];
    (lines.iter())
        .flat_map(|line| key::note(sheet, line))
        .collect()
}

/// Fixes a second of the recordings.
fn rates(trend: &Trend<'_>) -> String {
    let rates = || trend.weeks.iter().filter_map(|row| row.totals.rates_hz);
    let slow = rates().map(|[slow, _]| slow).fold(f64::INFINITY, f64::min);
    let fast = rates()
        .map(|[_, fast]| fast)
        .fold(f64::NEG_INFINITY, f64::max);
    if slow > fast {
        String::new()
    } else if fast - slow < 0.05 {
        format!(" ({fast:.1} Hz)")
    } else {
        format!(" ({slow:.1} to {fast:.1} Hz)")
    }
}
