//! Words by themselves: nearly one of the notation's, half of a phrase, what turns or says nothing.

use crate::plan::near::{is_one_of, nearest};
use crate::plan::phrase::negates;
use crate::plan::scribble::kind;

/// Whether a word that is none of the notation's is nearly one of them, so that it may be a slip.
pub(in crate::plan::scribble) fn is_slip(word: &str) -> bool {
    is_strange(word) && nearest_ours(word).is_some()
}

/// The words of ours that others are nearly.
const OURS: &str = "rest, between, over, walk, back, with, ball, sets, reps, there, recovery, minutes, seconds, metres, yards, \
     resistance, strength, speed, technical, game, warmup, cooldown, sprints, shuttles, every, repeat";

/// The word of ours that another is nearly.
pub(in crate::plan::scribble) fn nearest_ours(word: &str) -> Option<&'static str> {
    nearest(word, &OURS.split(", ").collect::<Vec<_>>())
}

/// Whether a word is none of ours and no word of its own.
pub(in crate::plan::scribble) fn is_strange(word: &str) -> bool {
    const PLAIN: [&str; 36] = [
        "width", "repeated", "repeats", "balls", "best", "same", "name", "gate", "gates", "them",
        "then", "they", "these", "those", "where", "here", "ever", "never", "wall", "talk", "pack",
        "test", "west", "nest", "vest", "vests", "balle", "balla", "cover", "covers", "death",
        "wish", "will", "your", "very", "gets",
    ];
    word.chars().count() > 3
        && !PLAIN.contains(&word)
        && !is_one_of(word, OURS)
        && !kind::is_known(word)
}

/// Words of the notation that say something only with others: alone they are half of a phrase, `their and back`.
pub(in crate::plan::scribble) fn is_half(word: &str) -> bool {
    is_one_of(
        word,
        "back, between, over, after, every, each, per, way, rest, recovery",
    )
}

/// Words that turn the meaning of what stands beside them.
pub(in crate::plan::scribble) fn turns(word: &str) -> bool {
    let others = "skip, minus, if, or, until, unless, alternate, alternating, exhaustion";
    negates(word) || is_one_of(word, others)
}

/// Words that say nothing of their own at either end of a name.
pub(in crate::plan::scribble) fn is_filler(word: &str) -> bool {
    is_one_of(
        word,
        "a, an, the, of, to, some, do, and, with, your, my, then, for, at, by, \
             start, next, each, after, as, just, now, again, that, from, da, di",
    )
}
