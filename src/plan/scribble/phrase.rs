//! Tells the words of the notation from those around them, and puts shorthand in the notation's own words.

use super::gait;
use super::kind;
use super::token::{
    Piece, Token, is_each_side, is_rest, lower, number_in_words, phrase_at, text_of, value, whole,
};
use crate::plan::near::{is_one_of, nearest};
use crate::plan::phrase::{is_hours, negates, unit_of};

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
    out.dangles |= piece.windows(4).any(|four| {
        matches!(four, [then, Token::Number(_), _, moves]
            if then.lower() == "then" && kind::is_known(&moves.lower()))
    });
    out.dangles |= (0..piece.len()).any(|at| tells_of_some(piece, at));
    // `4v4 4 x`: nothing says what is done so often.
    out.dangles |= piece.len() > 1 && piece.last() == Some(&Token::Times);
    tidy_counts(&mut out.kept, !out.loose.is_empty());
    out
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

/// Puts shorthand in the notation's words; `dosed` where work stands in front of the piece.
pub(super) fn spelt_out(piece: &[Token], dosed: bool) -> Piece {
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
            // `calf raises 3 x 15 each`
            "each" | "ea"
                if next.is_none()
                    && out.last().is_some_and(Token::is_number)
                    && out.contains(&Token::Times) =>
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

/// Whether a word that is none of the notation's is nearly one of them, so that it may be a slip.
pub(super) fn is_slip(word: &str) -> bool {
    is_strange(word) && nearest_ours(word).is_some()
}

/// The words of ours that others are nearly.
const OURS: &str = "rest, between, over, walk, back, with, ball, sets, reps, there, recovery, minutes, seconds, metres, yards, \
     resistance, strength, speed, technical, game, warmup, cooldown, sprints, shuttles, every, repeat";

/// The word of ours that another is nearly.
pub(super) fn nearest_ours(word: &str) -> Option<&'static str> {
    nearest(word, &OURS.split(", ").collect::<Vec<_>>())
}

/// Whether a word is none of ours and no word of its own.
pub(super) fn is_strange(word: &str) -> bool {
    const PLAIN: [&str; 32] = [
        "width", "repeated", "repeats", "balls", "best", "same", "name", "gate", "gates", "them",
        "then", "they", "these", "those", "where", "here", "ever", "never", "wall", "talk", "pack",
        "test", "west", "nest", "vest", "vests", "wish", "will", "your", "very", "west", "gets",
    ];
    word.chars().count() > 3
        && !PLAIN.contains(&word)
        && !is_one_of(word, OURS)
        && !kind::is_known(word)
}

/// Words of the notation that say something only with others: alone they are half of a phrase, `their and back`.
pub(super) fn is_half(word: &str) -> bool {
    is_one_of(
        word,
        "back, between, over, after, every, each, per, way, rest, recovery",
    )
}

/// Words that turn the meaning of what stands beside them.
pub(super) fn turns(word: &str) -> bool {
    let others = "skip, minus, if, or, until, unless, alternate, alternating, exhaustion";
    negates(word) || is_one_of(word, others)
}

/// Words that say nothing of their own at either end of a name.
pub(super) fn is_filler(word: &str) -> bool {
    is_one_of(
        word,
        "a, an, the, of, to, some, do, and, with, your, my, then, for, at, by, \
             start, next, each, after, as, just, now, again, that, from, da, di",
    )
}
