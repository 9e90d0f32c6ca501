//! The mark of a list in front of a line.

use crate::plan::near::is_one_of;
use crate::plan::word::{is_dash, is_invisible, is_times};

/// Whether the line begins with a mark of a list, and the bytes of what stands before its words: `- `, `2) `, `* `.
pub(in crate::plan) fn list_mark(content: &str) -> Option<usize> {
    let blank = |c: char| c.is_whitespace() || is_invisible(c);
    let text = content.trim_start_matches(blank);
    let lead = content.len() - text.len();
    let signs = text.trim_start_matches(|c: char| {
        is_dash(c)
            || matches!(
                c,
                '*' | '•' | '·' | '◦' | '▪' | '‣' | '☐' | '☑' | '✅' | '✔' | '✓' | '+'
            )
    });
    let signs = signs.trim_start_matches('\u{fe0f}');
    if signs.len() < text.len() {
        let bullet = text.chars().next().is_some_and(|c| !c.is_ascii());
        if bullet || signs.starts_with(blank) {
            let rest = signs.trim_start_matches(blank);
            return (!rest.is_empty()).then(|| content.len() - rest.len());
        }
        return None;
    }
    let digits = text.trim_start_matches(|c: char| c.is_ascii_digit());
    // A number on a key, as phones have them.
    if let Some(words) = digits.strip_prefix("\u{fe0f}\u{20e3}")
        && !words.trim().is_empty()
        && !is_counted(words.trim_start_matches(blank))
    {
        return Some(content.len() - words.trim_start_matches(blank).len());
    }
    let letter = text.strip_prefix(|c: char| c.is_ascii_alphabetic());
    let behind = if text.len() - digits.len() > 2 || digits.len() == text.len() {
        letter?
    } else {
        digits
    };
    let rest = behind.strip_prefix(['.', ')'])?;
    let words = rest.trim_start_matches(blank);
    // `1.5 min` is no list.
    let list = words.len() < rest.len() && !words.is_empty();
    list.then(|| lead + text.len() - words.len())
}

/// Whether the number in front of these words counts them: `x 30 m`, `sets of 10`.
fn is_counted(words: &str) -> bool {
    let sign = words.strip_prefix(is_times).map(str::trim_start);
    let letter = words.strip_prefix(['x', 'X']).map(str::trim_start);
    let figure = |behind: &str| behind.starts_with(|c: char| c.is_ascii_digit());
    let first = words.split_whitespace().next().unwrap_or_default();
    sign.or(letter).is_some_and(figure)
        || is_one_of(
            &first.to_lowercase(),
            "sets, reps, rounds, laps, times, lots",
        )
}

#[cfg(test)]
mod tests {
    use super::list_mark;

    #[test]
    fn marks_of_lists_are_known() {
        assert_eq!(list_mark("- speed"), Some(2));
        assert_eq!(list_mark("  2) speed"), Some(5));
        assert_eq!(list_mark("• speed"), Some("• ".len()));
        assert_eq!(list_mark("1.5 min"), None);
        assert_eq!(list_mark("speed"), None);
        assert_eq!(list_mark("10 min"), None);
        assert_eq!(list_mark("5\u{fe0f}\u{20e3} x 30 m"), None);
        assert_eq!(list_mark("5\u{fe0f}\u{20e3} sprints"), Some(8));
    }
}
