//! Speed over time with its band of uncertainty, thresholds, sprints, gaps, planned blocks, and heart rate below.
//!
//! A session longer than 25 minutes is folded into rows below each other, so that a sprint of three seconds is still seen.

mod blocks;
mod sprints;

use plotters::prelude::*;

use crate::measured::Z95;
use crate::motion::Sample;

use super::axis::{self, Axis, Clock};
use super::canvas::{Canvas, Heading, Mark};
use super::key;
use super::panel::{self, Panel};
use super::style::{self, Anchor};
use super::svg::Svg;
use super::thin::{self, Point};
use super::{Error, Scene, lettering};

/// Longest session in one row, and the usual length of a row beyond, s.
const ONE_ROW_S: f64 = 25.0 * 60.0;
const ROW_S: f64 = 18.0 * 60.0;
const MOST_ROWS: f64 = 6.0;
/// The same on a narrow sheet.
const NARROW_ROW_S: f64 = 8.0 * 60.0;
const NARROW_MOST_ROWS: f64 = 12.0;
/// Height of the strip with the names of blocks.
const STRIP: f64 = 20.0;
/// Height of the numbers of the time axis, with space below.
const FOOT: f64 = 36.0;
/// Room above the highest speed for a sprint's mark and its number.
const HEADROOM: f64 = 30.0;

/// Sizes that all rows share.
struct Layout {
    /// Left edge of the panels: room for the numbers of the axis up.
    left: f64,
    /// Room on the right, where the sheet is wide for the names of the thresholds.
    right: f64,
    rows: usize,
    row_s: f64,
    step_s: f64,
    clock: Clock,
    strip: f64,
    plot: f64,
    heart: f64,
    top_m_s: f64,
    heart_bpm: Option<(f64, f64)>,
}

/// Speed over time.
///
/// # Errors
/// Where the chart could not be drawn.
pub fn speed(scene: &Scene<'_>) -> Result<Option<Svg>, Error> {
    let Some(end_s) = scene.end_s() else {
        return Ok(None);
    };
    let sheet = scene.sheet;
    let layout = layout(scene, end_s);
    let entries = entries(scene, &layout);
    let names = blocks::names(scene);
    let names = lettering::wrap(&names, " · ", style::TICK, sheet.room());
    let row_height = layout.strip + layout.plot + layout.heart + FOOT;
    let sprints = sprints::of(scene).count();
    let title = match sprints {
        0 => "Speed over time".to_owned(),
        1 => "Speed over time, one sprint marked".to_owned(),
        n => format!("Speed over time, {n} sprints marked"),
    };
    let heading = Heading::new(sheet, &title, &scene.subtitle("band: 95 % interval"));
    let begin = heading.height;
    let body = begin + 22.0 + layout.rows as f64 * row_height;
    let key_height = key::lines(sheet, &entries) as f64 * key::LINE;
    let height = body + key_height + names.len() as f64 * 17.0 + sheet.margin + 8.0;
    let mut page = Canvas::on(sheet, height, heading);
    page.text(
        sheet.margin,
        begin + 14.0,
        &format!("speed, {}", scene.speeds.sign()),
        style::PLAIN,
        Anchor::Start,
    );
    for row in 0..layout.rows {
        let top = begin + 22.0 + row as f64 * row_height;
        draw_row(&mut page, scene, &layout, row, top)?;
    }
    key::draw(&mut page, body + 20.0, &entries);
    for (i, line) in names.iter().enumerate() {
        let y = body + key_height + 22.0 + i as f64 * 17.0;
        page.text(sheet.margin, y, line, style::TICK, Anchor::Start);
    }
    Ok(Some(page.finish()))
}

