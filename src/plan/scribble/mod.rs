//! Lines as they are scribbled: no category, a list, a rest on a line of its own, words for the player himself.
//!
//! Only what the notation itself cannot read comes here, so nothing that is written in it changes its meaning. A line is cut
//! into pieces (`token`), numbers that are no amounts are made words (`labels`), and it is reworded (`reworded`: what is for the
//! player `aside`, a `count` behind its work, numbers with a word for each (`keyed`), `moves` in turn, `ways` of the pitch, a
//! `free_rest`; a pair of numbers with a `slash` is asked about); the words of the notation are told from the others (`phrase`), the
//! kind of work is told by its words (`kind`), and the notation then reads what was put together: there is one reader of doses and
//! rests. What can mean several things is asked about with each of them ready to copy, a line that is understood but for its end is
//! offered `as_far` as it goes, and what has a slip in it is left to the notation's own mistakes.

mod again;
mod as_far;
mod aside;
mod count;
mod figures;
mod free_rest;
mod gait;
mod keyed;
mod kind;
mod labels;
mod moves;
mod opening;
mod pair;
mod parts;
mod phrase;
mod reworded;
mod several;
mod shuttles;
mod slash;
mod slip;
mod timed_rest;
mod token;
mod ways;

use crate::plan::line::Line;
use crate::plan::near::{is_one_of, nearest};
use crate::plan::phrase::{NO_COUNT, Phrases, unit_of};
use crate::plan::rounds::Rounds;
use crate::plan::word::clean;
use crate::plan::{Block, Category, Dose, Effort, Mistake, PitchSize, Rest, Work, timetable, word};

use kind::{Kind, explicit_at, kind_of};
use phrase::{Split, is_filler, is_half, is_slip, spelt_out, split, turns};
use reworded::{Doubt, Reworded, reworded};
use token::{Piece, Token, cut, lower, text_of};

pub(super) use again::Again;
pub(super) use as_far::{AsFar, as_far_as_it_goes};
pub(super) use opening::{is_title, opening};
pub(super) use token::list_mark;

/// The longest line that is looked at, bytes: nobody scribbles a longer one.
const LONGEST: usize = 400;
/// The longest line that is shown again with its slips put right, bytes.
const LONGEST_SHOWN: usize = 160;
/// Said where the notation's own mistake may say it better.
pub(super) const NOT_UNDERSTOOD: &str = "this line is not understood";
/// Asked where a time behind a dose may be a rest.
const NO_REST: &str = "the time behind this dose does not say what it is";
/// Asked where the rest is as long as reps that differ.
const DIFFERS: &str = "the reps differ, and so would rests as long as they; a set has one rest";
/// Asked where the rest is as long as a run over a distance.
const AS_LONG_AS_A_RUN: &str =
    "a rest as long as a run over a distance has no length of its own; so long is usual";
/// Runs of this length or longer are no maximal sprints, m.
const ENDURANCE_M: f64 = 200.0;
/// Lengths of runs whose plural reads as seconds, `400s x 4`, m.
const LENGTHS: [&str; 5] = ["200", "300", "400", "600", "800"];
/// A jog of this length or longer that is called a recovery is work of its own, min.
const SHORTEST_RECOVERY_MIN: f64 = 8.0;
/// Most readings that are shown.
const SHOWN: usize = 3;

/// What stands around a line.
#[derive(Clone, Copy, Debug, Default)]
#[allow(
    clippy::struct_excessive_bools,
    reason = "each is one thing that is so around a line or is not"
)]
pub(super) struct Around<'a> {
    /// The category that a line above said for those below it.
    pub carried: Option<Category>,
    /// No block comes before it.
    pub first: bool,
    /// No line with a number comes behind it.
    pub last: bool,
    /// The next line, where it has a number.
    pub next: Option<&'a str>,
    /// It belongs to the list of rounds.
    pub inside: bool,
    /// It is an item of a list below a block that is none, and tells what is done in it.
    pub beneath: bool,
    /// It is a part of a line.
    pub part: bool,
    /// The pitch that the plan names.
    pub pitch: Option<PitchSize>,
}

/// What a scribbled line means.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Scribble {
    /// A block, the words beside it, and whether its rest could be one between sets.
    Block {
        block: Box<Block>,
        remark: Option<String>,
        open_rest: bool,
    },
    /// `Sprints:`, above lines that do not say their kind.
    Heads(Category),
    /// `rest 3 min`, in the notation's words, for the block above, and the words beside it.
    Rest {
        said: String,
        remark: Option<String>,
    },
    /// `rest 90 s then jog back`: two rests, of which the block above can have one.
    EitherRest { message: String, rests: [String; 2] },
    /// `x 2`, for the block above.
    Again(Again),
    /// `rest 3 min between rounds`, for the rounds above.
    RoundsRest { rest_s: f64, remark: Option<String> },
    /// `circuit, 3 rounds:`
    Rounds {
        rounds: Rounds,
        remark: Option<String>,
    },
    /// Words that ask for nothing.
    Remark,
    /// It can mean several things, or lacks one.
    Ask {
        message: String,
        /// The words it is about, where it is not the whole line.
        written: Option<String>,
        lines: Vec<String>,
    },
}

