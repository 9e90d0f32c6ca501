//! The reps of a drill over each other, session over session, and their peak speeds in order.

use plotters::prelude::*;

use super::{Named, letter};
use crate::comparison::{Comparison, Drill};
use crate::figure::axis::{self, Axis};
use crate::figure::canvas::{Canvas, Mark};
use crate::figure::panel::{self, Panel};
use crate::figure::style::{self, Anchor, Colour};
use crate::figure::svg::Svg;
use crate::figure::thin::{self, Point};
use crate::figure::{Error, Scene, key};
use crate::measured::Measured;
use crate::review::RepReview;
use crate::units::SpeedUnit;

/// Upper edge of the first drill.
const TOP: f64 = style::HEADING + 16.0;
/// A drill: its name, speed against time on the left, peak speeds on the right.
const GROUP_HEIGHT: f64 = 286.0;
const CHART_TOP: f64 = 52.0;
const CHART_HEIGHT: f64 = 180.0;
const AXIS: f64 = 34.0;
const SPEEDS: f64 = 560.0;
const BETWEEN: f64 = 60.0;
/// More drills than this are not shown.
const MOST_DRILLS: usize = 16;
/// More sessions than this over each other cannot be told apart.
const MOST_SESSIONS: usize = 4;
/// Shown of a rep before its start and after its end, s.
const BEFORE_S: f64 = 1.0;
const AFTER_S: f64 = 2.0;

/// How the reps of a session are drawn: colour, dash and gap in pixels (0 for a plain line), sign.
const LOOKS: [(Colour, i32, &str, Mark); MOST_SESSIONS] = [
    (style::MEASURED, 0, "", Mark::Disc),
    (style::PICKED, 40, "5 5", Mark::Ring),
    (style::INK, 14, "2 2", Mark::Square),
    (style::HEART, 80, "10 10", Mark::Diamond),
];

