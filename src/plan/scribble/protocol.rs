//! What a name says of a dose that stands beside it: `4 min tabata` is eight bouts, `5-10-5 x 6` no three sprints.

use super::open::{Open, find, with};
use super::token::{Piece, Token, is_each_side, is_way, lower, seconds, text_of, unit, whole};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

/// Eight bouts of 20 s with 10 s of rest each, s.
const TABATA_S: f64 = 240.0;

/// `4 min tabata`, `tabata 8 min`: so many sets of the protocol, or one bout.
pub(super) fn tabata_in_a_time(pieces: &[Piece]) -> Option<Open> {
    let (index, at, from) = find(pieces, |piece, at| {
        let named = is_one_of(&lower(piece, at), "tabata, tabatas");
        let time = |from: usize| seconds(piece, from).is_some().then_some(from);
        let beside = at.checked_sub(2).and_then(time).or_else(|| time(at + 1));
        beside.filter(|_| named && !piece.contains(&Token::Times))
    })?;
    let piece = pieces.get(index)?;
    let sets = seconds(piece, from)? / TABATA_S;
    if sets < 1.0 || sets.fract() != 0.0 {
        return None;
    }
    let written = text_of(piece.get(from.min(at)..(from + 2).max(at + 1))?);
    let mut bouts = with(pieces, index, from..from + 2, &[]);
    let name = if from < at { from } else { at };
    if sets > 1.0 {
        let count = [Token::Number(sets.to_string()), Token::Times];
        bouts = with(&bouts, index, name..name, &count);
    }
    let message = format!("`{written}` is usually 8 x 20 s of work, 10 s of rest");
    Some(Open::new(message, written, vec![bouts, pieces.to_vec()]))
}

/// `5-10-5 x 6`: the shuttle of that name, or three ways a set.
pub(super) fn shuttle_by_its_ways(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        let Token::Number(text) = piece.get(at)? else {
            return None;
        };
        let ways = text.replace('/', "-");
        let counted = piece.get(at + 1) == Some(&Token::Times) && whole(piece, at + 2).is_some();
        // Its category may stand in front of it.
        let leads = at == 0 || at == 1 && lower(piece, 0) == Category::Strength.word();
        (leads && ways == "5-10-5" && counted && piece.len() == at + 3).then_some(())
    })?;
    let piece = pieces.get(index)?;
    let written = text_of(piece.get(at..=at)?);
    let count = piece.get(at + 2)?.clone();
    let named = [
        Token::word("strength"),
        Token::Name(written.clone()),
        count,
        Token::word("reps"),
    ];
    let measured = with(pieces, index, at + 1..at + 1, &[Token::word("m")]);
    let meant = vec![with(pieces, index, 0..at + 3, &named), measured];
    let message = format!("`{written}` is a shuttle with two turns, or a set of three runs");
    Some(Open::new(message, written, meant))
}

/// `20m shuttle run test`: of endurance, each leg of which is so long; it lasts as long as one can.
///
/// Léger LA, Lambert J (1982), Eur J Appl Physiol 49(1), 1-12: legs of 20 m at a pace that rises each two minutes, later each one.
pub(super) fn shuttle_run_test(pieces: &[Piece]) -> Option<Open> {
    let tokens = pieces.concat();
    let at = (0..tokens.len()).find(|at| is_way(&tokens, *at))?;
    let words: Vec<String> = (tokens.iter().skip(at + 2).take(3))
        .map(Token::lower)
        .collect();
    let named = is_one_of(
        &words.join(" "),
        "shuttle run test, shuttle test, shuttles test, multistage fitness test",
    );
    let alone = at == 0 && tokens.iter().filter(|token| token.is_number()).count() == 1;
    if !named || !alone {
        return None;
    }
    let name = text_of(&tokens);
    let line = vec![
        Token::word("resistance"),
        Token::Name(name.clone()),
        Token::Number("10".to_owned()),
        Token::word("min"),
    ];
    let message = format!("`{name}` does not say how long; some ten minutes are usual");
    Some(Open::new(message, name, vec![vec![line]]))
}

/// `20 shots 10 each foot`: half of all on each side, and not twenty times ten.
pub(super) fn half_on_each_side(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ()) = find(pieces, |piece, at| {
        let noun =
            matches!(piece.get(at + 1), Some(Token::Word { .. })) && unit(piece, at + 1).is_none();
        let halves = whole(piece, at)? == whole(piece, at + 2)?.checked_mul(2)?;
        (noun && halves && is_each_side(piece, at + 3)).then_some(())
    })?;
    let piece = pieces.get(index)?;
    let written = text_of(piece.get(at..at + 5)?);
    let each = [piece.get(at + 2)?.clone(), piece.get(at + 1)?.clone()];
    let all = [piece.get(at)?.clone(), piece.get(at + 1)?.clone()];
    let meant = vec![
        with(pieces, index, at..at + 3, &each),
        with(pieces, index, at..at + 5, &all),
    ];
    let message = format!("`{written}` are so many in all");
    Some(Open::new(message, written, meant))
}

/// `tabata x 2`, `2 tabatas`: so many sets of the protocol, where the line says no other time. Whether it does.
///
/// Tabata I et al. (1996), Med Sci Sports Exerc 28(10), 1327-1330: bouts of 20 s, 10 s of rest between them; eight are usual.
pub(super) fn tabata(pieces: &mut Vec<Piece>) -> bool {
    let timed = |piece: &Piece| (1..piece.len()).any(|at| unit_of(&lower(piece, at)).is_some());
    let named = |piece: &Piece| {
        let name = |token: &Token| matches!(token.lower().as_str(), "tabata" | "tabatas");
        piece.iter().position(name)
    };
    let Some((index, at)) =
        (pieces.iter().enumerate()).find_map(|(index, piece)| Some((index, named(piece)?)))
    else {
        return false;
    };
    let Some(piece) = pieces.get_mut(index).filter(|piece| !timed(piece)) else {
        return false;
    };
    let (from, to) = match (piece.get(..at), piece.get(at + 1..)) {
        (Some([.., Token::Number(_), Token::Times]), _) => (at - 2, at + 1),
        (Some([.., Token::Number(_)]), _) => (at - 1, at + 1),
        (_, Some([Token::Times, Token::Number(_), ..])) => (at, at + 3),
        _ => (at, at + 1),
    };
    let number = |token: &Token| token.is_number();
    let mut dose: Piece = (piece.drain(from..to).filter(number))
        .flat_map(|sets| [sets, Token::Times])
        .collect();
    if piece.iter().any(number) {
        dose.clear();
    }
    dose.splice(0..0, [Token::word("tabata")]);
    dose.extend([Token::Number("8".to_owned()), Token::Times]);
    dose.extend([Token::Number("20".to_owned()), Token::word("s")]);
    piece.splice(from..from, dose);
    let rest = vec![
        Token::word("rest"),
        Token::Number("10".to_owned()),
        Token::word("s"),
        Token::word("between"),
        Token::word("reps"),
    ];
    pieces.insert(index + 1, rest);
    true
}