/// Decides on rows, sizes and scales.
fn layout(scene: &Scene<'_>, end_s: f64) -> Layout {
    let sheet = scene.sheet;
    let usual_s = sheet.either(ROW_S, NARROW_ROW_S);
    let rows = if end_s <= sheet.either(ONE_ROW_S, NARROW_ROW_S) {
        1.0
    } else {
        let most = sheet.either(MOST_ROWS, NARROW_MOST_ROWS);
        (end_s / usual_s).ceil().min(most)
    };
    // Rows begin at full minutes, so that their first number is round.
    let row_s = if rows > 1.0 {
        (end_s / rows / 60.0).ceil() * 60.0
    } else {
        end_s.max(1.0)
    };
    let step_s = axis::time_step(row_s, sheet.either(12, 6));
    let (plot, heart) = match rows as usize {
        _ if sheet.narrow => (120.0, 60.0),
        1 => (320.0, 96.0),
        2 => (220.0, 76.0),
        _ => (150.0, 62.0),
    };
    let heart_bpm = heart_range(&scene.motion.samples);
    let fastest = scene
        .motion
        .samples
        .iter()
        .map(|s| s.speed_m_s)
        .filter(|v| v.is_finite())
        .fold(0.0, f64::max);
    let sprint_m_s = scene.thresholds.bands.sprint_m_s;
    let top_m_s = fastest.max(sprint_m_s).max(1.0) / (1.0 - HEADROOM / plot);
    Layout {
        left: sheet.either(64.0, 34.0),
        right: sheet.either(132.0, 14.0),
        rows: rows as usize,
        row_s,
        step_s,
        clock: Clock::of(step_s, end_s),
        strip: if scene.review.is_some() { STRIP } else { 0.0 },
        plot,
        heart: if heart_bpm.is_some() { heart } else { 0.0 },
        top_m_s,
        heart_bpm,
    }
}

/// Round limits of the heart rate, if any was recorded.
fn heart_range(samples: &[Sample]) -> Option<(f64, f64)> {
    let rates = || {
        samples
            .iter()
            .filter_map(|s| s.heart_rate_bpm)
            .map(f64::from)
            .filter(|bpm| bpm.is_finite())
    };
    let low = rates().fold(f64::INFINITY, f64::min);
    let high = rates().fold(f64::NEG_INFINITY, f64::max);
    (low <= high).then(|| {
        (
            (low / 20.0 - 0.1).floor() * 20.0,
            (high / 20.0 + 0.1).ceil() * 20.0,
        )
    })
}

/// The signs used, with their meaning.
fn entries(scene: &Scene<'_>, layout: &Layout) -> Vec<(key::Sample, String)> {
    let mut entries = vec![
        (
            key::Sample::Line(style::MEASURED, style::LINE, ""),
            "speed".to_owned(),
        ),
        (
            key::Sample::Box(style::MEASURED, style::BAND_OPACITY),
            "its 95 % interval".to_owned(),
        ),
    ];
    if scene.motion.samples.iter().any(|s| s.bridged) {
        entries.push((
            key::Sample::Line(style::MEASURED, style::LINE, "3 3"),
            "bridged, not measured".to_owned(),
        ));
    }
    if sprints::of(scene).next().is_some() {
        entries.push((
            key::Sample::Mark(Mark::Down, style::PICKED),
            format!("sprint, with its peak in {}", scene.speeds.sign()),
        ));
    }
    if sprints::of(scene).any(|e| e.near_threshold) {
        entries.push((
            key::Sample::Mark(Mark::OpenDown, style::PICKED),
            "a sprint only within the uncertainty".to_owned(),
        ));
    }
    if scene.sheet.narrow {
        let bands = &scene.thresholds.bands;
        entries.push((
            key::Sample::Line(style::SOFT_INK, style::HAIR, "5 4"),
            format!(
                "sprint from {}, high speed from {}",
                scene.speeds.number(bands.sprint_m_s, 1),
                scene.speeds.text(bands.high_speed_m_s, 1)
            ),
        ));
    }
    entries.extend(key::blank(scene));
    if layout.heart_bpm.is_some() {
        entries.push((
            key::Sample::Line(style::HEART, style::LINE, ""),
            "heart rate".to_owned(),
        ));
    }
    if scene.review.is_some() {
        entries.push((
            key::Sample::Box(style::SHADE, 1.0),
            "block of the plan, numbered".to_owned(),
        ));
    }
    entries
}

