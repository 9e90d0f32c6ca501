//! Sessions held beside each other as text of 80 columns: a table for each session against the first.

use crate::comparison::{Comparison, Difference, Drill, Quantity, Row, Side, Value, Verdict, When};
use crate::measured::Measured;
use crate::report::day_words::full_day;
use crate::report::layout::{
    clock, cut, hanging, is_zero, left, right, safe, thousands, with_sign,
};
use crate::report::words;
use crate::review::RepReview;
use crate::units::SpeedUnit;
use anstyle::Style;

const COLUMNS: usize = 80;
const STRONG: Style = Style::new().bold();
const QUIET: Style = Style::new().dimmed();

/// Widths of the columns: name, the two sessions, the difference; the verdict takes the rest.
const NAME: usize = 13;
const VALUE: usize = 17;
const DIFFERENCE: usize = 17;

/// Writes the comparison, styled for a terminal.
#[must_use]
pub fn render(comparison: &Comparison) -> String {
    let mut out = String::new();
    let edges_of = |side: &Side| side.recorded.thresholds_m_s;
    let differ = (comparison.sides.windows(2)).any(|two| edges_of(&two[0]) != edges_of(&two[1]));
    for (k, side) in comparison.sides.iter().enumerate() {
        out += &heading(k, side);
        if differ {
            out += &edges(side, comparison.speeds);
        }
    }
    for other in 1..comparison.sides.len() {
        out.push('\n');
        out += &head(other);
        for row in &comparison.rows {
            out += &line(row, other, comparison.speeds);
        }
        for drill in &comparison.drills {
            if drill.blocks.get(other).copied().flatten().is_some() {
                out += &against(drill, other, comparison.speeds);
            }
        }
    }
    if comparison.sides.len() > 1 {
        out.push('\n');
        out += &caption(
            "Small print: 95 % intervals. 'seen from' is the smallest difference that the two recordings would let one tell. A verdict \
             is about measurement: a player differs from day to day as well. Fade: change of peak speed from rep to rep. Levels off at: where the best sprint would have levelled off. \
             ?: reps of which the recording cannot tell. Points: percentage points, one share less the other.",
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
        When::Start(clock) => words::start_of(clock, None, "%-d %b %Y, %H:%M"),
        When::Day(date) => Some(full_day(date)),
    };
    let mut words = vec![safe(&side.name)];
    words.extend(side.title.as_deref().map(safe));
    words.extend(when);
    words.push(format!("{} recorded", clock(side.duration_s)));
    let text = cut(&words.join(" · "), COLUMNS - 4);
    format!("{} {text}\n", paint(STRONG, &left(&letter(index), 3)))
}

/// From which speeds on running counts as fast and as a sprint.
fn edges(side: &Side, speeds: SpeedUnit) -> String {
    let [high, sprint] = (side.recorded.thresholds_m_s).map(|edge| speeds.edge(edge, 2));
    caption(&format!("   fast from {high}, a sprint from {sprint}"))
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
fn line(row: &Row, other: usize, speeds: SpeedUnit) -> String {
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
        right(&shown(q, speeds, base), VALUE),
        right(&shown(q, speeds, value), VALUE),
        right(&by(q, speeds, difference, base), DIFFERENCE),
    );
    if let Some(verdict) = difference.and_then(Difference::verdict) {
        out.push(' ');
        out += verdict.in_words();
    }
    let mut out = out.trim_end().to_owned() + "\n";
    let small = |value: Option<Value>| match value {
        Some(Value::Measured(m)) => range(q, speeds, m),
        _ => String::new(),
    };
    let (interval, seen) = match difference {
        Some(Difference::Judged(change)) => (
            signed_range(q, speeds, change.difference),
            format!(" seen from {}", number(q, speeds, change.smallest)),
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

fn number(q: Quantity, speeds: SpeedUnit, value: f64) -> String {
    let text = match q.decimals() {
        0 => thousands(value),
        decimals if q.is_speed() => {
            format!("{:.*}", speeds.decimals(decimals), speeds.of(value))
        }
        decimals => format!("{value:.decimals$}"),
    };
    // What rounds to nothing has no sign.
    if is_zero(&text) {
        text.trim_start_matches('-').to_owned()
    } else {
        text
    }
}

fn signed(q: Quantity, speeds: SpeedUnit, value: f64) -> String {
    with_sign(number(q, speeds, value), value)
}

fn with_unit(q: Quantity, speeds: SpeedUnit, text: String) -> String {
    match q.unit() {
        "" => text,
        _ if q.is_speed() => format!("{text} {}", speeds.sign()),
        unit => format!("{text} {unit}"),
    }
}

fn shown(q: Quantity, speeds: SpeedUnit, value: Option<Value>) -> String {
    match value {
        None => "not known".to_owned(),
        Some(Value::Summed(seconds)) if q == Quantity::Duration => clock(seconds),
        Some(Value::Measured(m)) => with_unit(q, speeds, number(q, speeds, m.value)),
        Some(Value::Summed(sum)) => with_unit(q, speeds, number(q, speeds, sum)),
        Some(Value::Counted(n)) => thousands(n as f64),
        Some(Value::Share { part, of, open: 0 }) => format!("{part} of {of}"),
        Some(Value::Share { part, of, open }) => format!("{part} of {of}, {open} ?"),
    }
}

fn by(
    q: Quantity,
    speeds: SpeedUnit,
    difference: Option<&Difference>,
    base: Option<Value>,
) -> String {
    let Some(difference) = difference else {
        return String::new();
    };
    let value = difference.value();
    match base {
        Some(Value::Share { .. }) => {
            let points = (100.0 * value).round();
            match points.abs() as u32 {
                0 => "same share".to_owned(),
                1 => format!("{points:+.0} point"),
                _ => format!("{points:+.0} points"),
            }
        }
        _ if q == Quantity::Duration && value.abs() >= 0.5 => {
            format!("{}{}", if value > 0.0 { "+" } else { "" }, clock(value))
        }
        _ if q == Quantity::Duration => "0:00".to_owned(),
        _ => with_unit(q, speeds, signed(q, speeds, value)),
    }
}

fn range(q: Quantity, speeds: SpeedUnit, m: Measured) -> String {
    format!(
        "{} to {}",
        number(q, speeds, m.low),
        number(q, speeds, m.high)
    )
}

fn signed_range(q: Quantity, speeds: SpeedUnit, m: Measured) -> String {
    format!(
        "{} to {}",
        signed(q, speeds, m.low),
        signed(q, speeds, m.high)
    )
}

/// A drill of one session against the base: means, then rep beside rep.
fn against(drill: &Drill, other: usize, speeds: SpeedUnit) -> String {
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
        out += &line(row, other, speeds);
    }
    let head = format!(
        "{}{}{}{}",
        left("Rep", 5),
        side_head(0, speeds),
        side_head(other, speeds),
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
        let by = difference.map_or_else(String::new, |d| signed(Quantity::Peak, speeds, d.value()));
        let verdict = match difference.and_then(Difference::verdict) {
            None => "",
            Some(Verdict::More) => " more",
            Some(Verdict::Less) => " less",
            Some(Verdict::NoClearChange) => " unclear",
        };
        let line = format!(
            "{}{}{}{}{verdict}",
            left(&format!("{}.{}", row.set, row.rep), 5),
            columns(rep(0), speeds),
            columns(rep(other), speeds),
            right(&by, 6)
        );
        out += line.trim_end();
        out.push('\n');
    }
    out
}

/// The names of the columns of one session's reps.
fn side_head(index: usize, speeds: SpeedUnit) -> String {
    format!(
        "{}{}{}{}  ",
        left(&letter(index), 11),
        right("s", 6),
        right(speeds.sign(), 6),
        right("rest", 5)
    )
}

fn columns(rep: Option<&RepReview>, speeds: SpeedUnit) -> String {
    let Some(rep) = rep else {
        return left("-", 30);
    };
    let peak = rep.peak_speed_m_s.map(|m| speeds.measured(m));
    let value = |m: Option<Measured>, decimals: usize| {
        m.map_or_else(String::new, |m| format!("{:.decimals$}", m.value))
    };
    format!(
        "{}{}{}{}  ",
        left(words::verdict(rep.verdict), 11),
        right(&value(rep.work_s, 1), 6),
        right(&value(peak, speeds.decimals(2)), 6),
        right(&value(rep.rest_s, 0), 5)
    )
}

#[cfg(test)]
mod tests {
    use super::by;
    use crate::comparison::{Difference, Quantity, Value};
    use crate::units::SpeedUnit;

    #[test]
    fn shares_differ_by_percentage_points() {
        let base = Value::Share {
            part: 1,
            of: 4,
            open: 0,
        };
        for (share, said) in [
            (0.75, "+75 points"),
            (-0.01, "-1 point"),
            (0.0, "same share"),
        ] {
            let difference = Difference::Plain(share);
            let said_so = by(
                Quantity::RestsKept,
                SpeedUnit::default(),
                Some(&difference),
                Some(base),
            );
            assert_eq!(said_so, said);
        }
    }
}
