//! A line that says one thing after another: `5 min jog, 5 min stretch`, `4 x 30 m rest 2 min then 2 x 60 m`, `3 x 12 squats,
//! 12 lunges each leg`. Each part is read by itself, and what was meant is asked about with the parts on lines of their own.

mod as_one;
mod rest_between;
mod rounds;
mod seam;

use super::ask::SHOWN;
use super::gait;
use super::kind::{Kind, kind_of};
use super::meaning::{Around, Scribble};
use super::read;
use super::strict::{rest_s, strict};
use super::token::{Piece, Token, is_amount, is_way, lower, seconds, text_of};
use crate::plan::minutes::as_meant;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::{Block, Category, Dose};
use as_one::{in_one, in_rounds, is_free_rest, is_one_row, label, rested};
use seam::without_category;

pub(super) use rest_between::rest_between;
pub(super) use rounds::several_times;
pub(super) use seam::{cut, says_then};

/// Most parts of a line.
const MOST: usize = 8;

/// A single run of this length or longer is one thing to do, m.
const LONG_M: f64 = 200.0;

/// One part as it was read.
struct Part {
    /// As it was written.
    written: String,
    block: Block,
    remark: Option<String>,
    /// What else it may be.
    others: Vec<String>,
}

impl Part {
    fn line(&self) -> String {
        let tidy = self.block.line_text(true);
        match &self.remark {
            Some(remark) => format!("{tidy}  # {remark}"),
            None => tidy,
        }
    }

    /// The line of one of its readings, the last where there are fewer.
    fn reading(&self, index: usize) -> String {
        match index.min(self.others.len()).checked_sub(1) {
            Some(other) => self.others.get(other).cloned().unwrap_or_default(),
            None => self.line(),
        }
    }
}

/// The question, and whether each part says by words what it is.
pub(super) struct InTurn {
    pub asked: Scribble,
    pub named: bool,
}

/// Asks about a line of several parts, each of which is a block by itself.
pub(super) fn in_turn(pieces: &[Piece], around: Around<'_>) -> Option<InTurn> {
    // A part is read as a line of its own, which has no parts again.
    if around.part || around.inside {
        return None;
    }
    several_times(pieces, around).or_else(|| one_after_the_other(pieces, around, false))
}

/// `1st touch 10 min, 2nd touch 5 min`: each part says which it is, so none is the rest behind another.
pub(super) fn are_numbered(pieces: &[Piece]) -> bool {
    let ordinal = |token: &Token| {
        let word = token.lower();
        let digits = word.trim_end_matches(|c: char| c.is_ascii_alphabetic());
        let ends = word.get(digits.len()..).unwrap_or_default();
        digits.parse::<u32>().is_ok() && is_one_of(ends, "st, nd, rd, th")
    };
    let timed = |piece: &Piece| (1..piece.len()).any(|at| seconds(piece, at).is_some());
    pieces.len() > 1 && (pieces.iter()).all(|piece| piece.iter().any(ordinal) && timed(piece))
}

/// The same of a line that nothing else reads: parts that are asked about are shown in each of their readings.
pub(super) fn in_turn_openly(pieces: &[Piece], around: Around<'_>) -> Option<Scribble> {
    if around.part || around.inside {
        return None;
    }
    Some(one_after_the_other(pieces, around, true)?.asked)
}

