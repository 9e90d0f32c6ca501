//! The lines above the first block: a date, a match day, a top speed without a colon, a title.

use super::ask::question;
use super::cutter::cut;
use super::meaning::{Around, Scribble};
use super::token::Token;
use super::{respelt, tongues};
use crate::plan::heading::KEYS;
use crate::plan::near::is_one_of;
use crate::plan::scribble::kind::{Kind, kind_of};
use crate::plan::{Category, Reading};
use crate::plan::{date, near, phrase, word};

/// Keys of header lines by other names.
const OTHER_NAMES: [(&str, &str); 9] = [
    ("name", "athlete"),
    ("player", "athlete"),
    ("who", "athlete"),
    ("day", "date"),
    ("when", "date"),
    ("match", "match day"),
    ("next match", "match day"),
    ("session", "title"),
    ("max speed", "top speed"),
];

/// Whether a line begins with a header line's key by another name.
pub(in crate::plan) fn is_keyed(content: &str) -> bool {
    let key = content
        .split_once(':')
        .map(|(key, _)| key.trim().to_lowercase());
    key.is_some_and(|key| OTHER_NAMES.iter().any(|(name, _)| *name == key))
}

/// The line as a header line of the notation, where it is one without its colon or by another name.
pub(in crate::plan) fn opening(content: &str, reading: Reading) -> Option<String> {
    const WITHOUT_COLON: [(&str, &str); 5] = [
        ("top speed", "top speed"),
        ("max speed", "top speed"),
        ("pitch", "pitch"),
        ("match day", "match day"),
        ("match", "match day"),
    ];
    let text = word::clean(
        content.trim_matches(|c: char| c.is_whitespace() || matches!(c, '.' | ',' | ':' | '!')),
    );
    if date::is_one(&text, reading) {
        return Some(format!("date: {text}"));
    }
    if let Some((date, behind)) = dated(&text, reading) {
        return Some(format!("date: {date}  # {behind}"));
    }
    let lower = text.to_lowercase();
    if let Some((key, value)) = text.split_once(':') {
        let key = key.trim().to_lowercase();
        let name = OTHER_NAMES.iter().find(|(name, _)| *name == key);
        let value = value.trim();
        return name.map(|(_, key)| format!("{key}: {value}"));
    }
    let (name, key) = WITHOUT_COLON.iter().find(|(name, _)| {
        let behind = lower.strip_prefix(name);
        behind.is_some_and(|behind| behind.starts_with(' '))
    })?;
    let value = text.get(name.len()..)?.trim();
    let value = value
        .strip_prefix("is ")
        .or(value.strip_prefix("on "))
        .unwrap_or(value);
    // `match v Rovers 3pm` says no day.
    if *key == "match day" && against(value) && !date::is_one(value, reading) {
        return None;
    }
    let sized = *key != "pitch" || value.starts_with(|c: char| c.is_ascii_digit());
    let figures = value.chars().any(|c| c.is_ascii_digit()) && !is_before_a_match(&text);
    // `match 2 x 45 min`
    let played = *key == "match day"
        && !date::is_one(value, reading)
        && (times_or_sides(value) || lasts(value));
    // `max speed 4 x 40 m`
    let worked = *key == "top speed" && times_or_sides(value);
    let dated = *key != "match day" || may_be_a_day(value);
    (figures && sized && dated && !played && !worked).then(|| format!("{key}: {value}"))
}

/// Whether a figure or a word of the calendar begins it: `16.5.`, `next Sat 16`, but not `prep 20 min`.
fn may_be_a_day(value: &str) -> bool {
    const DAYS: &str = "mon, tue, wed, thu, fri, sat, sun, jan, feb, mar, apr, may, jun, jul, aug, sep, oct, nov, dec";
    let lower = value.to_lowercase();
    let mut words = lower.split_whitespace();
    let leads = |word: &&str| is_one_of(word, "is, on, this, next, the, day");
    let first = words.find(|word| !leads(word)).unwrap_or_default();
    let begins = |day: &str| first.starts_with(day) && first.len() <= "wednesday".len();
    first.starts_with(|c: char| c.is_ascii_digit()) || DAYS.split(", ").any(begins)
}

