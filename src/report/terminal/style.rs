//! Colours of the account. They only repeat what the words and marks already say.

use anstyle::{AnsiColor, Style};

/// What is read first.
pub(super) const STRONG: Style = Style::new().bold();
/// Units, captions and other words that may recede.
pub(super) const QUIET: Style = Style::new().dimmed();
/// Done.
pub(super) const GOOD: Style = AnsiColor::Green.on_default();
/// Not done.
pub(super) const BAD: Style = AnsiColor::Red.on_default().bold();
/// Not known.
pub(super) const DOUBT: Style = AnsiColor::Yellow.on_default();

/// The text in a style; the style ends with it.
pub(super) fn paint(style: Style, text: &str) -> String {
    if text.is_empty() {
        String::new()
    } else {
        format!("{style}{text}{style:#}")
    }
}
