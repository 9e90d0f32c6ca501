//! Sessions held beside each other as text of 80 columns: a table for each session against the first.

use super::layout::{clock, cut, hanging, left, right, safe, thousands};
use super::words;
use crate::comparison::{Comparison, Difference, Drill, Quantity, Row, Side, Value, Verdict, When};
use crate::measured::Measured;
use crate::review::RepReview;
use anstyle::Style;

const COLUMNS: usize = 80;
const STRONG: Style = Style::new().bold();
const QUIET: Style = Style::new().dimmed();

/// Widths of the columns: name, the two sessions, the difference; the verdict takes the rest.
const NAME: usize = 15;
const VALUE: usize = 16;
const DIFFERENCE: usize = 17;

/// Writes the comparison, styled for a terminal.
#[must_use]
pub fn render(comparison: &Comparison) -> String {
    let mut out = String::new();
    for (k, side) in comparison.sides.iter().enumerate() {
        out += &heading(k, side);
    }
    for other in 1..comparison.sides.len() {
        out.push('\n');
        out += &head(other);
        for row in &comparison.rows {
            out += &line(row, other);
        }
        for drill in &comparison.drills {
            if drill.blocks.get(other).copied().flatten().is_some() {
                out += &against(drill, other);
            }
        }
    }
    if comparison.sides.len() > 1 {
        out.push('\n');
        out += &caption(
            "Small print: 95 % intervals. 'seen from' is the smallest difference that the two recordings would let one tell. A verdict \
             is about measurement: a player differs from day to day as well. Fade: change of peak speed from rep to rep.",
        );
    }
    if !comparison.notes.is_empty() {
        out.push('\n');
        out += &paint(STRONG, "Notes");
        out.push('\n');
        for note in &comparison.notes {
            out += &hanging("- ", &safe(note), COLUMNS);
        }
    }
    out
}

fn paint(style: Style, text: &str) -> String {
    if text.trim().is_empty() {
        text.to_owned()
    } else {
        format!("{style}{text}{style:#}")
    }
}

fn caption(text: &str) -> String {
    hanging("", text, COLUMNS)
        .lines()
        .fold(String::new(), |out, line| out + &paint(QUIET, line) + "\n")
}

/// A, B, C; numbers after Z.
fn letter(index: usize) -> String {
    u8::try_from(index).ok().filter(|k| *k < 26).map_or_else(
        || (index + 1).to_string(),
        |k| char::from(b'A' + k).to_string(),
    )
}

fn heading(index: usize, side: &Side) -> String {
    let when = match side.when {
        When::Start(clock) => clock.text(),
        When::Day(date) => Some(date.to_string()),
    };
    let mut words = vec![safe(&side.name)];
    words.extend(side.title.as_deref().map(safe));
    words.extend(when);
    words.push(format!("{} recorded", clock(side.duration_s)));
    let text = cut(&words.join(" · "), COLUMNS - 4);
    format!("{} {text}\n", paint(STRONG, &left(&letter(index), 3)))
}

fn head(other: usize) -> String {
    let letter = letter(other);
    let text = format!(
        "{}{}{}{}",
        left("", NAME),
        right("A", VALUE),
        right(&letter, VALUE),
        right(&format!("{letter} less A"), DIFFERENCE)
    );
    paint(STRONG, &text) + "\n"
}

/// The values of a row, and below them their intervals.
fn line(row: &Row, other: usize) -> String {
    let base = row.values.first().copied().flatten();
    let value = row.values.get(other).copied().flatten();
    if base.is_none() && value.is_none() {
        return String::new();
    }
    let difference = row.differences.get(other).and_then(Option::as_ref);
    let q = row.quantity;
    let mut out = format!(
        "{}{}{}{}",
        left(&q.label(), NAME),
        right(&shown(q, base), VALUE),
        right(&shown(q, value), VALUE),
        right(&by(q, difference, base), DIFFERENCE),
    );
    if let Some(verdict) = difference.and_then(Difference::verdict) {
        out.push(' ');
        out += verdict.in_words();
    }
    let mut out = out.trim_end().to_owned() + "\n";
    let small = |value: Option<Value>| match value {
        Some(Value::Measured(m)) => range(q, m),
        _ => String::new(),
    };
    let (interval, seen) = match difference {
        Some(Difference::Judged(change)) => (
            signed_range(q, change.difference),
            format!(" seen from {}", number(q, change.smallest)),
        ),
        _ => (String::new(), String::new()),
    };
    let below = format!(
        "{}{}{}{}{seen}",
        left("", NAME),
        right(&small(base), VALUE),
        right(&small(value), VALUE),
        right(&interval, DIFFERENCE),
    );
    if !below.trim().is_empty() {
        out += &paint(QUIET, below.trim_end());
        out.push('\n');
    }
    out
}

fn number(q: Quantity, value: f64) -> String {
    match q.decimals() {
        0 => thousands(value),
        decimals => format!("{:.decimals$}", value + 0.0),
    }
}

