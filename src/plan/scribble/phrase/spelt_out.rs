//! Shorthand in the notation's own words: `8 x 20 m w/ 30 s rec` with its `rest`, hours in minutes, counts in front of their work.

use super::ours::is_slip;
use crate::plan::near::is_one_of;
use crate::plan::phrase::{is_hours, unit_of};
use crate::plan::scribble::token::{
    Piece, Token, is_each_side, is_rest, lower, number_in_words, text_of, value, whole,
};
use crate::plan::scribble::{gait, kind};

/// Puts shorthand in the notation's words; `dosed` where work stands in front of the piece.
pub(in crate::plan::scribble) fn spelt_out(piece: &[Token], dosed: bool) -> Piece {
    let mut out: Piece = Vec::with_capacity(piece.len());
    let mut at = 0;
    while let Some(token) = piece.get(at) {
        let next = piece.get(at + 1);
        let next_word = next.map(Token::lower).unwrap_or_default();
        let number_next = next.is_some_and(Token::is_number);
        let word = token.lower();
        at += 1;
        let put: &[&str] = match word.as_str() {
            "w" if next_word == "ball" => &["with"],
            "btw" | "btwn" | "b/w" | "b/t" | "betw" => &["between"],
            "e/s" | "e/side" | "e/arm" | "e/foot" => &["each", "side"],
            "e/l" | "e/leg" => &["each", "leg"],
            "rec" => &["recovery"],
            "r" | "ri" if number_next => &["rest"],
            "mt" | "mts" if out.last().is_some_and(Token::is_number) => &["m"],
            "rds" | "rnds" => &["rounds"],
            // `2 min R`, as coaches write the rest between sets, and `30 s r` between reps.
            "r" if is_a_time(&out) && !number_next => {
                if text_of(std::slice::from_ref(token)) == "R" {
                    &["between", "sets"]
                } else {
                    &["rest"]
                }
            }
            "jogback" | "jb" | "jbr" => &["jog", "back"],
            "wb" | "wbr" | "w/back" | "wback" => &["walk", "back"],
            "bk" if out.last().is_some_and(|last| gait::is_gait(&last.lower())) => &["back"],
            "w" | "with" if matches!(next_word.as_str(), "jb" | "jbr" | "wb" | "wbr") => &[],
            // `calf raises 3 x 15 each`, `long throw 15 each`
            "each" | "ea"
                if next.is_none()
                    && out.last().is_some_and(Token::is_number)
                    && (out.contains(&Token::Times) || out.len() > 1) =>
            {
                &["each", "side"]
            }
            "resting" => &["rest"],
            // They add nothing in front of a number.
            "approx" | "about" | "circa" | "ca" | "around" if number_next => &[],
            "in" if next_word == "between" => &[],
            // `rest 2 min between`: it says nothing more.
            "between" if next.is_none() && out.iter().any(Token::is_number) => &[],
            "pace" | "intensity" | "effort" if out.last() == Some(&Token::Percent) => &[],
            "no" if next_word == "rest" => {
                at += 1;
                out.extend([
                    Token::word("rest"),
                    Token::Number("0".to_owned()),
                    Token::word("s"),
                ]);
                &[]
            }
            "equal" | "same" | "even" if is_rest(&next_word) => {
                at += 1;
                &["rest", "=work"]
            }
            // `6 x 12 m and back`, `to the box and back`, `sprint 20 m then back`
            "and" | "then"
                if next_word == "back"
                    && !out.last().is_some_and(|last| {
                        let word = last.lower();
                        gait::is_gait(&word)
                            || is_slip(&word)
                            || is_one_of(&word, "there, their, up, out, down, rest")
                    })
                    && !out.is_empty() =>
            {
                at += 1;
                &["there", "and", "back"]
            }
            "max" | "maximum" if next_word == "velocity" => {
                at += 1;
                let name =
                    next.map_or_else(String::new, |next| text_of(std::slice::from_ref(next)));
                out.push(Token::word(&format!(
                    "{} {name}",
                    text_of(std::slice::from_ref(token))
                )));
                &[]
            }
            // `/ 2 min walk`: what is done in a rest.
            gentle if gait::is_gait(gentle) && dosed && next.is_none() && is_a_time(&out) => {
                out.insert(0, Token::word("rest"));
                &[]
            }
            "km" | "kms" | "k" => in_metres(token, &mut out),
            hours if is_hours(hours) => {
                let (put, taken) = in_minutes(token, &mut out, piece.get(at..).unwrap_or_default());
                at += taken;
                put
            }
            _ => {
                if let Some(number) = number_in_words(&word)
                    && counts_something(piece, at)
                {
                    out.push(Token::Number(number.to_string()));
                } else {
                    out.push(token.clone());
                }
                &[]
            }
        };
        out.extend(put.iter().map(|word| Token::word(word)));
    }
    with_at(&counted(&last_times(sets_first(out))))
}

