//! The plan held against the recording: a band for each block, what was planned above, what was done below.

mod narrow;

use plotters::prelude::*;

use crate::review::{BlockReview, PlanReview, RepReview, Unplanned, Verdict};
use crate::units::SpeedUnit;

use super::axis::{self, Axis, Clock};
use super::canvas::{Canvas, Heading, Mark, WORD_SPACE};
use super::key;
use super::panel::{self, Chart, Panel};
use super::schedule::{Slot, schedule};
use super::style::{self, Anchor};
use super::svg::Svg;
use super::{Error, Scene, lettering, verdict};

/// Left and right edges of the chart: a time has half its width of room on either side.
const SIDE: f64 = 44.0;
/// Upper edge of the chart.
const TOP: f64 = style::HEADING + 12.0;
/// The band of a block: its name, the planned reps, the lines that join, the reps done, their signs.
const BAND: f64 = 84.0;
const PLANNED: f64 = 20.0;
const BAR: f64 = 9.0;
const DONE: f64 = 53.0;
const SIGNS: f64 = 71.0;
/// Least width of a bar, so that a short rep of a long session is still seen.
const LEAST_BAR: f64 = 1.5;
/// Size of a sign.
const SIGN: f64 = 7.0;
/// Most blocks and reps that a picture holds.
const MOST_BLOCKS: usize = 60;
const MOST_REPS: usize = 5000;

/// A rep of the plan with what became of it, on the clock of the session.
struct Pair<'a> {
    planned: Option<(f64, f64)>,
    review: &'a RepReview,
}

impl Pair<'_> {
    /// When it was done.
    fn done(&self) -> Option<(f64, f64)> {
        Some((self.review.start_s?, self.review.end_s?))
            .filter(|(a, b)| a.is_finite() && b.is_finite())
    }
}

/// The plan above, what was done below.
///
/// # Errors
/// Where the chart could not be drawn.
pub fn timeline(scene: &Scene<'_>) -> Result<Option<Svg>, Error> {
    let Some(review) = scene.review.filter(|r| !r.blocks.is_empty()) else {
        return Ok(None);
    };
    let shown = review.blocks.get(..MOST_BLOCKS).unwrap_or(&review.blocks);
    let mut bands: Vec<Vec<Pair<'_>>> = pairs(scene, review, shown);
    let entries = entries(scene, review);
    let counts = review.counts;
    let left_out = match review.blocks.len() - shown.len() {
        0 => String::new(),
        n => format!(" · the last {n} blocks are not shown"),
    };
    let title = format!(
        "Planned and done: {} of {} reps done",
        counts.done, counts.planned
    );
    let beyond = match cut(scene, &mut bands) {
        0 => String::new(),
        1 => " · one planned rep lies outside the recording".to_owned(),
        n => format!(" · {n} planned reps lie outside the recording"),
    };
    let left_out = format!("{left_out}{beyond}");
    let bands: Vec<&[Pair<'_>]> = bands.iter().map(Vec::as_slice).collect();
    if scene.sheet.narrow {
        return narrow::draw(scene, review, shown, &bands, &entries, &title, &left_out).map(Some);
    }
    let chart = place(scene, review, &bands);
    let foot = chart.bottom() + 60.0;
    let height = foot + key::lines(scene.sheet, &entries) as f64 * key::LINE + style::MARGIN;
    let heading = Heading::new(
        scene.sheet,
        &title,
        &scene.subtitle(&format!(
            "plan laid from the first rep found, distances at an estimated pace{left_out}"
        )),
    );
    let mut page = Canvas::on(scene.sheet, height, heading);
    hatch_gaps(&mut page, scene, &chart);
    page.raw(&draw(&chart, &bands, &review.unplanned)?);
    for (row, (block, pairs)) in shown.iter().zip(&bands).enumerate() {
        let top = TOP + row as f64 * BAND;
        name_block(&mut page, scene, &chart, block, pairs, top);
        sign(&mut page, &chart, pairs, top);
    }
    sign_unplanned(
        &mut page,
        &chart,
        review,
        TOP + bands.len() as f64 * BAND,
        scene.speeds,
    );
    draw_time(&mut page, &chart, None);
    key::draw(&mut page, foot, &entries);
    Ok(Some(page.finish()))
}

/// Each block's reps with their planned times; the plan begins where its first rep that was found lies in time.
fn pairs<'a>(
    scene: &Scene<'a>,
    review: &'a PlanReview,
    shown: &'a [BlockReview],
) -> Vec<Vec<Pair<'a>>> {
    let top_m_s = review.top_speed.map(|t| t.speed_m_s.value);
    let slots = scene
        .plan
        .map(|plan| schedule(plan, top_m_s, MOST_REPS))
        .unwrap_or_default();
    let rep_of = |slot: &Slot| {
        review
            .blocks
            .get(slot.block)
            .and_then(|b| b.sets.get(slot.set))
            .and_then(|s| s.reps.get(slot.rep))
    };
    let shift_s = slots
        .iter()
        .find_map(|slot| Some(rep_of(slot)?.start_s? - slot.start_s))
        .unwrap_or(0.0);
    // Where each block has a panel of its own, its plan lies from its own first rep.
    let shift_of = |block: usize| {
        let mut own = slots.iter().filter(|slot| slot.block == block);
        own.find_map(|slot| Some(rep_of(slot)?.start_s? - slot.start_s))
            .filter(|_| scene.sheet.narrow)
            .unwrap_or(shift_s)
    };
    let shifts: Vec<f64> = (0..shown.len()).map(shift_of).collect();
    let mut slots = slots.iter().peekable();
    let mut list = Vec::new();
    for (b, (block, shift_s)) in shown.iter().zip(shifts).enumerate() {
        let mut pairs = Vec::new();
        for (s, set) in block.sets.iter().enumerate() {
            for (r, rep) in set.reps.iter().enumerate() {
                while slots
                    .next_if(|slot| (slot.block, slot.set, slot.rep) < (b, s, r))
                    .is_some()
                {}
                let slot = slots.next_if(|slot| (slot.block, slot.set, slot.rep) == (b, s, r));
                pairs.push(Pair {
                    planned: slot.map(|slot| (slot.start_s + shift_s, slot.end_s + shift_s)),
                    review: rep,
                });
            }
        }
        list.push(pairs);
    }
    list
}

