//! Numbers as they are written, before a line is looked at: in words, as `m:ss`, and counts in brackets or behind a list.

use super::cutter::cut;
use super::kind::{holds, kind_of};
use super::token::{Piece, Token, is_rest, is_way, lower, number_in_words, seconds, whole};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::word::{is_figures, letters};

/// `ten min` in figures, so that it is a time for all that look for one.
pub(super) fn put(mut pieces: Vec<Piece>) -> Vec<Piece> {
    starts_apart(&mut pieces);
    // `10 x 20 m - 40 s - x 2 sets`
    for piece in &mut pieces {
        if let [Token::Times, Token::Number(_), sets] = piece.as_slice()
            && unit_of(&sets.lower()) == Some("sets")
        {
            piece.remove(0);
        }
    }
    // `10 x 20 m, rest 20 s, 2 x`
    let counted = pieces.iter().filter(|piece| piece.contains(&Token::Times));
    if counted.count() > 1
        && let Some([Token::Number(_), times @ Token::Times]) =
            pieces.last_mut().map(Vec::as_mut_slice)
    {
        *times = Token::word("sets");
    }
    for piece in &mut pieces {
        dozens(piece);
        counted_there_and_back(piece);
        ways_counted_behind(piece);
        let mut at = 0;
        // What is put may be longer than what it stands for.
        while at < piece.len() {
            in_figures(piece, at);
            at += 1;
        }
    }
    for piece in &mut pieces {
        sets_to_the_utmost(piece);
        // `warm up lap x 2` are two laps.
        let counted = (2..piece.len()).find(|at| {
            is_one_of(&lower(piece, at - 2), "lap, laps")
                && piece.get(at - 1) == Some(&Token::Times)
                && piece.get(*at).is_some_and(Token::is_number)
        });
        if let Some(at) = counted
            && piece.iter().filter(|token| token.is_number()).count() == 1
        {
            piece.remove(at - 1);
            piece.swap(at - 2, at - 1);
        }
    }
    counts_before_a_time(&mut pieces);
    times_of_a_list(pieces)
}

/// `25 m there and back x 6 every 60 s`: when each begins is said behind the count.
fn starts_apart(pieces: &mut Vec<Piece>) {
    let seam = pieces.iter().enumerate().find_map(|(index, piece)| {
        let at = (3..piece.len()).find(|at| lower(piece, *at) == "every")?;
        // `half pitch sprints x 8 every minute`, `30 m x 10 sprints every 45 s`
        let timed = seconds(piece, at + 1).is_some() || lower(piece, at + 1) == "minute";
        let counted = timed && piece.iter().take(at).any(|token| *token == Token::Times);
        (counted && !piece.iter().take(at).any(|t| is_rest(&t.lower()))).then_some((index, at))
    });
    if let Some((index, at)) = seam
        && let Some(piece) = pieces.get_mut(index)
    {
        let every = piece.split_off(at);
        pieces.insert(index + 1, every);
    }
}

/// `dribble 5x there and back`, `x 5 there and back`: so many reps.
fn counted_there_and_back(piece: &mut Piece) {
    let Some(at) = (2..piece.len()).find(|at| {
        lower(piece, *at) == "there"
            && lower(piece, at + 1) == "and"
            && lower(piece, at + 2) == "back"
    }) else {
        return;
    };
    let alone = piece.iter().filter(|token| token.is_number()).count() == 1;
    let count = match (piece.get(at - 2), piece.get(at - 1)) {
        (Some(count @ Token::Number(_)), Some(Token::Times))
        | (Some(Token::Times), Some(count @ Token::Number(_)))
            if alone =>
        {
            count.clone()
        }
        _ => return,
    };
    piece.splice(at - 2..at, [count, Token::word("reps")]);
}

