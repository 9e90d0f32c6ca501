//! A rep of several moves, each with its number: `sprint float sprint 20/20/20 m x 4`.

use super::ask::USUAL_REPS;
use super::gait;
use super::open::{Open, find, with};
use super::token::{Piece, Token, is_way, lower, number, seconds, text_of, unit, whole};
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

const FAST: &str = "sprint, sprints, fly, flying, run, fast, hard, accelerate, accel, stride";

/// The rep as one run over its whole way: counted one by one, its jog would be a sprint.
pub(super) fn in_one_rep(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ways_m) = find(pieces, |piece, at| {
        let token = piece.get(at).filter(|token| token.is_list())?;
        let ways: Option<Vec<f64>> = (text_of(std::slice::from_ref(token)).split(['-', '/']))
            .map(|way| way.parse().ok())
            .collect();
        let measured = !matches!(unit(piece, at + 1), Some("reps" | "sets"));
        ways.filter(|_| measured)
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
    let mut meant = with(pieces, index, at..at + 1, &put);
    // Minutes of jogging, running and sprinting are no sprint.
    if piece
        .get(at + 1)
        .is_some_and(|unit| matches!(unit_of(&unit.lower()), Some("s" | "min")))
    {
        meant.insert(0, vec![Token::word("resistance")]);
    }
    Some(Open::new(message, written.clone(), vec![meant]).with_remark(written))
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
        let number = number(&tokens, at)?;
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

/// What is done on one way of a rep, beside running fast.
const WAYS: &str = "acc, accelerate, acceleration, decel, deceleration, decelerate, brake, braking, backpedal, backpedalling, \
     backwards, backward, shuffle, shuffles, sidestep, sidesteps, skip, skips, carioca, bound, bounds, build, buildup, \
     drive, max, strides, swerve, dribble";

/// A way and what is done on it: `20 m acc`, `backpedal 15 m`.
struct Part {
    way: f64,
    unit: Token,
    text: String,
    what: String,
    /// How many tokens it takes.
    length: usize,
}

/// The part of a rep at a place.
fn part(tokens: &[Token], at: usize) -> Option<Part> {
    let moves =
        |at: usize| is_one_of(&lower(tokens, at), WAYS) || is_one_of(&lower(tokens, at), FAST);
    let (way, from, to) = if is_way(tokens, at) && moves(at + 2) {
        (at, at + 2, at + 3)
    } else if moves(at) && is_way(tokens, at + 1) {
        (at + 1, at, at + 1)
    } else {
        return None;
    };
    let mut end = to.max(way + 2);
    // `shuffle 5 m left`
    end += usize::from(is_a_side(&lower(tokens, end)));
    Some(Part {
        way: number(tokens, way)?,
        unit: tokens.get(way + 1)?.clone(),
        text: text_of(tokens.get(at..end)?),
        what: lower(tokens, from),
        length: end - at,
    })
}

/// `5 m right`, behind `shuffle 5 m left`: the same to the other side.
fn other_side(tokens: &[Token], at: usize, last: &Part) -> Option<Part> {
    let side = is_way(tokens, at) && is_a_side(&lower(tokens, at + 2));
    Some(Part {
        way: number(tokens, at).filter(|_| side)?,
        unit: tokens.get(at + 1)?.clone(),
        text: text_of(tokens.get(at..at + 3)?),
        what: last.what.clone(),
        length: 3,
    })
}

fn is_a_side(word: &str) -> bool {
    is_one_of(word, "l, r, left, right")
}

/// `8 x 40 m: 20 m acc + 20 m flying`, `10 x (10 m sprint + 10 m decel)`, `sprint 15 m, backpedal 15 m x 6`: the ways of one
/// rep, none of which is a rest.
pub(super) fn ways_of_a_rep(pieces: &[Piece]) -> Option<Open> {
    // Where each piece begins among all tokens.
    let tokens = pieces.concat();
    let begins: Vec<usize> = (pieces.iter())
        .scan(0, |at, piece| {
            let from = *at;
            *at += piece.len();
            Some(from)
        })
        .collect();
    let words = |token: &&Token| matches!(token, Token::Word { .. } | Token::Name(_));
    let label = tokens.iter().take_while(words).count();
    // `sprint 15 m` begins a part already.
    let label = label - usize::from(label > 0 && part(&tokens, label - 1).is_some());
    let mut at = label;
    let count =
        |at: usize| whole(&tokens, at).filter(|_| tokens.get(at).is_some_and(Token::is_number));
    let mut reps = count(at).filter(|_| tokens.get(at + 1) == Some(&Token::Times));
    at += 2 * usize::from(reps.is_some());
    let all = is_way(&tokens, at) && part(&tokens, at).is_none();
    let all_m = number(&tokens, at).filter(|_| all);
    at += 2 * usize::from(all);
    let from = at;
    let mut parts: Vec<Part> = Vec::new();
    loop {
        let joins = |at: &usize| {
            let word = lower(&tokens, *at);
            is_one_of(&word, "and, then, into, plus, straight, turn") && !parts.is_empty()
        };
        let next = (at..tokens.len()).find(|at| !joins(at)).unwrap_or(at);
        let turns = (at..next).any(|at| lower(&tokens, at) == "turn");
        let other = || other_side(&tokens, next, parts.last()?);
        let Some(mut part) = part(&tokens, next).or_else(other) else {
            break;
        };
        if turns {
            part.text = format!("turn, {}", part.text);
        }
        at = next + part.length;
        parts.push(part);
    }
    let mut end = at;
    if reps.is_none() && tokens.get(at) == Some(&Token::Times) {
        reps = count(at + 1);
        end += 2;
    }
    let (first, others) = parts.split_first()?;
    let sum: f64 = parts.iter().map(|part| part.way).sum();
    // Of a row that turns nobody needs to say that it is one.
    let turns = parts.iter().any(|part| {
        let last = part.text.rsplit(' ').next().unwrap_or_default();
        is_a_side(&last.to_lowercase())
    });
    let open = reps.is_none();
    let reps = reps.or(turns.then_some(USUAL_REPS))?.to_string();
    let differ = others.iter().any(|part| part.what != first.what);
    let unit_of_part = |part: &Part| unit_of(&part.unit.lower());
    let one_unit = (others.iter()).all(|part| unit_of_part(part) == unit_of_part(first));
    let fits = all_m.is_none_or(|all| (all - sum).abs() < 1e-9);
    // What stands behind is a piece of its own, or leads on to the rest.
    let ends = end >= tokens.len() || begins.contains(&end) || seconds(&tokens, end).is_some();
    // `skips 20 m, bounds 20 m x 3` are drills, one by one.
    let runs = |part: &Part| is_one_of(&part.what, FAST) || part.what.starts_with("acc");
    let runs = parts.iter().any(runs);
    if others.is_empty() || !runs || !differ || !one_unit || !fits || !ends {
        return None;
    }
    let texts: Vec<&str> = parts.iter().map(|part| part.text.as_str()).collect();
    let written = text_of(tokens.get(from..at)?);
    let name = texts.join(" + ");
    let mut behind: Vec<Piece> = Vec::new();
    for (index, piece) in pieces.iter().enumerate() {
        let begin = *begins.get(index)?;
        let own = piece.get(end.saturating_sub(begin)..).unwrap_or_default();
        if begin + piece.len() > end && !own.is_empty() {
            behind.push(own.to_vec());
        }
    }
    let label = tokens.get(..label).unwrap_or_default();
    let line = |way: f64, turned: &[&str]| {
        let dose = [
            Token::Name(name.clone()),
            Token::Number(reps.clone()),
            Token::Times,
            Token::Number(way.to_string()),
            first.unit.clone(),
        ];
        let turned = turned.iter().map(|word| Token::word(word));
        let work: Piece = label.iter().cloned().chain(dose).chain(turned).collect();
        [vec![work], behind.clone()].concat()
    };
    let mut meant = vec![line(sum, &[])];
    // Backwards over the same way one comes home.
    if let [other] = others
        && [first, other]
            .iter()
            .any(|part| part.what.starts_with("back"))
        && (other.way - first.way).abs() < 1e-9
    {
        meant.insert(0, line(first.way, &["there", "and", "back"]));
    }
    let mut message = format!("`{written}` are the parts of one rep here");
    if open {
        message.push_str("; how often it does not say");
    }
    Some(Open::new(message, written, meant))
}