/// Reads the content of a line, without its comment. `None` where it is not understood.
pub(super) fn read(content: &str, around: Around<'_>) -> Option<Scribble> {
    let content = content.get(list_mark(content).unwrap_or(0)..)?;
    if content.len() > LONGEST {
        return None;
    }
    if let Some(plain) = figures::without_brackets(content) {
        return read(&plain, around);
    }
    if opening::is_before_a_match(content) || opening::asks_for_nothing(content) {
        return Some(Scribble::Remark);
    }
    if let Some(rounds) = several::rounds_in_a_line(content, around) {
        return Some(rounds);
    }
    let (pieces, comment) = cut(content)?;
    if let Some(again) = again::read(&pieces) {
        return Some(Scribble::Again(again));
    }
    let pieces = labels::joined(recovery_named(without_label(figures::put(pieces))));
    if let Some(asked) = with_a_slash(&pieces, around) {
        return Some(asked);
    }
    if let Some(asked) = over_several_ways(&pieces, around) {
        return Some(asked);
    }
    let slip = match slip::corrected(&pieces) {
        Some(slip) if slip.counts => return with_a_slip(slip, content, around),
        slip => slip,
    };
    // A bracket tells of what stands in front of it, or holds what is done so often.
    let turns = match content.split_once(['(', '[']) {
        None => parts::in_turn(&pieces, around),
        Some((ahead, _)) if is_times_at_the_end(ahead) => parts::several_times(&pieces, around),
        Some(_) => None,
    };
    let line = Scribbled::new(pieces, comment, around.pitch);
    match (one_thing(&line, content, around), turns) {
        (Some(Scribble::Ask { .. }), Some(turns)) if content.contains('(') => Some(turns.asked),
        // A part was taken for a rest, or for more of the same.
        (Some(Scribble::Ask { message, .. }), Some(turns))
            if matches!(message.as_str(), NOT_UNDERSTOOD | NO_REST)
                || turns.named && message.ends_with(several::DOSES) =>
        {
            Some(turns.asked)
        }
        (Some(read), _) => Some(read),
        (None, Some(turns)) => Some(turns.asked),
        (None, None) => {
            brackets_aside(content, around).or_else(|| with_a_slip(slip?, content, around))
        }
    }
}

/// Reads a line as one block, one rest or words.
fn one_thing(line: &Scribbled, content: &str, around: Around<'_>) -> Option<Scribble> {
    if line.words.is_empty() && line.splits.iter().all(|split| split.kept.is_empty()) {
        return Some(Scribble::Remark);
    }
    if let Some(rounds) = line.rounds() {
        return Some(rounds);
    }
    if let Some(rest) = line.rest() {
        return Some(rest);
    }
    if around.beneath && !content.contains(|c: char| c.is_ascii_digit()) {
        return Some(Scribble::Remark);
    }
    let kind = line.kind(around);
    if line.splits.iter().all(|split| split.kept.is_empty()) {
        return line.without_a_number(&kind, around);
    }
    line.block(kind, around)
}

/// Whether a line is of another kind than this by its own words: a jog or a run is what the line above says.
pub(super) fn is_of_another_kind(content: &str, category: Category) -> bool {
    cut(content).is_some_and(|(pieces, _)| match kind_of(&pieces.concat()) {
        Kind::One {
            category: own,
            explicit,
        } => explicit || own != category,
        Kind::Several(_) => true,
        Kind::Moving { .. } | Kind::Nothing => false,
    })
}

/// Whether a line says by itself what kind of work it is; a jog or a run is what the line above says.
pub(super) fn says_a_kind(content: &str) -> bool {
    cut(content).is_some_and(|(pieces, _)| {
        let tokens: Vec<Token> = pieces.concat();
        matches!(kind_of(&tokens), Kind::One { .. } | Kind::Several(_))
    })
}

/// What is wrong with a phrase behind a dose, its place in the phrase; `None` where it can be read.
pub(super) fn cause(phrase: &str) -> Option<Mistake> {
    let lead = "resistance 3 x 4 x 12 s, ";
    let whole = format!("{lead}{phrase}");
    let wrong = strict(&whole).err()?;
    if !matches!(
        read(&whole, Around::default()),
        None | Some(Scribble::Ask { .. })
    ) {
        return None;
    }
    // What clashes with that dose is no mistake of the phrase.
    let clashes = |mistake: &Mistake| mistake.message.starts_with("this block has");
    let mut first = wrong.into_iter().next().filter(|first| !clashes(first))?;
    let start = first.span.start.checked_sub(lead.len())?;
    first.span = start..first.span.end.saturating_sub(lead.len());
    first.lines.clear();
    Some(first)
}

/// Whether nothing but the mark of a list keeps the notation from reading a line.
pub(super) fn is_listed(content: &str) -> bool {
    list_mark(content)
        .and_then(|at| content.get(at..))
        .is_some_and(|words| strict(words).is_ok())
}

/// A line of the notation in its tidy form, where it is one.
pub(super) fn tidied(text: &str) -> Option<String> {
    Some(strict(text).ok()?.0.line_text(true))
}

/// The length of a rest in the notation's words, s, where it has one.
pub(super) fn rest_s(said: &str) -> Option<f64> {
    match strict(&format!("resistance 3 x 12 s, {said}")).ok()?.0 {
        Block {
            rest: Rest::Timed(seconds),
            ..
        } => Some(seconds),
        Block { then_s, .. } => then_s,
    }
}