/// A number in words, and a time as a watch shows it, at a place.
fn in_figures(piece: &mut Piece, at: usize) {
    if let Some(number) = number_in_words(&lower(piece, at)) {
        let next = piece.get(at + 1);
        let unit = next.is_some_and(Token::is_unit);
        // `two sets of six`
        let counts = is_one_of(&lower(piece, at + 1), "sets, rounds")
            || at > 1 && lower(piece, at - 1) == "of" && lower(piece, at - 2) == "sets";
        // `ten 20 m sprints`
        let of_a_way =
            next.is_some_and(Token::is_number) && piece.get(at + 2).is_some_and(Token::is_unit);
        if unit || counts || of_a_way {
            let times = of_a_way.then_some(Token::Times);
            let figure = Token::Number(number.to_string());
            piece.splice(at..=at, std::iter::once(figure).chain(times));
        }
    }
    let Some(Token::Number(text)) = piece.get(at) else {
        return;
    };
    let Some(seconds) = minutes_and_seconds(text) else {
        return;
    };
    let next = unit_of(&lower(piece, at + 1));
    // `5:00 jog`, `10:00 rondo`
    // But not `15:15 at 110% x 10`.
    let leads =
        at == 0 && matches!(piece.get(1), Some(Token::Word { .. })) && lower(piece, 1) != "at";
    // `R1:30`
    let rests = at > 0 && is_one_of(&lower(piece, at - 1), "r, rest, recovery, rec");
    if next.is_none() && (leads || rests) {
        let time = [Token::Number(seconds.to_string()), Token::word("s")];
        piece.splice(at..=at, time);
    }
}

/// `5@10m 4@20m 3@30m`, `10m x5 20m x4 30m x3`: each count in front of its way.
fn ways_counted_behind(piece: &mut Piece) {
    // `sprints x 6 @ 20 m` has its count already.
    let at_a_way = |piece: &Piece, at: usize| {
        let counted = at > 0 && piece.get(at - 1) == Some(&Token::Times);
        whole(piece, at).is_some()
            && !counted
            && lower(piece, at + 1) == "at"
            && is_way(piece, at + 2)
    };
    for at in 0..piece.len() {
        if at_a_way(piece, at)
            && let Some(sign) = piece.get_mut(at + 1)
        {
            *sign = Token::Times;
        }
    }
    let behind = |piece: &Piece, at: usize| {
        let counted = at > 0 && piece.get(at - 1) == Some(&Token::Times);
        is_way(piece, at)
            && !counted
            && piece.get(at + 2) == Some(&Token::Times)
            && whole(piece, at + 3).is_some()
    };
    let ways: Vec<usize> = (0..piece.len()).filter(|at| behind(piece, *at)).collect();
    let in_a_row = ways
        .windows(2)
        .all(|two| matches!(two, [one, next] if one + 4 == *next));
    if ways.len() < 2 || !in_a_row {
        return;
    }
    for at in ways {
        if let Some(dose) = piece.get_mut(at..at + 4) {
            dose.rotate_left(2);
            dose.swap(0, 1);
        }
    }
}

/// `push-ups 3 sets to failure`: so many times.
fn sets_to_the_utmost(piece: &mut Piece) {
    let at = piece.len().saturating_sub(4);
    let ends = is_one_of(
        &lower(piece, piece.len().saturating_sub(1)),
        "failure, exhaustion, max",
    );
    let sets = whole(piece, at).is_some() && lower(piece, at + 1) == "sets";
    if ends && sets && lower(piece, at + 2) == "to" {
        let count = piece.remove(at);
        piece.remove(at);
        piece.extend([Token::Times, count]);
    }
}

/// `gassers 4 x, 90 s`: so many times, as `gassers x 4`; games and what is held take so long each.
fn counts_before_a_time(pieces: &mut [Piece]) {
    let words = pieces.concat();
    if kind_of(&words).is(Category::Game) || holds(&words) {
        return;
    }
    let [.., counted, time] = pieces else { return };
    let timed = time.len() == 2 && seconds(time, 0).is_some();
    let numbers = counted.iter().filter(|token| token.is_number()).count();
    if let [
        Token::Word { .. },
        ..,
        count @ Token::Number(_),
        times @ Token::Times,
    ] = counted.as_mut_slice()
        && timed
        && numbers == 1
    {
        std::mem::swap(count, times);
    }
}

