//! Several ways that share one count: `5 x 10 m, 20 m, 30 m sprints`, `10 m, 20 m sprints x 5`.

use super::gait;
use super::kind::{self, kind_of};
use super::open::Open;
use super::token::{Piece, Token, is_rest, is_way, text_of, whole};
use crate::plan::Category;
use crate::plan::near::is_one_of;

/// The first way, the words in front of it, and its count where that stands there.
struct First {
    named: Piece,
    count: Option<Token>,
    way: Piece,
}

/// The ways behind it, the count and the words at their end.
struct Others {
    ways: Vec<Piece>,
    count: Option<Token>,
    words: Piece,
    /// The rest behind the count, without a comma: `x 3 walk back`.
    rest: Piece,
}

/// Asks about so many of each way.
pub(super) fn with_one_count(pieces: &[Piece]) -> Option<Open> {
    let times = |token: &&Token| **token == Token::Times;
    if pieces.iter().flatten().filter(times).count() != 1 {
        return None;
    }
    let (index, first, others) = (pieces.iter().enumerate()).find_map(|(index, piece)| {
        let first = first(piece)?;
        way(pieces.get(index + 1)?, 0)?;
        let others = others(&first, pieces.get(index + 1..)?);
        Some((index, first, others))
    })?;
    let known = (others.words.iter()).all(|word| kind::is_counted(&word.lower()));
    let sprints = kind_of(&pieces.concat()).is(Category::Speed) || !others.words.is_empty();
    if !known || !sprints {
        return None;
    }
    let counted_first = first.count.is_some();
    let count = first.count.or(others.count)?;
    let rest = (!others.rest.is_empty()).then_some(others.rest);
    let behind = pieces.get(index + 1 + others.ways.len()..)?;
    let behind: Vec<Piece> = rest.into_iter().chain(behind.iter().cloned()).collect();
    let mut ways = others.ways;
    ways.insert(0, first.way);
    let each = |way: &Piece| -> Vec<Piece> {
        let dose = [vec![count.clone(), Token::Times], way.clone()].concat();
        let own = [first.named.clone(), dose, others.words.clone()].concat();
        std::iter::once(own).chain(behind.iter().cloned()).collect()
    };
    let texts: Vec<String> = ways.iter().map(|way| text_of(way)).collect();
    let written = texts.join(", ");
    let meant = ways.iter().map(each).collect();
    // `5 m, 10 m, 15 m x 3`: or all of them so often.
    let unit = ways.first()?.get(1)?;
    let alike = ways.iter().all(|way| way.get(1) == Some(unit));
    let numbers: Vec<String> = ways
        .iter()
        .filter_map(|way| way.get(..1).map(text_of))
        .collect();
    let list = alike && !counted_first && ways.len() > 2;
    let row = list.then(|| {
        let dose = [
            count.clone(),
            Token::Times,
            Token::Number(numbers.join("-")),
            unit.clone(),
        ];
        let own = [first.named.clone(), dose.to_vec(), others.words.clone()].concat();
        std::iter::once(own).chain(behind.iter().cloned()).collect()
    });
    let message = if row.is_some() {
        format!("`{written}` may be so many of each, or all of them so often")
    } else {
        format!("`{written}` may be so many of each")
    };
    Some(Open::in_turn(message, written, meant).or(row))
}

/// A way at a place, with its unit.
fn way(piece: &[Token], at: usize) -> Option<Piece> {
    let way = piece.get(at..at + 2).filter(|_| is_way(piece, at))?;
    Some(way.to_vec())
}

/// A piece that ends with a way, counted or not.
fn first(piece: &Piece) -> Option<First> {
    let at = piece.iter().position(Token::is_number)?;
    let counted = whole(piece, at).is_some() && piece.get(at + 1) == Some(&Token::Times);
    let from = if counted { at + 2 } else { at };
    let count = piece.get(at).filter(|_| counted).cloned();
    let first = First {
        named: piece.get(..at)?.to_vec(),
        count,
        way: way(piece, from)?,
    };
    (piece.len() == from + 2).then_some(first)
}

/// The ways that pieces begin with, up to the one that names or counts them.
fn others(first: &First, pieces: &[Piece]) -> Others {
    let mut others = Others {
        ways: Vec::new(),
        count: None,
        words: Vec::new(),
        rest: Vec::new(),
    };
    for piece in pieces {
        let Some(next) = way(piece, 0) else { break };
        others.ways.push(next);
        let mut tail: Piece = piece.iter().skip(2).cloned().collect();
        let free = |token: &Token| {
            let word = token.lower();
            gait::is_gait(&word) || is_rest(&word) || is_one_of(&word, "full, back")
        };
        if let [Token::Times, Token::Number(_), rest @ ..] = tail.as_slice()
            && rest.iter().all(free)
        {
            others.rest = tail.split_off(2);
        }
        let counted = matches!(tail.as_slice(), [.., Token::Times, Token::Number(_)]);
        if counted && first.count.is_none() {
            others.count = tail.pop();
            tail.pop();
        }
        others.words = tail;
        if others.count.is_some() || !others.words.is_empty() {
            break;
        }
    }
    others
}
