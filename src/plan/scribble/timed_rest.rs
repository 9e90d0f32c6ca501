//! A rest with its time and how it is taken: `3 min easy jog between sets`, `rest 2 min standing`, `walk 30 s between`.
//!
//! The time is put in the notation's words. How the rest is taken is for the player, and kept as he wrote it.

use super::gait;
use super::kind::is_known;
use super::phrase::{counts, is_half, is_slip, turns};
use super::token::{Piece, Token, lower, text_of};
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

/// Words that say that a time is a rest.
const RESTS: &str = "rest, rests, resting, recovery, recover, break, pause, off, =work";
/// They lead over and say nothing.
const LEADS: [&str; 9] = ["for", "of", "is", "a", "an", "the", "with", "and", "in"];
/// What a rest lies between, in other words than the notation's.
const REPS: &str = "game, games, half, halves, match, matches, period, periods, quarter, quarters, \
     bout, bouts, effort, efforts, interval, intervals, shuttle, shuttles, lap, laps, \
     one, go";

/// Puts such rests in the notation's words. Gives one behind `then` that may be work of its own, as it was written.
pub(super) fn put(pieces: &mut [Piece], remarks: &mut Vec<String>) -> Option<String> {
    let mut dosed = false;
    let mut counted = false;
    let mut open = None;
    for piece in pieces {
        if let Some(Read { rest, how, work }) = read(piece, dosed, counted) {
            if work {
                open.get_or_insert_with(|| text_of(piece));
            }
            *piece = rest;
            remarks.extend(how);
        } else {
            dosed |= piece.iter().any(Token::is_number);
            counted |= counts(piece);
        }
    }
    open
}

struct Read {
    /// `3 min rest between sets`
    rest: Piece,
    how: Option<String>,
    /// Whether it may be work.
    work: bool,
}

/// A piece as a rest, where it says more of it than the notation reads. `dosed` where a dose stands in front of it,
/// `counted` where that counts reps.
fn read(piece: &[Token], dosed: bool, counted: bool) -> Option<Read> {
    let word = |at: usize| lower(piece, at);
    let (from, behind) = time(piece)?;
    let plain = |token: &Token| matches!(token, Token::Word { .. });
    if !piece.iter().take(from).all(plain) || !piece.iter().skip(behind).all(plain) {
        return None;
    }
    let lead = match word(0).as_str() {
        "then" => "then",
        "every" => "every",
        _ => "rest",
    };
    let mut said = lead == "every";
    let mut what: Vec<Token> = Vec::new();
    let mut renamed = false;
    let mut how: Vec<Token> = Vec::new();
    let mut at = usize::from(lead != "rest");
    while at < piece.len() {
        if at == from {
            at = behind;
            continue;
        }
        let here = word(at);
        if let Some((which, length)) = between(piece, at) {
            what = vec![Token::word("between"), Token::word(which)];
            said = true;
            renamed |= is_one_of(&word(at + length - 1), REPS);
            at += length;
            continue;
        }
        if is_one_of(&here, RESTS) {
            said = true;
        } else if here == "each" && at + 1 == piece.len() && said {
            // `30 s rest each`: behind each rep.
            renamed = true;
        } else if let Some(token) = piece.get(at) {
            how.push(token.clone());
        }
        at += 1;
    }
    while how
        .first()
        .is_some_and(|t| LEADS.contains(&t.lower().as_str()))
    {
        how.remove(0);
    }
    while how
        .last()
        .is_some_and(|t| LEADS.contains(&t.lower().as_str()))
    {
        how.pop();
    }
    if how.is_empty() && !renamed || !is_clear(&how) {
        return None;
    }
    let lower: Vec<String> = how.iter().map(Token::lower).collect();
    // A walk or a jog is the rest between runs; with it nothing else need say so, nor beside a count: `8 x 30 s, 30 s easy`.
    let moves = |word: &String| gait::is_gait(word);
    let gentle = (counted || lower.iter().any(moves))
        && lower.iter().all(|w| moves(w) || gait::is_gently(w));
    let runs = lower
        .iter()
        .any(|word| is_known(word) && !gait::walks(word) && !word.starts_with("stretch"));
    // `8 x 30 s on / 30 s off tempo`: that tells the work.
    if runs && piece.iter().any(|token| token.lower() == "off") {
        return None;
    }
    match lead {
        "then" if !what.is_empty() => return None,
        "then" | "every" => {}
        // `recovery run 20 min` is a session of its own.
        _ if !dosed => {
            let recovers = piece.iter().any(|t| t.lower().starts_with("recover"));
            if !said || recovers && what.is_empty() && runs {
                return None;
            }
        }
        _ if !said && !gentle => return None,
        _ => {}
    }
    let mut rest: Piece = piece.get(from..behind)?.to_vec();
    // Beside `runs` or `4v4` the word would seem to be said of them.
    let at = if lead == "rest" { rest.len() } else { 0 };
    rest.insert(at, Token::word(lead));
    rest.extend(what);
    Some(Read {
        rest,
        how: (!how.is_empty()).then(|| text_of(&how)),
        work: lead == "then" && !said && runs,
    })
}

