//! Which reps are shown over each other.

use super::Sizes;
use crate::figure::{Scene, verdict};
use crate::plan::Target;
use crate::review::{BlockReview, PlanReview, RepReview};

/// Reps that are shown over each other.
pub(super) struct Group<'a> {
    pub(super) block: usize,
    pub(super) title: String,
    pub(super) note: String,
    pub(super) target_m_s: Option<f64>,
    pub(super) reps: Vec<&'a RepReview>,
}

/// One group a set of two or more reps of which any was found.
pub(super) fn by_set<'a>(scene: &Scene<'a>, review: &'a PlanReview) -> Vec<Group<'a>> {
    let mut groups = Vec::new();
    for block in &review.blocks {
        for set in &block.sets {
            let name = verdict::set_title(block, set, Sizes::of(scene.sheet, 2).width);
            // Only where the peaks clearly fall: the drop from the best to the others is above 0 in any set.
            let falls = (scene.fades.iter())
                .any(|f| (f.block, f.set) == (block.index, set.index) && f.slope_m_s.high < 0.0);
            let fade = set
                .decrement_percent
                .filter(|d| falls && d.is_finite())
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
pub(super) fn by_block<'a>(scene: &Scene<'a>, review: &'a PlanReview) -> Vec<Group<'a>> {
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
    let open = reps.iter().filter(|r| r.is_speed_open()).count();
    let open = match open {
        0 => String::new(),
        n => format!(" · speed open for {n}"),
    };
    Some(Group {
        block: block.index,
        title,
        note: format!("{}{open}{fade}", counts.join(", ")),
        target_m_s,
        reps,
    })
}

/// When a rep was run.
pub(super) fn window(rep: &RepReview) -> Option<(f64, f64)> {
    Some((rep.start_s?, rep.end_s?)).filter(|(a, b)| a.is_finite() && b.is_finite() && a < b)
}
