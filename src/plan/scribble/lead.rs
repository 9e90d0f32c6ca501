//! What only leads on to the work: `Part 1:`, `then`, a `recovery` that is a run.

use super::token::{Piece, Token, is_rest, lower, phrase_at, text_of};
use super::{gait, kind};
use crate::plan::Category;
use crate::plan::phrase::unit_of;

/// A jog of this length or longer that is called a recovery is work of its own, min.
const SHORTEST_RECOVERY_MIN: f64 = 8.0;

/// Without `Part 1:`, `Station 2 -` and words that only lead on, such as `then`.
pub(super) fn without_label(mut pieces: Vec<Piece>) -> Vec<Piece> {
    const LEADS: &str = "and then, then, next, after that, finally, finish with, finish off with, \
         start with, begin with, followed by, to finish, to start, lastly, do";
    const PARTS: [&str; 8] = [
        "part", "station", "exercise", "drill", "stage", "phase", "block", "step",
    ];
    let label = match pieces.first().map(Vec::as_slice) {
        Some([word, Token::Number(_)]) => PARTS.contains(&word.lower().as_str()),
        _ => false,
    };
    if label && pieces.len() > 1 {
        pieces.remove(0);
    }
    if let Some(first) = pieces.first_mut() {
        let lead = LEADS
            .split(", ")
            .find_map(|words| phrase_at(first, 0, words));
        // `then 4 min`: a rest, in the notation's own word.
        let moves = |token: &Token| token.lower() == "easy" || kind::is_known(&token.lower());
        let rests = first.len() <= 4
            && !first.iter().any(moves)
            && matches!(first.as_slice(), [_, Token::Number(_), unit, ..] if unit_of(&unit.lower()).is_some());
        if let Some(words) = lead.filter(|_| !rests) {
            first.drain(..words);
        }
    }
    // `rest 5 min then`
    if let Some(last) = pieces.last_mut()
        && last.len() > 1
        && is_rest(&lower(last, 0))
        && lower(last, last.len() - 1) == "then"
    {
        last.pop();
    }
    pieces.retain(|piece| !piece.is_empty());
    pieces
}

/// `recovery run 20 min` names work: the two words are made one, which is no rest. A short jog is one.
pub(super) fn recovery_named(mut pieces: Vec<Piece>) -> Vec<Piece> {
    let long = |pair: &[Token]| match pair {
        [Token::Number(number), unit] => {
            // `15-20 min`
            let least = number.split(['-', '\u{2013}']).next().unwrap_or_default();
            let long = least
                .parse::<f64>()
                .is_ok_and(|number| number >= SHORTEST_RECOVERY_MIN);
            long && unit_of(&unit.lower()) == Some("min")
        }
        _ => false,
    };
    // `Recovery: swim 20 min` is no rest.
    if let [first, second, ..] = pieces.as_slice()
        && matches!(first.as_slice(), [word] if word.lower() == kind::RECOVERY.trim_end())
        && kind::kind_of(second).is(Category::Gym)
    {
        pieces.remove(0);
    }
    // `swim 30 min recovery`
    if let [first] = pieces.as_mut_slice()
        && first.len() > 3
        && lower(first, first.len() - 1) == kind::RECOVERY.trim_end()
        && first.windows(2).any(long)
        && kind::kind_of(first).is(Category::Gym)
    {
        first.pop();
    }
    // `Recovery 20 min bike`
    if let [first] = pieces.as_mut_slice()
        && first.len() > 3
        && lower(first, 0) == kind::RECOVERY.trim_end()
        && first.get(1..3).is_some_and(long)
        && kind::kind_of(first.get(3..).unwrap_or_default()).is(Category::Gym)
    {
        first.remove(0);
    }
    let is_long = pieces.iter().any(|piece| piece.windows(2).any(long));
    let Some(first) = pieces.first_mut() else {
        return pieces;
    };
    let word = |at: usize| lower(first, at);
    // `MD+1 recovery jog 20 min`
    let day =
        usize::from(word(0).starts_with("md") && word(0).contains(|c: char| c.is_ascii_digit()));
    let runs = matches!(word(day + 1).as_str(), "run" | "runs" | "running");
    if word(day) == kind::RECOVERY.trim_end() && (runs || is_long && gait::is_gait(&word(day + 1)))
    {
        let name = text_of(first.get(day..day + 2).unwrap_or_default());
        first.splice(day..day + 2, [Token::word(&name)]);
    }
    pieces
}
