//! Signs and spellings that stand for words of ours, put in these before a line is cut: `🚶 back`, `box 2 box`, `< 15 min`.

use super::token::number_in_words;
use crate::plan::near::is_one_of;
use crate::plan::phrase::unit_of;
use crate::plan::word::{is_figures, letters};

/// Phrases, in small letters, and what is put for them. Each ends and begins with a whole word.
const PHRASES: [(&str, &str); 45] = [
    ("on the minute", "every minute"),
    ("box 2 box", "box to box"),
    ("box2box", "box to box"),
    ("up backs", "up and back"),
    ("up-backs", "up and back"),
    ("up & backs", "up and back"),
    ("ups & backs", "up and back"),
    ("up and backs", "up and back"),
    ("ups and backs", "up and back"),
    ("up-and-backs", "up and back"),
    ("serien à", "serien of"),
    ("there n back", "there and back"),
    ("there 'n back", "there and back"),
    ("there n' back", "there and back"),
    ("there + back", "there and back"),
    ("out n back", "out and back"),
    ("walk bk", "walk back"),
    ("jog bk", "jog back"),
    ("there & bk", "there and back"),
    ("there and bk", "there and back"),
    ("otm", "every minute"),
    ("every min", "every minute"),
    ("yo yo", "yo-yo"),
    ("each min", "every minute"),
    ("each minute", "every minute"),
    ("rest btw", "rest between"),
    ("recovery btw", "recovery between"),
    ("rec btw", "rec between"),
    ("laps of pitch", "laps of the pitch"),
    ("lap of pitch", "lap of the pitch"),
    ("round pitch", "round the pitch"),
    ("around pitch", "around the pitch"),
    ("back pedal", "backpedal"),
    ("back-pedal", "backpedal"),
    ("back pedalling", "backpedalling"),
    ("back pedaling", "backpedalling"),
    ("side step", "sidestep"),
    ("out/back", "out and back"),
    ("there/back", "there and back"),
    // Behind it a rest is due, and no ball.
    ("w/b rec", "walk back"),
    ("w/b recovery", "walk back"),
    // It is as long as half of the pitch.
    ("goal line to halfway line", "half pitch"),
    ("goal line to halfway", "half pitch"),
    ("goal line to half way", "half pitch"),
    ("touchline to touchline", "pitch width"),
];

/// The line with ours. `None` where it has none of these.
pub(super) fn put(content: &str) -> Option<String> {
    // A name in quotes stays as it is.
    if content.contains('"') {
        return None;
    }
    let mut text = walkers(&keys(content)).replace(" <", " under ");
    if text.contains('{') && text.contains('}') {
        text = text.replace('{', "(").replace('}', ")");
    }
    for (theirs, ours) in PHRASES {
        text = with_phrase(&text, theirs, ours);
    }
    let text = around_the_pitch(&text).unwrap_or(text);
    let text = first_word(&text).unwrap_or(text);
    let text = shares_in_a_row(&text).unwrap_or(text);
    let text = in_small_groups(&text).unwrap_or(text);
    let text = sum_of_ways(&text).unwrap_or(text);
    (text != content).then_some(text)
}

/// Numbers on keys, as phones have them, in plain figures.
fn keys(content: &str) -> String {
    const KEY: char = '\u{20e3}';
    const TEN: char = '\u{1f51f}';
    if !content.contains([KEY, TEN]) {
        return content.to_owned();
    }
    let plain = content.replace(TEN, "10");
    plain.replace([KEY, '\u{fe0f}'], "")
}

/// `passing in 2s`: by twos, and no time. Behind a way it would be one.
fn in_small_groups(text: &str) -> Option<String> {
    const GROUPS: [(&str, &str); 4] = [
        ("in 2s", "in twos"),
        ("in 3s", "in threes"),
        ("in 4s", "in fours"),
        ("in 5s", "in fives"),
    ];
    let lower = text.to_ascii_lowercase();
    let (at, theirs, ours) =
        (GROUPS.iter()).find_map(|(theirs, ours)| Some((lower.find(theirs)?, *theirs, *ours)))?;
    let ahead = lower.get(..at)?;
    let measured = ahead.contains(|c: char| c.is_ascii_digit());
    (!measured && ahead.contains(char::is_alphabetic)).then(|| with_phrase(text, theirs, ours))
}

/// `5 x (10+20) m`: the unit behind the bracket is that of the ways in it.
fn sum_of_ways(text: &str) -> Option<String> {
    let (ahead, behind) = text.split_once('(')?;
    let (within, after) = behind.split_once(')')?;
    let ways: Vec<&str> = within.split('+').map(str::trim).collect();
    let figures = |way: &&str| is_figures(way);
    let unit = letters(after.trim_start()).to_lowercase();
    let measured = matches!(unit_of(&unit), Some("m" | "yd"));
    (ways.len() > 1 && ways.iter().all(figures) && measured)
        .then(|| format!("{ahead}{}{after}", ways.join("+")))
}

/// The little picture of who walks, in front of `back`.
fn walkers(content: &str) -> String {
    const WALKER: char = '\u{1f6b6}';
    let Some((ahead, behind)) = content.split_once(WALKER) else {
        return content.to_owned();
    };
    // It may carry a sign of how it is drawn.
    let behind = behind.trim_start_matches(|c: char| !c.is_ascii() && !c.is_alphanumeric());
    if behind.trim_start().to_lowercase().starts_with("back") {
        format!("{}, walk {}", ahead.trim_end(), behind.trim_start())
    } else {
        content.to_owned()
    }
}

