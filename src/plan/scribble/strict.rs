//! What the notation itself reads: the one reader of doses and rests.

use crate::plan::line::Line;
use crate::plan::phrase::Phrases;
use crate::plan::{Block, Mistake, Rest, word};

/// A block that the notation reads, and whether its rest is open; or its mistakes.
pub(in crate::plan) fn strict(text: &str) -> Result<(Block, bool), Vec<Mistake>> {
    let line = Line::alone(text);
    let words = word::words(line, 0);
    let mut phrases = Phrases::new(line, words.list, !words.mistakes.is_empty());
    let block = phrases.block();
    let mut wrong = words.mistakes;
    wrong.append(&mut phrases.mistakes);
    match block {
        Some(block) if wrong.is_empty() && words.comment.is_none() => {
            Ok((block, phrases.open_rest.is_some()))
        }
        _ => Err(wrong),
    }
}

/// A line of the notation in its tidy form, where it is one.
pub(in crate::plan) fn tidied(text: &str) -> Option<String> {
    Some(strict(text).ok()?.0.line_text(true))
}

/// The length of a rest in the notation's words, s, where it has one.
pub(in crate::plan) fn rest_s(said: &str) -> Option<f64> {
    match strict(&format!("resistance 3 x 12 s, {said}")).ok()?.0 {
        Block {
            rest: Rest::Timed(seconds),
            ..
        } => Some(seconds),
        Block { then_s, .. } => then_s,
    }
}