/// The number at the end of what was put, which is taken away.
fn number_before(out: &mut Piece) -> Option<f64> {
    let number = match out.last()? {
        Token::Number(text) => value(text)?,
        _ => return None,
    };
    out.pop();
    Some(number)
}

/// Puts kilometres in metres; their unit is left to be put.
fn in_metres(token: &Token, out: &mut Piece) -> &'static [&'static str] {
    let Some(kilometres) = number_before(out) else {
        out.push(token.clone());
        return &[];
    };
    let metres = (kilometres * 1e6).round() / 1e3;
    out.push(Token::Number(metres.to_string()));
    &["m"]
}

/// Puts hours in minutes, with the minutes behind them, `1h15`; their unit is left to be put. How many tokens were taken besides.
fn in_minutes(
    token: &Token,
    out: &mut Piece,
    behind: &[Token],
) -> (&'static [&'static str], usize) {
    if let Some(hours) = number_before(out) {
        let named = unit_of(&lower(behind, 1));
        // `1h30 warm up`, but neither `1 h, 10 s` nor `1 h 10 x 30 m`.
        let words = || {
            let next = behind
                .get(1)
                .is_some_and(|next| matches!(next, Token::Word { .. } | Token::Name(_)));
            let counts = is_one_of(&lower(behind, 1), "times, round, rounds, by");
            matches!(behind.first(), Some(Token::Number(text)) if text.len() == 2)
                && next
                && !counts
        };
        let minutes = behind.get(1).is_none() || named == Some("min") || named.is_none() && words();
        let more = whole(behind, 0).filter(|more| minutes && *more < 60);
        // `1h 5 game` may be 65 minutes, or an hour of five.
        if more.is_none()
            && whole(behind, 0).is_some()
            && named.is_none()
            && behind.get(1) != Some(&Token::Times)
        {
            out.extend([Token::Number(hours.to_string()), token.clone()]);
            return (&[], 0);
        }
        let minutes = hours * 60.0 + more.map_or(0.0, f64::from);
        out.push(Token::Number(minutes.to_string()));
        let taken = more.map_or(0, |_| 1 + usize::from(named.is_some()));
        return (&["min"], taken);
    }
    let ends_in = |out: &Piece, word: &str| out.last().is_some_and(|last| last.lower() == word);
    if token.lower() != "hour" || !ends_in(out, "an") {
        out.push(token.clone());
        return (&[], 0);
    }
    out.pop();
    let half = ends_in(out, "half");
    if half {
        out.pop();
    }
    out.push(Token::Number(if half { "30" } else { "60" }.to_owned()));
    (&["min"], 0)
}

/// Whether a piece is a time and nothing else: `2 min`, `2 min 30`.
fn is_a_time(piece: &[Token]) -> bool {
    let time = |token: &Token| matches!(unit_of(&token.lower()), Some("s" | "min"));
    match piece {
        [Token::Number(_), unit] => time(unit),
        [Token::Number(_), unit, Token::Number(_)] => unit_of(&unit.lower()) == Some("min"),
        [Token::Number(_), unit, Token::Number(_), fine] => time(unit) && time(fine),
        _ => false,
    }
}

/// `5-10-15 m x 4`: the sets stand behind reps that differ.
fn sets_first(piece: Piece) -> Piece {
    let Some(at) = piece.iter().position(Token::is_list) else {
        return piece;
    };
    let unit = (piece.get(at + 1)).is_some_and(|next| unit_of(&next.lower()).is_some());
    let words = piece.iter().skip(at + 1 + usize::from(unit));
    let words = words
        .take_while(|token| {
            let word = token.lower();
            kind::is_counted(&word) || is_one_of(&word, "drill, drills, pyramid, ladder")
        })
        .count();
    let times = at + 1 + usize::from(unit) + words;
    match (piece.get(times), piece.get(times + 1), piece.get(times + 2)) {
        (Some(Token::Times), Some(sets @ Token::Number(_)), None) if !sets.is_list() => {
            let mut out: Piece = piece.iter().take(at).cloned().collect();
            out.extend([sets.clone(), Token::Times]);
            out.extend(piece.iter().take(times).skip(at).cloned());
            out
        }
        _ => piece,
    }
}

