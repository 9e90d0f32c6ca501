//! Paces one after the other, each with how long: `easy 5, steady 10, hard 5`. They are run.

use super::ask::{SHOWN, question};
use super::gait;
use super::meaning::{Around, Scribble};
use super::strict::strict;
use super::token::{Piece, Token, lower, number, seconds, text_of};
use super::{open, read};
use crate::plan::near::is_one_of;
use crate::plan::{Block, Category, Dose};

/// Fewer are two sides of an interval.
const LEAST: usize = 3;

/// From here on a number without a unit is no minutes.
const MOST_MIN: f64 = 60.0;

/// Asks about paces in turn, with a line for each and one for all.
pub(super) fn asked(pieces: &[Piece], around: Around<'_>) -> Option<Scribble> {
    if around.part || around.inside || pieces.len() < LEAST {
        return None;
    }
    let written: Vec<String> = pieces.iter().map(|piece| text_of(piece)).collect();
    let paces: Vec<Piece> = (pieces.iter()).map(pace).collect::<Option<_>>()?;
    let carried = Around {
        carried: around.carried.or(Some(Category::Resistance)),
        part: true,
        pitch: around.pitch,
        ..Around::default()
    };
    let each: Vec<Vec<String>> = (paces.iter())
        .map(|pace| read(&text_of(pace), carried)?.lines_with(""))
        .collect::<Option<_>>()?;
    let least = each.iter().map(Vec::len).min()?.min(SHOWN - 1);
    let row = |index: usize| -> Option<String> {
        let lines = each
            .iter()
            .map(|lines| lines.get(index).map(String::as_str));
        Some(lines.collect::<Option<Vec<_>>>()?.join("\n"))
    };
    let mut lines: Vec<String> = (0..least).filter_map(row).collect();
    let whole = written.join(", ");
    lines.extend(in_one(&paces, &whole, carried));
    let bare = pieces.iter().any(|piece| piece.len() == 2);
    let message = if bare {
        format!("`{whole}` {}; minutes are usual", open::NO_UNIT)
    } else {
        format!("this line says {} paces, one after the other", paces.len())
    };
    question(message, None, lines)
}

/// A piece that is a pace and how long, with minutes where it has no unit, the time in front.
fn pace(piece: &Piece) -> Option<Piece> {
    const PACES: &str = "hard, moderate, medium, tempo, fast, quick, strong, brisk, threshold";
    let paced = |at: usize| {
        let word = lower(piece, at);
        gait::is_gently(&word) || is_one_of(&word, PACES)
    };
    let last = piece.len().checked_sub(1)?;
    let (how, amount) = if paced(0) {
        (piece.first()?, piece.get(1..)?)
    } else if paced(last) {
        (piece.last()?, piece.get(..last)?)
    } else {
        return None;
    };
    let minutes = |count: f64| count > 0.0 && count < MOST_MIN;
    let amount = match amount {
        [Token::Number(_)] if number(amount, 0).is_some_and(minutes) => {
            [amount, &[Token::word("min")]].concat()
        }
        [Token::Number(_), _] if seconds(amount, 0).is_some() => amount.to_vec(),
        _ => return None,
    };
    Some([amount, vec![how.clone()]].concat())
}

/// All of them as one bout.
fn in_one(paces: &[Piece], whole: &str, around: Around<'_>) -> Option<String> {
    let sum_s = (paces.iter()).try_fold(0.0, |sum, pace| Some(sum + seconds(pace, 0)?))?;
    let category = around.carried?;
    let dose = Dose::Continuous { duration_s: sum_s };
    let block = Block {
        name: Some(whole.to_owned()),
        ..Block::new(category, dose)
    };
    let line = block.line_text(true);
    strict(&line).is_ok().then_some(line)
}