/// The text with ours in the place of a phrase, wherever it stands as whole words.
fn with_phrase(text: &str, theirs: &str, ours: &str) -> String {
    let lower = text.to_ascii_lowercase();
    let mut out = String::with_capacity(text.len());
    let mut from = 0;
    for (at, _) in lower.match_indices(theirs) {
        let end = at + theirs.len();
        let (Some(ahead), Some(behind)) = (lower.get(..at), lower.get(end..)) else {
            continue;
        };
        let whole = !ahead.ends_with(char::is_alphanumeric)
            && !behind.starts_with(|c: char| c.is_alphanumeric());
        if whole && at >= from {
            out.push_str(text.get(from..at).unwrap_or_default());
            out.push_str(ours);
            from = end;
        }
    }
    out.push_str(text.get(from..).unwrap_or_default());
    out
}

/// `jog round the pitch x 3`: three times around it.
fn around_the_pitch(text: &str) -> Option<String> {
    const WAYS: [&str; 3] = ["around the pitch", "round the pitch", "laps of the pitch"];
    let lower = text.to_ascii_lowercase();
    let (at, way) = (WAYS.iter()).find_map(|way| Some((lower.find(way)?, way)))?;
    let behind = text.get(at + way.len()..)?.trim_start();
    let count = behind.strip_prefix(['x', 'X', '\u{d7}'])?.trim();
    let alone = is_figures(count);
    let ahead = text.get(..at)?;
    let counted = ahead.contains(|c: char| c.is_ascii_digit());
    (alone && !counted).then(|| format!("{ahead}{count} laps of the pitch"))
}

/// `at 85%, 90%, 95%`, `85% 90% 95%`: several speeds, as `85/90/95%`.
fn shares_in_a_row(text: &str) -> Option<String> {
    const LEAST: usize = 3;
    let (ahead, _) = text.split_once('%')?;
    let from = ahead.trim_end_matches(|c: char| c.is_ascii_digit()).len();
    let mut rest = text.get(from..)?;
    let mut shares = Vec::new();
    loop {
        let after = rest.trim_start_matches(|c: char| c.is_ascii_digit());
        let digits = rest.get(..rest.len() - after.len())?;
        let behind = after.strip_prefix('%').filter(|_| !digits.is_empty())?;
        shares.push(digits);
        let blank = (behind.strip_prefix(' ')).filter(|next| begins_with_a_share(next));
        let Some(next) = behind.strip_prefix([',', '/']).or(blank) else {
            rest = behind;
            break;
        };
        rest = next.trim_start();
    }
    let ahead = text.get(..from)?;
    (shares.len() >= LEAST).then(|| format!("{ahead}{}%{rest}", shares.join("/")))
}

fn begins_with_a_share(text: &str) -> bool {
    let behind = text.trim_start_matches(|c: char| c.is_ascii_digit());
    behind.len() < text.len() && behind.starts_with('%')
}

/// `cool 5`, `warm 10 min`: what begins a session, and what ends it; `x10 30 m sprints`: the count in front.
fn first_word(text: &str) -> Option<String> {
    // Little pictures say nothing.
    let plain = text
        .trim_start_matches(|c: char| c.is_whitespace() || !c.is_ascii() && !c.is_alphanumeric());
    let (first, behind) = plain.split_once(' ')?;
    let next = behind.split_whitespace().next()?.to_lowercase();
    let amount = next.starts_with(|c: char| c.is_ascii_digit()) || number_in_words(&next).is_some();
    let first = first.to_lowercase();
    if let Some(count) = first.trim_end_matches(':').strip_prefix('x')
        && is_figures(count)
    {
        // `x5 sprints 30 m`
        let counts = amount || behind.contains(|c: char| c.is_ascii_digit());
        return counts.then(|| format!("{count} x {behind}"));
    }
    (amount && is_one_of(&first, "cool, warm")).then(|| {
        let kind = if first == "cool" {
            "cool down"
        } else {
            "warm up"
        };
        format!("{kind} {behind}")
    })
}

#[cfg(test)]
mod tests {
    use super::put;

    #[test]
    fn only_whole_words_are_put() {
        let ours = |text: &str| put(text).unwrap_or_else(|| text.to_owned());
        assert_eq!(ours("Box 2 Box x 8"), "box to box x 8");
        assert_eq!(ours("every minimum"), "every minimum");
        assert_eq!(ours("8 x 30 m \u{1f6b6} back"), "8 x 30 m, walk back");
        assert_eq!(ours("run 3 km < 15 min"), "run 3 km under  15 min");
        assert_eq!(ours("jog round pitch x 3"), "jog 3 laps of the pitch");
        assert_eq!(ours("cool 5"), "cool down 5");
        assert_eq!(ours("x10 30 m sprints"), "10 x 30 m sprints");
        assert_eq!(
            ours("60 m at 85%, 90%,95%, walk"),
            "60 m at 85%, 90%,95%, walk"
        );
        assert_eq!(ours("60 m at 85%, 90%,95% x 2"), "60 m at 85/90/95% x 2");
        assert_eq!(ours("5\u{fe0f}\u{20e3} x 30 m"), "5 x 30 m");
        assert_eq!(ours("passing in 2s 8 min"), "passing in twos 8 min");
        assert_eq!(ours("20 m in 3s x 4"), "20 m in 3s x 4");
        assert_eq!(ours("5*(10+20) m shuttles"), "5*10+20 m shuttles");
        assert_eq!(ours("2 x {5 x 20 m}"), "2 x (5 x 20 m)");
        assert_eq!(ours("technical \"box 2 box\""), "technical \"box 2 box\"");
    }
}