fn signed(q: Quantity, value: f64) -> String {
    let text = number(q, value);
    let zero = text.chars().all(|c| matches!(c, '0' | '.' | '-'));
    if zero {
        text.trim_start_matches('-').to_owned()
    } else if value > 0.0 {
        format!("+{text}")
    } else {
        text
    }
}

fn with_unit(q: Quantity, text: String) -> String {
    if q.unit().is_empty() {
        text
    } else {
        format!("{text} {}", q.unit())
    }
}

fn shown(q: Quantity, value: Option<Value>) -> String {
    match value {
        None => "not known".to_owned(),
        Some(Value::Summed(seconds)) if q == Quantity::Duration => clock(seconds),
        Some(Value::Measured(m)) => with_unit(q, number(q, m.value)),
        Some(Value::Summed(sum)) => with_unit(q, number(q, sum)),
        Some(Value::Counted(n)) => thousands(n as f64),
        Some(Value::Share { part, of }) => format!("{part} of {of}"),
    }
}

fn by(q: Quantity, difference: Option<&Difference>, base: Option<Value>) -> String {
    let Some(difference) = difference else {
        return String::new();
    };
    let value = difference.value();
    match base {
        Some(Value::Share { .. }) => {
            let percent = 100.0 * value;
            if percent.abs() < 0.5 {
                "same share".to_owned()
            } else {
                format!("{percent:+.0} % points")
            }
        }
        _ if q == Quantity::Duration && value.abs() >= 0.5 => {
            format!("{}{}", if value > 0.0 { "+" } else { "" }, clock(value))
        }
        _ if q == Quantity::Duration => "0:00".to_owned(),
        _ => with_unit(q, signed(q, value)),
    }
}

fn range(q: Quantity, m: Measured) -> String {
    format!("{} to {}", number(q, m.low), number(q, m.high))
}

fn signed_range(q: Quantity, m: Measured) -> String {
    format!("{} to {}", signed(q, m.low), signed(q, m.high))
}

/// A drill of one session against the base: means, then rep beside rep.
fn against(drill: &Drill, other: usize) -> String {
    let name = drill
        .name
        .as_deref()
        .map(|n| format!(" \"{}\"", safe(n)))
        .unwrap_or_default();
    let ball = if drill.with_ball { ", with ball" } else { "" };
    let block = |k: usize| {
        drill
            .blocks
            .get(k)
            .copied()
            .flatten()
            .map_or_else(String::new, |b| format!("block {b} of {}", letter(k)))
    };
    let title = format!(
        "{}{name}{ball}: {}, {}",
        drill.category.word(),
        block(0),
        block(other)
    );
    let mut out = format!("\n{}\n", paint(STRONG, &cut(&title, COLUMNS)));
    if !drill.like_for_like.get(other).copied().unwrap_or(false) {
        out += &caption("A rep is another distance or time here, so the two are not compared.");
    }
    for row in &drill.rows {
        out += &line(row, other);
    }
    let head = format!(
        "{}{}{}{}",
        left("Rep", 5),
        side_head(0),
        side_head(other),
        right("peak", 6)
    );
    out += &paint(QUIET, &head);
    out.push('\n');
    for row in &drill.reps {
        let rep = |k: usize| row.reps.get(k).and_then(Option::as_ref);
        if rep(0).is_none() && rep(other).is_none() {
            continue;
        }
        let difference = row.peak_differences.get(other).and_then(Option::as_ref);
        let by = difference.map_or_else(String::new, |d| signed(Quantity::Peak, d.value()));
        let verdict = match difference.and_then(Difference::verdict) {
            None => "",
            Some(Verdict::More) => " more",
            Some(Verdict::Less) => " less",
            Some(Verdict::NoClearChange) => " unclear",
        };
        let line = format!(
            "{}{}{}{}{verdict}",
            left(&format!("{}.{}", row.set, row.rep), 5),
            columns(rep(0)),
            columns(rep(other)),
            right(&by, 6)
        );
        out += line.trim_end();
        out.push('\n');
    }
    out
}

/// The names of the columns of one session's reps.
fn side_head(index: usize) -> String {
    format!(
        "{}{}{}{}  ",
        left(&letter(index), 11),
        right("s", 6),
        right("m/s", 6),
        right("rest", 5)
    )
}

fn columns(rep: Option<&RepReview>) -> String {
    let Some(rep) = rep else {
        return left("-", 30);
    };
    let value = |m: Option<Measured>, decimals: usize| {
        m.map_or_else(String::new, |m| format!("{:.decimals$}", m.value))
    };
    format!(
        "{}{}{}{}  ",
        left(words::verdict(rep.verdict), 11),
        right(&value(rep.work_s, 1), 6),
        right(&value(rep.peak_speed_m_s, 2), 6),
        right(&value(rep.rest_s, 0), 5)
    )
}
