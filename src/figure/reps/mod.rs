//! The reps of each set over each other from their start, and their peak speeds in order.

use plotters::prelude::*;

use crate::measured::Z95;
use crate::motion::Sample;
use crate::plan::Target;
use crate::review::{BlockReview, PlanReview, RepReview, Verdict};

use super::axis::{self, Axis};
use super::canvas::Canvas;
use super::key;
use super::panel::{self, Panel};
use super::style::{self, Anchor, Colour};
use super::thin::{self, Point};
use super::{Error, Scene, lettering, ramp, verdict};

/// Upper edge of the first group.
const TOP: f64 = style::HEADING + 16.0;
/// A group: its name, speed against time on the left, peak speeds on the right.
const GROUP_WIDTH: f64 = (style::WIDTH - 2.0 * style::MARGIN - BETWEEN) / 2.0;
const GROUP_HEIGHT: f64 = 276.0;
const BETWEEN: f64 = 48.0;
const CHART_TOP: f64 = 44.0;
const CHART_HEIGHT: f64 = 176.0;
const AXIS: f64 = 28.0;
const OVERLAY_WIDTH: f64 = 290.0;
/// Shown of a rep before its start and after its end, s.
const BEFORE_S: f64 = 1.0;
const AFTER_S: f64 = 2.0;
/// More groups than this are told by block instead of by set, and cut off at this number.
const MOST_GROUPS: usize = 24;

/// Reps that are shown over each other.
struct Group<'a> {
    block: usize,
    title: String,
    note: String,
    target_m_s: Option<f64>,
    reps: Vec<&'a RepReview>,
}

/// The reps of each set.
///
/// # Errors
/// Where the chart could not be drawn.
pub fn reps(scene: &Scene<'_>) -> Result<Option<String>, Error> {
    let Some(review) = scene.review else {
        return Ok(None);
    };
    let mut groups = by_set(scene, review);
    if groups.len() > MOST_GROUPS {
        groups = by_block(scene, review);
    }
    let left_out = groups.len().saturating_sub(MOST_GROUPS);
    groups.truncate(MOST_GROUPS);
    if groups.is_empty() {
        return Ok(None);
    }
    let columns = groups.len().min(2);
    let rows = groups.len().div_ceil(columns);
    let mut entries = entries(review);
    if scene.motion.samples.iter().any(|s| s.bridged) {
        entries.push((
            key::Sample::Line(style::INK, style::LINE, "3 3"),
            "bridged, not measured".to_owned(),
        ));
    }
    let foot = TOP + rows as f64 * GROUP_HEIGHT + 20.0;
    let height = foot + key::lines(&entries) as f64 * key::LINE + style::MARGIN;
    let mut last = "bars: 95 % interval of the peak speed".to_owned();
    if left_out > 0 {
        last = format!("{last} · {left_out} more groups are not shown");
    }
    let mut page = Canvas::new(
        height,
        "The reps of each set, from their start",
        &scene.subtitle(&last),
    );
    let fastest = fastest(scene, &groups);
    for (i, group) in groups.iter().enumerate() {
        let left = style::MARGIN + (i % columns) as f64 * (GROUP_WIDTH + BETWEEN);
        let top = TOP + (i / columns) as f64 * GROUP_HEIGHT;
        page.fitted(left, top + 14.0, &group.title, style::LABEL, GROUP_WIDTH);
        page.fitted(left, top + 30.0, &group.note, style::TICK, GROUP_WIDTH);
        overlay(&mut page, scene, group, (left, top), fastest)?;
        ranking(
            &mut page,
            group,
            (left, top),
            peak_range(&groups, group.block),
        )?;
    }
    key::draw(&mut page, foot, &entries);
    Ok(Some(page.finish()))
}

