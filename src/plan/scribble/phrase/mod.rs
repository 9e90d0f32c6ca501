//! Tells the words of the notation from those around them, and puts shorthand in the notation's own words.

mod ours;
mod spelt_out;

use super::token::{Token, lower, phrase_at, seconds, text_of};
use super::{gait, kind};
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

pub(super) use ours::{is_filler, is_half, is_slip, is_strange, nearest_ours, turns};
pub(super) use spelt_out::spelt_out;

/// The tokens of a piece that the notation knows, and the others.
#[derive(Clone, Debug, Default)]
pub(super) struct Split {
    pub kept: Vec<Token>,
    pub loose: Vec<Token>,
    /// A word of its own stands where a unit is due, `10 kg`, or one of the notation's dangles, `8 min then`.
    pub dangles: bool,
}

/// A rest as long as the work, which nobody can write so.
pub(super) const EQUAL_REST: &str = "rest =work";
/// Phrases of the notation that are words alone.
const PHRASES: &str = "rest =work, there and back, up and back, out and back, down and back, with the ball, with a ball, with ball, \
     walk back, walking back, walkback, jog back, jogging back, full recovery, full rest, flat out, all out, \
     max effort, max speed, full speed, full pace, build up, buildup, maximal, max, easy, each side, per side, \
     each leg, per leg, every minute, rest, recovery, recover";
const OF_WHAT: &str = "set, sets, rep, reps, run, runs, sprint, sprints, round, rounds, repetition, \
     repetitions, each, every";

/// Takes a piece apart.
pub(super) fn split(piece: &[Token]) -> Split {
    let mut out = Split::default();
    let mut at = 0;
    while let Some(token) = piece.get(at) {
        let kept = kept_at(piece, at, out.kept.last());
        if kept == 0 {
            let bare = at > 0 && piece.get(at - 1).is_some_and(Token::is_number);
            let kept_number = out.kept.last().is_some_and(Token::is_number);
            let last = at + 1 == piece.len();
            out.dangles |= bare && kept_number
                || last && matches!(token.lower().as_str(), "then" | "over" | "every" | "repeat");
            out.loose.push(token.clone());
            at += 1;
        } else {
            // `1 min jog 10 s sprint` is no time of 70 s.
            out.dangles |= at > 0
                && token.is_number()
                && out
                    .loose
                    .last()
                    .is_some_and(|last| Some(last) == piece.get(at - 1))
                && out
                    .kept
                    .last()
                    .is_some_and(|last| unit_of(&last.lower()) == Some("min"));
            let tokens = piece.iter().skip(at).take(kept);
            out.kept.extend(tokens.map(|token| match token {
                Token::Word { text, .. } => Token::word(text),
                other => other.clone(),
            }));
            at += kept;
        }
    }
    // `5 min walk then 10 min jog`: work, and no rest.
    out.dangles |= (0..piece.len()).any(|at| goes_on_to_work(piece, at));
    out.dangles |= (0..piece.len()).any(|at| tells_of_some(piece, at));
    // `4v4 4 x`: nothing says what is done so often.
    out.dangles |= piece.len() > 1 && piece.last() == Some(&Token::Times);
    tidy_counts(&mut out.kept, !out.loose.is_empty());
    out
}

/// `then 10 min jog`, `then 10 min easy`: work of its own, and no rest.
fn goes_on_to_work(piece: &[Token], at: usize) -> bool {
    // So long nobody rests, s.
    const LONGEST_REST_S: f64 = 300.0;
    let Some(time_s) = (lower(piece, at) == "then")
        .then(|| seconds(piece, at + 1))
        .flatten()
    else {
        return false;
    };
    let how = lower(piece, at + 3);
    let moves = |word: &str| kind::is_known(word);
    let gently = gait::is_gently(&how)
        && (moves(&lower(piece, at + 4)) || time_s > LONGEST_REST_S && at + 4 == piece.len());
    moves(&how) || gently
}

/// Whether only some of the reps are told of: `last one flat out`, `half of them with ball`, `flat out on the last two`.
fn tells_of_some(piece: &[Token], at: usize) -> bool {
    const HOW: &str = "flat out, all out, max effort, max speed, full speed, with ball, with the ball, with a ball, \
         maximal, max, easy, build up";
    const SOME: &str = "last, final, first, half, second, third, other, others, only, some";
    const OF_THEM: &str = "the, of, them, these, one, two, three, four, few, couple, rep, reps, run, runs, sprint, \
         sprints, time, times, set, sets, with, at, on, are, is, done, only, last, first, final";
    let how = |at: usize| HOW.split(", ").find_map(|how| phrase_at(piece, at, how));
    let skip = |mut at: usize| {
        while how(at).is_none()
            && (is_one_of(&lower(piece, at), OF_THEM)
                || piece.get(at).is_some_and(Token::is_number))
        {
            at += 1;
        }
        at
    };
    if is_one_of(&lower(piece, at), SOME) && how(skip(at + 1)).is_some() {
        return true;
    }
    how(at).is_some_and(|words| {
        let next = at + words + usize::from(is_one_of(&lower(piece, at + words), "on, for, in"));
        let next = next + usize::from(lower(piece, next) == "the");
        let end = next + 1;
        is_one_of(&lower(piece, next), "last, final, half, only")
            && (piece.get(end).is_none() || is_one_of(&lower(piece, end), OF_THEM))
    })
}

