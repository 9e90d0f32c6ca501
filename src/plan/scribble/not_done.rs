//! Work that is written down and not to be done: `cancelled: sprints 6 x 40 m`, `~~sprints 6 x 40 m~~`.

use super::ask::question;
use super::lines_meant;
use super::meaning::{Around, Scribble};

/// What such a line begins with.
const LEADS: [&str; 9] = [
    "instead of ",
    "cancelled",
    "canceled",
    "scrapped",
    "dropped",
    "skipped",
    "off:",
    "off -",
    "~~",
];

/// Asks whether work is done that is crossed out; its words alone ask for nothing.
pub(super) fn asked(content: &str, around: Around<'_>) -> Option<Scribble> {
    let text = content.trim();
    if !text.contains(|c: char| c.is_ascii_digit()) || text.contains(['#', '"']) {
        return None;
    }
    let lead = LEADS.iter().find(|lead| {
        (text.get(..lead.len())).is_some_and(|head| head.eq_ignore_ascii_case(lead))
    })?;
    let work = text
        .get(lead.len()..)?
        .trim_matches(|c: char| c.is_whitespace() || matches!(c, ':' | '-' | '~' | ','));
    let mut lines = vec![format!("# {text}")];
    lines.extend(lines_meant(work, around).unwrap_or_default());
    let message = "this may be work that is not done".to_owned();
    question(message, None, lines)
}
