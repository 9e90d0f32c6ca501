//! The words, numbers and signs that a scribbled line is cut into, and what is asked of them.

use crate::plan::near::is_one_of;
use crate::plan::phrase::{NUMBERS, unit_of};

/// A word, number or sign of a scribbled line.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Token {
    /// As written; `joined` by a hyphen to the word before it.
    Word {
        text: String,
        joined: bool,
    },
    /// `10`, `1:30`, `1.5`, `10-20-10`
    Number(String),
    /// A name in quotes, without them.
    Name(String),
    Times,
    Percent,
}

/// The tokens between two breaks.
pub(super) type Piece = Vec<Token>;

/// The word at a place in small letters; empty where none is.
pub(super) fn lower(piece: &[Token], at: usize) -> String {
    piece.get(at).map(Token::lower).unwrap_or_default()
}

/// The unit of ours at a place.
pub(super) fn unit(piece: &[Token], at: usize) -> Option<&'static str> {
    unit_of(&lower(piece, at))
}

/// A plain number at a place.
pub(super) fn number(piece: &[Token], at: usize) -> Option<f64> {
    match piece.get(at)? {
        Token::Number(text) => value(text),
        _ => None,
    }
}

/// A whole number, in figures or in words.
pub(super) fn whole(piece: &[Token], at: usize) -> Option<u32> {
    match piece.get(at)? {
        Token::Number(text) => text.parse().ok(),
        word => number_in_words(&word.lower()),
    }
}

/// `three`, `twenty`.
pub(super) fn number_in_words(word: &str) -> Option<u32> {
    let tens = match word {
        "fifteen" => Some(15),
        "twenty" => Some(20),
        "thirty" => Some(30),
        "forty" => Some(40),
        "fifty" => Some(50),
        "sixty" => Some(60),
        "seventy" => Some(70),
        "eighty" => Some(80),
        "ninety" => Some(90),
        _ => None,
    };
    let small = NUMBERS.iter().position(|name| *name == word);
    tens.or(small.and_then(|index| u32::try_from(index + 1).ok()))
}

/// What there is one of on each side.
pub(super) const SIDES: &str = "side, leg, foot, arm, hand, way";

/// `each leg`, `per side`, but not the `a side` of a game.
pub(super) fn is_each_side(piece: &[Token], at: usize) -> bool {
    is_one_of(&lower(piece, at), "each, per") && is_one_of(&lower(piece, at + 1), SIDES)
}

/// Whether no number and no `x` stands among these.
pub(super) fn has_no_amount(tokens: &[Token]) -> bool {
    !(tokens.iter()).any(|token| token.is_number() || *token == Token::Times)
}

/// How many words a phrase in small letters has, where it stands at a place.
pub(super) fn phrase_at(piece: &[Token], at: usize, phrase: &str) -> Option<usize> {
    let mut words = phrase.split(' ').enumerate();
    let stands = words.all(|(k, word)| lower(piece, at + k) == word);
    stands.then(|| phrase.split(' ').count())
}

/// The time at a place, s.
pub(super) fn seconds(piece: &[Token], at: usize) -> Option<f64> {
    let unit_s = match unit(piece, at + 1)? {
        "s" => 1.0,
        "min" => 60.0,
        _ => return None,
    };
    Some(number(piece, at)? * unit_s)
}

/// Whether a number with the unit of a way, m or yd, stands at a place.
pub(super) fn is_way(piece: &[Token], at: usize) -> bool {
    number(piece, at).is_some() && matches!(unit(piece, at + 1), Some("m" | "yd"))
}

/// Whether two tokens are a number in front of the unit of a way or of a time.
pub(super) fn is_amount(pair: &[Token]) -> bool {
    matches!(pair, [number, unit] if number.is_number() && unit.is_unit())
}

/// Puts the count at the end of a piece, `x 6`, in front of what stands at a place: `6 x`.
pub(super) fn count_in_front(piece: &mut Piece, place: usize) {
    let from = piece.len().saturating_sub(2);
    let count: Piece = piece.drain(from..).rev().collect();
    piece.splice(place..place, count);
}

/// Whether a word begins or names a rest.
pub(super) fn is_rest(word: &str) -> bool {
    matches!(word, "rest" | "recovery")
}

impl Token {
    pub(crate) fn word(text: &str) -> Self {
        Self::Word {
            text: text.to_owned(),
            joined: false,
        }
    }

    /// The word in lower case, nothing for what is none.
    pub(crate) fn lower(&self) -> String {
        match self {
            Self::Word { text, .. } => text.to_lowercase().replace('\u{2019}', "'"),
            _ => String::new(),
        }
    }

    pub(crate) fn is_number(&self) -> bool {
        matches!(self, Self::Number(_))
    }

    /// The unit of a way or of a time.
    pub(crate) fn is_unit(&self) -> bool {
        matches!(unit_of(&self.lower()), Some("m" | "yd" | "s" | "min"))
    }

    /// `10-20-10`: a rep each.
    pub(crate) fn is_list(&self) -> bool {
        matches!(self, Self::Number(text) if text.matches(['-', '/']).count() > 1)
    }
}

/// The value of a number, also with a comma for its fraction: `1,5`.
pub(super) fn value(text: &str) -> Option<f64> {
    match text.split_once(',') {
        Some((whole, part)) if (1..=2).contains(&part.len()) => {
            format!("{whole}.{part}").parse().ok()
        }
        Some(_) => None,
        None => text.parse().ok(),
    }
}

/// The tokens as a text that can be read again.
pub(super) fn text_of(tokens: &[Token]) -> String {
    let mut out = String::new();
    for token in tokens {
        let (text, glued) = match token {
            Token::Word { text, joined } => (text.clone(), *joined),
            Token::Number(text) => (text.clone(), false),
            Token::Name(name) => (format!("\"{name}\""), false),
            Token::Times => ("x".to_owned(), false),
            Token::Percent => ("%".to_owned(), false),
        };
        if !out.is_empty() && *token != Token::Percent {
            out.push(if glued { '-' } else { ' ' });
        }
        out.push_str(&text);
    }
    out
}
