//! Several days or sessions in one text: `Mon: sprints`, `Wed: rondo`. A plan is one session, of which a recording is held against
//! all.

use crate::plan::Mistake;
use crate::plan::line::Line;
use crate::plan::near::is_one_of;
use crate::plan::word;

/// What a line begins with that says when it is done.
#[derive(PartialEq)]
enum Label {
    Weekday(usize),
    Half(&'static str),
    /// `day 1`, `week 2`
    Counted(&'static str, u32),
}

impl Label {
    /// Whether another is of its kind and says another time.
    fn differs(&self, other: &Self) -> bool {
        let alike = match (self, other) {
            (Self::Weekday(_), Self::Weekday(_)) | (Self::Half(_), Self::Half(_)) => true,
            (Self::Counted(one, _), Self::Counted(other, _)) => one == other,
            _ => false,
        };
        alike && self != other
    }
}

/// The mistake at the first line of another day, where there is one.
pub(super) fn several(lines: &[Line<'_>]) -> Option<Mistake> {
    let mut first: Vec<(Label, &str)> = Vec::new();
    for line in lines {
        let Some((label, written)) = label(line.before_hash()) else {
            continue;
        };
        if let Some((_, other)) = first.iter().find(|(known, _)| known.differs(&label)) {
            let at = line.start + line.content().find(written)?;
            let message = format!("`{written}` is another session than `{other}`; a plan is one");
            let mistake = line.mistake(at..at + written.len(), message);
            return Some(mistake.expecting("a plan of its own for each session"));
        }
        first.push((label, written));
    }
    None
}

/// The label of a line, and as it was written.
fn label(content: &str) -> Option<(Label, &str)> {
    const WEEKDAYS: [&str; 7] = [
        "mon, monday",
        "tue, tues, tuesday",
        "wed, weds, wednesday",
        "thu, thur, thurs, thursday",
        "fri, friday",
        "sat, saturday",
        "sun, sunday",
    ];
    const COUNTED: [(&str, &str); 3] =
        [("day", "day"), ("week", "week, wk"), ("session", "session")];
    let text = content.trim_start_matches(|c: char| {
        c.is_whitespace() || matches!(c, '*' | '\u{2022}') || word::is_dash(c)
    });
    let first = word::letters(text);
    let lower = first.to_lowercase();
    let behind = text.get(first.len()..)?;
    if let Some(day) = WEEKDAYS.iter().position(|day| is_one_of(&lower, day)) {
        return Some((Label::Weekday(day), text.get(..first.len())?));
    }
    // `AM: gym`, but no word that stands in a sentence.
    let ends = behind
        .trim_start()
        .starts_with(|c: char| c == ':' || word::is_dash(c));
    if let Some(half) = ["am", "pm"].into_iter().find(|half| *half == lower && ends) {
        return Some((Label::Half(half), text.get(..first.len())?));
    }
    let (unit, _) = COUNTED.iter().find(|(_, words)| is_one_of(&lower, words))?;
    let figures = behind.trim_start();
    let after = figures.trim_start_matches(|c: char| c.is_ascii_digit());
    let count: u32 = figures.get(..figures.len() - after.len())?.parse().ok()?;
    // `day 1:`, `week 2 - 4 x 30 m`, but not `week 1x`.
    if after.starts_with(char::is_alphanumeric) {
        return None;
    }
    let written = text.get(..text.len() - after.len())?;
    Some((Label::Counted(unit, count), written))
}
