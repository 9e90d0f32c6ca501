//! Two numbers with a slash between them: `8 x 30/30`, `8 mins of 15/15`.

use super::apart::Scribbled;
use super::aside;
use super::ask::{about, ask};
use super::kind::Kind;
use super::meaning::{Around, Scribble};
use super::token::{Piece, Token, lower, number, seconds, text_of};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

/// Fewer than so many are minutes where no unit says it.
const LEAST_S: f64 = 5.0;

/// So often where nobody says it.
const USUAL: f64 = 8.0;

/// What the time between sets is called.
const RESTS: &str = "rest, rec, recovery, r, break, pause";

/// `8 x 30/30`: work and rest, which is asked about. Beside a speed two numbers without a unit are rather metres.
pub(super) fn asked(pieces: &[Piece], around: Around<'_>) -> Option<Scribble> {
    let mut pieces = pieces.to_vec();
    let above_top = share_apart(&mut pieces);
    rest_apart(&mut pieces);
    let Found {
        pieces: mut parted,
        written,
        counted,
    } = work_and_rest(&pieces)?;
    between_sets(&mut parted);
    let mut line = Scribbled::new(parted, None, around.pitch);
    line.remarks.extend(above_top);
    let categories = match line.kind(around) {
        Kind::One {
            category: Category::Speed,
            ..
        } => return None,
        Kind::One { category, .. } => vec![category],
        Kind::Several(several) => several,
        Kind::Moving { .. } | Kind::Nothing => vec![Category::Resistance],
    };
    let said = line.said();
    let lines = (categories.into_iter())
        .map(|category| format!("{}{said}", line.head(category)))
        .collect();
    let message = if counted {
        format!("`{written}` may be work and rest")
    } else {
        format!("`{written}` may be work and rest; how often it does not say")
    };
    let asked = about(&written, ask(&message, lines))?;
    Some(line.with_remarks(asked))
}

/// `15/15 2 x 6 min r 3 min`: the rest at the end of its piece as one of its own.
fn rest_apart(pieces: &mut Vec<Piece>) {
    let seam = pieces.iter().enumerate().find_map(|(index, piece)| {
        let paired = piece.iter().any(|token| pair(token).is_some());
        let at = piece.len().checked_sub(3).filter(|at| *at > 0 && paired)?;
        let leads = is_one_of(&lower(piece, at), RESTS) && seconds(piece, at + 1).is_some();
        let ends = seconds(piece, at).is_some() && is_one_of(&lower(piece, at + 2), RESTS);
        (leads || ends && piece.get(at - 1) != Some(&Token::Times)).then_some((index, at))
    });
    if let Some((index, at)) = seam
        && let Some(piece) = pieces.get_mut(index)
    {
        let rest = piece.split_off(at);
        pieces.insert(index + 1, rest);
    }
}

/// `15/15 @ 110% x 10`: the share behind what it is of. More than one's top speed is of another, and for the player.
fn share_apart(pieces: &mut Vec<Piece>) -> Option<String> {
    let (index, at) = pieces.iter().enumerate().find_map(|(index, piece)| {
        let paired = (0..piece.len()).any(|at| pair_at(piece, at).is_some());
        let at = (0..piece.len()).find(|at| {
            lower(piece, *at) == "at"
                && number(piece, at + 1).is_some()
                && piece.get(at + 2) == Some(&Token::Percent)
        });
        Some((index, at.filter(|_| paired)?))
    })?;
    let piece = pieces.get_mut(index)?;
    // A measure may stand behind it: `110% MAS`.
    let measure = |token: &&Token| {
        let word = token.lower();
        aside::is_measure(&word) || is_one_of(&word, "of, my, vo2max, max")
    };
    let end = at + 3 + piece.iter().skip(at + 3).take_while(measure).count();
    let percent = number(piece, at + 1)?;
    let share: Piece = piece.drain(at..end).collect();
    if percent > 100.0 && end == at + 3 {
        return Some(text_of(&share));
    }
    pieces.insert(index + 1, share);
    None
}

/// `2 x 8 x 20/10, 2 min`: with both said, a time at the end lies between the sets.
fn between_sets(pieces: &mut [Piece]) {
    let times = |piece: &Piece| piece.iter().filter(|token| **token == Token::Times).count();
    let said = |piece: &Piece| piece.len() == 2 && unit_of(&lower(piece, 1)) == Some("sets");
    let sets = (pieces.iter()).any(|piece| times(piece) == 2 || said(piece));
    let Some(last) = pieces.last_mut().filter(|_| sets) else {
        return;
    };
    // `3 min rest`: with the rest between reps said as well.
    let from = usize::from(is_one_of(&lower(last, 0), RESTS));
    let ends = is_one_of(&lower(last, 2), RESTS) && from == 0;
    if seconds(last, from).is_some() && last.len() == 2 + from + usize::from(ends) {
        last.truncate(from + 2);
        last.drain(..from);
        last.extend(["between", "sets"].map(Token::word));
    }
}