/// How far past the end of the recording planned reps are shown, as a share of its length.
const PAST: f64 = 0.25;

/// Takes away planned times that lie before the recording or long after it, as those of another session's plan do: they
/// would press the recording into a corner. Tells how many.
fn cut(scene: &Scene<'_>, bands: &mut [Vec<Pair<'_>>]) -> usize {
    let last_s = scene.end_s().unwrap_or(0.0) * (1.0 + PAST);
    let mut taken = 0;
    for pair in bands.iter_mut().flatten() {
        if pair.planned.is_some_and(|(a, b)| a < -1.0 || last_s < b) {
            pair.planned = None;
            taken += 1;
        }
    }
    taken
}

/// The chart on the page: time across, pixels up.
fn place(scene: &Scene<'_>, review: &PlanReview, bands: &[&[Pair<'_>]]) -> Panel {
    let times = || {
        bands
            .iter()
            .copied()
            .flatten()
            .flat_map(|pair| [pair.planned, pair.done()])
            .flatten()
    };
    let from_s = times().map(|t| t.0).fold(0.0, f64::min);
    let to_s = times()
        .map(|t| t.1)
        .fold(scene.end_s().unwrap_or(0.0), f64::max);
    let span_s = (to_s - from_s).max(1.0);
    let rows = bands.len() + usize::from(!review.unplanned.is_empty());
    let height = rows as f64 * BAND;
    Panel {
        left: SIDE,
        top: TOP,
        width: style::WIDTH - 2.0 * SIDE,
        height,
        across: Axis::stepped(from_s..from_s + span_s, axis::time_step(span_s, 13)),
        up: Axis {
            range: 0.0..height,
            ticks: Vec::new(),
            per: 1.0,
        },
    }
}

