//! Moving gently: the words for walking, for jogging, and for how gently it is done.
//!
//! They are the work of a warm-up and the rest between sprints, so every file that tells the two apart asks here.

const WALKS: [&str; 9] = [
    "walk",
    "walks",
    "walking",
    "stroll",
    "strolls",
    "strolling",
    "amble",
    "wander",
    "saunter",
];
const JOGS: [&str; 7] = [
    "jog", "jogs", "jogging", "trot", "trotting", "float", "floats",
];
const GENTLY: [&str; 9] = [
    "easy", "slow", "slowly", "light", "lightly", "gentle", "gently", "steady", "relaxed",
];

pub(super) fn walks(word: &str) -> bool {
    WALKS.contains(&word)
}

pub(super) fn jogs(word: &str) -> bool {
    JOGS.contains(&word)
}

/// Walking or jogging.
pub(super) fn is_gait(word: &str) -> bool {
    walks(word) || jogs(word)
}

/// How it is done: `easy`, `slowly`.
pub(super) fn is_gently(word: &str) -> bool {
    GENTLY.contains(&word)
}