/// The parts of a line; where they are `open`, also those that are asked about.
fn one_after_the_other(pieces: &[Piece], around: Around<'_>, open: bool) -> Option<InTurn> {
    let (own, pieces) = without_category(pieces);
    let whole = told_of_all(&pieces);
    let pieces = cut(&with_their_rests(pieces));
    let line = own.or(pieces.first().and_then(explicit));
    // `warm up 10 min, rondo 10 min, game 20 min`: the first category is not that of all.
    let many =
        (pieces.iter().skip(1)).any(|piece| explicit(piece).is_some_and(|own| Some(own) != line));
    let count = pieces.len();
    let mut parts: Vec<Part> = Vec::new();
    let mut ahead = None;
    for (index, piece) in pieces.iter().enumerate() {
        let written = text_of(piece);
        // `technical: passing 15 min then 4v4 4 x 5 min`
        let plays = index > 0 && kind_of(piece).is(Category::Game);
        let ends = matches!(line, Some(Category::WarmUp | Category::CoolDown));
        let runs = index > 0 && ends && is_a_run(piece);
        let own = line.filter(|_| (!many || index == 0) && !plays && !runs);
        // `goalkeeper: handling 10 min, diving 10 min`
        if index == 0 && !piece.iter().any(Token::is_number) {
            ahead = Some(written);
            continue;
        }
        // A jog in front of sprints is a warm-up, and one behind them a cool-down.
        let moves = own.is_none() && matches!(kind_of(piece), Kind::Moving { .. });
        // `5 min jog, 3 x 40 m strides`, but not `2 laps easy, 1 lap hard, 1 lap easy`
        let hard = piece.iter().any(|token| is_hard(&token.lower()));
        let all = |category| parts.iter().all(|part| part.block.category == category);
        // `jog 800 m, 4 x 100 m strides, jog 800 m`
        let comes_home = index + 1 == count
            && !piece.contains(&Token::Times)
            && parts.iter().any(|part| part.block.reps() > 1);
        let gets_warm = !parts.is_empty() && !hard && !comes_home;
        let warms = Some(Category::WarmUp).filter(|warms| gets_warm && all(*warms));
        let alone = Around {
            carried: if moves {
                warms
            } else {
                // `5 min mobility, 6 x 40 m`: a way is run, and not in the gym.
                let way = (0..piece.len()).any(|at| is_way(piece, at));
                let carried = own.or(whole).or(around.carried);
                carried.filter(|carried| own.is_some() || !(way && *carried == Category::Gym))
            },
            // Who runs hard neither warms up nor cools down.
            first: index == 0 && !hard,
            last: index + 1 == pieces.len() && !hard,
            part: true,
            pitch: around.pitch,
            ..Around::default()
        };
        if is_no_part(index, piece) {
            return None;
        }
        // `6 x 10 m, 4 x 20 m, full rest`: what has no number may be the rest of what has.
        if index > 0 && !piece.iter().any(Token::is_number) && is_free_rest(&written) {
            rested(&mut parts, &written);
            continue;
        }
        // `warm up: jog 5 min, skips, strides 3 x 40 m`: what has no number is told beside what has.
        if index > 0
            && !piece.iter().any(Token::is_number)
            && let Some(last) = parts.last_mut()
        {
            last.note(Some(written));
            continue;
        }
        match read_part(&written, alone) {
            // A bare number belongs to what stands before it.
            Some(Scribble::Block { .. }) if !(says_what(piece) || index == 0 && own.is_some()) => {
                return None;
            }
            Some(Scribble::Block { block, remark, .. }) => {
                let block = Block {
                    category: own.unwrap_or(block.category),
                    ..*block
                };
                // `warm up 10m, sprints 6 x 20m, game 20m`
                let (block, _) = as_meant(block, &written);
                parts.push(Part {
                    written,
                    block,
                    remark,
                    others: Vec::new(),
                });
            }
            Some(Scribble::Rest { said, remark }) => parts.last_mut()?.rest(said, remark)?,
            // What is asked about is shown in its likeliest reading.
            Some(Scribble::Ask { lines, .. }) if piece.iter().any(is_lap) => {
                let (block, _) = strict(lines.first()?).ok()?;
                parts.push(Part {
                    written,
                    block,
                    remark: None,
                    others: Vec::new(),
                });
            }
            // A time that leads a count, `20 s x 2 sets`, is rather the rest of what stands before it.
            Some(Scribble::Ask { lines, .. })
                if open
                    && (says_what(piece) || index == 0 && own.is_some())
                    && !(seconds(piece, 0).is_some() && piece.get(2) == Some(&Token::Times)) =>
            {
                parts.push(open_part(written, lines, index, count)?);
            }
            Some(Scribble::Remark) => parts.last_mut()?.note(Some(written)),
            _ => return None,
        }
    }
    if !(2..=MOST).contains(&parts.len()) || is_one_row(&parts) {
        return None;
    }
    if let Some(ahead) = ahead {
        label(&mut parts, &ahead);
    }
    question(&parts)
}

/// The category whose own word stands in a part: `10 min warm up inc 4 x 20 m strides`.
fn explicit(piece: &Piece) -> Option<Category> {
    match kind_of(piece) {
        Kind::One {
            category,
            explicit: true,
        } => Some(category),
        _ => None,
    }
}

/// A part that is asked about. A warm-up begins a session and a cool-down ends it, so elsewhere they come last.
fn open_part(written: String, mut lines: Vec<String>, index: usize, count: usize) -> Option<Part> {
    lines.sort_by_key(|line| {
        index > 0 && line.starts_with(Category::WarmUp.word())
            || index + 1 < count && line.starts_with(Category::CoolDown.word())
    });
    let first = lines.remove(0);
    let (plain, remark) = match first.split_once("  # ") {
        Some((plain, remark)) => (plain, Some(remark.to_owned())),
        None => (first.as_str(), None),
    };
    Some(Part {
        written,
        block: strict(plain).ok()?.0,
        remark,
        others: lines,
    })
}