/// `a dozen 20 m sprints`, `two dozen`, `half a dozen` in figures.
fn dozens(piece: &mut Piece) {
    let Some(at) = (0..piece.len()).find(|at| lower(piece, *at) == "dozen") else {
        return;
    };
    let before = |back: usize| at.checked_sub(back).map(|at| lower(piece, at));
    let lead = at.checked_sub(1).and_then(|at| whole(piece, at));
    let (from, count) = match (before(1).as_deref(), before(2).as_deref()) {
        (Some("a"), Some("half")) => (at - 2, 6),
        (Some("half"), _) => (at - 1, 6),
        (Some("a"), _) => (at - 1, 12),
        _ => lead.map_or((at, 12), |dozens| (at - 1, dozens.saturating_mul(12))),
    };
    let end = at + 1 + usize::from(lower(piece, at + 1) == "of");
    let way = piece.get(end).is_some_and(Token::is_number)
        && piece.get(end + 1).is_some_and(Token::is_unit);
    let figure = std::iter::once(Token::Number(count.to_string()));
    piece.splice(from..end, figure.chain(way.then_some(Token::Times)));
}

/// `1:30`, s.
fn minutes_and_seconds(text: &str) -> Option<u32> {
    let (minutes, seconds) = text
        .split_once(':')
        .filter(|(_, seconds)| seconds.len() == 2)?;
    Some(
        60 * minutes
            .parse::<u32>()
            .ok()
            .filter(|minutes| *minutes < 60)?
            + seconds.parse::<u32>().ok()?,
    )
}

/// `10-20-30 m, 6 times`: so many sets of the list in front of it.
fn times_of_a_list(mut pieces: Vec<Piece>) -> Vec<Piece> {
    let at = pieces.windows(2).position(|two| match two {
        [list_of, times] => {
            list_of.iter().any(Token::is_list)
                && unit_of(&lower(list_of, list_of.len() - 1)).is_some()
                && matches!(times.as_slice(), [Token::Number(_), word] if word.lower() == "times")
        }
        _ => false,
    });
    if let Some(at) = at {
        let count = pieces.remove(at + 1).swap_remove(0);
        if let Some(piece) = pieces.get_mut(at) {
            piece.extend([Token::Times, count]);
        }
    }
    pieces
}

/// `10 m (6x), 20 m (4x)` without the brackets around what counts. `None` where another has words in it.
pub(super) fn without_brackets(content: &str) -> Option<String> {
    let mut out = String::new();
    let mut rest = content;
    while let Some((ahead, behind)) = rest.split_once('(') {
        let (within, after) = behind.split_once(')')?;
        let count = within.trim().trim_matches(['x', 'X']);
        let count = count
            .strip_suffix(" times")
            .or(count.strip_suffix(" reps"))
            .unwrap_or(count);
        let counts = count.len() < within.trim().len() && count.parse::<u32>().is_ok();
        out += ahead;
        out += &counts.then(|| format!("x {count}"))?;
        rest = after;
    }
    (!out.is_empty()).then(|| out + rest)
}

/// `squat :30 x 3`, `3 x 1:00, :30 rest`: half a minute as a watch shows it, and not thirty of three.
pub(super) fn seconds_of_a_watch(content: &str) -> Option<String> {
    let (ahead, behind) = content.split_once(" :")?;
    let (digits, after) = behind.split_at_checked(2)?;
    let seconds = digits.parse::<u32>().ok().filter(|seconds| *seconds < 60)?;
    // `squat :30`, but neither `on the :30` nor `session :30`
    if after.trim().is_empty() && kind_of(&cut(ahead)?.0.concat()).is(Category::Gym) {
        return Some(format!("{ahead} {seconds} s"));
    }
    // `plank 3 x 1:00, :30 rest`
    let first = letters(after.trim_start()).to_lowercase();
    if is_one_of(&first, "rest, off, recovery, rec, break") {
        return Some(format!("{ahead} {seconds} s{after}"));
    }
    let counted = after
        .trim_start()
        .strip_prefix(['x', 'X', '\u{d7}'])?
        .trim();
    let count = counted.split(',').next()?.trim();
    is_figures(count).then(|| format!("{ahead} {seconds} s{after}"))
}
