//! The timeline on a narrow sheet: a panel for each block over its own time, since a session pressed into the width of a
//! phone would show no rep.

use crate::figure::axis::{self, Axis, Clock};
use crate::figure::canvas::{Canvas, Heading};
use crate::figure::panel::Panel;
use crate::figure::style::{self, Anchor};
use crate::figure::svg::Svg;
use crate::figure::{Error, Scene, key, lettering, verdict};
use crate::review::{BlockReview, PlanReview};

use super::{BAND, Pair, draw as bars, draw_time, hatch_gaps, sign, sign_unplanned};

/// Height of a line of a block's name, and most lines of one.
const LINE: f64 = 16.0;
const MOST_LINES: usize = 3;
/// Below a panel: the numbers of its axis, and space.
const FOOT: f64 = 42.0;
/// Room for half of a number at each end of an axis.
const SIDE: f64 = 24.0;
/// Air at both ends of an axis, as a share of it.
const AIR: f64 = 0.03;

/// A panel with what it shows.
struct Part<'a> {
    block: &'a BlockReview,
    pairs: &'a [Pair<'a>],
    lines: Vec<String>,
    /// From when to when, s; `None` where nothing of the block has a time.
    range: Option<(f64, f64)>,
}

impl Part<'_> {
    fn height(&self) -> f64 {
        let words = self.lines.len() as f64 * LINE;
        match self.range {
            Some(_) => words + BAND + FOOT,
            None => words + LINE + 20.0,
        }
    }
}

/// The panels below each other.
pub(super) fn draw<'a>(
    scene: &Scene<'_>,
    review: &'a PlanReview,
    shown: &'a [BlockReview],
    bands: &[&'a [Pair<'a>]],
    entries: &[(key::Sample, String)],
    title: &str,
    left_out: &str,
) -> Result<Svg, Error> {
    let sheet = scene.sheet;
    let parts: Vec<Part<'a>> = shown
        .iter()
        .zip(bands)
        .map(|(block, pairs)| {
            let planned = scene
                .plan
                .and_then(|plan| plan.blocks.get(block.index.checked_sub(1)?));
            let name = verdict::title(block, planned);
            Part {
                block,
                pairs,
                lines: lettering::broken(&name, style::LABEL, sheet.room(), MOST_LINES),
                range: range(pairs),
            }
        })
        .collect();
    let clock = Clock::of(1.0, scene.end_s().unwrap_or(0.0));
    let subtitle = scene.subtitle(&format!(
        "each block over its own time, its plan laid from its first rep found, distances at an estimated pace; time from the \
         start of the session, {}{left_out}",
        clock.unit()
    ));
    let heading = Heading::new(sheet, title, &subtitle);
    let begin = heading.height + 4.0;
    let blocks: f64 = parts.iter().map(Part::height).sum();
    let unplanned = if review.unplanned.is_empty() {
        0.0
    } else {
        BAND + FOOT + LINE
    };
    let foot = begin + blocks + unplanned + 16.0;
    let height = foot + key::lines(sheet, entries) as f64 * key::LINE + sheet.margin;
    let mut page = Canvas::on(sheet, height, heading);
    let mut top = begin;
    for part in &parts {
        draw_part(&mut page, scene, part, clock, top)?;
        top += part.height();
    }
    if !review.unplanned.is_empty() {
        let end_s = scene.end_s().unwrap_or(0.0).max(1.0);
        let chart = panel(&page, top, (0.0, end_s));
        hatch_gaps(&mut page, scene, &chart);
        page.raw(&bars(&chart, &[], &review.unplanned)?);
        sign_unplanned(&mut page, &chart, review, top, scene.speeds);
        draw_time(&mut page, &chart, Some(clock));
    }
    key::draw(&mut page, foot, entries);
    Ok(page.finish())
}

/// One block: its name, what became of it, its bars.
fn draw_part(
    page: &mut Canvas,
    scene: &Scene<'_>,
    part: &Part<'_>,
    clock: Clock,
    top: f64,
) -> Result<(), Error> {
    let left = page.sheet.margin;
    for (i, line) in (1..).zip(&part.lines) {
        let y = top + LINE * f64::from(i) - 4.0;
        page.text(left, y, line, style::LABEL, Anchor::Start);
    }
    let top = top + LINE * part.lines.len() as f64;
    if let Some(range) = part.range {
        let chart = panel(page, top, range);
        hatch_gaps(page, scene, &chart);
        page.raw(&bars(&chart, &[part.pairs], &[])?);
        sign(page, &chart, part.pairs, top);
        draw_time(page, &chart, Some(clock));
    }
    let tally = verdict::tally(part.block);
    page.rimmed(left, top + 13.0, &[(&tally, style::PLAIN)]);
    Ok(())
}

/// From the first planned or done second of a block to the last, with some air.
fn range(pairs: &[Pair<'_>]) -> Option<(f64, f64)> {
    let times = || {
        (pairs.iter())
            .flat_map(|pair| [pair.planned, pair.done()])
            .flatten()
    };
    let from_s = times().map(|t| t.0).fold(f64::INFINITY, f64::min);
    let to_s = times().map(|t| t.1).fold(f64::NEG_INFINITY, f64::max);
    let air_s = AIR * (to_s - from_s).max(1.0);
    (from_s <= to_s).then(|| ((from_s - air_s).max(0.0), to_s + air_s))
}

fn panel(page: &Canvas, top: f64, (from_s, to_s): (f64, f64)) -> Panel {
    let span_s = (to_s - from_s).max(1.0);
    Panel {
        left: SIDE,
        top,
        width: page.sheet.width - 2.0 * SIDE,
        height: BAND,
        across: Axis::stepped(from_s..from_s + span_s, axis::time_step(span_s, 6)),
        up: Axis {
            range: 0.0..BAND,
            ticks: Vec::new(),
            per: 1.0,
        },
    }
}
