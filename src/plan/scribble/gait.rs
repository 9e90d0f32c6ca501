//! Moving gently: the words for walking, for jogging, and for how gently it is done.
//!
//! They are the work of a warm-up and the rest between sprints, so every file that tells the two apart asks here.

use crate::plan::near::is_one_of;

const WALKS: &str = "walk, walks, walking, stroll, strolls, strolling, amble, wander, saunter";
const JOGS: &str =
    "jog, jogs, jogging, trot, trotting, float, floats, joggen, trab, traben, trote, trottinare";
const GENTLY: &str = "easy, slow, slowly, light, lightly, gentle, gently, steady, relaxed";

pub(super) fn walks(word: &str) -> bool {
    is_one_of(word, WALKS)
}

pub(super) fn jogs(word: &str) -> bool {
    is_one_of(word, JOGS)
}

/// Walking or jogging.
pub(super) fn is_gait(word: &str) -> bool {
    walks(word) || jogs(word)
}

/// How it is done: `easy`, `slowly`.
pub(super) fn is_gently(word: &str) -> bool {
    is_one_of(word, GENTLY)
}