/// Bars and the lines that join them, drawn by plotters.
fn draw(place: &Panel, bands: &[&[Pair<'_>]], unplanned: &[Unplanned]) -> Result<Svg, Error> {
    let second = place.width / (place.across.range.end - place.across.range.start);
    let bar = |(from_s, to_s): (f64, f64), y: f64| {
        let to_s = to_s.max(from_s + LEAST_BAR / second);
        [(from_s, place.height - y), (to_s, place.height - y - BAR)]
    };
    place.draw(|chart| {
        for (row, pairs) in bands.iter().enumerate() {
            let top = row as f64 * BAND;
            rule(chart, place, top)?;
            for pair in *pairs {
                if let (Some(planned), Some(done)) = (pair.planned, pair.done()) {
                    let middle = |(a, b): (f64, f64)| 0.5 * (a + b);
                    let joined = PathElement::new(
                        vec![
                            (middle(planned), place.height - top - PLANNED - BAR),
                            (middle(done), place.height - top - DONE),
                        ],
                        panel::stroke(style::FRAME, style::HAIR),
                    );
                    chart.draw_series([joined]).map_err(Error::drawing)?;
                }
                if let Some(planned) = pair.planned {
                    let grey = panel::fill(style::FRAME, 1.0);
                    let drawn = Rectangle::new(bar(planned, top + PLANNED), grey);
                    chart.draw_series([drawn]).map_err(Error::drawing)?;
                }
                if let Some(done) = pair.done() {
                    let blue = panel::fill(style::MEASURED, 1.0);
                    let drawn = Rectangle::new(bar(done, top + DONE), blue);
                    chart.draw_series([drawn]).map_err(Error::drawing)?;
                }
            }
        }
        let top = bands.len() as f64 * BAND;
        if !unplanned.is_empty() {
            rule(chart, place, top)?;
        }
        for work in unplanned {
            let drawn = Rectangle::new(
                bar((work.start_s, work.end_s), top + DONE),
                panel::fill(style::PICKED, 1.0),
            );
            chart.draw_series([drawn]).map_err(Error::drawing)?;
        }
        Ok(())
    })
}

/// A line above a band.
fn rule(chart: &mut Chart<'_, '_>, place: &Panel, top: f64) -> Result<(), Error> {
    let range = &place.across.range;
    let y = place.height - top;
    let line = PathElement::new(
        vec![(range.start, y), (range.end, y)],
        panel::stroke(style::FRAME, style::HAIR),
    );
    chart.draw_series([line]).map_err(Error::drawing)?;
    Ok(())
}

/// The name of a block and what became of it, above its bars and inside the chart.
fn name_block(
    page: &mut Canvas,
    scene: &Scene<'_>,
    chart: &Panel,
    block: &BlockReview,
    pairs: &[Pair<'_>],
    top: f64,
) {
    let planned = scene
        .plan
        .and_then(|plan| plan.blocks.get(block.index.checked_sub(1)?));
    let tally = verdict::tally(block);
    let tally_width = lettering::width(&tally, style::PLAIN) + WORD_SPACE;
    let title = verdict::title(block, planned);
    let Some(title) = lettering::fit(&title, style::LABEL, chart.width - tally_width) else {
        return;
    };
    let title_width = lettering::width(&title, style::LABEL);
    let first_s = pairs
        .iter()
        .flat_map(|pair| [pair.planned, pair.done()])
        .flatten()
        .map(|t| t.0)
        .fold(f64::INFINITY, f64::min);
    let wanted = if first_s.is_finite() {
        chart.x(first_s)
    } else {
        chart.left
    };
    let x = wanted
        .min(chart.right() - title_width - tally_width)
        .max(chart.left);
    page.rimmed(
        x,
        top + 14.0,
        &[(&title, style::LABEL), (&tally, style::PLAIN)],
    );
}

/// The signs of reps that were not simply done: missed ones below their planned time, others below what was done.
fn sign(page: &mut Canvas, chart: &Panel, pairs: &[Pair<'_>], top: f64) {
    let place = |pair: &Pair<'_>| match pair.review.verdict {
        Verdict::Done => None,
        Verdict::Missed => pair
            .planned
            .map(|(a, b)| (chart.x(0.5 * (a + b)), top + PLANNED + BAR + 8.0)),
        _ => pair
            .done()
            .or(pair.planned)
            .map(|(a, b)| (chart.x(0.5 * (a + b)), top + SIGNS)),
    };
    let mut free: [f64; 2] = [f64::NEG_INFINITY; 2];
    let mut signs: Vec<((f64, f64), Mark)> = pairs
        .iter()
        .filter_map(|pair| Some((place(pair)?, verdict::mark(pair.review.verdict))))
        .collect();
    signs.sort_by(|a, b| a.0.0.total_cmp(&b.0.0));
    for group in signs.chunk_by(|a, b| a.1 == b.1 && b.0.0 - a.0.0 < SIGN + 1.0) {
        let Some(((x, y), mark)) = group.first().copied() else {
            continue;
        };
        let lane = usize::from(mark == Mark::Cross);
        let x = x
            .max(free[lane] + SIGN / 2.0 + 2.0)
            .min(chart.right() - 24.0);
        page.mark(mark, (x, y), SIGN, style::INK);
        free[lane] = x + SIGN / 2.0;
        if group.len() > 1 {
            let text = format!("{}", group.len());
            page.text(x + 6.0, y + 4.0, &text, style::VALUE, Anchor::Start);
            free[lane] += 3.0 + lettering::width(&text, style::VALUE);
        }
    }
}

/// The work that the plan does not explain, in a band of its own.
fn sign_unplanned(
    page: &mut Canvas,
    chart: &Panel,
    review: &PlanReview,
    top: f64,
    speeds: SpeedUnit,
) {
    let all = &review.unplanned;
    let Some(first) = all.first() else { return };
    let title = "not in the plan";
    let tally = if all.len() == 1 {
        "one bout of work".to_owned()
    } else {
        format!("{} bouts of work", all.len())
    };
    let title_width = lettering::width(title, style::LABEL) + WORD_SPACE;
    let width = title_width + lettering::width(&tally, style::PLAIN);
    let x = chart
        .x(first.start_s)
        .min(chart.right() - width)
        .max(chart.left);
    page.rimmed(
        x,
        top + 14.0,
        &[(title, style::LABEL), (&tally, style::PLAIN)],
    );
    let mut free = f64::NEG_INFINITY;
    for work in all {
        let x = chart.x(0.5 * (work.start_s + work.end_s));
        page.mark(
            Mark::Diamond,
            (x, top + DONE - 9.0),
            SIGN + 1.0,
            style::PICKED,
        );
        let text = speeds.text(work.peak_speed_m_s.value, 1);
        let half = lettering::width(&text, style::TICK) / 2.0;
        let x = x.clamp(chart.left + half, chart.right() - half);
        if free < x - half {
            page.text(x, top + SIGNS + 5.0, &text, style::TICK, Anchor::Middle);
            free = x + half + 6.0;
        }
    }
}

/// Hatches the gaps.
fn hatch_gaps(page: &mut Canvas, scene: &Scene<'_>, chart: &Panel) {
    let range = &chart.across.range;
    for (from_s, to_s) in scene.blank() {
        let (from_s, to_s) = (from_s.max(range.start), to_s.min(range.end));
        if to_s <= from_s {
            continue;
        }
        let (left, right) = (chart.x(from_s), chart.x(to_s));
        page.hatched((left, chart.top), (right - left, chart.height));
    }
}

/// The numbers of the time axis, and their unit below its end; in the form of `clock` where the picture names it elsewhere.
fn draw_time(page: &mut Canvas, chart: &Panel, clock: Option<Clock>) {
    let range = &chart.across.range;
    let step_s = chart
        .across
        .ticks
        .windows(2)
        .map(|w| w[1] - w[0])
        .next()
        .unwrap_or(60.0);
    let with_unit = clock.is_none();
    let clock = clock.unwrap_or_else(|| Clock::of(step_s, range.end));
    let y = chart.bottom();
    chart.level(page, y, style::FRAME, 1.0, "");
    if with_unit {
        let unit = format!("time from start, {}", clock.unit());
        page.text(chart.right(), y + 33.0, &unit, style::TICK, Anchor::End);
    }
    for tick in chart.across.ticks.iter().filter(|t| **t >= 0.0) {
        let x = chart.x(*tick);
        let text = clock.write(*tick);
        page.line((x, y), (x, y + 4.0), style::FRAME, 1.0, "");
        // A number that would leave the sheet has its line only.
        let half = lettering::width(&text, style::TICK) / 2.0 + 4.0;
        if half <= x && x + half <= page.sheet.width {
            page.text(x, y + 16.0, &text, style::TICK, Anchor::Middle);
        }
    }
}

/// The signs used, with their meaning.
fn entries(scene: &Scene<'_>, review: &PlanReview) -> Vec<(key::Sample, String)> {
    let mut entries = vec![
        (
            key::Sample::Box(style::FRAME, 1.0),
            "planned, above".to_owned(),
        ),
        (
            key::Sample::Box(style::MEASURED, 1.0),
            "found, below".to_owned(),
        ),
    ];
    entries.extend(verdict::entries(&review.blocks));
    if !review.unplanned.is_empty() {
        entries.push((
            key::Sample::Mark(Mark::Diamond, style::PICKED),
            "work not in the plan, with its peak".to_owned(),
        ));
    }
    entries.extend(key::blank(scene));
    entries
}