/// One row: strip of blocks, speed, heart rate, time.
fn draw_row(
    page: &mut Canvas,
    scene: &Scene<'_>,
    layout: &Layout,
    row: usize,
    top: f64,
) -> Result<(), Error> {
    let from_s = row as f64 * layout.row_s;
    let to_s = from_s + layout.row_s;
    let most = (layout.plot / 24.0) as usize;
    let plot = Panel {
        left: layout.left,
        top: top + layout.strip,
        width: page.sheet.width - layout.left - layout.right,
        height: layout.plot,
        across: Axis::stepped(from_s..to_s, layout.step_s),
        up: Axis::numbers(0.0..layout.top_m_s, most).told_in(scene.speeds, most),
    };
    let foot = plot.bottom() + layout.heart;
    blocks::shade(page, scene, &plot, top, foot);
    hatch_gaps(page, scene, &plot, foot);
    for tick in &plot.up.ticks {
        page.text(
            layout.left - 8.0,
            plot.y(*tick) + 4.0,
            &format!("{:.0}", tick * plot.up.per),
            style::TICK,
            Anchor::End,
        );
    }
    let column_s = layout.row_s / plot.width;
    let runs = speed_points(scene, from_s, to_s, layout.top_m_s);
    page.raw(&draw_speed(scene, &plot, &runs, column_s)?);
    draw_thresholds(page, scene, &plot);
    page.line(
        (layout.left, plot.bottom()),
        (plot.right(), plot.bottom()),
        style::FRAME,
        1.0,
        "",
    );
    sprints::mark(page, scene, &plot);
    if let Some((low, high)) = layout.heart_bpm {
        let heart = Panel {
            left: layout.left,
            top: plot.bottom() + 22.0,
            width: plot.width,
            height: layout.heart - 22.0,
            across: plot.across.clone(),
            up: Axis {
                range: low..high,
                ticks: vec![low, high],
                per: 1.0,
            },
        };
        page.text(
            layout.left,
            heart.top - 7.0,
            "heart rate, beats/min",
            style::TICK,
            Anchor::Start,
        );
        for tick in &heart.up.ticks {
            page.text(
                layout.left - 8.0,
                heart.y(*tick) + 4.0,
                &format!("{tick:.0}"),
                style::TICK,
                Anchor::End,
            );
        }
        page.raw(&draw_heart(scene, &heart, column_s)?);
        page.line(
            (layout.left, heart.bottom()),
            (heart.right(), heart.bottom()),
            style::FRAME,
            1.0,
            "",
        );
    }
    draw_time(page, layout, &plot, foot, row + 1 == layout.rows);
    Ok(())
}

/// The numbers of the time axis, and below the last row their unit.
fn draw_time(page: &mut Canvas, layout: &Layout, plot: &Panel, foot: f64, last: bool) {
    let unit = format!("time from start, {}", layout.clock.unit());
    if last {
        page.text(plot.right(), foot + 33.0, &unit, style::TICK, Anchor::End);
    }
    for tick in &plot.across.ticks {
        let x = plot.x(*tick);
        let text = layout.clock.write(*tick);
        page.line((x, foot), (x, foot + 4.0), style::FRAME, 1.0, "");
        page.text(x, foot + 18.0, &text, style::TICK, Anchor::Middle);
    }
}

/// Hatches the gaps.
fn hatch_gaps(page: &mut Canvas, scene: &Scene<'_>, plot: &Panel, foot: f64) {
    let range = &plot.across.range;
    for (from_s, to_s) in scene.blank() {
        let (from_s, to_s) = (from_s.max(range.start), to_s.min(range.end));
        if from_s < to_s {
            let (left, right) = (plot.x(from_s), plot.x(to_s));
            page.hatched((left, plot.top), (right - left, foot - plot.top));
        }
    }
}

/// The speed of each run inside the row, one point past its ends so that rows join.
fn speed_points(scene: &Scene<'_>, from_s: f64, to_s: f64, top_m_s: f64) -> Vec<Vec<Point>> {
    scene
        .runs(from_s, to_s)
        .map(|samples| {
            samples
                .iter()
                .filter(|s| s.speed_m_s.is_finite())
                .map(|s| {
                    let half = if s.speed_sd_m_s.is_finite() {
                        Z95 * s.speed_sd_m_s
                    } else {
                        0.0
                    };
                    Point {
                        time_s: s.time_s,
                        value: s.speed_m_s.clamp(0.0, top_m_s),
                        low: (s.speed_m_s - half).clamp(0.0, top_m_s),
                        high: (s.speed_m_s + half).clamp(0.0, top_m_s),
                        bridged: s.bridged,
                    }
                })
                .collect()
        })
        .collect()
}