/// A pair that was found.
struct Found {
    /// With the pair as work and rest.
    pieces: Vec<Piece>,
    /// As it was written.
    written: String,
    /// Whether the line says how often.
    counted: bool,
}

/// The pieces with the pair as work and rest, and the pair as it was written. `None` where there is none that can be.
fn work_and_rest(pieces: &[Piece]) -> Option<Found> {
    let mut pieces = pieces.to_vec();
    with_units(&mut pieces);
    sets_behind_a_name(&mut pieces);
    for piece in &mut pieces {
        sets_first(piece);
    }
    let pieces = pieces.as_slice();
    let (index, at) = (pieces.iter().enumerate()).find_map(|(index, piece)| {
        let at = (0..piece.len()).find(|at| pair_at(piece, *at).is_some())?;
        Some((index, at))
    })?;
    let piece = pieces.get(index)?;
    let written = match piece.get(at)? {
        Token::Number(text) => text.clone(),
        _ => return None,
    };
    let (work, rest) = pair_at(piece, at)?;
    let word = |at: usize| lower(piece, at);
    let (unit, unit_s) = match unit_of(&word(at + 1)) {
        None if work < LEAST_S => ("min", 60.0),
        Some("s") | None => ("s", 1.0),
        Some("min") => ("min", 60.0),
        Some(_) => return None,
    };
    let behind = at + 1 + usize::from(unit_of(&word(at + 1)).is_some());
    let number = |at: usize| number(piece, at);
    let time_s = |at: usize| seconds(piece, at);
    // How often: `8 x 30/30`, `30/30 x 8`, `8 times 30/30`, or for how long: `8 mins of 15/15`, `15/15 x 8 mins`.
    let leads = |at: usize| {
        piece.get(at) == Some(&Token::Times)
            || is_one_of(&word(at), "times, of, for, by, sets, reps")
    };
    let in_time = |seconds: f64| (seconds / ((work + rest) * unit_s)).floor();
    let mut counted = true;
    let (count, taken) =
        if let Some(count) = at.checked_sub(2).and_then(number).filter(|_| leads(at - 1)) {
            (count, at - 2..behind)
        } else if let Some(seconds) = at.checked_sub(3).and_then(time_s).filter(|_| leads(at - 1)) {
            (in_time(seconds), at - 3..behind)
        } else if let Some(seconds) = at.checked_sub(2).and_then(time_s) {
            (in_time(seconds), at - 2..behind)
        } else if let Some(seconds) = time_s(behind + 1).filter(|_| leads(behind)) {
            (in_time(seconds), at..behind + 3)
        } else if let Some(count) = number(behind + 1).filter(|_| leads(behind)) {
            (count, at..behind + 2)
        } else if let Some(count) = number(behind).filter(|_| word(behind + 1) == "times") {
            (count, at..behind + 2)
        } else if at == 0 && behind == piece.len() && pair(piece.first()?).is_some() {
            counted = false;
            (USUAL, at..behind)
        } else {
            return None;
        };
    if count < 1.0 || count.fract() != 0.0 {
        return None;
    }
    let mut out = pieces.to_vec();
    let put = [
        Token::Number(count.to_string()),
        Token::Times,
        Token::Number(work.to_string()),
        Token::word(unit),
    ];
    out.get_mut(index)?.splice(taken, put);
    let rest = vec![
        Token::word("rest"),
        Token::Number(rest.to_string()),
        Token::word(unit),
        Token::word("between"),
        Token::word("reps"),
    ];
    out.insert(index + 1, rest);
    Some(Found {
        pieces: out,
        written,
        counted,
    })
}

/// `20 s/40 s x 8`: two pieces with the unit behind each number, as the pair that they are.
fn with_units(pieces: &mut Vec<Piece>) {
    let rests = pieces.len() > 2
        && (pieces.last()).is_some_and(|last| (0..2).any(|at| seconds(last, at).is_some()));
    let Some(at) = pieces.windows(2).position(|two| match two {
        [work, rest] => {
            let [.., Token::Number(_), unit] = work.as_slice() else {
                return false;
            };
            let counted = rest.get(2) == Some(&Token::Times) || lower(rest, 3) == "times";
            let times = work.iter().filter(|token| **token == Token::Times).count();
            let sets = times > 1
                || work
                    .iter()
                    .any(|word| unit_of(&word.lower()) == Some("sets"));
            // With the rest between sets said behind it, which no comma would leave open.
            let is_in_sets = sets && rests && unit_of(&unit.lower()) == Some("s");
            matches!(unit_of(&unit.lower()), Some("s" | "min"))
                && rest.first().is_some_and(Token::is_number)
                && unit_of(&lower(rest, 1)) == unit_of(&unit.lower())
                && (rest.len() == 4 && counted
                    // `15 s/15 s for 6 min`
                    || rest.len() == 5 && lower(rest, 2) == "for" && seconds(rest, 3).is_some()
                    // `2 x 8 x 15 s/15 s`
                    || is_in_sets && (rest.len() == 2 || lower(rest, 2) == "at"))
        }
        _ => false,
    }) else {
        return;
    };
    let rest = pieces.remove(at + 1);
    if let (Some(work), Some(Token::Number(rest_time))) = (pieces.get_mut(at), rest.first())
        && let Some(at) = work.len().checked_sub(2)
        && let Some(Token::Number(time)) = work.get_mut(at)
    {
        *time = format!("{time}/{rest_time}");
        work.extend(rest.into_iter().skip(2));
    }
}

