//! The reps of each set over each other from their start, and their peak speeds in order.

mod group;
mod overlay;
mod ranking;

use crate::review::{PlanReview, RepReview, Verdict};

use super::canvas::{Canvas, Heading, Mark};
use super::key;
use super::style::{self, Colour, Sheet};
use super::svg::Svg;
use super::{Error, Scene, ramp, verdict};

/// From the heading to the first group, and between two columns.
const ABOVE: f64 = 16.0;
const BETWEEN: f64 = 48.0;
/// Room for the numbers of the axis up.
const AXIS: f64 = 28.0;

/// A group: its name, speed against time, and the peak speeds: beside each other, or below on a narrow sheet. Lengths are
/// from the group's upper left corner.
struct Sizes {
    columns: usize,
    width: f64,
    height: f64,
    chart_height: f64,
    overlay: (f64, f64),
    overlay_width: f64,
    ranking: (f64, f64),
}

impl Sizes {
    fn of(sheet: Sheet, groups: usize) -> Self {
        if sheet.narrow {
            Self {
                columns: 1,
                width: sheet.room(),
                height: 436.0,
                chart_height: 130.0,
                overlay: (AXIS, 60.0),
                overlay_width: sheet.room() - AXIS,
                ranking: (AXIS, 250.0),
            }
        } else {
            Self {
                columns: groups.min(2),
                width: (sheet.room() - BETWEEN) / 2.0,
                height: 276.0,
                chart_height: 176.0,
                overlay: (AXIS, 60.0),
                overlay_width: 290.0,
                ranking: (AXIS + 340.0, 60.0),
            }
        }
    }
}

/// More groups than this are told by block instead of by set, and cut off at this number.
const MOST_GROUPS: usize = 24;

/// The reps of each set.
///
/// # Errors
/// Where the chart could not be drawn.
pub fn reps(scene: &Scene<'_>) -> Result<Option<Svg>, Error> {
    let Some(review) = scene.review else {
        return Ok(None);
    };
    let sheet = scene.sheet;
    let mut groups = group::by_set(scene, review);
    if groups.len() > MOST_GROUPS {
        groups = group::by_block(scene, review);
    }
    let left_out = groups.len().saturating_sub(MOST_GROUPS);
    groups.truncate(MOST_GROUPS);
    if groups.is_empty() {
        return Ok(None);
    }
    let sizes = Sizes::of(sheet, groups.len());
    let rows = groups.len().div_ceil(sizes.columns);
    let mut entries = entries(review);
    if scene.motion.samples.iter().any(|s| s.bridged) {
        entries.push((
            key::Sample::Line(style::INK, style::LINE, "3 3"),
            "bridged, not measured".to_owned(),
        ));
    }
    let mut last = "bars: 95 % interval of the peak speed".to_owned();
    if left_out > 0 {
        last = format!("{last} · {left_out} more groups are not shown");
    }
    let heading = Heading::new(
        sheet,
        "The reps of each set, from their start",
        &scene.subtitle(&last),
    );
    let begin = heading.height + ABOVE;
    let foot = begin + rows as f64 * sizes.height + 20.0;
    let height = foot + key::lines(sheet, &entries) as f64 * key::LINE + sheet.margin;
    let mut page = Canvas::on(sheet, height, heading);
    let fastest = overlay::fastest(scene, &groups);
    for (i, group) in groups.iter().enumerate() {
        let left = sheet.margin + (i % sizes.columns) as f64 * (sizes.width + BETWEEN);
        let top = begin + (i / sizes.columns) as f64 * sizes.height;
        page.fitted(left, top + 14.0, &group.title, style::LABEL, sizes.width);
        page.fitted(left, top + 30.0, &group.note, style::TICK, sizes.width);
        overlay::draw(&mut page, scene, &sizes, group, (left, top), fastest)?;
        ranking::draw(
            &mut page,
            &sizes,
            group,
            (left, top),
            ranking::range(&groups, group.block),
            scene.speeds,
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
