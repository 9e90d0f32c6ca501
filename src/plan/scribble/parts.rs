//! A line that says one thing after another: `5 min jog, 5 min stretch`, `4 x 30 m rest 2 min then 2 x 60 m`, `3 x 12 squats,
//! 12 lunges each leg`. Each part is read by itself, and what was meant is asked about with the parts on lines of their own.

use super::ask::SHOWN;
use super::gait;
use super::kind::{self, Kind, explicit_at, kind_of};
use super::meaning::{Around, Scribble};
use super::read;
use super::strict::{rest_s, strict};
use super::token::{Piece, Token, is_amount, is_rest, is_way, lower, seconds, text_of};
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::{Block, Category, Dose, Rest, Work};

/// Most parts of a line.
const MOST: usize = 8;

/// Most reps of one part of a row that is done several times.
const MOST_IN_A_ROW: u32 = 30;

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

/// `4 hurdle hops + 10 m sprint x 5`: rounds of all, or so many times the last.
pub(super) fn several_times(pieces: &[Piece], around: Around<'_>) -> Option<InTurn> {
    if around.part || around.inside {
        return None;
    }
    let mut row = pieces.to_vec();
    let (times, behind) = match (
        row.first().map(Vec::as_slice),
        row.last().map(Vec::as_slice),
    ) {
        (Some([Token::Number(times), Token::Times, next, ..]), _) if next.is_number() => {
            let times = times.clone();
            row.first_mut()?.drain(..2);
            (times, false)
        }
        // `15 m sprint, 5 push-ups, 15 m sprint, x 5`
        (_, Some([Token::Times, Token::Number(times)])) => {
            let times = times.clone();
            row.pop();
            (times, false)
        }
        (_, Some([.., before, Token::Times, Token::Number(times)])) if !before.is_number() => {
            let times = times.clone();
            let last = row.last_mut()?;
            last.truncate(last.len() - 2);
            (times, true)
        }
        _ => return None,
    };
    let counted = row.iter().any(|piece| piece.contains(&Token::Times));
    let row = cut(&row);
    if counted || !(2..=MOST).contains(&row.len()) {
        return None;
    }
    let timed = row.iter().all(|piece| seconds(piece, 0).is_some());
    let mut done: Vec<Block> = Vec::new();
    for piece in &row {
        let alone = Around {
            part: true,
            pitch: around.pitch,
            ..Around::default()
        };
        let laps = piece.iter().any(is_lap);
        let block = match (read_part(&text_of(piece), alone)?, done.last_mut()) {
            // Its own word says what it is.
            (
                Scribble::Block {
                    block,
                    remark: None,
                    ..
                },
                _,
            ) => *block,
            // A lap has the length of a usual pitch, and in a row it is a run.
            (Scribble::Ask { lines, .. }, _) if laps => Block {
                category: Category::Resistance,
                ..strict(lines.first()?).ok()?.0
            },
            (Scribble::Rest { said, .. }, Some(last)) if last.then_s.is_none() => {
                last.then_s = Some(rest_s(&said)?);
                continue;
            }
            // `5 x (30 s easy, 20 s moderate, 10 s sprint)` is run.
            (Scribble::Ask { lines, .. }, _) if timed => Block {
                category: Category::Resistance,
                ..strict(lines.first()?).ok()?.0
            },
            _ => return None,
        };
        if block.name.is_none() && block.effort.is_none()
            || block.rest != Rest::RunOn
            || block.reps() * block.sets() > MOST_IN_A_ROW
        {
            return None;
        }
        done.push(block);
    }
    let mut lines = format!("{} rounds of", times.parse::<u32>().ok()?);
    for block in &done {
        lines.push_str("\n  ");
        lines.push_str(&block.line_text(true));
    }
    let mut lines = vec![lines];
    if behind
        && let Some(InTurn {
            asked: Scribble::Ask { lines: one, .. },
            ..
        }) = one_after_the_other(pieces, around, false)
    {
        lines.extend(one);
    }
    Some(InTurn {
        asked: Scribble::Ask {
            message: format!(
                "this line says {} things to do, or rounds of them",
                row.len()
            ),
            written: None,
            lines,
        },
        named: true,
    })
}