/// One group a set of two or more reps of which any was found.
fn by_set<'a>(scene: &Scene<'a>, review: &'a PlanReview) -> Vec<Group<'a>> {
    let mut groups = Vec::new();
    for block in &review.blocks {
        for set in &block.sets {
            let mut name = format!("{} {}", block.index, verdict::name(block));
            if block.sets.len() > 1 {
                name = format!("{name}, set {}", set.index);
            }
            let fade = set
                .decrement_percent
                .filter(|d| d.is_finite())
                .map(|d| format!(" · decrement of peak speed {d:.1} %"))
                .unwrap_or_default();
            groups.extend(group(
                scene,
                review,
                block,
                set.reps.iter().collect(),
                name,
                &fade,
            ));
        }
    }
    groups
}

/// One group a block.
fn by_block<'a>(scene: &Scene<'a>, review: &'a PlanReview) -> Vec<Group<'a>> {
    review
        .blocks
        .iter()
        .filter_map(|block| {
            let name = format!("{} {}", block.index, verdict::name(block));
            let reps = block.sets.iter().flat_map(|s| &s.reps).collect();
            group(scene, review, block, reps, name, "")
        })
        .collect()
}

/// A group, if it has reps to compare.
fn group<'a>(
    scene: &Scene<'a>,
    review: &PlanReview,
    block: &BlockReview,
    reps: Vec<&'a RepReview>,
    title: String,
    fade: &str,
) -> Option<Group<'a>> {
    let found = reps.iter().filter(|r| window(r).is_some()).count();
    if reps.len() < 2 || found == 0 {
        return None;
    }
    let target_m_s = scene
        .plan
        .and_then(|plan| plan.blocks.get(block.index.checked_sub(1)?))
        .and_then(|planned| planned.target)
        .and_then(|target| match target {
            Target::Speed(m_s) => Some(m_s),
            Target::ShareOfTop(share) => Some(share * review.top_speed?.speed_m_s.value),
        })
        .filter(|m_s| m_s.is_finite());
    let counts: Vec<String> = verdict::VERDICTS
        .into_iter()
        .map(|v| (v, reps.iter().filter(|r| r.verdict == v).count()))
        .filter(|(_, n)| *n > 0)
        .map(|(v, n)| format!("{n} {}", verdict::word(v)))
        .collect();
    Some(Group {
        block: block.index,
        title,
        note: format!("{}{fade}", counts.join(", ")),
        target_m_s,
        reps,
    })
}

/// When a rep was run.
fn window(rep: &RepReview) -> Option<(f64, f64)> {
    Some((rep.start_s?, rep.end_s?)).filter(|(a, b)| a.is_finite() && b.is_finite() && a < b)
}

/// The samples of a rep with a little before and after, run by run.
fn around<'a>(scene: &Scene<'a>, (start_s, end_s): (f64, f64)) -> Vec<&'a [Sample]> {
    scene.runs(start_s - BEFORE_S, end_s + AFTER_S).collect()
}

/// The upper end of the speed axes, the same for all groups.
fn fastest(scene: &Scene<'_>, groups: &[Group<'_>]) -> f64 {
    groups
        .iter()
        .flat_map(|group| {
            let seen = group
                .reps
                .iter()
                .filter_map(|rep| window(rep))
                .flat_map(|w| around(scene, w))
                .flatten()
                .map(|s| s.speed_m_s);
            seen.chain(group.target_m_s)
        })
        .filter(|v| v.is_finite())
        .fold(1.0, f64::max)
        * 1.06
}

