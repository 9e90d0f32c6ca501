//! How wide a text is, so that it can be placed or cut before it is drawn.
//!
//! By a table of the font's own widths: `resvg` would lay out a whole picture for the width of a word, and a picture has hundreds.

use super::style::Type;

/// Advance widths of the printable ASCII characters from the space on, thousandths of the em, regular weight.
const REGULAR: [u16; 95] = [
    281, 288, 466, 633, 642, 982, 644, 300, 365, 365, 501, 662, 288, 460, 288, 360, 631, 407, 610,
    618, 646, 593, 620, 566, 619, 620, 288, 302, 662, 662, 662, 511, 966, 690, 654, 730, 722, 601,
    590, 746, 743, 269, 571, 672, 565, 903, 753, 765, 639, 765, 644, 642, 646, 744, 690, 985, 682,
    679, 629, 365, 360, 365, 471, 456, 323, 562, 612, 571, 612, 583, 370, 613, 591, 242, 242, 549,
    242, 876, 591, 600, 612, 612, 376, 528, 327, 591, 562, 818, 546, 562, 552, 426, 333, 426, 662,
];

/// The same, semibold.
const SEMIBOLD: [u16; 95] = [
    252, 321, 523, 644, 650, 1004, 663, 326, 373, 373, 540, 673, 319, 465, 319, 379, 660, 423, 623,
    636, 666, 612, 640, 576, 640, 640, 319, 329, 673, 673, 673, 543, 999, 728, 659, 737, 722, 605,
    588, 749, 746, 277, 580, 703, 565, 922, 759, 769, 645, 773, 652, 650, 660, 736, 728, 1020, 720,
    713, 652, 373, 379, 373, 481, 469, 351, 574, 624, 583, 624, 591, 389, 625, 612, 262, 262, 569,
    262, 900, 612, 609, 624, 624, 397, 549, 353, 612, 587, 839, 569, 588, 566, 455, 359, 455, 673,
];

/// The width of `text`, pixels; kerning is left out, and a character outside the tables counts as a wide one.
pub(super) fn width(text: &str, kind: Type) -> f64 {
    let table = if kind.bold { &SEMIBOLD } else { &REGULAR };
    let thousandths: f64 = text
        .chars()
        .map(|c| {
            (c as usize)
                .checked_sub(32)
                .and_then(|i| table.get(i))
                .map_or_else(|| other(c), |w| f64::from(*w))
        })
        .sum();
    thousandths * kind.size / 1000.0
}

/// Widths of the characters that the pictures use outside ASCII, and a safe one for all others.
fn other(c: char) -> f64 {
    match c {
        '·' | '’' | '‘' => 320.0,
        '–' | '“' | '”' | '°' | '²' => 510.0,
        '−' | '×' | '±' => 675.0,
        'à'..='ö' | 'ø'..='ÿ' => 640.0,
        '\u{1100}'.. => 1100.0,
        _ => 960.0,
    }
}

/// `text` if it fits into `room` pixels, else its beginning with an ellipsis, else nothing when not even three characters fit.
pub(super) fn fit(text: &str, kind: Type, room: f64) -> Option<String> {
    if width(text, kind) <= room {
        return Some(text.to_owned());
    }
    let mut kept = String::new();
    for c in text.chars() {
        let mut longer = kept.clone();
        longer.push(c);
        longer.push('…');
        if width(&longer, kind) > room {
            break;
        }
        longer.pop();
        kept = longer;
    }
    let kept = kept.trim_end();
    (kept.chars().count() >= 3).then(|| format!("{kept}…"))
}

/// `words` in lines of at most `room` pixels, `separator` between those of a line; a word wider than a line is cut.
pub(super) fn wrap(words: &[String], separator: &str, kind: Type, room: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words {
        let Some(word) = fit(word, kind, room) else {
            continue;
        };
        match lines.last_mut() {
            Some(line) if width(&format!("{line}{separator}{word}"), kind) <= room => {
                line.push_str(separator);
                line.push_str(&word);
            }
            _ => lines.push(word),
        }
    }
    lines
}

/// A text in at most `most` lines of `room` pixels; the last one is cut where more would follow.
pub(super) fn broken(text: &str, kind: Type, room: f64, most: usize) -> Vec<String> {
    let words: Vec<String> = text.split_whitespace().map(str::to_owned).collect();
    let mut lines = wrap(&words, " ", kind, room);
    if lines.len() > most {
        lines.truncate(most);
        if let Some(last) = lines.last_mut() {
            last.push('…');
            *last = fit(last, kind, room).unwrap_or_default();
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{broken, fit, width, wrap};
    use crate::figure::style;

    #[test]
    fn the_longest_beginning_that_fits_is_kept() {
        let cut = fit("channel runs", style::PLAIN, 50.0).expect("room for three characters");
        assert!(cut.ends_with('…'), "{cut}");
        assert!(width(&cut, style::PLAIN) <= 50.0);
        assert_eq!(fit("rest", style::PLAIN, 50.0).as_deref(), Some("rest"));
        assert_eq!(fit("channel runs", style::PLAIN, 10.0), None);
    }

    #[test]
    fn a_long_text_is_broken_and_at_last_cut() {
        let text = "speed over time ".repeat(20);
        let lines = broken(&text, style::PLAIN, 120.0, 3);
        assert_eq!(lines.len(), 3);
        assert!(lines[2].ends_with('…'), "{lines:?}");
        assert!(lines.iter().all(|l| width(l, style::PLAIN) <= 120.0));
        assert_eq!(broken("one two", style::PLAIN, 120.0, 3), ["one two"]);
    }

    #[test]
    fn words_wrap_at_the_width() {
        let words: Vec<String> = ["one", "two", "three"].map(str::to_owned).to_vec();
        let room = width("one, two", style::PLAIN) + 1.0;
        assert_eq!(
            wrap(&words, ", ", style::PLAIN, room),
            ["one, two", "three"]
        );
    }
}