/// `v Rovers 3pm`, `vs Rovers`: who is played against.
fn against(value: &str) -> bool {
    let first = value.split(' ').next().unwrap_or_default().to_lowercase();
    matches!(
        first.as_str(),
        "v" | "vs" | "vs." | "v." | "against" | "versus"
    )
}

/// Who is played against in a line that begins with the match.
fn of_a_match(text: &str) -> Option<&str> {
    let lead = ["match ", "game "].iter().find(|lead| {
        text.get(..lead.len())
            .is_some_and(|head| head.eq_ignore_ascii_case(lead))
    })?;
    text.get(lead.len()..).filter(|behind| against(behind))
}

/// `match v Rovers 3pm`: a match with whom and when, and not how long, may be played or be told for the player.
pub(super) fn a_match_to_come(content: &str, around: Around<'_>) -> Option<Scribble> {
    let text = word::clean(content);
    let behind = of_a_match(&text)?;
    let (pieces, _) = cut(&text)?;
    let tokens = pieces.concat();
    let amount = (tokens.windows(2)).any(|two| {
        matches!(two, [number, next] if number.is_number()
            && (*next == Token::Times || matches!(phrase::unit_of(&next.lower()), Some(unit) if unit != "m")))
    });
    if amount || text.contains(['"', '#']) {
        return None;
    }
    let told = if around.first {
        format!("title: {text}")
    } else {
        format!("# {text}")
    };
    let lines = [format!("game \"{behind}\", 2 x 45 min, rest 15 min"), told];
    question(
        "this match does not say how long it is".to_owned(),
        None,
        lines,
    )
}

/// `90 min`, `60' (sub)`, `- 90`: how long it is played.
fn lasts(value: &str) -> bool {
    let value = value.trim_start_matches(|c: char| !c.is_alphanumeric());
    let digits = value.trim_start_matches(|c: char| c.is_ascii_digit());
    let minutes = matches!(value.len() - digits.len(), 2 | 3);
    let unit = word::letters(digits.trim_start());
    let signed = digits.starts_with(word::is_single_quote);
    minutes && (signed || digits.is_empty() || matches!(unit, "min" | "mins" | "minutes"))
}

/// `2 x 45`, `11v11`: no date.
fn times_or_sides(value: &str) -> bool {
    let dense: Vec<char> = value.chars().filter(|c| !c.is_whitespace()).collect();
    dense.windows(3).any(|three| {
        matches!(three, [a, by, b] if a.is_ascii_digit() && b.is_ascii_digit()
            && (matches!(by, 'x' | 'X' | 'v' | 'V') || word::is_times(*by)))
    })
}

/// `16 May - winger work`, `Mon 18/05 MD-2`: a date, and what the day is for.
fn dated(text: &str, reading: Reading) -> Option<(String, String)> {
    let words: Vec<&str> = text.split(' ').collect();
    (1..words.len().min(6)).rev().find_map(|at| {
        let (date, behind) = words.split_at_checked(at)?;
        let date = date.join(" ");
        let date =
            date.trim_end_matches(|c: char| word::is_dash(c) || matches!(c, ' ' | ':' | '|' | ','));
        let behind = behind.join(" ");
        let behind = behind
            .trim_start_matches(|c: char| word::is_dash(c) || matches!(c, ' ' | ':' | '|' | ','));
        let first = behind.split(' ').next()?;
        let unit = phrase::unit_of(&first.to_lowercase()).is_some();
        let names = !unit && (is_title(behind) || is_before_a_match(behind));
        (names && date::is_one(date, reading)).then(|| (date.to_owned(), behind.replace('#', "")))
    })
}

/// How many days before or after a match.
struct Place<'a> {
    sign: char,
    days: char,
    /// Whether no blank stands between them.
    glued: bool,
    rest: &'a str,
}

