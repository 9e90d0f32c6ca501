//! What a line holds too much of: several doses, or rounds with their list behind a colon. It is offered line by line.

use super::apart::Scribbled;
use super::ask::question;
use super::cutter::cut;
use super::kind::{Kind, kind_of};
use super::likely::ENDURANCE_M;
use super::meaning::{Around, Scribble};
use super::strict::{rest_s, strict};
use super::token::{Piece, Token, is_way, number_in_words, seconds, text_of};
use super::{read, rest_each};
use crate::plan::rounds::Rounds;
use crate::plan::word::is_figures;
use crate::plan::{Block, Category, Dose, Rest, Work};

/// Most reps that are offered as a set whose reps differ.
const MOST_MIXED: u32 = 12;
/// What is asked about several doses.
pub(super) const DOSES: &str = "doses; a block has one, or a set whose reps differ";
/// Most doses of a line.
const MOST_DOSES: usize = 6;

/// Numbers without a unit from here on are lengths, m: nobody runs so many seconds or minutes several times over.
const LONG_M: f64 = 100.0;

/// A dose and the phrases that stand behind it.
struct Dosed {
    dose: String,
    block: Block,
    behind: Vec<String>,
}

impl Scribbled {
    /// `3 x 20 m, 2 x 40 m, walk back`: a line for each dose, and one set whose reps differ. `None` where there is one dose.
    pub(super) fn several_doses(&self, kind: &Kind) -> Option<Scribble> {
        let phrases: Vec<String> = (self.splits.iter())
            .filter(|split| !split.kept.is_empty())
            .flat_map(|split| apart(&split.kept))
            .collect();
        let phrases = with_unit(phrases, kind);
        let mut ahead = Vec::new();
        let mut doses: Vec<Dosed> = Vec::new();
        for phrase in phrases {
            match (dose(&phrase), doses.last_mut()) {
                (Some(block), _) => doses.push(Dosed {
                    dose: phrase,
                    block,
                    behind: Vec::new(),
                }),
                (None, Some(last)) => {
                    let rest = format!("rest {phrase}");
                    let timed = rest_s(&rest).is_some() && !phrase.starts_with("rest ");
                    last.behind.push(if timed { rest } else { phrase });
                }
                (None, None) => ahead.push(phrase),
            }
        }
        if !(2..=MOST_DOSES).contains(&doses.len()) {
            return None;
        }
        // What stands at the end is said of all that have nothing of their own.
        let shared = doses.last().map(|last| last.behind.clone())?;
        let rests = rest_each::of(&shared, doses.len());
        let alike = (doses.iter()).all(|d| d.behind.is_empty() || d.behind == shared);
        let line = |dose: &str, behind: &[String]| -> String {
            let own = if behind.is_empty() { &shared } else { behind };
            let all = ahead.iter().map(String::as_str).chain([dose]);
            let all: Vec<&str> = all.chain(own.iter().map(String::as_str)).collect();
            all.join(", ")
        };
        let categories: &[Category] = match kind {
            Kind::One { category, .. } => &[*category],
            Kind::Several(several) => several,
            _ if doses.iter().any(|d| is_long(&d.block)) => &[Category::Resistance],
            _ => &[Category::Speed, Category::Resistance],
        };
        let mut lines = Vec::new();
        for category in categories {
            let tidy = |text: &str| -> Option<String> {
                let (block, _) = strict(&format!("{}{text}", self.head(*category))).ok()?;
                Some(block.line_text(true))
            };
            let each: Option<Vec<String>> = (doses.iter().enumerate())
                .map(
                    |(at, d)| match rests.as_ref().and_then(|rests| rests.get(at)) {
                        Some(rest) => tidy(&line(&d.dose, std::slice::from_ref(rest))),
                        None => tidy(&line(&d.dose, &d.behind)),
                    },
                )
                .collect();
            lines.extend(each.map(|each| each.join("\n")));
            let one = mixed(&doses).filter(|_| alike);
            lines.extend(one.and_then(|dose| tidy(&line(&dose, &shared))));
        }
        question(
            format!("this line has {} {DOSES}", doses.len()),
            None,
            lines,
        )
    }
}

/// Whether a run is no sprint.
fn is_long(block: &Block) -> bool {
    matches!(block.dose, Dose::Reps { work: Work::Distance(metres), .. } if metres >= ENDURANCE_M)
}

