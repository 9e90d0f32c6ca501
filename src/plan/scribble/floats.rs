//! A rep of several moves, each with its number: `sprint float sprint 20/20/20 m x 4`.

use super::gait;
use super::open::{Open, find, with};
use super::token::{Piece, Token, lower, text_of, unit};
use crate::plan::near::is_one_of;

const FAST: &str = "sprint, sprints, fly, flying, run, fast, hard, accelerate, accel, stride";

/// The rep as one run over its whole way: counted one by one, its jog would be a sprint.
pub(super) fn in_one_rep(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ways_m) = find(pieces, |piece, at| {
        let token = piece.get(at).filter(|token| token.is_list())?;
        let ways: Option<Vec<f64>> = (text_of(std::slice::from_ref(token)).split(['-', '/']))
            .map(|way| way.parse().ok())
            .collect();
        ways.filter(|_| matches!(unit(piece, at + 1), Some("m" | "yd") | None))
    })?;
    let moves: Vec<String> = (pieces.iter().flatten().map(Token::lower))
        .filter(|word| is_one_of(word, FAST) || is_slow(word))
        .collect();
    let slow = moves.iter().filter(|word| is_slow(word)).count();
    if moves.len() != ways_m.len() || slow == 0 || slow == moves.len() {
        return None;
    }
    let piece = pieces.get(index)?;
    let measured = unit(piece, at + 1).is_some();
    let written = text_of(piece.get(at..=at + usize::from(measured))?);
    let sum = Token::Number(ways_m.iter().sum::<f64>().to_string());
    let metres = (!measured).then(|| Token::word("m"));
    let put: Piece = std::iter::once(sum).chain(metres).collect();
    let message = format!(
        "`{written}` are the parts of one rep here, {}",
        moves.join(", ")
    );
    let meant = vec![with(pieces, index, at..at + 1, &put)];
    Some(Open::new(message, written.clone(), meant).with_remark(written))
}

fn is_slow(word: &str) -> bool {
    gait::is_gait(word) || gait::is_gently(word) || is_one_of(word, "cruise, coast, decel")
}

/// `1 lap hard 1 lap easy x 4`, `4 x 200 m fast, 200 m slow`: the easy way is the rest of the hard one.
pub(super) fn in_turn(pieces: &[Piece]) -> Option<Open> {
    let tokens = pieces.concat();
    let (front, from) = match tokens.as_slice() {
        [count @ Token::Number(_), Token::Times, ..] => (Some(count.clone()), 2),
        [alternate, ..] if is_one_of(&alternate.lower(), "alternate, alternating") => (None, 1),
        _ => (None, 0),
    };
    let hard = tokens.get(from..from + 3)?;
    let then = from + 3 + usize::from(is_one_of(&lower(&tokens, from + 3), "and, then"));
    let easy = tokens.get(then..then + 3)?;
    let is_part = |part: &[Token]| {
        let noun = is_one_of(&lower(part, 1), "lap, laps, length, lengths, width, widths");
        part.first().is_some_and(Token::is_number)
            && (noun || matches!(unit(part, 1), Some("m" | "yd")))
    };
    let behind = match tokens.get(then + 3..)? {
        [] => None,
        [Token::Times, count @ Token::Number(_)] => Some(count.clone()),
        [count @ Token::Number(_), times] if times.lower() == "times" => Some(count.clone()),
        _ => return None,
    };
    let ((Some(count), None) | (None, Some(count))) = (front, behind) else {
        return None;
    };
    let word = lower(easy, 2);
    let hard_then_easy = is_one_of(&lower(hard, 2), FAST) && is_slow(&word);
    if !hard_then_easy || !is_part(hard) || !is_part(easy) {
        return None;
    }
    let [number, noun, what] = hard else {
        return None;
    };
    let says_a_kind = unit(hard, 1).is_some() || is_one_of(&noun.lower(), "lap, laps");
    // A length by itself says no kind of work.
    let run = (!says_a_kind).then(|| Token::word("run"));
    let dose = [
        what.clone(),
        count,
        Token::Times,
        number.clone(),
        noun.clone(),
    ];
    let work: Piece = run.into_iter().chain(dose).collect();
    let gait = if gait::walks(&word) { "walk" } else { "jog" };
    let rest = [gait, "back"].map(Token::word).to_vec();
    let written = text_of(easy);
    let message = format!("`{written}` is the rest between the hard ones, of no time of its own");
    Some(Open::new(message, written.clone(), vec![vec![work, rest]]).with_remark(written))
}

/// `run 10 min out, 10 min back`: one run, and no rest.
pub(super) fn out_and_back(pieces: &[Piece]) -> Option<Open> {
    let tokens = pieces.concat();
    let minutes = |at: usize| {
        let number = super::token::number(&tokens, at)?;
        (unit(&tokens, at + 1) == Some("min")).then_some(number)
    };
    let (at, back) = (0..tokens.len()).find_map(|at| {
        minutes(at)?;
        let out = is_one_of(&lower(&tokens, at + 2), "out, there, away");
        let back = at + 3 + usize::from(is_one_of(&lower(&tokens, at + 3), "and, then"));
        minutes(back)?;
        let home = is_one_of(&lower(&tokens, back + 2), "back, home");
        (out && home).then_some((at, back))
    })?;
    let written = text_of(tokens.get(at..back + 3)?);
    let (one, other) = (minutes(at)?, minutes(back)?);
    let whole = |number: f64, count: &[Token]| {
        let time = [Token::Number(number.to_string()), Token::word("min")];
        let put = [count, &time].concat();
        let mut out = with(std::slice::from_ref(&tokens), 0, at..back + 3, &put);
        // What is done needs a word.
        if at == 0 && !out.concat().iter().any(super::names_work) {
            out.insert(0, vec![Token::word("run")]);
        }
        vec![out.concat()]
    };
    let mut meant = vec![whole(one + other, &[])];
    if one == other {
        meant.push(whole(one, &[Token::Number("2".to_owned()), Token::Times]));
    }
    let message = format!("`{written}` is one run");
    Some(Open::new(message, written.clone(), meant).with_remark(written))
}
