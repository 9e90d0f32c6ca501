//! Top speed over time: each recording with its interval, the mark, and the band in which no change can be told.

use jiff::civil::Date;

use super::Error;
use super::canvas::Canvas;
use super::lettering;
use super::panel::Panel;
use super::style::{self, Anchor};
use super::svg::Svg;
use super::time_panel::{CAPTION, around, frame, is_mark, mark, over_days};
use crate::progress::{Best, Outcome, Point};
use crate::units::SpeedUnit;

const HEIGHT: f64 = 340.0;
const BELOW: f64 = 100.0;

/// Draws the top speeds of an athlete; `None` where no recording has one.
///
/// # Errors
/// Where it could not be drawn.
pub fn best(best: &Best<'_>) -> Result<Option<Svg>, Error> {
    let (Some(first), Some(last)) = (best.history.first(), best.history.last()) else {
        return Ok(None);
    };
    let name = if best.athlete.trim().is_empty() {
        String::new()
    } else {
        format!("{}: ", best.athlete)
    };
    let title = match best.top_speed_m_s {
        Some(top) => format!(
            "{name}best top speed {}, {}",
            best.speeds.text(top.value.value, 2),
            date(top.date)
        ),
        None => format!("{name}top speed"),
    };
    let recorded = if best.history.len() == 1 {
        "1 recording"
    } else {
        &format!("{} recordings", best.history.len())
    };
    let mut page = Canvas::new(
        style::HEADING + CAPTION + HEIGHT + BELOW,
        &title,
        &format!(
            "Top speed of {recorded} at {}; whiskers are 95 % intervals.",
            rates(best)
        ),
    );
    let days = span(first.record.date, last.record.date);
    let ends = best
        .history
        .iter()
        .flat_map(|p| [p.record.value.low, p.record.value.high]);
    let band = best
        .mark_m_s
        .zip(best.smallest_gain_m_s)
        .map(|(mark, gain)| mark.value.value + gain);
    let up = around(ends.chain(band)).told_in(best.speeds, 5);
    let panel = over_days(days, 0.02, HEIGHT, up);
    let x = |day: Date| panel.x(span(first.record.date, day));
    marks(&mut page, best, &panel, &x);
    let caption = format!("top speed, {}", best.speeds.sign());
    frame(&mut page, &panel, &caption, 1);
    for point in &best.history {
        draw(&mut page, &panel, x(point.record.date), point, best.speeds);
    }
    dates(&mut page, best, &panel, &x);
    key(&mut page, best, panel.bottom() + 44.0);
    Ok(Some(page.finish()))
}

/// The mark from each real gain to the next, and above the last the band in which no gain can be told.
fn marks(page: &mut Canvas, best: &Best<'_>, panel: &Panel, x: &dyn Fn(Date) -> f64) {
    let standing: Vec<&Point> = best.history.iter().filter(|p| is_mark(p.outcome)).collect();
    for (at, point) in standing.iter().enumerate() {
        let until = standing
            .get(at + 1)
            .map_or(panel.right(), |next| x(next.record.date));
        let y = panel.y(point.record.value.value);
        let from = x(point.record.date);
        if let Some(gain) = best.smallest_gain_m_s.filter(|_| at + 1 == standing.len()) {
            let value = point.record.value.value;
            let (top, bottom) = (
                panel.y(value + gain),
                panel.y((value - gain).max(panel.up.range.start)),
            );
            page.rect(
                (from, top),
                (until - from, bottom - top),
                style::MEASURED,
                0.10,
            );
        }
        page.line((from, y), (until, y), style::MEASURED, style::LINE, "6 4");
    }
}

fn draw(page: &mut Canvas, panel: &Panel, x: f64, point: &Point, speeds: SpeedUnit) {
    let value = point.record.value;
    let gain = matches!(point.outcome, Outcome::Gain { .. });
    mark(page, panel, x, value, point.outcome);
    if let (true, Some(change)) = (gain, point.change) {
        let text = format!("+{}", speeds.difference(change.difference.value));
        let y = (panel.y(value.high) - 8.0).max(panel.top + 4.0);
        page.text(x, y, &text, style::VALUE, Anchor::Middle);
    }
}

/// The days below, as far as they do not touch.
fn dates(page: &mut Canvas, best: &Best<'_>, panel: &Panel, x: &dyn Fn(Date) -> f64) {
    let mut free = style::MARGIN;
    let mut year = None;
    for point in &best.history {
        let day = point.record.date;
        let text = if year == Some(day.year()) {
            day.strftime("%-d %b").to_string()
        } else {
            date(day)
        };
        let half = lettering::width(&text, style::TICK) / 2.0;
        let at = x(day).clamp(style::MARGIN + half, style::WIDTH - style::MARGIN - half);
        if free <= at - half {
            page.text(
                at,
                panel.bottom() + 17.0,
                &text,
                style::TICK,
                Anchor::Middle,
            );
            free = at + half + 12.0;
            year = Some(day.year());
        }
    }
}

fn key(page: &mut Canvas, best: &Best<'_>, top: f64) {
    let room = style::WIDTH - 2.0 * style::MARGIN;
    let mut lines = vec![
        "Filled: the first sprint from rest and each real gain, which the two intervals cannot explain; its number is the gain over the mark before. Grey: clearly below the mark, no maximal sprint, or before it."
            .to_owned(),
        "Dashed: the mark that stood. One gain in forty would look real by chance.".to_owned(),
    ];
    if let Some(gain) = best.smallest_gain_m_s {
        lines.push(format!(
            "Band: within {} {} of the mark no change can be told with a recording as exact as the latest.",
            best.speeds.difference(gain),
            best.speeds.sign()
        ));
    }
    for (at, line) in lines.iter().enumerate() {
        page.fitted(
            style::MARGIN,
            top + 17.0 * at as f64,
            line,
            style::TICK,
            room,
        );
    }
}

/// Fixes a second of the recordings.
fn rates(best: &Best<'_>) -> String {
    let rates = || best.history.iter().map(|p| p.record.rate_hz);
    let low = rates().fold(f64::INFINITY, f64::min);
    let high = rates().fold(f64::NEG_INFINITY, f64::max);
    if high - low < 0.05 {
        format!("{high:.1} Hz")
    } else {
        format!("{low:.1} to {high:.1} Hz")
    }
}

fn span(from: Date, to: Date) -> f64 {
    from.until(to)
        .map_or(0.0, |span| f64::from(span.get_days()))
}

fn date(date: Date) -> String {
    date.strftime("%-d %b %Y").to_string()
}