/// Whether a piece counts work: `5 x 40 m`, `6 sprints`, `3 sets`, a list of reps.
pub(super) fn counts(piece: &[Token]) -> bool {
    piece.windows(2).any(|pair| match pair {
        [Token::Number(_), Token::Times] | [Token::Times, Token::Number(_)] => true,
        [Token::Number(_), word] => {
            let word = word.lower();
            matches!(unit_of(&word), Some("reps" | "sets"))
                || word == "times"
                || kind::is_counted(&word)
        }
        _ => false,
    }) || (0..piece.len()).any(|at| {
        // `10 hill sprints`
        let words = piece.iter().skip(at + 1).take(3).map(Token::lower);
        let words: Vec<String> = words.take_while(|word| !word.is_empty()).collect();
        let unit = words.first().is_none_or(|first| unit_of(first).is_some());
        piece.get(at).is_some_and(Token::is_number)
            && !unit
            && words.iter().any(|word| kind::is_counted(word))
    }) || piece.iter().any(Token::is_list)
}

/// How many tokens from `at` on are of the notation.
fn kept_at(piece: &[Token], at: usize, before: Option<&Token>) -> usize {
    let lower = |ahead: usize| lower(piece, at + ahead);
    let number = |ahead: usize| piece.get(at + ahead).is_some_and(Token::is_number);
    match piece.get(at) {
        // Laps have no length that the plan knows.
        Some(Token::Number(_)) if is_lap(&lower(1)) => 0,
        Some(Token::Number(_) | Token::Times | Token::Percent) => return 1,
        Some(Token::Word { .. }) => 0,
        _ => return 0,
    };
    let word = lower(0);
    let after_number = at > 0 && piece.get(at - 1).is_some_and(Token::is_number);
    if after_number && (unit_of(&word).is_some() || word == "rounds" || word == "round") {
        return 1;
    }
    // `build-up play` is what is done.
    if word == "build" && lower(2) == "play" {
        return 0;
    }
    let mut phrases = PHRASES.split(", ");
    if let Some(words) = phrases.find_map(|phrase| phrase_at(piece, at, phrase)) {
        return words;
    }
    let behind_unit = before.is_some_and(|token| unit_of(&token.lower()).is_some());
    match word.as_str() {
        "between" | "after" if is_one_of(&lower(1), OF_WHAT) => {
            if is_one_of(&lower(2), OF_WHAT) && matches!(lower(1).as_str(), "each" | "every") {
                3
            } else if matches!(lower(1).as_str(), "each" | "every") {
                0
            } else {
                2
            }
        }
        // `30 min ball work`: the unit stands right in front of the word.
        "work" if behind_unit && !is_unit_ahead(piece, at) => 0,
        "on" | "off" | "break" | "pause" | "work" if behind_unit => 1,
        // `shape work 20 min` is the name of what is done.
        "work" if number(1) => usize::from(at == 0),
        "over" | "then" | "for" | "every" | "at" | "repeat" | "is" if number(1) => 1,
        "and" | "with" if number(1) && before.is_some() => 1,
        "of" | "by" | "times" if number(1) || before.is_some_and(Token::is_number) => 1,
        "at" if matches!(lower(1).as_str(), "max" | "maximum" | "easy" | "full") => 1,
        "top" | "of"
            if before == Some(&Token::Percent) || before.is_some_and(|t| t.lower() == "of") =>
        {
            usize::from(text_of(piece).to_lowercase().contains("of top speed"))
        }
        "speed" if before.is_some_and(|token| token.lower() == "top") => 1,
        _ => 0,
    }
}

/// Whether a unit stands right in front of a place.
fn is_unit_ahead(piece: &[Token], at: usize) -> bool {
    at.checked_sub(1)
        .and_then(|at| piece.get(at))
        .is_some_and(Token::is_unit)
}

fn is_lap(word: &str) -> bool {
    is_one_of(
        word,
        "lap, laps, lengths, length, widths, width, circuits, times around",
    )
}

/// `6 x of 30 m`, `6 x` at the end: what is left where the thing that is counted was taken out.
fn tidy_counts(kept: &mut Vec<Token>, named: bool) {
    let mut at = 0;
    while at < kept.len() {
        let times = kept.get(at) == Some(&Token::Times);
        let of = kept
            .get(at + 1)
            .is_some_and(|next| matches!(next.lower().as_str(), "of" | "over" | "x"))
            && kept.get(at + 2).is_some_and(Token::is_number);
        if times && of {
            kept.remove(at + 1);
        } else if times
            && named
            && at > 0
            && !matches!(kept.get(at + 1), Some(Token::Number(_) | Token::Times))
        {
            kept.splice(at..=at, [Token::word("reps")]);
        }
        at += 1;
    }
}