/// The ends of the axes of peak speed, the same for all groups of a block.
fn peak_range(groups: &[Group<'_>], block: usize) -> (f64, f64) {
    let ends = || {
        groups
            .iter()
            .filter(|group| group.block == block)
            .flat_map(|group| {
                let peaks = group.reps.iter().filter_map(|r| r.peak_speed_m_s);
                peaks.flat_map(|p| [p.low, p.high]).chain(group.target_m_s)
            })
    };
    let finite = || ends().filter(|v| v.is_finite());
    let low = finite().fold(f64::INFINITY, f64::min);
    let high = finite().fold(f64::NEG_INFINITY, f64::max);
    if low > high {
        return (0.0, 1.0);
    }
    let margin = (0.08 * (high - low)).max(0.3);
    let without = groups
        .iter()
        .filter(|group| group.block == block)
        .flat_map(|group| &group.reps)
        .any(|rep| finite_peak(rep).is_none());
    // Room at the bottom for the signs of reps that have no peak.
    let below = if without { 2.5 * margin } else { margin };
    ((low - below).max(0.0), high + margin)
}

/// The colour of a rep: later ones are darker.
fn shade(index: usize, reps: usize) -> Colour {
    let share = index as f64 / (reps.max(2) - 1) as f64;
    ramp::colour(0.3 + 0.7 * share)
}

/// Speed against time, all reps from their start.
fn overlay(
    page: &mut Canvas,
    scene: &Scene<'_>,
    group: &Group<'_>,
    (left, top): (f64, f64),
    fastest: f64,
) -> Result<(), Error> {
    let longest_s = group
        .reps
        .iter()
        .filter_map(|rep| window(rep))
        .map(|(a, b)| b - a)
        .fold(1.0, f64::max);
    let span_s = longest_s + BEFORE_S + AFTER_S;
    let chart = Panel {
        left: left + AXIS,
        top: top + CHART_TOP + 16.0,
        width: OVERLAY_WIDTH,
        height: CHART_HEIGHT,
        across: Axis::stepped(-BEFORE_S..longest_s + AFTER_S, axis::time_step(span_s, 7)),
        up: Axis::numbers(0.0..fastest, 6),
    };
    page.text(
        left,
        chart.top - 8.0,
        "speed, m/s",
        style::TICK,
        Anchor::Start,
    );
    let drawn = chart.draw(|drawing| {
        for (i, rep) in group.reps.iter().enumerate() {
            let Some((start_s, end_s)) = window(rep) else {
                continue;
            };
            let colour = shade(i, group.reps.len());
            for samples in around(scene, (start_s, end_s)) {
                let points: Vec<Point> = samples
                    .iter()
                    .filter(|s| s.speed_m_s.is_finite())
                    .map(|s| Point {
                        time_s: s.time_s - start_s,
                        value: s.speed_m_s,
                        low: s.speed_m_s - Z95 * s.speed_sd_m_s,
                        high: s.speed_m_s + Z95 * s.speed_sd_m_s,
                        bridged: s.bridged,
                    })
                    .collect();
                for stretch in thin::stretches(&points, span_s / chart.width) {
                    let line = panel::stroke(colour, style::LINE);
                    if stretch.bridged {
                        let dashed = DashedLineSeries::new(stretch.line, 24, 24, line);
                        drawing.draw_series(dashed).map_err(Error::drawing)?;
                    } else {
                        drawing
                            .draw_series(LineSeries::new(stretch.line, line))
                            .map_err(Error::drawing)?;
                    }
                }
            }
        }
        Ok(())
    })?;
    page.raw(&drawn);
    frame(page, &chart);
    for tick in &chart.across.ticks {
        page.text(
            chart.x(*tick),
            chart.bottom() + 15.0,
            &whole(*tick),
            style::TICK,
            Anchor::Middle,
        );
    }
    page.text(
        chart.right(),
        chart.bottom() + 30.0,
        "s from the start of the rep",
        style::TICK,
        Anchor::End,
    );
    Ok(())
}

/// Peak speed by rep, with its interval and its verdict's sign.
fn ranking(
    page: &mut Canvas,
    group: &Group<'_>,
    (left, top): (f64, f64),
    (low, high): (f64, f64),
) -> Result<(), Error> {
    let reps = group.reps.len();
    let begin = left + AXIS + OVERLAY_WIDTH + 50.0;
    let chart = Panel {
        left: begin,
        top: top + CHART_TOP + 16.0,
        width: left + GROUP_WIDTH - begin,
        height: CHART_HEIGHT,
        across: Axis {
            range: 0.0..reps as f64 + 1.0,
            ticks: Vec::new(),
        },
        up: Axis::numbers(low..high, 6),
    };
    page.text(
        begin - AXIS,
        chart.top - 8.0,
        "peak speed, m/s",
        style::TICK,
        Anchor::Start,
    );
    let drawn = chart.draw(|drawing| {
        for (i, rep) in group.reps.iter().enumerate() {
            if let Some(peak) = finite_peak(rep) {
                let x = i as f64 + 1.0;
                let bar = PathElement::new(
                    vec![(x, peak.0.max(low)), (x, peak.2.min(high))],
                    panel::stroke(shade(i, reps), 1.6),
                );
                drawing.draw_series([bar]).map_err(Error::drawing)?;
            }
        }
        Ok(())
    })?;
    page.raw(&drawn);
    frame(page, &chart);
    if let Some(target) = group.target_m_s.filter(|t| low < *t && *t < high) {
        let y = chart.y(target);
        page.line(
            (chart.left, y),
            (chart.right(), y),
            style::SOFT_INK,
            style::HAIR,
            "5 4",
        );
        let text = format!("dashed: asked for {target:.1}");
        page.text(
            chart.right(),
            chart.top - 8.0,
            &text,
            style::TICK,
            Anchor::End,
        );
    }
    let size = (chart.width / (reps as f64 + 1.0) * 0.8).clamp(3.0, 8.0);
    let mut free = f64::NEG_INFINITY;
    for (i, rep) in group.reps.iter().enumerate() {
        let x = chart.x(i as f64 + 1.0);
        let mark = verdict::mark(rep.verdict);
        match finite_peak(rep) {
            Some((_, value, _)) => page.mark(mark, (x, chart.y(value)), size, shade(i, reps)),
            None if rep.verdict == Verdict::Done => {}
            None => page.mark(mark, (x, chart.bottom() - 9.0), size, style::INK),
        }
        let text = rep.index.to_string();
        let half = lettering::width(&text, style::TICK) / 2.0;
        if free < x - half {
            page.text(x, chart.bottom() + 15.0, &text, style::TICK, Anchor::Middle);
            free = x + half + 4.0;
        }
    }
    page.text(
        chart.right(),
        chart.bottom() + 30.0,
        "rep",
        style::TICK,
        Anchor::End,
    );
    Ok(())
}

/// Lower end, value and upper end of a peak.
fn finite_peak(rep: &RepReview) -> Option<(f64, f64, f64)> {
    rep.peak_speed_m_s
        .map(|p| (p.low, p.value, p.high))
        .filter(|p| p.0.is_finite() && p.1.is_finite() && p.2.is_finite())
}

/// The axis line, and the numbers up.
fn frame(page: &mut Canvas, chart: &Panel) {
    let y = chart.bottom();
    page.line((chart.left, y), (chart.right(), y), style::FRAME, 1.0, "");
    let whole_steps = chart.up.ticks.iter().all(|t| (t - t.round()).abs() < 1e-9);
    let decimals = usize::from(!whole_steps);
    for tick in &chart.up.ticks {
        let text = format!("{tick:.decimals$}");
        page.text(
            chart.left - 7.0,
            chart.y(*tick) + 4.0,
            &text,
            style::TICK,
            Anchor::End,
        );
    }
}

/// A whole number with a true minus.
fn whole(value: f64) -> String {
    if value < -0.5 {
        format!("−{:.0}", -value)
    } else {
        format!("{:.0}", value.abs())
    }
}

/// The signs used, with their meaning.
fn entries(review: &PlanReview) -> Vec<(key::Sample, String)> {
    let mut entries = vec![
        (
            key::Sample::Line(ramp::colour(0.3), 2.0, ""),
            "first rep".to_owned(),
        ),
        (
            key::Sample::Line(ramp::colour(0.65), 2.0, ""),
            "later reps are darker".to_owned(),
        ),
        (
            key::Sample::Line(ramp::colour(1.0), 2.0, ""),
            "last rep".to_owned(),
        ),
        (
            key::Sample::Mark(verdict::mark(Verdict::Done), style::INK),
            "rep done".to_owned(),
        ),
    ];
    entries.extend(verdict::entries(&review.blocks));
    entries
}