/// The question with a line for each part.
fn question(parts: &[Part]) -> Option<InTurn> {
    let readings = parts
        .iter()
        .map(|part| part.others.len() + 1)
        .max()?
        .min(SHOWN);
    let reading = |index| {
        parts
            .iter()
            .map(|part| part.reading(index))
            .collect::<Vec<_>>()
    };
    // A warm-up begins a session and a cool-down ends it.
    let in_place = |lines: &Vec<String>| {
        let of = |line: &String, category: Category| line.starts_with(category.word());
        !lines.windows(2).any(|two| match two {
            [one, next] => {
                of(next, Category::WarmUp) && !of(one, Category::WarmUp)
                    || of(one, Category::CoolDown) && !of(next, Category::CoolDown)
            }
            _ => false,
        })
    };
    let mut lines: Vec<String> = (0..readings)
        .map(reading)
        .enumerate()
        .filter(|(index, lines)| *index == 0 || in_place(lines))
        .map(|(_, lines)| lines.join("\n"))
        .collect();
    if readings == 1 {
        lines.extend(in_one(parts).or_else(|| in_rounds(parts)));
    }
    let named = parts.iter().all(|part| part.block.name.is_some());
    let asked = Scribble::Ask {
        message: format!(
            "this line says {} things to do; each stands on a line of its own",
            parts.len()
        ),
        written: None,
        lines,
    };
    Some(InTurn { asked, named })
}

impl Part {
    /// Puts the rest behind it. `None` where it has no room for it.
    fn rest(&mut self, said: String, remark: Option<String>) -> Option<()> {
        // One unbroken bout has no reps to rest between.
        let said = match (self.block.dose, rest_s(&said)) {
            (Dose::Continuous { .. }, Some(seconds)) => format!("then {seconds} s"),
            _ => said,
        };
        let with = format!("{}, {said}", self.block.line_text(true));
        self.block = strict(&with).ok()?.0;
        self.note(remark);
        Some(())
    }

    fn note(&mut self, more: Option<String>) {
        self.remark = match (self.remark.take(), more) {
            (Some(one), Some(other)) => Some(format!("{one}; {other}")),
            (one, other) => one.or(other),
        };
    }
}

/// `6 x 1 min hard/1 min easy`: what is done easily behind it belongs to it.
fn with_their_rests(pieces: Vec<Piece>) -> Vec<Piece> {
    let mut out: Vec<Piece> = Vec::with_capacity(pieces.len());
    for piece in pieces {
        let easy = piece.len() == 3 && seconds(&piece, 0).is_some() && {
            let word = lower(&piece, 2);
            gait::is_gait(&word) || gait::is_gently(&word)
        };
        match out.last_mut() {
            Some(last)
                if easy
                    && last.contains(&Token::Times)
                    && is_hard(&lower(last, last.len() - 1))
                    && last
                        .len()
                        .checked_sub(3)
                        .is_some_and(|at| seconds(last, at).is_some()) =>
            {
                last.extend(piece);
            }
            _ => out.push(piece),
        }
    }
    out
}

/// The category that the words of all parts tell.
fn told_of_all(pieces: &[Piece]) -> Option<Category> {
    match kind_of(&pieces.concat()) {
        Kind::One {
            category,
            explicit: false,
        } => Some(category),
        _ => None,
    }
}

/// `warm up 10 min then 6 x 30 m`: runs that no word says the kind of.
fn is_a_run(piece: &Piece) -> bool {
    let counted = |at: usize| is_way(piece, at) && piece.get(at - 1) == Some(&Token::Times);
    kind_of(piece) == Kind::Nothing && (2..piece.len()).any(counted)
}

/// What is nothing to do by itself: the range of `intermittent 10-20, 2 x 8 min`, and how long one runs and rests, of
/// `14 x 100 m, 14 s on / 46 s off`.
fn is_no_part(index: usize, piece: &Piece) -> bool {
    let pair = |token: &Token| is_one_of(&token.lower(), "on, off");
    let amount = piece.windows(2).any(is_amount);
    let uncounted = !piece.contains(&Token::Times);
    index > 0 && uncounted && piece.iter().any(pair) || !amount && piece.iter().any(is_range)
}

/// `10-20`
fn is_range(token: &Token) -> bool {
    matches!(token, Token::Number(text) if text.matches(['-', '/']).count() == 1)
}

/// What nobody does to get warm.
fn is_hard(word: &str) -> bool {
    is_one_of(word, "hard, fast, quick, strong, sprint, tempo, steady")
}

fn is_lap(token: &Token) -> bool {
    matches!(token.lower().as_str(), "lap" | "laps")
}

/// Whether a part says what is done in it, or how often.
fn says_what(piece: &[Token]) -> bool {
    let word = |token: &Token| match token {
        Token::Word { .. } => {
            let word = token.lower();
            unit_of(&word).is_none() && word != "times"
        }
        Token::Name(_) => true,
        _ => false,
    };
    piece.iter().any(word) || piece.contains(&Token::Times)
}

/// A part as the notation or a scribble has it.
fn read_part(written: &str, around: Around<'_>) -> Option<Scribble> {
    if let Ok((block, open_rest)) = strict(written) {
        return Some(Scribble::Block {
            block: Box::new(block),
            remark: None,
            open_rest,
        });
    }
    read(written, around)
}