/// The phrases of a piece, cut at an `and` or `then` between two doses.
fn apart(kept: &[Token]) -> Vec<String> {
    let joins = |token: &Token| matches!(token.lower().as_str(), "and" | "then" | "plus");
    // `4 x 20 2 x 30 m`
    let begins = |at: usize| {
        let count = matches!(kept.get(at..at + 2), Some([Token::Number(_), Token::Times]));
        count && at > 0 && kept.get(at - 1) != Some(&Token::Times)
    };
    let mut parts: Vec<String> = Vec::new();
    let mut from = 0;
    for at in 0..=kept.len() {
        let joins = kept.get(at).is_none_or(joins);
        if joins || from < at && begins(at) {
            parts.extend(kept.get(from..at).map(text_of));
            from = at + usize::from(joins);
        }
    }
    if parts.len() > 1
        && parts
            .iter()
            .all(|part| is_bare(part) || dose(part).is_some())
    {
        parts
    } else {
        vec![text_of(kept)]
    }
}

/// A dose without a unit: `5 x 20`.
pub(super) fn is_bare(phrase: &str) -> bool {
    phrase.contains(" x ") && phrase.split(" x ").all(is_figures)
}

/// `4 x:`, `2 x {`, `3 sets of:`: rounds of what stands below, where something does.
pub(super) fn rounds_alone(content: &str, around: Around<'_>) -> Option<Scribble> {
    let text = content.trim();
    let digits = text.trim_start_matches(|c: char| c.is_ascii_digit());
    let times: u32 = text.get(..text.len() - digits.len())?.parse().ok()?;
    let sign = digits.trim_start();
    let opens = match sign.strip_prefix(['x', 'X', '\u{d7}']) {
        Some(behind) => matches!(behind.trim(), "" | ":" | "{" | "(" | "[" | ": {"),
        // Without the colon they would be those of the block above.
        None => matches!(
            sign.to_lowercase().as_str(),
            "sets:" | "sets of:" | "rounds of:" | "times:" | "sets :"
        ),
    };
    if !opens || around.next.is_none() || !(2..100).contains(&times) {
        return None;
    }
    let rounds = Rounds {
        times,
        between_s: None,
        then_s: None,
    };
    Some(Scribble::Rounds {
        rounds,
        remark: None,
    })
}

/// `5 x 20, 5 x 30, 5 x 40 m`: the unit of one dose is that of those that have none; sprints are over metres.
fn with_unit(phrases: Vec<String>, kind: &Kind) -> Vec<String> {
    let bare = phrases.iter().filter(|phrase| is_bare(phrase)).count();
    let measured = (phrases.iter().rev()).find(|phrase| dose(phrase).is_some());
    let unit = if let Some(measured) = measured {
        let units = ["m", "yd", "s", "min"].into_iter();
        let mut units = units.filter(|unit| measured.ends_with(&format!(" {unit}")));
        units.next()
    } else {
        let sprints = kind.is(Category::Speed);
        // One alone is asked about by what it lacks.
        // `1 x 800, 2 x 400`
        let long = (phrases.iter().filter(|phrase| is_bare(phrase))).all(|phrase| {
            let last = phrase.rsplit(' ').next().unwrap_or_default();
            last.parse::<f64>().is_ok_and(|metres| metres >= LONG_M)
        });
        ((sprints || long) && bare > 1).then_some("m")
    };
    let Some(unit) = unit else {
        return phrases;
    };
    let put = |phrase: String| {
        if is_bare(&phrase) {
            format!("{phrase} {unit}")
        } else {
            phrase
        }
    };
    phrases.into_iter().map(put).collect()
}

/// A phrase that is a dose of reps and says nothing else.
fn dose(phrase: &str) -> Option<Block> {
    let (block, _) = strict(&format!("resistance {phrase}")).ok()?;
    let reps = matches!(block.dose, Dose::Reps { .. }) && phrase.contains(" x ");
    (reps && block.rest == Rest::RunOn && block.then_s.is_none()).then_some(block)
}

