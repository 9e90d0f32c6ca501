//! What is said of a line that cannot be read.

use std::fmt::Display;
use std::ops::Range;

use crate::plan::Mistake;
use crate::plan::line::{Line, lines};
use crate::plan::parse::comment::whole;
use crate::plan::scribble;

/// What is asked about a line, or the notation's own mistake where that says it better.
pub(super) fn question(
    line: Line<'_>,
    content: &str,
    message: String,
    wrong: &[Mistake],
) -> Mistake {
    match wrong {
        [one] if message == scribble::NOT_UNDERSTOOD => one.clone(),
        // Its words are known, and with a unit it can be read.
        _ if message == scribble::NOT_UNDERSTOOD => line.mistake(
            whole(line, content),
            "this line does not say the unit of its dose",
        ),
        _ => line.mistake(whole(line, content), message),
    }
}

/// Where words of a line stand that were told without its blanks and signs: `R 2` in `5 x 30 m R=2`.
pub(super) fn place_of(content: &str, written: &str) -> Option<Range<usize>> {
    if let Some(at) = content.find(written) {
        return Some(at..at + written.len());
    }
    let says = |c: &char| !c.is_whitespace() && !matches!(c, '=' | ':');
    let sought: Vec<char> = written.chars().filter(says).collect();
    let first = sought.first()?;
    (content.char_indices().filter(|(_, c)| c == first)).find_map(|(start, _)| {
        let said = content
            .get(start..)?
            .char_indices()
            .filter(|(_, c)| says(c));
        let found: Vec<(usize, char)> = said.take(sought.len()).collect();
        let same = found.iter().map(|(_, c)| c).eq(sought.iter());
        let (last, c) = found.last()?;
        same.then_some(start..start + last + c.len_utf8())
    })
}

/// What is said of a line whose words say its kind, in place of its missing category.
pub(super) fn of_a_known_kind(
    line: Line<'_>,
    comment: Option<usize>,
    mut wrong: Vec<Mistake>,
) -> Vec<Mistake> {
    let content = line.before(comment);
    let Some(first) = wrong.first_mut() else {
        return wrong;
    };
    if !is_about_a_category(first) || !scribble::says_a_kind(content) {
        return at_its_cause(wrong);
    }
    *first = line
        .mistake(
            whole(line, content),
            "this line is understood only in parts",
        )
        .expecting(
            "a dose and phrases with commas between them, such as `6 x 30 m, rest 90 s`, \
             and words for yourself behind a `#`",
        );
    // Where one thing is wrong besides, or nearly a word of ours, it is the cause; what else is wrong follows from the words in front.
    let slips: Vec<Mistake> = (wrong.iter().skip(1))
        .filter(|mistake| wrong.len() == 2 || mistake.suggestion.is_some())
        .cloned()
        .collect();
    wrong.truncate(1);
    if slips.is_empty() { wrong } else { slips }
}

/// The mistakes without those that follow from a missing category.
pub(super) fn at_its_cause(mut wrong: Vec<Mistake>) -> Vec<Mistake> {
    // What goes wrong from its first word on goes wrong once, where nothing else is a slip of its own.
    let lost = match wrong.as_slice() {
        [first, others @ ..] => {
            first.message.ends_with("is no category")
                && others.len() > 1
                && others.iter().all(|other| other.suggestion.is_none())
        }
        [] => false,
    };
    if lost || wrong.first().is_some_and(misses_category) {
        wrong.truncate(1);
    }
    wrong
}

/// The mistake in a line whose kind of work is told by its words: in the first phrase that cannot be read, and not at the
/// missing category.
pub(super) fn behind_its_kind(
    line: Line<'_>,
    comment: Option<usize>,
    wrong: &[Mistake],
) -> Option<Vec<Mistake>> {
    let first = wrong.first().filter(|first| misses_category(first))?;
    let content = line.before(comment);
    if !scribble::says_a_kind(content) {
        return None;
    }
    let mut at = line.start;
    for (index, phrase) in content.split([',', ';']).enumerate() {
        let start = at + (phrase.len() - phrase.trim_start().len());
        at += phrase.len() + 1;
        let phrase = phrase.trim();
        // The first says what is done, and so does a dose.
        if index == 0
            || phrase.is_empty()
            || phrase.contains('x') && phrase.contains(|c: char| c.is_ascii_digit())
        {
            continue;
        }
        if let Some(cause) = scribble::cause(phrase) {
            let span = start + cause.span.start..start + cause.span.end;
            let mut mistake = line.mistake(span, cause.message);
            mistake.expected = cause.expected.or_else(|| first.expected.clone());
            mistake.suggestion = cause.suggestion;
            return Some(vec![mistake]);
        }
    }
    None
}

/// Whether a mistake is that a line does not begin with a category.
pub(super) fn misses_category(mistake: &Mistake) -> bool {
    is_about_a_category(mistake) && mistake.suggestion.is_none()
}

/// Whether the first word of a line is none of a category.
pub(super) fn is_about_a_category(mistake: &Mistake) -> bool {
    mistake.message.ends_with("is no category")
        || mistake.message == "a block begins with its category"
}

pub(super) fn too_many(line: Line<'_>, what: &str, most: impl Display) -> Mistake {
    line.mistake(
        line.start..line.start,
        format!("up to this line there are more {what} than a plan can have"),
    )
    .expecting(format!("at most {most} {what} in one plan"))
}

/// A text without a single block.
pub(super) fn empty(text: &str) -> Mistake {
    let mut last = lines(text).last().unwrap_or(Line {
        text,
        number: 1,
        start: 0,
        end: 0,
    });
    // The empty line behind the last line end is no line to point at.
    if last.start == last.end && last.number > 1 {
        last = lines(text)
            .take(last.number as usize - 1)
            .last()
            .unwrap_or(last);
    }
    let message = if text.trim().is_empty() {
        "this plan is empty"
    } else {
        "there is no block in this plan"
    };
    last.mistake(last.end..last.end, message).expecting(
        "at least one line such as `speed \"to halfway\", 5 x 40 m at 95%, rest walk back`",
    )
}