/// A block that the notation reads, and whether its rest is open; or its mistakes.
fn strict(text: &str) -> Result<(Block, bool), Vec<Mistake>> {
    let line = Line {
        text,
        number: 1,
        start: 0,
        end: text.len(),
    };
    let words = word::words(line, 0);
    let mut phrases = Phrases::new(line, words.list, !words.mistakes.is_empty());
    let block = phrases.block();
    let mut wrong = words.mistakes;
    wrong.append(&mut phrases.mistakes);
    match block {
        Some(block) if wrong.is_empty() && words.comment.is_none() => {
            Ok((block, phrases.open_rest.is_some()))
        }
        _ => Err(wrong),
    }
}

/// Without `Part 1:`, `Station 2 -` and words that only lead on, such as `then`.
fn without_label(mut pieces: Vec<Piece>) -> Vec<Piece> {
    const LEADS: [&[&str]; 14] = [
        &["and", "then"],
        &["then"],
        &["next"],
        &["after", "that"],
        &["finally"],
        &["finish", "with"],
        &["finish", "off", "with"],
        &["start", "with"],
        &["begin", "with"],
        &["followed", "by"],
        &["to", "finish"],
        &["to", "start"],
        &["lastly"],
        &["do"],
    ];
    const PARTS: [&str; 8] = [
        "part", "station", "exercise", "drill", "stage", "phase", "block", "step",
    ];
    let label = match pieces.first().map(Vec::as_slice) {
        Some([word, Token::Number(_)]) => PARTS.contains(&word.lower().as_str()),
        _ => false,
    };
    if label && pieces.len() > 1 {
        pieces.remove(0);
    }
    if let Some(first) = pieces.first_mut() {
        let lead = LEADS.iter().find(|words| {
            let here = words.iter().enumerate();
            here.into_iter()
                .all(|(at, word)| first.get(at).is_some_and(|token| token.lower() == *word))
        });
        // `then 4 min`: a rest, in the notation's own word.
        let moves = |token: &Token| token.lower() == "easy" || kind::is_known(&token.lower());
        let rests = first.len() <= 4
            && !first.iter().any(moves)
            && matches!(first.as_slice(), [_, Token::Number(_), unit, ..] if unit_of(&unit.lower()).is_some());
        if let Some(words) = lead.filter(|_| !rests) {
            first.drain(..words.len());
        }
    }
    pieces.retain(|piece| !piece.is_empty());
    pieces
}

/// `recovery run 20 min` names work: the two words are made one, which is no rest. A short jog is one.
fn recovery_named(mut pieces: Vec<Piece>) -> Vec<Piece> {
    let long = |pair: &[Token]| match pair {
        [Token::Number(number), unit] => {
            let long = number
                .parse::<f64>()
                .is_ok_and(|number| number >= SHORTEST_RECOVERY_MIN);
            long && unit_of(&unit.lower()) == Some("min")
        }
        _ => false,
    };
    let is_long = pieces.iter().any(|piece| piece.windows(2).any(long));
    let Some(first) = pieces.first_mut() else {
        return pieces;
    };
    let word = |at: usize| lower(first, at);
    let runs = matches!(word(1).as_str(), "run" | "runs" | "running");
    if word(0) == kind::RECOVERY.trim_end() && (runs || is_long && gait::is_gait(&word(1))) {
        let name = text_of(first.get(..2).unwrap_or_default());
        first.splice(..2, [Token::word(&name)]);
    }
    pieces
}

/// A line taken apart.
struct Scribbled {
    /// All words, for the kind of work.
    words: Vec<Token>,
    splits: Vec<Split>,
    name: Option<String>,
    remarks: Vec<String>,
    doubt: Option<Doubt>,
    paired: Option<Category>,
    open_rest: Option<String>,
}