/// `intermittent 10-20, 2 x 8 min`: the pair, and behind a comma the sets of so much time. What is so called is no range.
fn sets_behind_a_name(pieces: &mut Vec<Piece>) {
    let at = pieces.windows(2).position(|two| match two {
        [named, sets] => {
            let paired = named.last().is_some_and(is_two_times);
            let sets = matches!(sets.as_slice(), [Token::Number(_), Token::Times, ..])
                && sets.len() == 4
                && seconds(sets, 2).is_some();
            paired && sets && is_one_of(&lower(named, 0), "intermittent, intermittents")
        }
        _ => false,
    });
    let Some(at) = at else { return };
    let sets = pieces.remove(at + 1);
    if let Some(named) = pieces.get_mut(at) {
        if let Some(Token::Number(text)) = named.last_mut() {
            *text = text.replace('-', "/");
        }
        named.extend(sets);
    }
}

/// `10-20`, `10/20`
fn is_two_times(token: &Token) -> bool {
    matches!(token, Token::Number(text) if text.split(['-', '/']).count() == 2)
}

/// `15/15 x 2 x 8 min`: the sets, each of so much time, stand in front of the pair.
fn sets_first(piece: &mut Piece) {
    let Some(at) = piece.iter().position(|token| pair(token).is_some()) else {
        return;
    };
    let unit = usize::from(unit_of(&lower(piece, at + 1)).is_some());
    let end = at + 1 + unit;
    let from = end + usize::from(piece.get(end) == Some(&Token::Times));
    let sets = match piece.get(from..) {
        Some([Token::Number(_), Token::Times, Token::Number(_), unit, ..]) => {
            matches!(unit_of(&unit.lower()), Some("s" | "min"))
        }
        // `30/30 2 x 10`
        Some([Token::Number(_), Token::Times, Token::Number(_)]) => {
            piece.push(Token::Times);
            true
        }
        _ => false,
    };
    if sets {
        let sets: Piece = piece.drain(end..from + 4).skip(from - end).collect();
        piece.splice(at..at, sets);
    }
}

/// A pair at a place; `10 x 1/1` are minutes, where a count stands in front of it or a unit behind.
fn pair_at(piece: &[Token], at: usize) -> Option<(f64, f64)> {
    let token = piece.get(at)?;
    let counted = at > 0 && piece.get(at - 1) == Some(&Token::Times);
    let small = || {
        let Token::Number(text) = token else {
            return None;
        };
        let (work, rest) = text.split_once('/').or_else(|| {
            // `30:30 x 12`: nobody runs half an hour twelve times over.
            text.split_once(':')
                .filter(|(work, rest)| work == rest && work.len() == 2)
        })?;
        let (work, rest): (f64, f64) = (work.parse().ok()?, rest.parse().ok()?);
        if text.contains(':') {
            return (work >= LEAST_S).then_some((work, rest));
        }
        let named = unit_of(&lower(piece, at + 1)) == Some("min");
        (work > 0.0 && work < LEAST_S && rest == work && (counted || named)).then_some((work, rest))
    };
    pair(token).or_else(small)
}

fn pair(token: &Token) -> Option<(f64, f64)> {
    let Token::Number(text) = token else {
        return None;
    };
    // `30-30` and `40-20` are no ranges, which ascend.
    let equal = text.split_once('-').filter(|(work, rest)| {
        let times = [work, rest].map(|time| time.parse::<u32>().ok());
        work == rest || matches!(times, [Some(work), Some(rest)] if work > rest && rest >= 10)
    });
    let (work, rest) = text.split_once('/').or(equal)?;
    let (work, rest): (f64, f64) = (work.parse().ok()?, rest.parse().ok()?);
    // `1/2` is a half, and `9/10` a mark.
    (work >= 5.0 && rest >= 5.0 || work > 1.0 && rest < work).then_some((work, rest))
}
