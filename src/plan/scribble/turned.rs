//! Reps of several ways, which may be run with a turn between them or straight on: `6 x 20+20 m`, `50 m (25 there, 25 back) x 5`.

use super::open::{Open, find, with};
use super::token::{Piece, Token, is_way, lower, number, text_of, unit, whole};

/// `sprint to the cone (15 m) and back`: the way back belongs to what stands in front of it.
pub(super) fn way_back_joined(mut pieces: Vec<Piece>) -> Vec<Piece> {
    let at = pieces.windows(2).position(|two| match two {
        [way, back] => {
            let measured = way.len().checked_sub(2);
            measured.is_some_and(|at| is_way(way, at))
                && lower(back, 0) == "and"
                && lower(back, 1) == "back"
        }
        _ => false,
    });
    if let Some(at) = at {
        let back = pieces.remove(at + 1);
        if let Some(way) = pieces.get_mut(at) {
            way.extend(back);
        }
    }
    pieces
}

/// `6 x 20+20 m`, `6 x 40 m (20+20)`: two ways of one rep, there and back where they are alike.
pub(super) fn ways_of_one_rep(pieces: &[Piece]) -> Option<Open> {
    let (index, at, ways) = find(pieces, |piece, at| {
        let ways: Option<Vec<u32>> = (lower(piece, at).split('+'))
            .map(|way| way.parse().ok())
            .collect();
        ways.filter(|ways| ways.len() > 1)
    })?;
    let piece = pieces.get(index)?;
    if !matches!(unit(piece, at + 1), Some("m" | "yd")) {
        return within_a_way(pieces, index, at, &ways);
    }
    let written = text_of(piece.get(at..at + 2)?);
    let sum_m: f64 = ways.iter().copied().map(f64::from).sum();
    let sum = Token::Number(sum_m.to_string());
    let mut meant = vec![with(pieces, index, at..at + 1, &[sum])];
    if let [one, other] = ways.as_slice()
        && one == other
    {
        let unit = piece.get(at + 1)?.clone();
        let put = [vec![Token::Number(one.to_string()), unit], there_and_back()].concat();
        meant.insert(0, with(pieces, index, at..at + 2, &put));
    }
    Some(Open::new(may_be_turned(&written), written, meant))
}

/// Ways behind the length that they make together: `6 x 40 m (20+20)`.
fn within_a_way(pieces: &[Piece], index: usize, at: usize, ways: &[u32]) -> Option<Open> {
    let [one, other] = ways else { return None };
    let written = text_of(pieces.get(index)?.get(at..=at)?);
    let straight = with(pieces, index, at..at + 1, &[]);
    let (meant, turned) = halved(straight, f64::from(*one) + f64::from(*other), one == other)?;
    Some(Open::new(
        may_be_turned(&written),
        written,
        vec![turned, meant],
    ))
}

/// `sprint 50 m (25 there, 25 back) x 5`
pub(super) fn there_in_brackets(pieces: &[Piece]) -> Option<Open> {
    let way = |piece: &Piece, word: &str| -> Option<u32> {
        let metres = usize::from(unit(piece, 1) == Some("m"));
        let alone = piece.len() == 2 + metres && lower(piece, 1 + metres) == word;
        whole(piece, 0).filter(|_| alone)
    };
    let (index, out, back) = (0..pieces.len()).find_map(|index| {
        let out = ["there", "out", "up"]
            .iter()
            .find_map(|word| way(pieces.get(index)?, word))?;
        Some((index, out, way(pieces.get(index + 1)?, "back")?))
    })?;
    let written = format!(
        "{}, {}",
        text_of(pieces.get(index)?),
        text_of(pieces.get(index + 1)?)
    );
    let mut straight = pieces.to_vec();
    straight.drain(index..index + 2);
    let (meant, turned) = halved(straight, f64::from(out) + f64::from(back), out == back)?;
    let words = pieces.get(index)?.get(..1).map(text_of)?;
    Some(Open::new(
        may_be_turned(&written),
        words,
        vec![turned, meant],
    ))
}

/// The pieces, and the same with so long a way as half of it there and back; `None` where its ways are not alike.
fn halved(straight: Vec<Piece>, sum_m: f64, alike: bool) -> Option<(Vec<Piece>, Vec<Piece>)> {
    if !alike {
        return None;
    }
    let (index, at, ()) = find(&straight, |piece, at| {
        let same = number(piece, at).is_some_and(|way| (way - sum_m).abs() < 1e-9);
        (same && matches!(unit(piece, at + 1), Some("m" | "yd"))).then_some(())
    })?;
    let unit = straight.get(index)?.get(at + 1)?.clone();
    let half = Token::Number((sum_m / 2.0).to_string());
    let put = [vec![half, unit], there_and_back()].concat();
    let turned = with(&straight, index, at..at + 2, &put);
    Some((straight, turned))
}

fn there_and_back() -> Piece {
    ["there", "and", "back"].map(Token::word).to_vec()
}

fn may_be_turned(written: &str) -> String {
    format!("`{written}` may be run with a turn, or straight on")
}
