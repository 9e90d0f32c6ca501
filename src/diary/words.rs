//! The words that the tables hold for what is one of a few.

use crate::efforts::Kind;
use crate::review::{BlockVerdict, Fits, Reached, RestVerdict, Verdict};

/// Values with their words.
pub(super) type Words<T, const N: usize> = [(T, &'static str); N];

pub(super) const VERDICTS: Words<Verdict, 5> = [
    (Verdict::Done, "done"),
    (Verdict::Short, "short"),
    (Verdict::Slow, "slow"),
    (Verdict::Missed, "missed"),
    (Verdict::Unresolved, "unresolved"),
];

pub(super) const BLOCK_VERDICTS: Words<BlockVerdict, 4> = [
    (BlockVerdict::Done, "done"),
    (BlockVerdict::Short, "short"),
    (BlockVerdict::Missed, "missed"),
    (BlockVerdict::Unresolved, "unresolved"),
];

pub(super) const REST_VERDICTS: Words<RestVerdict, 4> = [
    (RestVerdict::Kept, "kept"),
    (RestVerdict::Long, "long"),
    (RestVerdict::Short, "short"),
    (RestVerdict::Free, "free"),
];

pub(super) const REACHED: Words<Reached, 3> = [
    (Reached::Yes, "yes"),
    (Reached::No, "no"),
    (Reached::Unclear, "unclear"),
];

pub(super) const FITS: Words<Fits, 3> = [
    (Fits::Yes, "yes"),
    (Fits::Partly, "partly"),
    (Fits::No, "no"),
];

/// Kinds of effort in the order of their numbers, from 1.
pub(super) const KINDS: [Kind; 5] = [
    Kind::Sprint,
    Kind::HighSpeedRun,
    Kind::Acceleration,
    Kind::Deceleration,
    Kind::Turn,
];

/// The word of a value; every value has one.
pub(super) fn word<T: Copy + PartialEq, const N: usize>(
    words: &Words<T, N>,
    value: T,
) -> &'static str {
    words
        .iter()
        .find(|(v, _)| *v == value)
        .map_or("", |(_, word)| word)
}

/// The value of a word.
pub(super) fn value<T: Copy, const N: usize>(words: &Words<T, N>, word: &str) -> Option<T> {
    words.iter().find(|(_, w)| *w == word).map(|(v, _)| *v)
}
