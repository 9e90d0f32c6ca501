//! Peak speeds of the reps of a group, in order, with their intervals and the signs of their verdicts.

use plotters::prelude::*;

use crate::figure::axis::Axis;
use crate::figure::canvas::{Canvas, Mark};
use crate::figure::panel::{self, Panel};
use crate::figure::style::{self, Anchor};
use crate::figure::{Error, lettering, verdict};
use crate::measured::Measured;
use crate::review::{RepReview, Verdict};
use crate::units::SpeedUnit;

use super::group::Group;
use super::{AXIS, Sizes, shade};

/// The ends of the axes of peak speed, the same for all groups of a block.
pub(super) fn range(groups: &[Group<'_>], block: usize) -> (f64, f64) {
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

/// Draws them at the right of a group.
pub(super) fn draw(
    page: &mut Canvas,
    sizes: &Sizes,
    group: &Group<'_>,
    (left, top): (f64, f64),
    (low, high): (f64, f64),
    speeds: SpeedUnit,
) -> Result<(), Error> {
    let reps = group.reps.len();
    let begin = left + sizes.ranking.0;
    let chart = Panel {
        left: begin,
        top: top + sizes.ranking.1,
        width: left + sizes.width - begin,
        height: sizes.chart_height,
        across: Axis {
            range: 0.0..reps as f64 + 1.0,
            ticks: Vec::new(),
            per: 1.0,
        },
        up: Axis::numbers(low..high, 6).told_in(speeds, 6),
    };
    page.text(
        begin - AXIS,
        chart.top - 10.0,
        &format!("peak speed, {}", speeds.sign()),
        style::TICK,
        Anchor::Start,
    );
    let drawn = chart.draw(|drawing| {
        for (i, rep) in group.reps.iter().enumerate() {
            if let Some(peak) = finite_peak(rep) {
                let x = i as f64 + 1.0;
                let bar = PathElement::new(
                    vec![(x, peak.low.max(low)), (x, peak.high.min(high))],
                    panel::stroke(shade(i, reps), 1.6),
                );
                drawing.draw_series([bar]).map_err(Error::drawing)?;
            }
        }
        Ok(())
    })?;
    page.raw(&drawn);
    panel::frame(page, &chart);
    if let Some(target) = group.target_m_s.filter(|t| low < *t && *t < high) {
        let y = chart.y(target);
        chart.level(page, y, style::SOFT_INK, style::HAIR, "5 4");
        let text = format!("asked for {}", speeds.number(target, 1));
        page.text(
            chart.right(),
            chart.top - 10.0,
            &text,
            style::TICK,
            Anchor::End,
        );
    }
    let size = (chart.width / (reps as f64 + 1.0) * 0.8).clamp(3.0, 8.0);
    let mut free = f64::NEG_INFINITY;
    for (i, rep) in group.reps.iter().enumerate() {
        let x = chart.x(i as f64 + 1.0);
        let mark = verdict::sign(rep);
        match finite_peak(rep) {
            Some(peak) => {
                page.mark(Mark::Disc, (x, chart.y(peak.value)), size, shade(i, reps));
                if mark != Mark::Disc {
                    // Below its bar, where no line runs through it.
                    let y = (chart.y(peak.low) + 8.0).min(chart.bottom() - 6.0);
                    page.mark(mark, (x, y), size, style::INK);
                }
            }
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

/// A finite peak of a rep.
fn finite_peak(rep: &RepReview) -> Option<Measured> {
    rep.peak_speed_m_s.filter(Measured::is_finite)
}