/// The doses as one set: `20-20-20-40-40 m`.
fn mixed(doses: &[Dosed]) -> Option<String> {
    let mut numbers = Vec::new();
    let mut units = Vec::new();
    for Dosed { block, .. } in doses {
        let (number, unit) = match block.dose {
            Dose::Reps {
                sets: 1,
                work: Work::Distance(metres),
                ..
            } => (metres, "m"),
            Dose::Reps {
                sets: 1,
                work: Work::Duration(seconds),
                ..
            } => (seconds, "s"),
            _ => return None,
        };
        let plain = block.mixed.is_empty() && !block.there_and_back && block.target.is_none();
        if !plain || (10.0 * number).fract() != 0.0 {
            return None;
        }
        units.push(unit);
        for _ in 0..block.reps().min(MOST_MIXED + 1) {
            numbers.push(number.to_string());
        }
    }
    units.dedup();
    let [unit] = units.as_slice() else {
        return None;
    };
    let few = numbers.len() <= MOST_MIXED as usize && numbers.len() > 2;
    few.then(|| format!("{} {unit}", numbers.join("-")))
}

/// `core: 3 rounds of 30 s plank, 20 sit-ups`: the rounds with their list behind a colon.
pub(super) fn list_behind_its_rounds(content: &str) -> Option<String> {
    let lower = content.to_ascii_lowercase();
    let at = lower.find(" rounds")?;
    let ahead = content.get(..at)?;
    let behind = lower.get(at + " rounds".len()..)?;
    let lead = [" of ", ", "]
        .iter()
        .find(|lead| behind.starts_with(**lead))?;
    let list = content
        .get(at + " rounds".len() + lead.len()..)?
        .trim_start();
    let label = ahead.trim_end_matches(|c: char| c.is_ascii_digit());
    let times = ahead.get(label.len()..)?;
    let label = label.trim_end().trim_end_matches([':', '-', ',']);
    let items: Vec<&str> = list.split([',', ';', '+']).collect();
    let rests = ["rest", "between", "then", "recovery"];
    let work = items.iter().all(|item| {
        has_figure(item) && !is_bare_time(item) && !rests.iter().any(|rest| item.contains(rest))
    });
    let listed = items.len() > 1 && work && list.starts_with(|c: char| c.is_ascii_digit());
    (listed && !times.is_empty() && !content.contains(['"', '('])).then(|| {
        let label = label.trim_end();
        let gap = if label.is_empty() { "" } else { " " };
        format!("{label}{gap}{times} rounds: {list}")
    })
}

/// `core circuit 3 rounds: plank 45 s, 20 crunches`: the rounds, and below them a line for each.
pub(super) fn rounds_in_a_line(content: &str, around: Around<'_>) -> Option<Scribble> {
    let (head, list) = content.split_once(':')?;
    let items: Vec<&str> = list.split([',', ';', '+']).map(str::trim).collect();
    if items.len() < 2 {
        return None;
    }
    let pieces = each_apart(cut(head)?.0);
    // `circuit 3x: 10 press-ups, 15 squats`
    let times = match pieces.as_slice() {
        [piece] => match piece.as_slice() {
            [Token::Number(times), Token::Times]
            | [Token::Word { .. }, Token::Number(times), Token::Times]
            | [Token::Number(times), Token::Times, Token::Word { .. }] => {
                Some(format!("{times} rounds of"))
            }
            [Token::Number(times), rounds]
                if matches!(rounds.lower().as_str(), "rounds" | "rds" | "rnds") =>
            {
                Some(format!("{times} rounds of"))
            }
            _ => None,
        },
        [rounds, each] if each_of(std::slice::from_ref(each)).is_some() => Some(text_of(rounds)),
        _ => None,
    };
    if times.is_none() && !head.to_lowercase().contains("round") {
        return None;
    }
    let Scribble::Rounds { rounds, .. } = read(times.as_deref().unwrap_or(head), around)? else {
        return None;
    };
    // `3 rounds: 10 m, 20 m, 30 m sprints`: the word of one says it of all ways.
    let named = |tokens: &[Token]| match kind_of(tokens) {
        Kind::One { category, .. } => Some(category),
        _ => None,
    };
    let ways = || (items.iter()).filter(|item| is_a_way(item)).count() > 1;
    let of_the_list = || named(&cut(list)?.0.concat()).filter(|_| ways());
    let carried = named(&pieces.concat()).or_else(of_the_list);
    let inside = Around {
        carried,
        inside: true,
        pitch: around.pitch,
        ..Around::default()
    };
    // `3 rounds (1 min each): squats, lunges`
    let each = each_of(&pieces);
    let mut done: Vec<Block> = Vec::new();
    let mut between_s = rounds.between_s;
    let mut items = items.into_iter().peekable();
    while let Some(item) = items.next() {
        if let Some(rest_s) = between_rounds(item) {
            between_s = Some(rest_s);
            continue;
        }
        let once = is_a_way(item).then(|| format!("1 x {item}"));
        let mut read_item = read(once.as_deref().unwrap_or(item), inside);
        let time = item_rest(item, read_item.as_ref());
        if let (Some(rest_s), None) = (time, done.last()) {
            // A time before all that is done lies between the rounds, if anywhere.
            between_s = between_s.or(Some(rest_s));
            continue;
        }
        if let (Some(rest_s), Some(last)) = (time, done.last_mut()) {
            last.then_s = Some(rest_s);
            continue;
        }
        // `squats, 30 s, lunges, 30 s`: the time behind what has none is how long it is done. `one minute plank` has one.
        let dosed = matches!(read_item, Some(Scribble::Block { .. })) || has_figure(item);
        if !dosed {
            let time = items.peek().filter(|next| is_bare_time(next));
            let timed = match (each.as_deref(), time) {
                (Some(each), _) => format!("{item} {each}"),
                (None, Some(time)) => format!("{item} {time}"),
                (None, None) => return None,
            };
            if each.is_none() {
                items.next();
            }
            read_item = read(&timed, inside);
        }
        match read_item? {
            Scribble::Block { block, .. } => done.push(*block),
            // What is asked about is shown in its likeliest reading, as the whole is.
            Scribble::Ask { lines, .. } => done.push(strict(lines.first()?).ok()?.0),
            _ => return None,
        }
    }
    let rounds = Rounds {
        between_s,
        ..rounds
    };
    let lines: Vec<String> = (done.iter())
        .map(|block| format!("  {}", block.line_text(true)))
        .collect();
    if lines.is_empty() {
        return None;
    }
    Some(Scribble::Ask {
        message: "rounds and what is done in them stand on lines of their own".to_owned(),
        written: None,
        lines: vec![format!("{rounds}\n{}", lines.join("\n"))],
    })
}

