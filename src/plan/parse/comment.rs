//! What is kept beside a line.

use std::borrow::Cow;
use std::ops::Range;

use crate::plan::line::Line;
use crate::plan::word;

/// The comment from its `#` on.
pub(super) fn comment_of(line: Line<'_>, comment: Option<usize>) -> Option<Cow<'_, str>> {
    comment.map(|at| Cow::Borrowed(line.slice(&(at..line.end)).trim_end()))
}

/// A line in its tidy form with the words that are kept beside it.
pub(super) fn with_remark(tidy: String, remark: Option<&str>) -> String {
    match joined(remark, None) {
        Some(remark) => format!("{tidy}  {remark}"),
        None => tidy,
    }
}

/// Words that were set aside, as a comment, in front of the one that stands there.
pub(super) fn joined<'a>(
    remark: Option<&str>,
    comment: Option<Cow<'a, str>>,
) -> Option<Cow<'a, str>> {
    let Some(remark) = remark.map(word::clean).filter(|text| !text.is_empty()) else {
        return comment;
    };
    let behind = comment.map(|comment| comment.trim_start_matches('#').trim().to_owned());
    Some(Cow::Owned(match behind {
        Some(behind) if !behind.is_empty() => format!("# {remark}; {behind}"),
        _ => format!("# {remark}"),
    }))
}

/// The bytes of a line's content without the blanks around it.
pub(super) fn whole(line: Line<'_>, content: &str) -> Range<usize> {
    let start = line.start + (content.len() - content.trim_start().len());
    start..(line.start + content.trim_end().len()).max(start)
}
