//! The reps of each set over each other from their start, and their peak speeds in order.

mod group;
mod overlay;
mod ranking;

use crate::review::{PlanReview, RepReview, Verdict};

use super::canvas::{Canvas, Mark};
use super::key;
use super::style::{self, Colour};
use super::{Error, Scene, ramp, verdict};

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
/// More groups than this are told by block instead of by set, and cut off at this number.
const MOST_GROUPS: usize = 24;

/// The reps of each set.
///
/// # Errors
/// Where the chart could not be drawn.
pub fn reps(scene: &Scene<'_>) -> Result<Option<String>, Error> {
    let Some(review) = scene.review else {
        return Ok(None);
    };
    let mut groups = group::by_set(scene, review);
    if groups.len() > MOST_GROUPS {
        groups = group::by_block(scene, review);
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
    let fastest = overlay::fastest(scene, &groups);
    for (i, group) in groups.iter().enumerate() {
        let left = style::MARGIN + (i % columns) as f64 * (GROUP_WIDTH + BETWEEN);
        let top = TOP + (i / columns) as f64 * GROUP_HEIGHT;
        page.fitted(left, top + 14.0, &group.title, style::LABEL, GROUP_WIDTH);
        page.fitted(left, top + 30.0, &group.note, style::TICK, GROUP_WIDTH);
        overlay::draw(&mut page, scene, group, (left, top), fastest)?;
        ranking::draw(
            &mut page,
            group,
            (left, top),
            ranking::range(&groups, group.block),
        )?;
    }
    key::draw(&mut page, foot, &entries);
    Ok(Some(page.finish()))
}

/// The colour of a rep: later ones stand out more.
fn shade(index: usize, reps: usize) -> Colour {
    let share = index as f64 / (reps.max(2) - 1) as f64;
    ramp::colour(0.3 + 0.7 * share)
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
            "those between".to_owned(),
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
    let mut reps = (review.blocks.iter())
        .flat_map(|b| &b.sets)
        .flat_map(|s| &s.reps);
    if reps.any(RepReview::is_speed_open) {
        entries.push((
            key::Sample::Mark(Mark::Waves, style::INK),
            "rep done, speed open".to_owned(),
        ));
    }
    entries.extend(verdict::entries(&review.blocks));
    entries
}
