//! Text laid out in columns: widths as a terminal counts them, names made safe, numbers as people write them.
//!
//! By hand, since no two of our tables are alike: columns that give way to names, lines that hang below their sign, captions and colours
//! in between, all in 80 columns; a library of tables draws whole grids, of which only the padding would be ours to use. Widths are
//! `unicode-width`'s.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::measured::Measured;

/// A name from a file, safe to print on one line of a terminal.
///
/// Escape sequences, other control characters and characters that reverse or hide what follows are dropped, so that no
/// file can move the cursor, set a title or dress one word up as another. White space of any kind becomes one blank.
#[must_use]
pub fn safe(text: &str) -> String {
    let mut safe = String::with_capacity(text.len());
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        if c == '\u{1b}' && chars.next_if_eq(&'[').is_some() {
            // A control sequence: parameters and intermediates up to one final byte (ECMA-48, 5.4).
            while chars.next_if(|&c| (' '..='?').contains(&c)).is_some() {}
            chars.next_if(|&c| ('@'..='~').contains(&c));
        } else if c.is_whitespace() {
            if !safe.ends_with(' ') {
                safe.push(' ');
            }
        } else if !c.is_control() && !is_format_control(c) {
            safe.push(c);
        }
    }
    safe.trim().to_owned()
}

/// Characters that change the direction of text or take no room, by which a name can look like another.
pub(super) fn is_format_control(c: char) -> bool {
    matches!(c, '\u{ad}' | '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{fff9}'..='\u{fffb}')
}

/// Columns that the text takes.
pub(super) fn width(text: &str) -> usize {
    text.width()
}

/// The text cut to at most `columns`, with an ellipsis where something is left out.
pub(super) fn cut(text: &str, columns: usize) -> String {
    if width(text) <= columns {
        return text.to_owned();
    }
    let mut kept = String::new();
    let mut used = 1;
    for c in text.chars() {
        used += c.width().unwrap_or(0);
        if used > columns {
            break;
        }
        kept.push(c);
    }
    while kept.ends_with(' ') {
        kept.pop();
    }
    kept.push('…');
    kept
}

/// The text cut and filled up with blanks on its right to `columns`.
pub(super) fn left(text: &str, columns: usize) -> String {
    let text = cut(text, columns);
    let blanks = columns.saturating_sub(width(&text));
    text + &" ".repeat(blanks)
}

/// The text cut and filled up with blanks on its left to `columns`.
pub(super) fn right(text: &str, columns: usize) -> String {
    let text = cut(text, columns);
    " ".repeat(columns.saturating_sub(width(&text))) + &text
}

/// Whether a word is the unit of the number in front of it, from which it is not parted: `2 min`, `8.17 m/s,`.
fn belongs_to(number: &str, word: &str) -> bool {
    const UNITS: [&str; 12] = [
        "m", "s", "min", "h", "yd", "%", "m/s", "km/h", "mph", "m/s2", "Hz", "km",
    ];
    let unit = word.trim_end_matches([',', '.', ';', ':', ')']);
    number.ends_with(|c: char| c.is_ascii_digit()) && UNITS.contains(&unit)
}