/// `ladder drills x 4` counts reps: the only number of the piece stands behind its `x`.
fn last_times(mut piece: Piece) -> Piece {
    let numbers = piece.iter().filter(|token| token.is_number()).count();
    // `T-drill x 4 each side`
    let each = piece.len().saturating_sub(2);
    let end = if is_each_side(&piece, each) {
        each
    } else {
        piece.len()
    };
    if let Some([.., Token::Word { .. }, Token::Times, Token::Number(_)]) = piece.get(..end)
        && numbers == 1
    {
        piece.remove(end - 2);
        piece.insert(end - 1, Token::word("reps"));
    }
    piece
}

/// Whether a unit, an `x` or a thing that is counted stands at `at`, so that the word before it is a number.
fn counts_something(piece: &[Token], at: usize) -> bool {
    let Some(next) = piece.get(at) else {
        return false;
    };
    let word = next.lower();
    let unit = |word: &str| {
        unit_of(word).is_some() || matches!(word, "rounds" | "hour" | "hours" | "times" | "lots")
    };
    *next == Token::Times
        || unit(&word)
        || kind::is_counted(&word)
        || next.is_number()
        || piece
            .get(at + 1)
            .is_some_and(|second| kind::is_counted(&second.lower()))
}

/// `5 sprints of 40 m` is `5 x sprints 40 m`, `20 touches` are reps: what is counted becomes a count.
fn counted(piece: &[Token]) -> Piece {
    let mut out: Piece = Vec::with_capacity(piece.len());
    let mut at = 0;
    while let Some(token) = piece.get(at) {
        at += 1;
        out.push(token.clone());
        if !token.is_number() {
            continue;
        }
        // Up to three words that say what is counted, the last of them a thing that is.
        let between: Vec<&Token> = piece
            .iter()
            .skip(at)
            .take(4)
            .take_while(|t| matches!(t, Token::Word { .. }))
            .collect();
        let unit = between
            .first()
            .is_some_and(|first| unit_of(&first.lower()).is_some());
        let stop = between
            .iter()
            .position(|t| matches!(t.lower().as_str(), "of" | "over" | "at" | "with" | "rest"));
        let words = between
            .get(..stop.unwrap_or(between.len()))
            .unwrap_or_default();
        let Some(noun) = words
            .iter()
            .rposition(|t| kind::is_counted(&t.lower()))
            .filter(|_| !unit)
        else {
            continue;
        };
        let behind = at + noun + 1;
        let lead = piece.get(behind).is_some_and(|t| {
            matches!(t.lower().as_str(), "of" | "over" | "at" | "x") || *t == Token::Times
        });
        let figure = behind + usize::from(lead);
        // A shuttle over 9 m is run in it, not along it.
        let over = piece.get(behind).is_some_and(|t| t.lower() == "over")
            && words
                .get(noun)
                .is_some_and(|t| t.lower().starts_with("shuttle"));
        // `10 squats 20 lunges`, `squats 10 lunges 10`: two things that are counted, and not so many times the second.
        let counts_more = noun_ahead(piece, figure + 1)
            || at > 1 && kind::is_counted(&lower(piece, at - 2)) && piece.get(figure + 1).is_none();
        let measured = !over
            && !counts_more
            && piece.get(figure).is_some_and(Token::is_number)
            && piece.get(figure + 1).is_none_or(|t| {
                !matches!(
                    unit_of(&t.lower()),
                    Some("reps" | "sets" | "m/s" | "km/h" | "mph")
                ) && *t != Token::Percent
            });
        if measured {
            out.push(Token::Times);
            out.extend(words.iter().take(noun + 1).map(|t| (*t).clone()));
            at = figure;
        } else {
            out.push(Token::word("reps"));
        }
    }
    out
}

/// Whether a thing that is counted stands at a place, with up to two words in front of it and no unit.
fn noun_ahead(piece: &[Token], at: usize) -> bool {
    let words: Vec<String> = (piece.iter().skip(at).take(3))
        .take_while(|token| matches!(token, Token::Word { .. }))
        .map(Token::lower)
        .collect();
    let unit = words.first().is_none_or(|first| unit_of(first).is_some());
    !unit && words.iter().any(|word| kind::is_counted(word))
}

/// `at` in front of a share or a speed that has none.
fn with_at(piece: &[Token]) -> Piece {
    let mut out: Piece = Vec::with_capacity(piece.len() + 1);
    for (at, token) in piece.iter().enumerate() {
        let next = piece.get(at + 1);
        let speed = next.is_some_and(|next| {
            *next == Token::Percent
                || matches!(unit_of(&next.lower()), Some("m/s" | "km/h" | "mph"))
        });
        let said = out.last().is_some_and(|last: &Token| last.lower() == "at");
        if token.is_number() && speed && !said {
            out.push(Token::word("at"));
        }
        out.push(token.clone());
    }
    out
}
