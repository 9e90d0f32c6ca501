//! The blocks of the plan behind the speed chart: tinted, numbered, named.

use crate::figure::canvas::Canvas;
use crate::figure::panel::Panel;
use crate::figure::style::{self, Anchor};
use crate::figure::{Scene, lettering, verdict};
use crate::review::BlockVerdict;

/// Most blocks that are named below the chart.
const MOST_NAMES: usize = 60;

/// What each block's number stands for.
pub(super) fn names(scene: &Scene<'_>) -> Vec<String> {
    let blocks = scene.review.map_or(&[][..], |review| &review.blocks);
    let more = blocks.len().saturating_sub(MOST_NAMES);
    blocks
        .iter()
        .take(MOST_NAMES)
        .map(|block| {
            let verdict = match block.verdict {
                BlockVerdict::Missed => ", missed",
                BlockVerdict::Unresolved => ", cannot be told",
                BlockVerdict::Done | BlockVerdict::Short => "",
            };
            format!("{} {}{verdict}", block.index, verdict::name(block))
        })
        .chain((more > 0).then(|| format!("{more} more")))
        .collect()
}

/// Tints the blocks and names them in the strip above.
pub(super) fn shade(page: &mut Canvas, scene: &Scene<'_>, plot: &Panel, top: f64, foot: f64) {
    let Some(review) = scene.review else { return };
    let range = &plot.across.range;
    let mut free_x = plot.left;
    for block in &review.blocks {
        let (Some(start_s), Some(end_s)) = (block.start_s, block.end_s) else {
            continue;
        };
        let (from_s, to_s) = (start_s.max(range.start), end_s.min(range.end));
        if to_s <= from_s {
            continue;
        }
        let (left, right) = (plot.x(from_s), plot.x(to_s));
        page.rect((left, top), (right - left, foot - top), style::SHADE, 1.0);
        if from_s == start_s {
            page.line((left, top), (left, foot), style::FRAME, style::HAIR, "");
        }
        page.line((left, top), (right, top), style::INK, 1.5, "");
        let left = left.max(free_x);
        let text = format!("{} {}", block.index, verdict::name(block));
        let number = block.index.to_string();
        let room = right - left - 8.0;
        let short = format!("{number} {}", block.category.word());
        let shown = [text, short, number]
            .into_iter()
            .find(|t| lettering::width(t, style::VALUE) <= room);
        if let Some(shown) = shown {
            page.text(left + 4.0, top + 14.0, &shown, style::VALUE, Anchor::Start);
            free_x = left + 8.0 + lettering::width(&shown, style::VALUE);
        }
    }
}
