//! Speed against time, all reps of a group from their start.

use plotters::prelude::*;

use crate::figure::axis::{self, Axis};
use crate::figure::canvas::Canvas;
use crate::figure::panel::{self, Panel};
use crate::figure::style::{self, Anchor};
use crate::figure::thin::{self, Point};
use crate::figure::{Error, Scene};
use crate::motion::Sample;

use super::group::{Group, window};
use super::{Sizes, shade};

/// Shown of a rep before its start and after its end, s.
const BEFORE_S: f64 = 1.0;
const AFTER_S: f64 = 2.0;

/// The upper end of the speed axes, the same for all groups.
pub(super) fn fastest(scene: &Scene<'_>, groups: &[Group<'_>]) -> f64 {
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

/// Draws it at the left of a group.
pub(super) fn draw(
    page: &mut Canvas,
    scene: &Scene<'_>,
    sizes: &Sizes,
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
        left: left + sizes.overlay.0,
        top: top + sizes.overlay.1,
        width: sizes.overlay_width,
        height: sizes.chart_height,
        across: Axis::stepped(-BEFORE_S..longest_s + AFTER_S, axis::time_step(span_s, 7)),
        up: Axis::numbers(0.0..fastest, 6).told_in(scene.speeds, 6),
    };
    page.text(
        left,
        chart.top - 10.0,
        &format!("speed, {}", scene.speeds.sign()),
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
                let points: Vec<Point> = Point::of_speed(samples, start_s).collect();
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
    panel::frame(page, &chart);
    panel::seconds_of_rep(page, &chart, 30.0);
    Ok(())
}

/// The samples of a rep with a little before and after, run by run.
fn around<'a>(scene: &Scene<'a>, (start_s, end_s): (f64, f64)) -> Vec<&'a [Sample]> {
    scene.runs(start_s - BEFORE_S, end_s + AFTER_S).collect()
}
