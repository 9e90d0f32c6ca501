//! Shuttles over several ways: `5-10-15 shuttles x 5`. Each way may be run out and back within one rep, or be a rep of its own.

use super::apart::Scribbled;
use super::ask::{about, ask};
use super::count;
use super::kind::Kind;
use super::meaning::{Around, Scribble};
use super::token::{Piece, Token, lower, seconds, text_of};
use crate::plan::Category;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;

/// `5-10-15 shuttles x 5`: each out and back in one rep, or a rep each.
pub(super) fn asked(pieces: &[Piece], around: Around<'_>) -> Option<Scribble> {
    let Read { written, meant } = read(pieces)?;
    let lines = meant
        .into_iter()
        .filter_map(|pieces| {
            let line = Scribbled::new(pieces, None, around.pitch);
            let category = match line.kind(around) {
                Kind::One { category, .. } => category,
                _ => Category::Strength,
            };
            (!line.is_doubtful()).then(|| format!("{}{}", line.head(category), line.said()))
        })
        .collect();
    let message = format!("`{written}` may be ways of one rep, or a rep each");
    about(&written, ask(&message, lines))
}

/// The pieces as they may be meant, the likelier first.
struct Read {
    /// The ways as they were written.
    pub written: String,
    pub meant: Vec<Vec<Piece>>,
}

/// Reads ways beside `shuttles` with a count behind them. `None` where there are none.
fn read(pieces: &[Piece]) -> Option<Read> {
    let mut joined = pieces.to_vec();
    count::lengths_of_a_list(&mut joined);
    let pieces = joined.as_slice();
    let (index, at, ways) = pieces.iter().enumerate().find_map(|(index, piece)| {
        let at = piece.iter().position(Token::is_number)?;
        let Token::Number(text) = piece.get(at)? else {
            return None;
        };
        let ways: Option<Vec<u32>> = (text.split(['-', '/', '\u{2013}']))
            .map(|part| part.parse().ok())
            .collect();
        Some((
            index,
            at,
            ways.filter(|ways| (2..=6).contains(&ways.len()))?,
        ))
    })?;
    let piece = pieces.get(index)?;
    let word = |at: usize| lower(piece, at);
    let unit = unit_of(&word(at + 1)).filter(|unit| matches!(*unit, "m" | "yd"));
    let noun = at + 1 + usize::from(unit.is_some());
    let turns = |word: &str| {
        word.starts_with("shuttle") || is_one_of(word, "doggies, suicides, suicide, gassers")
    };
    let behind = word(noun).starts_with("shuttle");
    // `Doggies 5-10-15 x 4`
    let ahead = ways.len() > 2 && (0..at).any(|at| turns(&word(at)));
    if !behind && !ahead {
        return None;
    }
    let runs = usize::from(behind && matches!(word(noun + 1).as_str(), "run" | "runs"));
    let behind = noun + usize::from(behind) + runs;
    let (count, end) = match (piece.get(behind), piece.get(behind + 1)) {
        (Some(Token::Times), Some(Token::Number(count))) => {
            let reps = matches!(unit_of(&word(behind + 2)), Some("reps" | "sets"));
            (count, behind + 2 + usize::from(reps))
        }
        (Some(Token::Number(count)), Some(_)) if word(behind + 1) == "times" => (count, behind + 2),
        _ => return None,
    };
    let written = match piece.get(at)? {
        Token::Number(text) => text.clone(),
        _ => return None,
    };
    let sum = ways
        .iter()
        .try_fold(0_u32, |sum, way| sum.checked_add(*way))?;
    let reversed: Vec<u32> = ways.iter().rev().copied().collect();
    // `5-10-5` is run to and fro over its middle; ways that grow are each run out and back.
    let rep_m = if reversed == ways {
        sum
    } else {
        sum.checked_mul(2)?
    };
    let unit = unit.unwrap_or("m");
    let put = |reps: &[Token]| -> Option<Vec<Piece>> {
        let mut out = pieces.to_vec();
        let named = if ahead {
            text_of(piece.get(..at)?)
        } else {
            "shuttles".to_owned()
        };
        let name = Token::Name(format!("{written} {named}"));
        let dose = [name, Token::Number(count.clone()), Token::Times];
        let dose = dose.into_iter().chain(reps.iter().cloned());
        let from = if ahead { 0 } else { at };
        out.get_mut(index)?.splice(from..end, dose);
        // `5/10/15 x 4, 2 min`: what is behind a way with its length is no second one.
        let rest = out.get_mut(index + 1);
        if let Some(rest) = rest.filter(|rest| rest.len() == 2 && seconds(rest, 0).is_some()) {
            rest.insert(0, Token::word("rest"));
        }
        Some(out)
    };
    let words = |text: &str| text.split(' ').map(Token::word).collect::<Vec<_>>();
    let one = [Token::Number(rep_m.to_string()), Token::word(unit)];
    let mut each = vec![Token::Number(written.clone()), Token::word(unit)];
    each.extend(words("there and back"));
    let meant = [put(&one), put(&each)].into_iter().flatten().collect();
    Some(Read { written, meant })
}
