//! The words and signs for what became of a rep, the same in every picture.

use crate::plan::Block;
use crate::review::{BlockReview, RepReview, SetReview, Verdict};

use super::canvas::Mark;
use super::key;
use super::{lettering, style};

/// All verdicts in the order in which they are told.
pub(crate) const VERDICTS: [Verdict; 5] = [
    Verdict::Done,
    Verdict::Short,
    Verdict::Slow,
    Verdict::Missed,
    Verdict::Unresolved,
];

/// The word for a verdict.
pub(super) fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Done => "done",
        Verdict::Short => "cut short",
        Verdict::Slow => "slow",
        Verdict::Missed => "missed",
        Verdict::Unresolved => "cannot be told",
    }
}

/// The sign for a verdict, drawn in the shape of the one that the terminal prints.
pub(super) fn mark(verdict: Verdict) -> Mark {
    match verdict {
        Verdict::Done => Mark::Disc,
        Verdict::Short => Mark::Half,
        Verdict::Slow => Mark::ArrowDown,
        Verdict::Missed => Mark::Cross,
        Verdict::Unresolved => Mark::Question,
    }
}

/// The sign for a rep: its verdict's, or that of a speed left open.
pub(super) fn sign(rep: &RepReview) -> Mark {
    if rep.is_speed_open() {
        Mark::Waves
    } else {
        mark(rep.verdict)
    }
}

/// The entries of a key for the verdicts that occur.
pub(super) fn entries(blocks: &[BlockReview]) -> Vec<(key::Sample, String)> {
    VERDICTS
        .into_iter()
        .filter(|v| *v != Verdict::Done && count(blocks, *v) > 0)
        .map(|v| {
            (
                key::Sample::Mark(mark(v), style::INK),
                format!("rep {}", word(v)),
            )
        })
        .collect()
}

/// How many reps got a verdict.
fn count(blocks: &[BlockReview], verdict: Verdict) -> usize {
    blocks
        .iter()
        .flat_map(|b| &b.sets)
        .flat_map(|s| &s.reps)
        .filter(|r| r.verdict == verdict)
        .count()
}

/// What became of the reps of a block: "5 of 5 done", "10 done, 1 cut short, 1 missed".
pub(super) fn tally(block: &BlockReview) -> String {
    let blocks = std::slice::from_ref(block);
    let all: usize = block.sets.iter().map(|s| s.reps.len()).sum();
    let parts: Vec<(usize, &str)> = VERDICTS
        .into_iter()
        .map(|v| (count(blocks, v), word(v)))
        .filter(|(n, _)| *n > 0)
        .collect();
    match parts.as_slice() {
        [(_, only)] if all == 1 => (*only).to_owned(),
        [(n, only)] => format!("{n} of {all} {only}"),
        parts => parts
            .iter()
            .map(|(n, word)| format!("{n} {word}"))
            .collect::<Vec<_>>()
            .join(", "),
    }
}

/// A block in one line: number, category, name, ball, and its dose where the plan is known.
pub(super) fn title(review: &BlockReview, block: Option<&Block>) -> String {
    let dose = block
        .map(|b| format!(", {}", b.dose_text()).replace(" x ", " × "))
        .unwrap_or_default();
    format!("{} {}{dose}", review.index, name(review))
}

/// A set of a block in one line of at most `room` pixels: a long name gives way, the set's number does not.
pub(super) fn set_title(block: &BlockReview, set: &SetReview, room: f64) -> String {
    let last = if block.sets.len() > 1 {
        format!(", set {}", set.index)
    } else {
        String::new()
    };
    let name = format!("{} {}", block.index, name(block));
    let room = room - lettering::width(&last, style::LABEL);
    let name = lettering::fit(&name, style::LABEL, room).unwrap_or_else(|| block.index.to_string());
    format!("{name}{last}")
}

/// Category, name, and the ball.
pub(super) fn name(block: &BlockReview) -> String {
    let name = block
        .name
        .as_ref()
        .map(|n| format!(": {n}"))
        .unwrap_or_default();
    let ball = if block.with_ball { ", with ball" } else { "" };
    format!("{}{name}{ball}", block.category.word())
}
