//! Signs and spellings that stand for words of ours, put in these before a line is cut: `🚶 back`, `box 2 box`, `< 15 min`.

use super::token::number_in_words;
use crate::plan::near::is_one_of;

/// Phrases, in small letters, and what is put for them. Each ends and begins with a whole word.
const PHRASES: [(&str, &str); 23] = [
    ("on the minute", "every minute"),
    ("box 2 box", "box to box"),
    ("box2box", "box to box"),
    ("there n back", "there and back"),
    ("there 'n back", "there and back"),
    ("there n' back", "there and back"),
    ("there + back", "there and back"),
    ("out n back", "out and back"),
    ("walk bk", "walk back"),
    ("jog bk", "jog back"),
    ("there & bk", "there and back"),
    ("there and bk", "there and back"),
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
];

/// The line with ours. `None` where it has none of these.
pub(super) fn put(content: &str) -> Option<String> {
    // A name in quotes stays as it is.
    if content.contains('"') {
        return None;
    }
    let mut text = walkers(content).replace(" <", " under ");
    for (theirs, ours) in PHRASES {
        text = with_phrase(&text, theirs, ours);
    }
    let text = around_the_pitch(&text).unwrap_or(text);
    let text = first_word(&text).unwrap_or(text);
    let text = shares_in_a_row(&text).unwrap_or(text);
    (text != content).then_some(text)
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
    let alone = !count.is_empty() && count.bytes().all(|b| b.is_ascii_digit());
    let ahead = text.get(..at)?;
    let counted = ahead.contains(|c: char| c.is_ascii_digit());
    (alone && !counted).then(|| format!("{ahead}{count} laps of the pitch"))
}

/// `at 85%, 90%, 95%`: several speeds, as `85/90/95%`.
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
        let Some(next) = behind.strip_prefix([',', '/']) else {
            rest = behind;
            break;
        };
        rest = next.trim_start();
    }
    let ahead = text.get(..from)?;
    (shares.len() >= LEAST).then(|| format!("{ahead}{}%{rest}", shares.join("/")))
}

/// `cool 5`, `warm 10 min`: what begins a session, and what ends it; `x10 30 m sprints`: the count in front.
fn first_word(text: &str) -> Option<String> {
    let (first, behind) = text.trim_start().split_once(' ')?;
    let next = behind.split_whitespace().next()?.to_lowercase();
    let amount = next.starts_with(|c: char| c.is_ascii_digit()) || number_in_words(&next).is_some();
    let first = first.to_lowercase();
    if let Some(count) = first.strip_prefix('x')
        && !count.is_empty()
        && count.bytes().all(|b| b.is_ascii_digit())
    {
        return amount.then(|| format!("{count} x {behind}"));
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
        assert_eq!(ours("technical \"box 2 box\""), "technical \"box 2 box\"");
    }
}