fn sign_and_digit(text: &str) -> Option<Place<'_>> {
    let text = text.trim_start();
    let sign = text.chars().next();
    let sign = sign.filter(|c| *c == '+' || word::is_dash(*c))?;
    let behind = text.get(sign.len_utf8()..)?;
    let digit = behind.trim_start();
    let days = digit.chars().next().filter(char::is_ascii_digit)?;
    Some(Place {
        sign,
        days,
        glued: digit.len() == behind.len(),
        rest: digit.get(1..)?,
    })
}

/// `MD-2`, `Match day -1`, `MD + 1`: a place around a match whose day it does not say, for the player.
pub(super) fn is_before_a_match(content: &str) -> bool {
    let lower = word::clean(content).to_lowercase();
    let places = ["match day", "matchday", "md"];
    (places.iter().find_map(|word| lower.strip_prefix(word)))
        .and_then(sign_and_digit)
        .is_some_and(|place| place.rest.trim().is_empty())
}

/// `match day -2, sharp: 4 x 15 m`: as the sign that coaches have for it. `match day - 2 x 45 min` is the dose of a match.
pub(super) fn place_around_the_match(content: &str) -> Option<String> {
    let text = content.trim_start();
    let lead = ["match day", "matchday"].iter().find(|lead| {
        text.get(..lead.len())
            .is_some_and(|head| head.eq_ignore_ascii_case(lead))
    })?;
    let Place {
        sign,
        days,
        glued,
        rest,
    } = sign_and_digit(text.get(lead.len()..)?)?;
    // `match day - 2: 4 x 15 m`
    let marked =
        rest.starts_with(':') || glued && (rest.starts_with(',') || rest.starts_with(". "));
    let next: String = (rest.trim_start().chars())
        .take_while(|c| c.is_alphabetic() || word::is_times(*c))
        .collect();
    let counted = next.starts_with(word::is_times) || next.eq_ignore_ascii_case("x");
    let amount = counted || phrase::unit_of(&next.to_lowercase()).is_some();
    let named = glued && rest.starts_with(' ') && !amount;
    // Alone it is a remark already.
    let more = rest.contains(|c: char| c.is_ascii_digit());
    let rest = rest.trim_start_matches([',', ':', ' ', '.']);
    ((marked || named) && more).then(|| format!("MD{sign}{days}, {rest}"))
}

/// `Duration: 70 min`, `Total 60'`: how long all of it takes, for the player.
pub(super) fn tells_of_the_whole(content: &str) -> bool {
    const WHOLE: &str = "duration, total, total time, total duration, session length, time, length, \
         session time, planned time, whole session";
    let lower = word::clean(content).to_lowercase();
    let words = lower.trim_end_matches(|c: char| !c.is_ascii_digit());
    let words = words.trim_end_matches(|c: char| !c.is_alphabetic());
    let unit = lower.get(words.len()..).unwrap_or_default();
    let unit = unit.trim_start_matches(|c: char| !c.is_alphabetic() && !word::is_single_quote(c));
    let timed = unit.starts_with(word::is_single_quote)
        || phrase::is_hours(unit)
        || matches!(phrase::unit_of(unit), Some("min"));
    timed && is_one_of(words, WHOLE)
}

/// `block 2`, `Part 1:`: what stands above a part of the session, for the player.
pub(super) fn is_a_label(content: &str) -> bool {
    let lower = word::clean(content).to_lowercase();
    let text = lower.trim_end_matches([':', '.']).trim_end();
    let number = text.trim_start_matches(|c: char| c.is_alphabetic());
    let figure = number.trim_start();
    let short = (1..=2).contains(&figure.len()) && figure.bytes().all(|b| b.is_ascii_digit());
    let name = text.get(..text.len() - number.len()).unwrap_or_default();
    short
        && is_one_of(
            name,
            "block, part, stage, phase, section, station, exercise",
        )
}