/// Where the one time of a piece begins and ends: `2 min`, `1 min 30 s`, `1:30`.
fn time(piece: &[Token]) -> Option<(usize, usize)> {
    let unit = |at: usize| {
        piece
            .get(at)
            .and_then(|token| unit_of(&token.lower()))
            .filter(|unit| matches!(*unit, "s" | "min"))
    };
    let number = |at: usize| piece.get(at).is_some_and(Token::is_number);
    let from = piece.iter().position(Token::is_number)?;
    let clock =
        matches!(piece.get(from), Some(Token::Number(text)) if text.contains(':') && text != "1:1");
    let behind = match (unit(from + 1), clock) {
        (Some("min"), false) if number(from + 2) => {
            from + 3 + usize::from(unit(from + 3) == Some("s"))
        }
        (Some(_), _) => from + 2,
        (None, true) => from + 1,
        (None, false) => return None,
    };
    Some((from, behind))
}

/// What a rest lies between, in the notation's word, and how many tokens say so.
fn between(piece: &[Token], at: usize) -> Option<(&'static str, usize)> {
    let word = |at: usize| lower(piece, at);
    let after = match word(at).as_str() {
        "between" => false,
        "after" => true,
        _ => return None,
    };
    let each = matches!(word(at + 1).as_str(), "each" | "every" | "the");
    if after && !each {
        return None;
    }
    let noun = word(at + 1 + usize::from(each));
    let which = match noun.as_str() {
        "set" | "sets" => "sets",
        "round" | "rounds" => "rounds",
        "rep" | "reps" | "repetition" | "repetitions" | "run" | "runs" | "sprint" | "sprints" => {
            "reps"
        }
        other if is_one_of(other, REPS) => "reps",
        _ => return None,
    };
    Some((which, 2 + usize::from(each)))
}

/// Whether words only tell how: no slip, nothing that turns the sense, no unit, no half of a phrase but `walk back`.
fn is_clear(how: &[Token]) -> bool {
    let lower: Vec<String> = how.iter().map(Token::lower).collect();
    let joined = lower.join(" ");
    if matches!(joined.as_str(), "or so" | "or more" | "or less") {
        return true;
    }
    lower.iter().enumerate().all(|(at, word)| {
        let before = at
            .checked_sub(1)
            .and_then(|at| lower.get(at))
            .map(String::as_str)
            .unwrap_or_default();
        let leads_back = word == "back" && gait::is_gait(before);
        leads_back
            || !is_slip(word)
                && !turns(word)
                && !is_half(word)
                && unit_of(word).is_none()
                && !matches!(word.as_str(), "then" | "work" | "on" | "equal" | "same")
    })
}