/// Bands, lines and sprints, drawn by plotters.
fn draw_speed(
    scene: &Scene<'_>,
    plot: &Panel,
    runs: &[Vec<Point>],
    column_s: f64,
) -> Result<Svg, Error> {
    plot.draw(|chart| {
        let mut lines = Vec::new();
        for stretch in runs.iter().flat_map(|run| thin::stretches(run, column_s)) {
            let band = Polygon::new(
                stretch.band(),
                panel::fill(style::MEASURED, style::BAND_OPACITY),
            );
            chart.draw_series([band]).map_err(Error::drawing)?;
            lines.push(stretch);
        }
        let solid = panel::stroke(style::MEASURED, style::LINE);
        for stretch in lines {
            if let [only] = stretch.line.as_slice() {
                let dot = Circle::new(*only, panel::radius(1.2), panel::fill(style::MEASURED, 1.0));
                chart.draw_series([dot]).map_err(Error::drawing)?;
            } else if stretch.bridged {
                let dashed = DashedLineSeries::new(stretch.line, 24, 24, solid);
                chart.draw_series(dashed).map_err(Error::drawing)?;
            } else {
                chart
                    .draw_series(LineSeries::new(stretch.line, solid))
                    .map_err(Error::drawing)?;
            }
        }
        for sprint in sprints::of(scene) {
            for run in runs {
                let from = run.partition_point(|p| p.time_s < sprint.start_s);
                let to = run.partition_point(|p| p.time_s <= sprint.end_s);
                for stretch in thin::stretches(&run[from..to], column_s) {
                    let bold = panel::stroke(style::PICKED, style::BOLD);
                    chart
                        .draw_series(LineSeries::new(stretch.line, bold))
                        .map_err(Error::drawing)?;
                }
            }
        }
        Ok(())
    })
}

/// Heart rate, drawn by plotters.
fn draw_heart(scene: &Scene<'_>, heart: &Panel, column_s: f64) -> Result<Svg, Error> {
    let range = &heart.across.range;
    heart.draw(|chart| {
        for samples in scene.runs(range.start, range.end) {
            for known in samples.split(|s| s.heart_rate_bpm.is_none_or(|bpm| !bpm.is_finite())) {
                let points: Vec<Point> = known
                    .iter()
                    .filter_map(|s| {
                        let value = f64::from(s.heart_rate_bpm?);
                        Some(Point {
                            time_s: s.time_s,
                            value,
                            low: value,
                            high: value,
                            bridged: false,
                        })
                    })
                    .collect();
                for stretch in thin::stretches(&points, column_s) {
                    let line = panel::stroke(style::HEART, style::LINE);
                    chart
                        .draw_series(LineSeries::new(stretch.line, line))
                        .map_err(Error::drawing)?;
                }
            }
        }
        Ok(())
    })
}

/// The thresholds as dashed lines, named on the right.
fn draw_thresholds(page: &mut Canvas, scene: &Scene<'_>, plot: &Panel) {
    let bands = &scene.thresholds.bands;
    let mut lowest_free = f64::INFINITY;
    for (name, m_s) in [
        ("high speed", bands.high_speed_m_s),
        ("sprint", bands.sprint_m_s),
    ] {
        if !(0.0 < m_s && m_s < plot.up.range.end) {
            continue;
        }
        let y = plot.y(m_s);
        plot.level(page, y, style::SOFT_INK, style::HAIR, "5 4");
        let text = format!("{name} {}", scene.speeds.number(m_s, 1));
        if page.sheet.narrow {
            // No room beside the panel: the key names them.
            continue;
        }
        let baseline = (y + 4.0).min(lowest_free);
        lowest_free = baseline - 14.0;
        page.text(
            plot.right() + 8.0,
            baseline,
            &text,
            style::TICK,
            Anchor::Start,
        );
    }
}