/// The dose of each thing that is done in rounds: `(1 min each)`.
fn each_of(pieces: &[Piece]) -> Option<String> {
    pieces.iter().find_map(|piece| match piece.as_slice() {
        [number @ Token::Number(_), unit, each] if unit.is_unit() && each.lower() == "each" => {
            Some(text_of(&[number.clone(), unit.clone()]))
        }
        _ => None,
    })
}

/// The rest that an item of a list is: `40 s rest`, `rest 1 min`, a bare `30 s`.
fn item_rest(item: &str, read_item: Option<&Scribble>) -> Option<f64> {
    if is_bare_time(item) {
        return rest_s(&format!("rest {item}"));
    }
    match read_item? {
        Scribble::Rest { said, .. } => rest_s(said),
        _ => None,
    }
}

/// Whether an item of a list has a number, in figures or in words.
fn has_figure(item: &str) -> bool {
    let words = item.to_lowercase();
    let mut words = words.split_whitespace();
    words.any(|word| word.contains(|c: char| c.is_ascii_digit()) || number_in_words(word).is_some())
}

/// `3 rounds 30 s each`: what each takes as a piece of its own.
fn each_apart(mut pieces: Vec<Piece>) -> Vec<Piece> {
    let seam = pieces.last().and_then(|piece| {
        let at = piece.len().checked_sub(3).filter(|at| *at > 1)?;
        (seconds(piece, at).is_some() && piece.last()?.lower() == "each").then_some(at)
    });
    if let Some((at, last)) = seam.zip(pieces.last_mut()) {
        let each = last.split_off(at);
        pieces.push(each);
    }
    pieces
}

/// `2 min between rounds`, s.
fn between_rounds(item: &str) -> Option<f64> {
    let ends = [" between rounds", " between sets", " between each round"];
    let alone = ends.iter().find_map(|end| item.strip_suffix(end))?;
    rest_s(&format!("rest {}", alone.trim_end_matches(" rest")))
}

/// Whether an item of a list is a way, and at most words behind it.
fn is_a_way(item: &str) -> bool {
    cut(item).is_some_and(|(pieces, _)| match pieces.as_slice() {
        [piece] => is_way(piece, 0) && !piece.iter().skip(2).any(Token::is_number),
        _ => false,
    })
}

/// Whether an item of a list is a time and nothing else.
fn is_bare_time(item: &str) -> bool {
    cut(item).is_some_and(|(pieces, _)| match pieces.as_slice() {
        [piece] => piece.len() == 2 && seconds(piece, 0).is_some(),
        _ => false,
    })
}