/// `rest day`, `kick off 3pm`: a day or an hour, for the player.
pub(super) fn asks_for_nothing(content: &str) -> bool {
    let lower = word::clean(content).to_lowercase();
    let day = matches!(
        lower.trim_end_matches(['.', '!']),
        "rest day" | "day off" | "off"
    );
    let hour = lower.split(' ').next_back().is_some_and(|last| {
        let digits = last.trim_end_matches("pm").trim_end_matches("am");
        digits.len() < last.len()
            && digits.starts_with(|c: char| c.is_ascii_digit())
            && digits
                .chars()
                .all(|c| c.is_ascii_digit() || matches!(c, ':' | '.'))
    });
    let figures = lower
        .split(' ')
        .filter(|word| word.contains(|c: char| c.is_ascii_digit()));
    day || hour && figures.count() == 1
}

/// Whether the first line of a plan is its title: words, and nothing that a plan says elsewhere.
pub(in crate::plan) fn is_title(content: &str) -> bool {
    let spelt = respelt::put(content);
    let Some((pieces, None)) = cut(spelt.as_deref().unwrap_or(content)) else {
        return false;
    };
    let tokens: Vec<Token> = tongues::put(pieces).concat();
    let words = tokens
        .iter()
        .filter(|token| matches!(token, Token::Word { .. }))
        .count();
    let measured = tokens.windows(2).any(|pair| match pair {
        [Token::Number(_), next] => {
            *next == Token::Times
                || *next == Token::Percent
                || next.lower() == "times"
                || phrase::unit_of(&next.lower()).is_some()
                || phrase::is_hours(&next.lower())
                || is_one_of(&next.lower(), "km, k, mile, miles")
        }
        // `T-test x 4`, `ladder 10 20 30`: how often, or how far.
        [Token::Times, next] => next.is_number(),
        _ => false,
    }) || tokens
        .windows(3)
        .any(|three| three.iter().all(Token::is_number));
    let lists = tokens
        .iter()
        .any(|token| matches!(token, Token::Number(text) if text.contains(['-', '/'])));
    let counts = matches!(
        tokens.first(),
        Some(Token::Number(_) | Token::Name(_) | Token::Times)
    );
    // `Y drill 6`, `box drill 4 each way`: how many, but for a year.
    let ends = match tokens.as_slice() {
        [.., Token::Number(number)] => number.parse::<u32>().is_ok_and(|number| number < 1900),
        _ => tokens.windows(2).any(|pair| {
            pair.first().is_some_and(Token::is_number)
                && pair.last().is_some_and(|next| {
                    matches!(next.lower().as_str(), "each" | "per" | "left" | "right")
                })
        }),
    };
    let lower = content.to_lowercase();
    let phrases = [
        " rest",
        " walk back",
        "jog back",
        " sets",
        " reps",
        "rounds",
        "with ball",
    ];
    let keyed = lower
        .split_once(':')
        .is_some_and(|(key, _)| near::nearest(key.trim(), &KEYS).is_some());
    let explicit = matches!(kind_of(&tokens), Kind::One { explicit: true, .. });
    let session: &str = "session, training, day, plan, programme, practice, workout, week, rehab, phase, \
     block, part, preseason, night, morning, evening, mon, monday, tue, tues, \
     tuesday, wed, wednesday, thu, thurs, thursday, fri, friday, sat, saturday, sun, \
     sunday";
    let named = tokens
        .iter()
        .any(|token| is_one_of(&token.lower(), session));
    words > 0
        && words <= 12
        && of_a_match(&word::clean(content)).is_none()
        && !measured
        && !lists
        && !counts
        && (!ends || named)
        && !keyed
        && !phrases.iter().any(|phrase| lower.contains(phrase))
        && !begins_nearly(&tokens)
        && (!explicit || named)
        && (named || matches!(kind_of(&tokens), Kind::Nothing | Kind::Several(_)))
}

/// Whether the first word is nearly a category, so that the line is meant as a block.
fn begins_nearly(words: &[Token]) -> bool {
    let first = words.first().map(Token::lower).unwrap_or_default();
    let ours = Category::ALL.map(Category::word);
    near::nearest(&first, &ours).is_some()
}
