//! A line taken apart: the phrases of the notation, the name, and the words for the player.

use super::gait;
use super::kind::{self, Kind, explicit_at, kind_of};
use super::meaning::Around;
use super::phrase::{Split, is_filler, is_half, is_slip, spelt_out, split, turns};
use super::reworded::{Doubt, Reworded, reworded};
use super::token::{Piece, Token, lower, text_of};
use crate::plan::near::is_one_of;
use crate::plan::{Category, PitchSize};

/// A line taken apart.
pub(super) struct Scribbled {
    /// All words, for the kind of work.
    pub words: Vec<Token>,
    pub splits: Vec<Split>,
    pub name: Option<String>,
    pub remarks: Vec<String>,
    pub doubt: Option<Doubt>,
    pub paired: Option<Category>,
    pub open_rest: Option<String>,
}

impl Scribbled {
    pub(crate) fn new(
        pieces: Vec<Piece>,
        comment: Option<String>,
        pitch: Option<PitchSize>,
    ) -> Self {
        let Reworded {
            mut pieces,
            remarks,
            doubt,
            paired,
            open_rest,
        } = reworded(pieces, pitch);
        let mut out = Self {
            words: pieces.concat(),
            splits: Vec::new(),
            name: None,
            remarks,
            doubt,
            paired,
            open_rest,
        };
        out.words
            .retain(|token| matches!(token, Token::Word { .. } | Token::Name(_)));
        let mut dosed = false;
        for piece in &mut pieces {
            let names: Vec<String> = piece
                .iter()
                .filter_map(|token| match token {
                    Token::Name(name) => Some(name.clone()),
                    _ => None,
                })
                .collect();
            piece.retain(|token| !matches!(token, Token::Name(_)));
            for name in names {
                match &out.name {
                    None => out.name = Some(name),
                    Some(_) => out.remarks.push(name),
                }
            }
            if is_remark(piece) {
                out.remarks.push(text_of(piece));
                continue;
            }
            let mut piece = spelt_out(piece, dosed);
            without_category(&mut piece);
            let split = split(&piece);
            let loose = trimmed(&split.loose);
            let free = ["rest", "recovery", "then", "at", "between"];
            let rest = split
                .kept
                .first()
                .is_some_and(|first| {
                    let first = first.lower();
                    gait::is_gait(&first) || free.contains(&first.as_str())
                })
                // `2 min jog recovery`
                || dosed
                    && loose.iter().all(|token| is_gentle(&token.lower()))
                    && (split.kept.last()).is_some_and(|last| {
                        matches!(last.lower().as_str(), "rest" | "recovery" | "off")
                    });
            if !loose.is_empty() {
                let text = text_of(loose);
                let tells = loose.iter().any(|token| kind::is_known(&token.lower()));
                match &out.name {
                    None if (!dosed || tells) && !rest => out.name = Some(text),
                    Some(name) if !dosed && !rest => out.name = Some(format!("{name} {text}")),
                    _ => out.remarks.push(text),
                }
            }
            dosed |= !rest && split.kept.iter().any(Token::is_number);
            out.splits.push(split);
        }
        out.remarks.extend(comment.filter(|text| !text.is_empty()));
        out
    }

    /// All words that the notation does not read.
    pub(crate) fn aside(&self) -> Option<String> {
        let name = self.name.iter();
        let words: Vec<&str> = name.chain(&self.remarks).map(String::as_str).collect();
        (!words.is_empty()).then(|| words.join("; "))
    }

    /// The words of the notation, phrase by phrase.
    pub(crate) fn said(&self) -> String {
        let texts: Vec<String> = (self.splits.iter())
            .filter(|split| !split.kept.is_empty())
            .map(|split| text_of(&split.kept))
            .collect();
        texts.join(", ")
    }

    /// Whether a word may be a slip, or turns what it stands beside, so that the line is not understood.
    pub(crate) fn is_doubtful(&self) -> bool {
        self.splits.iter().any(|split| split.dangles)
            || self.splits.iter().any(|split| {
                let figures = !split.kept.is_empty();
                (split.loose.iter().enumerate()).any(|(at, token)| {
                    let word = token.lower();
                    // `up back through passing`: a pattern of passes, and no way back.
                    let goes_on = word == "back" && lower(&split.loose, at + 1) == "through";
                    is_slip(&word)
                        || figures && (turns(&word) || is_half(&word) && !goes_on)
                        || token.is_number() && figures && !followed_by_lap(split)
                })
            })
    }

    pub(crate) fn kind(&self, around: Around<'_>) -> Kind {
        let kind = kind_of(&self.words);
        // `then 5 min jog` below `Speed:` is no sprint.
        let carried = around.carried.filter(|carried| {
            *carried != Category::Speed || kind != (Kind::Moving { jogging: true })
        });
        match (kind, carried.or(self.paired)) {
            (Kind::Nothing | Kind::Moving { .. }, Some(category)) => Kind::One {
                category,
                explicit: false,
            },
            (kind, _) => kind,
        }
    }

    /// Category and name, up to the dose.
    pub(crate) fn head(&self, category: Category) -> String {
        match &self.name {
            Some(name) => format!("{} \"{name}\", ", category.word()),
            None => format!("{} ", category.word()),
        }
    }
}

/// How a rest is taken.
fn is_gentle(word: &str) -> bool {
    gait::is_gait(word) || gait::is_gently(word)
}

/// Effort on a scale, a heart rate, a zone: for the player, not for the review.
fn is_remark(piece: &[Token]) -> bool {
    let first = piece.first().map(Token::lower).unwrap_or_default();
    matches!(first.as_str(), "rpe" | "hr" | "zone" | "level")
        || first.len() == 2 && first.starts_with('z')
}

fn followed_by_lap(split: &Split) -> bool {
    split
        .loose
        .iter()
        .any(|token| is_one_of(&token.lower(), "lap, laps, lengths, length, widths, width"))
}

/// Takes the words of a category out: they are no part of the name.
fn without_category(piece: &mut Piece) {
    let mut at = 0;
    while at < piece.len() {
        let effort = at > 0
            && piece
                .get(at - 1)
                .is_some_and(|before| matches!(before.lower().as_str(), "top" | "full" | "max"));
        match explicit_at(piece, at) {
            Some((words, _)) if !effort => {
                piece.drain(at..at + words);
            }
            _ => at += 1,
        }
    }
}

/// Without the words at either end that say nothing.
fn trimmed(loose: &[Token]) -> &[Token] {
    // `from lying` and `standing start` say it of something.
    let says = |token: &Token, word: &str| token.lower() == word;
    let mut out = loose;
    while let [first, rest @ ..] = out
        && is_filler(&first.lower())
        // `A-skips`
        && !matches!(rest.first(), Some(Token::Word { joined: true, .. }))
        && (!says(first, "from") || rest.iter().all(|token| is_filler(&token.lower())))
    {
        out = rest;
    }
    while let [rest @ .., last] = out
        && is_filler(&last.lower())
        && (!says(last, "start") || rest.is_empty())
    {
        out = rest;
    }
    out
}