/// The text broken at blanks into lines of at most `columns`, but not between a number and its unit; a single longer word is broken
/// where it must be.
pub(super) fn wrap(text: &str, columns: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    let mut words = text.split_whitespace().peekable();
    while let Some(word) = words.next() {
        let unit = words.peek().filter(|next| belongs_to(word, next));
        let needed = width(word) + unit.map_or(0, |unit| 1 + width(unit));
        if !line.is_empty() && width(&line) + 1 + needed > columns {
            lines.push(std::mem::take(&mut line));
        }
        if !line.is_empty() {
            line.push(' ');
        }
        for c in word.chars() {
            if !line.is_empty() && width(&line) + c.width().unwrap_or(0) > columns {
                lines.push(std::mem::take(&mut line));
            }
            line.push(c);
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// The text wrapped, the first line after `first` and all others indented as far.
pub(super) fn hanging(first: &str, text: &str, columns: usize) -> String {
    let indent = width(first);
    let mut out = String::new();
    for (i, line) in wrap(text, columns.saturating_sub(indent).max(20))
        .iter()
        .enumerate()
    {
        if i == 0 {
            out.push_str(first);
        } else {
            out.push_str(&" ".repeat(indent));
        }
        out.push_str(line);
        out.push('\n');
    }
    out
}

/// A time as `m:ss`, or `h:mm:ss` from an hour on, to the nearest second.
pub(super) fn clock(seconds: f64) -> String {
    if !seconds.is_finite() {
        return "?".to_owned();
    }
    let sign = if seconds.round() < 0.0 { "-" } else { "" };
    let whole = seconds.abs().round() as u64;
    let (h, m, s) = (whole / 3600, whole / 60 % 60, whole % 60);
    if h > 0 {
        format!("{sign}{h}:{m:02}:{s:02}")
    } else {
        format!("{sign}{m}:{s:02}")
    }
}

/// A whole number with a comma between thousands.
pub(super) fn thousands(value: f64) -> String {
    if !value.is_finite() {
        return "?".to_owned();
    }
    let digits = format!("{:.0}", value.abs());
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i).is_multiple_of(3) {
            out.push(',');
        }
        out.push(c);
    }
    if value < 0.0 && digits != "0" {
        out.insert(0, '-');
    }
    out
}

/// The ends of an interval, each as `text` tells a value: `8,120 to 8,240`.
pub(super) fn ends(measured: Measured, text: fn(f64) -> String) -> String {
    format!("{} to {}", text(measured.low), text(measured.high))
}

/// A number with `decimals`, without a zero tail: `12`, `12.5`.
pub(super) fn short(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}

/// A change with its sign: `+0.16`, `-1.20`; one that is no change in its last digit has none.
pub(super) fn signed(value: f64, decimals: usize) -> String {
    with_sign(format!("{value:.decimals$}"), value)
}

/// The text of a number as a change.
pub(super) fn with_sign(text: String, value: f64) -> String {
    if is_zero(&text) {
        text.trim_start_matches('-').to_owned()
    } else if value > 0.0 {
        format!("+{text}")
    } else {
        text
    }
}

/// Whether nothing but zeros is left of a number as it is told.
pub(super) fn is_zero(text: &str) -> bool {
    text.chars().all(|c| matches!(c, '0' | '.' | '-'))
}

/// `1 gap`, `2 gaps`.
pub(super) fn count(n: usize, one: &str, many: &str) -> String {
    let number = thousands(n as f64);
    format!("{number} {}", if n == 1 { one } else { many })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_change_has_no_sign() {
        let told = [0.164, -1.2, -0.001, 0.0].map(|change| signed(change, 2));
        assert_eq!(told, ["+0.16", "-1.20", "0.00", "0.00"]);
    }

    #[test]
    fn names_cannot_drive_the_terminal() {
        assert_eq!(safe("a\u{1b}[31;1mred\u{1b}[0m b"), "ared b");
        assert_eq!(safe("bell\u{7} nul\0 c1\u{9b}5m"), "bell nul c15m");
        assert_eq!(safe("two\r\nlines\t and  blanks "), "two lines and blanks");
        assert_eq!(safe("safe\u{202e}gpj.exe\u{200b}"), "safegpj.exe");
        assert_eq!(safe("\u{1b}["), "");
        assert_eq!(safe("Zoë 王 ⚽"), "Zoë 王 ⚽");
    }

    #[test]
    fn columns_are_counted_as_a_terminal_does() {
        assert_eq!(width("王"), 2);
        assert_eq!(left("王王王", 5), "王王…");
        assert_eq!(left("王王王", 6), "王王王");
        assert_eq!(left("ab", 4), "ab  ");
        assert_eq!(right("ab", 4), "  ab");
        assert_eq!(cut("wall passes", 6), "wall…");
    }

    #[test]
    fn long_words_are_broken_and_no_line_is_too_long() {
        assert_eq!(wrap("a bb ccc dddd", 4), ["a bb", "ccc", "dddd"]);
        assert_eq!(wrap("abcdefghij", 4), ["abcd", "efgh", "ij"]);
        assert!(wrap("", 4).is_empty());
        assert_eq!(
            wrap("rest 25 s, then 2 min", 19),
            ["rest 25 s, then", "2 min"]
        );
        assert_eq!(wrap("8.17 m/s: no", 9), ["8.17 m/s:", "no"]);
    }

    #[test]
    fn times_and_counts_read_as_people_write_them() {
        assert_eq!(clock(59.6), "1:00");
        assert_eq!(clock(3605.2), "1:00:05");
        assert_eq!(clock(-3.0), "-0:03");
        assert_eq!(clock(f64::NAN), "?");
        assert_eq!(thousands(1_234_567.4), "1,234,567");
        assert_eq!(thousands(-0.2), "0");
        assert_eq!(short(12.0, 1), "12");
        assert_eq!(short(12.54, 1), "12.5");
        assert_eq!(count(1, "gap", "gaps"), "1 gap");
    }
}