impl Scribbled {
    fn new(pieces: Vec<Piece>, comment: Option<String>, pitch: Option<PitchSize>) -> Self {
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
    fn aside(&self) -> Option<String> {
        let name = self.name.iter();
        let words: Vec<&str> = name.chain(&self.remarks).map(String::as_str).collect();
        (!words.is_empty()).then(|| words.join("; "))
    }

    /// The words of the notation, phrase by phrase.
    fn said(&self) -> String {
        let texts: Vec<String> = (self.splits.iter())
            .filter(|split| !split.kept.is_empty())
            .map(|split| text_of(&split.kept))
            .collect();
        texts.join(", ")
    }

    /// Whether a word may be a slip, or turns what it stands beside, so that the line is not understood.
    fn is_doubtful(&self) -> bool {
        self.splits.iter().any(|split| split.dangles)
            || self.splits.iter().any(|split| {
                let figures = !split.kept.is_empty();
                (split.loose.iter()).any(|token| {
                    let word = token.lower();
                    is_slip(&word)
                        || figures && (turns(&word) || is_half(&word))
                        || token.is_number() && figures && !followed_by_lap(split)
                })
            })
    }

    fn kind(&self, around: Around<'_>) -> Kind {
        match (kind_of(&self.words), around.carried.or(self.paired)) {
            (Kind::Nothing | Kind::Moving { .. }, Some(category)) => Kind::One {
                category,
                explicit: false,
            },
            (kind, _) => kind,
        }
    }

    /// `circuit, 3 rounds, rest 2 min between rounds:`
    fn rounds(&self) -> Option<Scribble> {
        let said = self.said();
        if !said.contains("round") || self.is_doubtful() {
            return None;
        }
        let text = said.replace("rounds,", "rounds of,");
        let line = Line {
            text: &text,
            number: 1,
            start: 0,
            end: text.len(),
        };
        let words = word::words(line, 0);
        match Phrases::new(line, words.list, false).rounds()? {
            Ok(rounds) => Some(Scribble::Rounds {
                rounds,
                remark: self.aside(),
            }),
            Err(_) => None,
        }
    }

    /// A rest on a line of its own.
    fn rest(&self) -> Option<Scribble> {
        let said = self.said();
        if let Some(Doubt {
            message, others, ..
        }) = &self.doubt
            && let [(one, other)] = others.as_slice()
            && said == *one
            && strict(&format!("resistance {said}")).is_err()
        {
            return Some(Scribble::EitherRest {
                message: message.clone(),
                rests: [one.clone(), other.clone()],
            });
        }
        if said.is_empty() || self.is_doubtful() || strict(&format!("resistance {said}")).is_ok() {
            return None;
        }
        let rounds = [
            " between rounds",
            " between each round",
            " after each round",
            " after every round",
        ];
        if let Some(alone) = rounds.iter().find_map(|end| said.strip_suffix(end)) {
            return rest_s(alone).map(|rest_s| Scribble::RoundsRest {
                rest_s,
                remark: self.aside(),
            });
        }
        let (block, _) = strict(&format!("resistance 3 x 4 x 12 s, {said} between reps"))
            .or_else(|_| strict(&format!("resistance 3 x 4 x 12 s, {said}")))
            .ok()?;
        let rests =
            block.then_s.is_some() || block.between_sets_s.is_some() || block.rest != Rest::RunOn;
        let only = block.target.is_none() && !block.with_ball && block.over_m.is_none();
        (rests && only).then(|| Scribble::Rest {
            said,
            remark: self.aside(),
        })
    }

    /// Words without a number: the kind of what stands below, a block without a dose, or words for the player.
    fn without_a_number(&self, kind: &Kind, around: Around<'_>) -> Option<Scribble> {
        if self.is_doubtful() {
            return None;
        }
        let loose = self.words.len();
        match kind {
            Kind::One { category, explicit } => {
                let heads = around
                    .next
                    .is_some_and(|next| !is_of_another_kind(next, *category));
                if heads && around.carried != Some(*category) && loose <= 4 {
                    return Some(Scribble::Heads(*category));
                }
                let named = matches!(kind_of(&self.words), Kind::One { .. });
                let stands_still = *category == Category::Gym && !explicit;
                if stands_still
                    || !named
                    || *category == Category::Technical && !explicit && loose > 2
                {
                    return Some(Scribble::Remark);
                }
                self.without_a_dose(&[*category])
            }
            Kind::Several(several) => self.without_a_dose(several),
            Kind::Moving { .. } if loose > 4 => Some(Scribble::Remark),
            Kind::Moving { .. } => {
                let (likely, _) = moving(around, true, true);
                self.without_a_dose(&likely)
            }
            Kind::Nothing => Some(Scribble::Remark),
        }
    }

    /// Asks how much, with a usual dose.
    fn without_a_dose(&self, categories: &[Category]) -> Option<Scribble> {
        let doses = |category: &Category| match category {
            Category::WarmUp => "10 min",
            Category::CoolDown => "5 min",
            Category::Technical => "8 min",
            Category::Strength => "6 x 10 m there and back",
            Category::Resistance => "6 x 30 s, rest 30 s",
            Category::Speed => "5 x 30 m, rest walk back",
            Category::Game => "20 min",
            Category::Gym => "30 min",
        };
        let lines = (categories.iter())
            .map(|category| format!("{}{}", self.head(*category), doses(category)))
            .collect();
        ask("this does not say how much", lines)
    }

    /// Category and name, up to the dose.
    fn head(&self, category: Category) -> String {
        match &self.name {
            Some(name) => format!("{} \"{name}\", ", category.word()),
            None => format!("{} ", category.word()),
        }
    }

    fn block(&self, kind: Kind, around: Around<'_>) -> Option<Scribble> {
        let read = self.block_or_question(kind, around)?;
        Some(self.with_remarks(read))
    }

    /// A question whose lines have the words that are kept beside the block.
    fn with_remarks(&self, read: Scribble) -> Scribble {
        let Scribble::Ask {
            message,
            written,
            lines,
        } = read
        else {
            return read;
        };
        let remarks = clean(&self.remarks.join("; "));
        let put = |line: String| {
            if remarks.is_empty() || line.contains(['#', '\n']) {
                line
            } else {
                format!("{line}  # {remarks}")
            }
        };
        Scribble::Ask {
            message,
            written,
            lines: lines.into_iter().map(put).collect(),
        }
    }

    fn block_or_question(&self, kind: Kind, around: Around<'_>) -> Option<Scribble> {
        if self.is_doubtful() {
            return None;
        }
        if let Some(several) = self.several_doses(&kind) {
            return Some(several);
        }
        let said = self.said();
        let (said, differs) = match with_equal_rest(&said) {
            Some(one) => one,
            None => (said, None),
        };
        if let (Some((block, text)), Kind::Nothing | Kind::One { .. }) = (uncounted(&said), &kind) {
            return self.without_a_count(&block, &text, &kind, around);
        }
        let (texts, open, range) = self.readings(&said);
        let open = open || differs.is_some();
        let dosed = texts
            .first()
            .map(|text| strict(&format!("resistance {text}")));
        let dosed = dosed.and_then(Result::ok).map(|(block, _)| block);
        let (several, missing) = self.categories(kind, around, &said, dosed.as_ref());
        if let Some(asked) = self.games(&several, missing, dosed.as_ref()) {
            return Some(asked);
        }
        if let ([category], false, [text]) = (several.as_slice(), missing || open, texts.as_slice())
        {
            let whole = format!("{}{text}", self.head(*category));
            let read = strict(&whole).or_else(|wrong| {
                // `press-ups 3 x 10`: what is lifted is counted.
                let counted = readings_for(&texts, *category).into_iter().next();
                match counted.filter(|_| *category == Category::Gym && text.contains(" x ")) {
                    Some(counted) => strict(&format!("{}{counted}", self.head(*category))),
                    None => Err(wrong),
                }
            });
            match read {
                Ok((block, open_rest)) => {
                    if let Some(lines) = self.flying(*category, &block, text) {
                        return ask("this can mean several things", lines);
                    }
                    if let Some(doubt) = &self.doubt {
                        return asked(doubt, &whole);
                    }
                    let remark = (!self.remarks.is_empty()).then(|| self.remarks.join("; "));
                    return Some(Scribble::Block {
                        block: Box::new(block),
                        remark,
                        open_rest,
                    });
                }
                Err(wrong) => {
                    // A question of the notation's own: which rest is meant.
                    if let [Mistake { message, lines, .. }] = wrong.as_slice()
                        && lines.len() > 1
                    {
                        return ask(message, lines.clone());
                    }
                }
            }
        }
        let message = if missing {
            "this line does not say what kind of work it is"
        } else if let Some(asks) = differs {
            asks
        } else if open && texts.len() == 1 {
            NO_REST
        } else if texts.len() > 1 {
            "this can mean several things"
        } else {
            NOT_UNDERSTOOD
        };
        let mut lines = Vec::new();
        for category in &several {
            for text in readings_for(&texts, *category) {
                lines.push(format!("{}{text}", self.head(*category)));
            }
        }
        if let Some(doubt) = self.doubt.as_ref().filter(|_| missing) {
            return about(&doubt.written, ask(&doubt.message, lines));
        }
        match range {
            // Where only the range is open it is what is asked about.
            Some(range) if !missing => about(&range, ask(message, lines)),
            _ => ask(message, lines),
        }
    }

    /// The categories that a dose may be of, and whether the line leaves open which.
    fn categories(
        &self,
        kind: Kind,
        around: Around<'_>,
        said: &str,
        dosed: Option<&Block>,
    ) -> (Vec<Category>, bool) {
        match kind {
            Kind::One { category, .. } => (vec![category], false),
            Kind::Several(several) => (several, true),
            Kind::Moving { jogging } => {
                let bare = said.parse::<f64>().is_ok();
                let one = dosed.map_or(bare, |block| block.reps() * block.sets() == 1);
                moving(around, jogging, one)
            }
            // `3 x 8 each leg`: lifts, or steps.
            Kind::Nothing if dosed.is_none() && is_for_each(said) => (
                vec![Category::Gym, Category::Technical, Category::Strength],
                true,
            ),
            // `Y drill 6`
            Kind::Nothing if dosed.is_none() && said.parse::<f64>().is_ok() => {
                (vec![Category::Technical, Category::Strength], true)
            }
            Kind::Nothing if self.is_a_match() => (vec![Category::Game], false),
            Kind::Nothing => {
                let likely = likely(dosed);
                let open = likely.len() > 1;
                (likely, open)
            }
        }
    }

    /// Whether `match` is the one word beside a dose.
    fn is_a_match(&self) -> bool {
        let mut words = self.words.iter().map(Token::lower);
        let mut others = words.by_ref().filter(|word| unit_of(word).is_none());
        others.next().as_deref() == Some("match") && others.next().is_none()
    }

    /// `4v4, 4 x`: so many games, of which nobody says how long they are.
    fn games(
        &self,
        several: &[Category],
        missing: bool,
        dosed: Option<&Block>,
    ) -> Option<Scribble> {
        let Dose::Reps {
            work: Work::Count,
            reps,
            ..
        } = dosed?.dose
        else {
            return None;
        };
        if missing || several != [Category::Game] {
            return None;
        }
        let lines = ["4 min", "5 min", "10 min"]
            .map(|each| format!("{}{reps} x {each}", self.head(Category::Game)));
        ask("this does not say how long each game is", lines.to_vec())
    }

    /// `flying 30s x 4`: thirty metres, or thirty seconds?
    fn flying(&self, category: Category, block: &Block, text: &str) -> Option<Vec<String>> {
        let Dose::Reps {
            work: Work::Duration(seconds),
            ..
        } = block.dose
        else {
            return None;
        };
        let flying = self.words.iter().any(|token| token.lower() == "flying");
        let written = format!("{seconds} s");
        if category != Category::Speed || !flying || !text.contains(&written) {
            return None;
        }
        let metres = text.replacen(&written, &format!("{seconds} m"), 1);
        let head = self.head(category);
        Some(vec![format!("{head}{metres}"), format!("{head}{text}")])
    }

    /// `30 s on, 30 s off`, of which nobody says how often: in a round once, else so many times as are usual.
    fn without_a_count(
        &self,
        block: &Block,
        counted: &str,
        kind: &Kind,
        around: Around<'_>,
    ) -> Option<Scribble> {
        let categories = match kind {
            Kind::One { category, .. } => vec![*category],
            _ => vec![Category::Resistance, Category::Technical],
        };
        let mut lines = Vec::new();
        for category in categories {
            let head = self.head(category);
            match (around.inside, block.dose, block.rest) {
                (
                    true,
                    Dose::Reps {
                        work: Work::Duration(work_s),
                        ..
                    },
                    Rest::Timed(rest_s),
                ) => lines.push(format!("{head}{work_s} s, then {rest_s} s")),
                _ => lines.push(format!("{head}{counted}")),
            }
        }
        ask("this does not say how many times", lines)
    }

    /// The phrases as they may be meant: both ends of a range, a work that stands apart from its count.
    fn readings(&self, said: &str) -> (Vec<String>, bool, Option<String>) {
        let readable = |text: &String| {
            let whole = strict(&format!("resistance {text}"));
            whole.is_ok()
                || whole.is_err_and(|wrong| wrong.iter().any(|mistake| mistake.lines.len() > 1))
        };
        let said = said.to_owned();
        // `6 x 20 m, 1 min rest x 3 sets`
        if let Some(written) = &self.open_rest
            && readable(&said)
            && let Some(dose) = ["rest", "recovery", "off", "break"]
                .iter()
                .find_map(|word| said.strip_suffix(word))
        {
            let sets = format!("{dose}between sets");
            return (vec![said, sets], true, Some(written.clone()));
        }
        // `400s x 4`
        let dose = said.split(", ").next().unwrap_or_default();
        let seconds = LENGTHS.iter().find_map(|metres| {
            let seconds = dose.strip_suffix(" s")?.strip_suffix(metres)?;
            seconds
                .ends_with(" x ")
                .then(|| format!("{seconds}{metres} m"))
        });
        if let Some(metres) = seconds
            && readable(&said)
        {
            return (vec![said.replacen(dose, &metres, 1), said], true, None);
        }
        if readable(&said) {
            return (vec![said], false, None);
        }
        // `1 set of 6, 20 s`
        if let Some((count, work)) = said.split_once(", ") {
            let apart = format!("{count}, work {work}");
            // `3 x 40 m, 2 min`: a rest, or the time that the rep should take.
            let rest = format!("{count}, rest {work}");
            // `3 x 10 press-ups, 60 s`: sets of so many lifts are rested from.
            let lifted = count.matches(" x ").count() > 1
                || count.contains(" x ") && count.ends_with(" reps");
            let gym = kind_of(&self.words) == kind::of(Category::Gym);
            if gym && lifted && readable(&rest) && !work.contains(" x ") {
                return (vec![rest], true, None);
            }
            // `6 x 800, 2 min`
            let alone = count.split(" each ").next().unwrap_or_default();
            if several::is_bare(alone) && rest_s(&format!("rest {work}")).is_some() {
                return (vec![rest], true, None);
            }
            if !readable(&apart) && readable(&rest) && !work.contains(" x ") {
                // Work that has a time of its own is rested from: `6 x 2 min, 1 min`.
                let timed = strict(&format!("resistance {count}"))
                    .is_ok_and(|(block, _)| block.reps() > 1 && block.work_s().is_some());
                return (vec![rest], !timed, None);
            }
            if readable(&apart) {
                return (vec![apart], false, None);
            }
        }
        let kept = self.splits.iter().flat_map(|split| &split.kept);
        let ranges: Vec<(&str, &str, &str)> = kept.filter_map(range).collect();
        let Some((first, ..)) = ranges.first() else {
            return (vec![said], false, None);
        };
        let put = |end: fn(&(&str, &str, &str)) -> String| {
            (ranges.iter()).fold(said.clone(), |said, range| {
                said.replacen(range.0, &end(range), 1)
            })
        };
        let ends = vec![
            put(|range| range.1.to_owned()),
            put(|range| range.2.to_owned()),
        ];
        // One range is what is asked about; of several it is the line.
        let one = (ranges.len() == 1).then(|| (*first).to_owned());
        (ends, true, one)
    }
}

/// `6-8`: as it was written, and its ends.
fn range(token: &Token) -> Option<(&str, &str, &str)> {
    let Token::Number(text) = token else {
        return None;
    };
    let (low, high) = text.split_once(['-', '\u{2013}', '\u{2014}', '\u{2212}', '/'])?;
    let whole = |text: &str| text.chars().all(|c| c.is_ascii_digit() || c == '.');
    (whole(low) && whole(high)).then_some((text, low, high))
}

/// The block of phrases that say work and rest and not how many times, done so often as is usual.
fn uncounted(said: &str) -> Option<(Block, String)> {
    let wrong = strict(&format!("resistance {said}")).err()?;
    let [Mistake { message, .. }] = wrong.as_slice() else {
        return None;
    };
    let counted = [format!("8 x {said}"), format!("8 reps, {said}")];
    let read = |text: String| Some((strict(&format!("resistance {text}")).ok()?.0, text));
    let mut read = counted.into_iter().filter_map(read);
    read.next().filter(|_| message == NO_COUNT)
}

/// `rest =work` in seconds, and what is asked where its length is not that of the work as written.
fn with_equal_rest(said: &str) -> Option<(String, Option<&'static str>)> {
    let equal = phrase::EQUAL_REST;
    let alone: Vec<&str> = said.split(", ").filter(|phrase| *phrase != equal).collect();
    if !said.contains(equal) || alone.is_empty() {
        return None;
    }
    let (block, _) = strict(&format!("resistance {}", alone.join(", "))).ok()?;
    let (rest_s, asks) = match block.dose {
        Dose::Reps {
            work: Work::Duration(mean_s),
            ..
        } => {
            let differs = !block.mixed.is_empty();
            (mean_s.round(), differs.then_some(DIFFERS))
        }
        Dose::Reps { .. } => {
            let usual_s = timetable::rep_s(&block, &timetable::Assumptions::default());
            ((usual_s / 5.0).ceil() * 5.0, Some(AS_LONG_AS_A_RUN))
        }
        Dose::Continuous { .. } => return None,
    };
    Some((said.replace(equal, &format!("rest {rest_s} s")), asks))
}

/// The readings with the unit that this category makes likely, where one is missing.
fn readings_for(texts: &[String], category: Category) -> Vec<String> {
    let units: &[&str] = match category {
        Category::Speed => &["m"],
        Category::Resistance => &["s", "m"],
        Category::Strength => &["reps", "m"],
        Category::WarmUp | Category::CoolDown | Category::Game => &["min"],
        Category::Technical | Category::Gym => &["reps", "min"],
    };
    let mut out = Vec::new();
    for text in texts {
        if strict(&format!("{} {text}", category.word())).is_ok() {
            out.push(text.clone());
            continue;
        }
        let (dose, rest) = text.split_once(", ").unwrap_or((text, ""));
        // `3 x 6 each side`: the unit stands in front.
        let each = [" each ", " per "].iter().find_map(|word| dose.find(word));
        let (number, each) = dose.split_at(each.unwrap_or(dose.len()));
        let counted = is_for_each(text) && units.contains(&"reps");
        // Nobody runs 400 s several times over.
        let last = number
            .rsplit(' ')
            .next()
            .and_then(|last| last.parse::<f64>().ok());
        let long = number.contains(" x ") && last.is_some_and(|last| last >= 100.0);
        let fits = |unit: &str| (!counted || unit == "reps") && !(long && unit == "s");
        for unit in units.iter().filter(|unit| fits(unit)) {
            let with = if rest.is_empty() {
                format!("{number} {unit}{each}")
            } else {
                format!("{number} {unit}{each}, {rest}")
            };
            out.push(with);
        }
        out.push(text.clone());
    }
    out
}

/// Whether reps are for each side, so that a number without a unit counts them.
fn is_for_each(said: &str) -> bool {
    [" each leg", " per leg", " each side", " per side"]
        .iter()
        .any(|each| said.contains(each))
}

/// What a run or a jog is, told by its place, and whether that is open.
fn moving(around: Around<'_>, jogging: bool, one: bool) -> (Vec<Category>, bool) {
    match around {
        Around { first: true, .. } if jogging && one => (vec![Category::WarmUp], false),
        Around { last: true, .. } if jogging && one => (vec![Category::CoolDown], false),
        Around { first: true, .. } if one => (vec![Category::WarmUp, Category::Resistance], true),
        _ if one => (vec![Category::Resistance, Category::CoolDown], true),
        _ => (vec![Category::Resistance, Category::Speed], true),
    }
}

/// The categories that a dose alone makes likely.
fn likely(block: Option<&Block>) -> Vec<Category> {
    match block.map(|block| block.dose) {
        Some(Dose::Continuous { .. }) if block.is_some_and(|b| b.effort == Some(Effort::Easy)) => {
            vec![Category::Resistance, Category::CoolDown, Category::WarmUp]
        }
        Some(Dose::Continuous { .. }) => {
            vec![Category::Technical, Category::Game, Category::WarmUp]
        }
        Some(Dose::Reps {
            work: Work::Count, ..
        }) => vec![Category::Technical, Category::Strength, Category::Gym],
        Some(Dose::Reps {
            work: Work::Duration(_),
            ..
        }) => vec![Category::Resistance, Category::Technical],
        Some(Dose::Reps {
            work: Work::Distance(metres),
            ..
        }) if metres >= ENDURANCE_M => {
            let once = block.is_some_and(|block| block.reps() * block.sets() == 1);
            let mut likely = vec![Category::Resistance];
            if once {
                likely.extend([Category::WarmUp, Category::CoolDown]);
            }
            likely
        }
        Some(Dose::Reps {
            work: Work::Distance(metres),
            ..
        }) if metres > 100.0 => vec![Category::Resistance, Category::Speed],
        _ => vec![Category::Speed, Category::Resistance],
    }
}

/// `8 x 30/30`: work and rest, which is asked about. Beside a speed two numbers without a unit are rather metres.
fn with_a_slash(pieces: &[Piece], around: Around<'_>) -> Option<Scribble> {
    let (parted, written) = slash::work_and_rest(pieces)?;
    let line = Scribbled::new(parted, None, around.pitch);
    let categories = match line.kind(around) {
        Kind::One {
            category: Category::Speed,
            ..
        } => return None,
        Kind::One { category, .. } => vec![category],
        Kind::Several(several) => several,
        Kind::Moving { .. } | Kind::Nothing => vec![Category::Resistance],
    };
    let said = line.said();
    let lines = (categories.into_iter())
        .map(|category| format!("{}{said}", line.head(category)))
        .collect();
    let message = format!("`{written}` may be work and rest");
    about(&written, ask(&message, lines))
}

/// `5-10-15 shuttles x 5`: each out and back in one rep, or a rep each.
fn over_several_ways(pieces: &[Piece], around: Around<'_>) -> Option<Scribble> {
    let shuttles::Read { written, meant } = shuttles::read(pieces)?;
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

/// Whether what stands in front of a bracket counts it: `2 x (`.
fn is_times_at_the_end(ahead: &str) -> bool {
    let ahead = ahead.trim_end();
    ahead.ends_with(word::is_times)
        || ahead
            .strip_suffix(['x', 'X'])
            .is_some_and(|ahead| ahead.ends_with(|c: char| c.is_ascii_digit() || c.is_whitespace()))
}

/// `8 x 20 m shuttles (40 m in all)`: without its brackets, whose words are kept beside it. Asked about, since they may say more.
fn brackets_aside(content: &str, around: Around<'_>) -> Option<Scribble> {
    let (mut text, mut inside) = (String::new(), Vec::new());
    let mut rest = content;
    while let Some((before, behind)) = rest.split_once('(') {
        // `2 x (400-300-200)`: what is done so often is no remark.
        if is_times_at_the_end(before) {
            return None;
        }
        let (within, after) = behind.split_once(')')?;
        text.push_str(before);
        text.push(' ');
        inside.push(clean(within));
        rest = after;
    }
    text.push_str(rest);
    if inside.is_empty() || inside.iter().any(|text| text.contains(['(', '#'])) {
        return None;
    }
    let written = inside.join("; ");
    let remark = |line: &str| match line.split_once("  # ") {
        Some((line, more)) => format!("{line}  # {more}; {written}"),
        None => format!("{line}  # {written}"),
    };
    let lines: Vec<String> = match read(&text, around)? {
        Scribble::Block {
            block,
            remark: more,
            ..
        } => {
            let line = block.line_text(true);
            vec![remark(
                &more.map_or(line.clone(), |more| format!("{line}  # {more}")),
            )]
        }
        Scribble::Ask { lines, .. } if lines.iter().all(|line| !line.contains('\n')) => {
            lines.iter().map(|line| remark(line)).collect()
        }
        _ => return None,
    };
    Some(Scribble::Ask {
        message: format!("`({written})` is not read"),
        written: Some(format!("({})", inside.first()?)),
        lines,
    })
}

/// A line with words that are nearly ours, as it was probably meant.
fn with_a_slip(slip: slip::Slip, content: &str, around: Around<'_>) -> Option<Scribble> {
    // Of a line that fills the screen only the word is shown.
    if content.len() > LONGEST_SHOWN {
        return None;
    }
    let line = Scribbled::new(slip.pieces, None, around.pitch);
    let remark = line.remarks.join("; ");
    let lines = match one_thing(&line, content, around)? {
        Scribble::Block { block, .. } if remark.is_empty() => vec![block.line_text(true)],
        Scribble::Block { block, .. } => vec![format!("{}  # {remark}", block.line_text(true))],
        Scribble::Ask { lines, .. } => lines,
        _ => return None,
    };
    Some(Scribble::Ask {
        message: format!("`{}` is not read", slip.written),
        written: Some(slip.written),
        lines,
    })
}

/// What is asked about a doubt: the line as it probably was meant, and as it may be meant otherwise.
fn asked(doubt: &Doubt, whole: &str) -> Option<Scribble> {
    let others = (doubt.others.iter()).map(|(said, other)| whole.replacen(said, other, 1));
    let lines = std::iter::once(whole.to_owned()).chain(others).collect();
    about(&doubt.written, ask(&doubt.message, lines))
}

/// The question about these words of the line.
fn about(words: &str, asked: Option<Scribble>) -> Option<Scribble> {
    match asked? {
        Scribble::Ask { message, lines, .. } => Some(Scribble::Ask {
            message,
            written: Some(words.to_owned()),
            lines,
        }),
        other => Some(other),
    }
}

/// The readings that are plans, in their tidy form.
fn ask(message: &str, texts: Vec<String>) -> Option<Scribble> {
    let mut lines: Vec<String> = Vec::new();
    for text in texts {
        let tidy = match strict(&text) {
            // Which rest is meant is asked in the same breath.
            Ok((block, true)) => block
                .both_rests()
                .map(|block| block.line_text(true))
                .to_vec(),
            Ok((block, false)) => vec![block.line_text(true)],
            Err(wrong) => wrong
                .into_iter()
                .next()
                .map(|mistake| mistake.lines)
                .unwrap_or_default(),
        };
        for line in tidy {
            if !lines.contains(&line) && strict(&line).is_ok() {
                lines.push(line);
            }
        }
    }
    lines.truncate(SHOWN);
    (!lines.is_empty()).then(|| Scribble::Ask {
        message: message.to_owned(),
        written: None,
        lines,
    })
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

/// Whether the first word is nearly a category, so that the line is meant as a block.
fn begins_nearly(words: &[Token]) -> bool {
    let first = words.first().map(Token::lower).unwrap_or_default();
    let ours = Category::ALL.map(Category::word);
    nearest(&first, &ours).is_some()
}