/// Draws the drills that sessions share; `None` without any that was found in the recordings.
pub(super) fn draw(sessions: &[Named<'_>], comparison: &Comparison) -> Result<Option<Svg>, Error> {
    let shown = &sessions[..sessions.len().min(MOST_SESSIONS)];
    let drills: Vec<&Drill> = comparison
        .drills
        .iter()
        .filter(|drill| (0..shown.len()).any(|k| windows(drill, k).next().is_some()))
        .collect();
    if drills.is_empty() {
        return Ok(None);
    }
    let left_out = drills.len().saturating_sub(MOST_DRILLS);
    let drills = &drills[..drills.len().min(MOST_DRILLS)];
    let entries = entries(shown);
    let foot = TOP + drills.len() as f64 * GROUP_HEIGHT + 12.0;
    let height = foot + key::lines(style::Sheet::WIDE, &entries) as f64 * key::LINE + style::MARGIN;
    let mut last = "bars: 95 % interval of the peak speed".to_owned();
    if left_out > 0 {
        last = format!("{last} · {left_out} more drills are not shown");
    }
    if sessions.len() > shown.len() {
        last = format!("{last} · only the first {MOST_SESSIONS} sessions are shown");
    }
    let mut page = Canvas::new(
        height,
        "The reps of each drill over each other, session over session",
        &last,
    );
    for (i, drill) in drills.iter().enumerate() {
        let top = TOP + i as f64 * GROUP_HEIGHT;
        let room = style::WIDTH - 2.0 * style::MARGIN;
        page.fitted(style::MARGIN, top + 14.0, &title(drill), style::LABEL, room);
        speeds(&mut page, shown, drill, top, comparison.speeds)?;
        peaks(&mut page, shown.len(), drill, top, comparison.speeds)?;
    }
    key::draw(&mut page, foot, &entries);
    Ok(Some(page.finish()))
}

fn title(drill: &Drill) -> String {
    let name = drill
        .name
        .as_deref()
        .map(|n| format!(" “{n}”"))
        .unwrap_or_default();
    let ball = if drill.with_ball { ", with ball" } else { "" };
    let other = if (drill.blocks.iter().zip(&drill.like_for_like)).any(|(b, l)| b.is_some() && !l) {
        " · a rep is not the same distance or time in all"
    } else {
        ""
    };
    format!("{}{name}{ball}{other}", drill.category.word())
}

fn entries(sessions: &[Named<'_>]) -> Vec<(key::Sample, String)> {
    sessions
        .iter()
        .zip(LOOKS)
        .enumerate()
        .flat_map(|(k, (named, (colour, _, dash, mark)))| {
            let name = format!("{}  {}", letter(k), named.name);
            [
                (key::Sample::Line(colour, 2.0, dash), name),
                (
                    key::Sample::Mark(mark, colour),
                    format!("peak in {}", letter(k)),
                ),
            ]
        })
        .collect()
}

/// The reps of one session that were found, with their start and end.
fn windows(drill: &Drill, session: usize) -> impl Iterator<Item = (f64, f64)> {
    drill
        .reps
        .iter()
        .filter_map(move |row| window(row.reps.get(session)?.as_ref()?))
}

fn window(rep: &RepReview) -> Option<(f64, f64)> {
    Some((rep.start_s?, rep.end_s?)).filter(|(a, b)| a.is_finite() && b.is_finite() && a < b)
}

/// Speed against time from the start of each rep.
fn speeds(
    page: &mut Canvas,
    sessions: &[Named<'_>],
    drill: &Drill,
    top: f64,
    told: SpeedUnit,
) -> Result<(), Error> {
    let longest_s = (0..sessions.len())
        .flat_map(|k| windows(drill, k))
        .map(|(a, b)| b - a)
        .fold(1.0, f64::max);
    let span_s = longest_s + BEFORE_S + AFTER_S;
    let lines = lines(sessions, drill, span_s);
    let fastest = lines
        .iter()
        .flat_map(|(_, line)| line)
        .map(|(_, v)| *v)
        .fold(1.0, f64::max);
    let chart = Panel {
        left: style::MARGIN + AXIS,
        top: top + CHART_TOP,
        width: SPEEDS,
        height: CHART_HEIGHT,
        across: Axis::stepped(-BEFORE_S..longest_s + AFTER_S, axis::time_step(span_s, 10)),
        up: Axis::numbers(0.0..fastest * 1.06, 6).told_in(told, 6),
    };
    let drawn = chart.draw(|drawing| {
        // The base is drawn last, so that the lines of the others do not hide it.
        for (k, line) in lines.iter().rev() {
            let (colour, dash, ..) = LOOKS[*k];
            let stroke = panel::stroke(colour, style::LINE);
            if dash == 0 {
                drawing
                    .draw_series(LineSeries::new(line.iter().copied(), stroke))
                    .map_err(Error::drawing)?;
            } else {
                drawing
                    .draw_series(DashedLineSeries::new(
                        line.iter().copied(),
                        dash,
                        dash,
                        stroke,
                    ))
                    .map_err(Error::drawing)?;
            }
        }
        Ok(())
    })?;
    page.raw(&drawn);
    frame(page, &chart, &format!("speed, {}", told.sign()));
    panel::seconds_of_rep(page, &chart, 32.0);
    Ok(())
}

/// A line on the chart with the session it is of.
type Line = (usize, Vec<(f64, f64)>);

fn lines(sessions: &[Named<'_>], drill: &Drill, span_s: f64) -> Vec<Line> {
    let mut lines = Vec::new();
    for (k, named) in sessions.iter().enumerate() {
        let scene = Scene::of(named.session);
        for (start_s, end_s) in windows(drill, k) {
            for samples in scene.runs(start_s - BEFORE_S, end_s + AFTER_S) {
                let points: Vec<Point> = Point::of_speed(samples, start_s)
                    .map(|point| Point {
                        bridged: false,
                        ..point
                    })
                    .collect();
                lines.extend(
                    thin::stretches(&points, span_s / SPEEDS)
                        .into_iter()
                        .map(|stretch| (k, stretch.line)),
                );
            }
        }
    }
    lines
}

/// The axis line, its name, and the numbers up.
fn frame(page: &mut Canvas, chart: &Panel, name: &str) {
    page.text(
        chart.left - AXIS,
        chart.top - 12.0,
        name,
        style::TICK,
        Anchor::Start,
    );
    panel::frame(page, chart);
}

/// Peak speeds in the order of the reps, the sessions of a rep beside each other.
fn peaks(
    page: &mut Canvas,
    sessions: usize,
    drill: &Drill,
    top: f64,
    told: SpeedUnit,
) -> Result<(), Error> {
    let peak = |row: usize, session: usize| -> Option<Measured> {
        let rep = drill.reps.get(row)?.reps.get(session)?.as_ref()?;
        rep.peak_speed_m_s.filter(Measured::is_finite)
    };
    let all =
        || (0..drill.reps.len()).flat_map(|row| (0..sessions).filter_map(move |k| peak(row, k)));
    let low = all().map(|p| p.low).fold(f64::INFINITY, f64::min);
    let high = all().map(|p| p.high).fold(f64::NEG_INFINITY, f64::max);
    let (low, high) = if low <= high {
        ((low - 0.3).max(0.0), high + 0.3)
    } else {
        (0.0, 1.0)
    };
    let left = style::MARGIN + AXIS + SPEEDS + BETWEEN;
    let chart = Panel {
        left,
        top: top + CHART_TOP,
        width: style::WIDTH - style::MARGIN - left,
        height: CHART_HEIGHT,
        across: Axis {
            range: 0.0..drill.reps.len() as f64 + 1.0,
            ticks: Vec::new(),
            per: 1.0,
        },
        up: Axis::numbers(low..high, 6).told_in(told, 6),
    };
    page.raw(&chart.draw(|_| Ok(()))?);
    frame(page, &chart, &format!("peak speed, {}", told.sign()));
    let step = chart.width / (drill.reps.len() as f64 + 1.0);
    let size = (step / (sessions as f64 + 1.0)).clamp(3.0, 8.0);
    let mut free = f64::NEG_INFINITY;
    for (row, rep) in drill.reps.iter().enumerate() {
        let middle = chart.x(row as f64 + 1.0);
        for (k, (colour, _, _, mark)) in LOOKS.iter().enumerate().take(sessions) {
            let Some(peak) = peak(row, k) else { continue };
            let x = middle + (k as f64 - (sessions as f64 - 1.0) / 2.0) * size * 1.2;
            let ends = (chart.y(peak.low), chart.y(peak.high));
            page.line((x, ends.0), (x, ends.1), *colour, 1.4, "");
            page.mark(*mark, (x, chart.y(peak.value)), size, *colour);
        }
        let name = format!("{}.{}", rep.set, rep.rep);
        if middle - 12.0 > free {
            page.text(
                middle,
                chart.bottom() + 15.0,
                &name,
                style::TICK,
                Anchor::Middle,
            );
            free = middle + 14.0;
        }
    }
    page.text(
        chart.right(),
        chart.bottom() + 32.0,
        "set and rep",
        style::TICK,
        Anchor::End,
    );
    Ok(())
}