/// The parts of a line; where they are `open`, also those that are asked about.
fn one_after_the_other(pieces: &[Piece], around: Around<'_>, open: bool) -> Option<InTurn> {
    let (own, pieces) = without_category(pieces);
    let whole = match kind_of(&pieces.concat()) {
        Kind::One {
            category,
            explicit: false,
        } => Some(category),
        _ => None,
    };
    let pieces = cut(&pieces);
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
        // `warm up 10 min then 6 x 30 m`
        let runs = index > 0
            && matches!(line, Some(Category::WarmUp | Category::CoolDown))
            && kind_of(piece) == Kind::Nothing
            && (2..piece.len())
                .any(|at| is_way(piece, at) && piece.get(at - 1) == Some(&Token::Times));
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
        let warms =
            Some(Category::WarmUp).filter(|warms| !parts.is_empty() && !hard && all(*warms));
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
        // `intermittent 10-20, 2 x 8 min`: a range is no part.
        if piece.iter().any(is_range)
            && !(0..piece.len()).any(|at| piece.get(at..at + 2).is_some_and(is_amount))
        {
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
                parts.push(Part {
                    written,
                    block,
                    remark,
                    others: Vec::new(),
                });
            }
            Some(Scribble::Rest { said, remark }) => {
                let last = parts.last_mut()?;
                // One unbroken bout has no reps to rest between.
                let said = match (last.block.dose, rest_s(&said)) {
                    (Dose::Continuous { .. }, Some(seconds)) => format!("then {seconds} s"),
                    _ => said,
                };
                let with = format!("{}, {said}", last.block.line_text(true));
                last.block = strict(&with).ok()?.0;
                last.note(remark);
            }
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

/// Whether words are a rest of free length: `walk back`, `full rest`.
fn is_free_rest(words: &str) -> bool {
    strict(&format!("resistance 6 x 30 m, {words}"))
        .is_ok_and(|(block, _)| block.rest == Rest::WalkBack)
}

/// Gives a rest behind all parts to the last, and to those before it where none has its own.
fn rested(parts: &mut [Part], rest: &str) {
    let with = |line: &str| {
        let (plain, remark) = line
            .split_once("  # ")
            .map_or((line, None), |(plain, remark)| (plain, Some(remark)));
        let (block, _) = strict(&format!("{plain}, {rest}")).ok()?;
        Some((block, remark.map(str::to_owned)))
    };
    let alone =
        (parts.iter()).all(|part| part.block.rest == Rest::RunOn && part.block.then_s.is_none());
    let from = if alone { 0 } else { parts.len() - 1 };
    for part in parts.iter_mut().skip(from) {
        if let Some((block, _)) = with(&part.block.line_text(true)) {
            part.block = block;
        }
        for other in &mut part.others {
            if let Some((block, remark)) = with(other) {
                let tidy = block.line_text(true);
                *other = remark.map_or(tidy.clone(), |remark| format!("{tidy}  # {remark}"));
            }
        }
    }
}

/// `Sprints: 10 m x 6 / 20 m x 4`: what stands ahead is the name of all that have none, where none has one; else it is told.
fn label(parts: &mut [Part], ahead: &str) {
    let named = parts
        .iter()
        .any(|part| part.block.name.is_some() || !part.others.is_empty());
    if named {
        if let Some(first) = parts.first_mut() {
            first.note(Some(ahead.to_owned()));
        }
        return;
    }
    for part in parts {
        part.block.name = Some(ahead.replace('"', ""));
    }
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
    fn note(&mut self, more: Option<String>) {
        self.remark = match (self.remark.take(), more) {
            (Some(one), Some(other)) => Some(format!("{one}; {other}")),
            (one, other) => one.or(other),
        };
    }
}

/// `10-20`
fn is_range(token: &Token) -> bool {
    matches!(token, Token::Number(text) if text.matches(['-', '/']).count() == 1)
}

/// What nobody does to get warm.
fn is_hard(word: &str) -> bool {
    is_one_of(word, "hard, fast, quick, strong, sprint, tempo")
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

/// `15 m sprint, 5 m walk x 6`: one rep after the other, and counted together.
fn is_one_row(parts: &[Part]) -> bool {
    let single = |part: &Part| {
        part.block.reps() * part.block.sets() == 1
            && matches!(part.block.dose, Dose::Reps { work: Work::Distance(m), .. } if m < LONG_M)
    };
    let counted = |part: &Part| part.written.contains(" x ");
    let behind = parts.split_last().is_some_and(|(last, others)| {
        let count = last.written.rsplit(" x ").next().unwrap_or_default();
        let ends = counted(last) && count.bytes().all(|b| b.is_ascii_digit());
        let timed = |part: &Part| matches!(part.block.dose, Dose::Continuous { .. });
        ends && !others.iter().all(|part| timed(part) || counted(part))
    });
    behind || parts.iter().any(single)
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

/// The category that the line begins with, and the pieces without it.
fn without_category(pieces: &[Piece]) -> (Option<Category>, Vec<Piece>) {
    let mut pieces = pieces.to_vec();
    let found = pieces.first().and_then(|first| explicit_at(first, 0));
    if let (Some((words, _)), Some(first)) = (found, pieces.first_mut()) {
        first.drain(..words);
    }
    pieces.retain(|piece| !piece.is_empty());
    (found.map(|(_, category)| category), pieces)
}

/// The pieces, cut again where one part follows another without a comma: at `then`, `and` or `with` before a number, and
/// where the word of another move stands behind a dose.
fn cut(pieces: &[Piece]) -> Vec<Piece> {
    let mut out = Vec::new();
    for piece in pieces {
        let mut rest = piece.clone();
        while let Some((end, begin)) = seam(&rest) {
            let tail = rest.split_off(begin);
            rest.truncate(end);
            out.push(std::mem::replace(&mut rest, tail));
        }
        out.push(rest);
    }
    // `finish with 3 x 30 m`
    for piece in &mut out {
        let leads = |token: &Token| {
            is_one_of(
                &token.lower(),
                "finish, start, with, w, w/, then, and, plus, inc, incl, including",
            )
        };
        let lead = piece.iter().take_while(|token| leads(token)).count();
        // `then 3 min rest` lies behind what was done.
        let rests = lead > 0
            && lower(piece, lead - 1) == "then"
            && seconds(piece, lead).is_some()
            && (piece.len() == lead + 2
                || piece.len() == lead + 3 && is_rest(&lower(piece, lead + 2)));
        if rests {
            piece.truncate(lead + 2);
        }
        piece.drain(..lead - usize::from(rests));
    }
    out.retain(|piece| !piece.is_empty());
    out
}

/// Where a part ends, and the next begins.
fn seam(piece: &[Token]) -> Option<(usize, usize)> {
    let word = |at: usize| lower(piece, at);
    let number = |at: usize| piece.get(at).is_some_and(Token::is_number);
    // `10 min rondo 8 min finishing`: each time leads the words behind it.
    let time = |at: usize| number(at) && matches!(unit_of(&word(at + 1)), Some("s" | "min"));
    let known = |from: usize, to: usize| (from..to).any(|at| kind::is_known(&word(at)));
    if time(0) && !piece.contains(&Token::Times) {
        let next = (3..piece.len()).find(|at| time(*at));
        return next
            .filter(|at| known(2, *at) && known(at + 2, piece.len()))
            .map(|at| {
                let joins = is_one_of(&word(at - 1), "then, and, plus");
                (at - usize::from(joins), at)
            })
            .or_else(|| joint(piece));
    }
    joint(piece)
}

/// Where a word joins two parts, or that of another move begins the second.
fn joint(piece: &[Token]) -> Option<(usize, usize)> {
    let word = |at: usize| lower(piece, at);
    let number = |at: usize| piece.get(at).is_some_and(Token::is_number);
    let numbers = |from: usize, to: usize| (from..to).any(number);
    // `10 squats 20 lunges`, `squats 10 lunges 10`
    let counts = |at: usize| {
        let up = usize::from(word(at).starts_with("up"));
        kind::is_counted(&word(at.saturating_sub(up)))
    };
    let two_counts = |at: usize| {
        let leads = number(at) && counts(at - 1) && (at + 1..at + 3).any(counts);
        leads && numbers(0, at)
            || at > 1 && number(at - 1) && counts(at - 2) && counts(at) && number(at + 1)
    };
    let seam = (2..piece.len()).find(|at| two_counts(*at));
    if let Some(at) = seam.filter(|_| !piece.contains(&Token::Times)) {
        return Some((at, at));
    }
    (2..piece.len()).find_map(|at| {
        if !numbers(0, at) || !numbers(at + 1, piece.len()) {
            return None;
        }
        let joins = matches!(
            word(at).as_str(),
            "then" | "and" | "plus" | "inc" | "incl" | "including"
        );
        if joins {
            return Some((at, at + 1));
        }
        // `jog 5 min walk 5 min`
        let behind = unit_of(&word(at - 1)).is_some() && number(at - 2);
        let moves = kind::is_known(&word(at)) && number(at + 1);
        let rests = gait::is_gait(&word(at)) && piece.contains(&Token::Times);
        (behind && moves && !rests).then_some((at, at))
    })
}

/// Parts that go on without a break, as one block of their whole time.
fn in_one(parts: &[Part]) -> Option<String> {
    let first = parts.first()?;
    let category = first.block.category;
    let whole = matches!(
        category,
        Category::WarmUp | Category::CoolDown | Category::Technical
    );
    let mut sum_s = 0.0;
    for part in parts {
        let Dose::Continuous { duration_s } = part.block.dose else {
            return None;
        };
        if part.block.category != category || part.block.then_s.is_some() {
            return None;
        }
        sum_s += duration_s;
    }
    let name: Vec<&str> = parts.iter().map(|part| part.written.as_str()).collect();
    let block = Block {
        name: Some(name.join(" ").replace('"', "")),
        dose: Dose::Continuous { duration_s: sum_s },
        ..Block::new(category, first.block.dose)
    };
    whole.then(|| block.line_text(true))
}

/// `3 x 12 squats, 12 lunges each leg`: the sets of the first may be those of all.
fn in_rounds(parts: &[Part]) -> Option<String> {
    let (first, others) = parts.split_first()?;
    let sets = |part: &Part| match part.block.dose {
        Dose::Reps {
            sets,
            work: Work::Count,
            ..
        } => Some(sets),
        _ => None,
    };
    let times = sets(first).filter(|sets| *sets > 1)?;
    let plain = |part: &Part| part.block.rest == Rest::RunOn && part.block.between_sets_s.is_none();
    if !parts.iter().all(plain) || others.iter().any(|part| sets(part) != Some(1)) {
        return None;
    }
    let mut out = format!("{times} rounds of");
    for part in parts {
        let mut block = part.block.clone();
        if let Dose::Reps { sets, .. } = &mut block.dose {
            *sets = 1;
        }
        out.push_str("\n  ");
        out.push_str(&block.line_text(true));
    }
    Some(out)
}
