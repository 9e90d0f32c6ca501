//! The bests of an athlete, as text of 80 columns.

use std::fmt::Write as _;

use crate::progress::{Best, Outcome, Point, Record};
use crate::report::day_words::{athlete, full_day, interval, speed_interval};
use crate::report::layout::{count, cut, hanging, left, right, short, signed};
use crate::units::SpeedUnit;

/// Columns of a terminal that we may use.
const WIDTH: usize = 80;
/// Columns of a name in a squad.
const NAME: usize = 24;
/// Most rows of the history; real gains are always among them.
const MOST: usize = 12;

/// Writes the bests of one athlete, or of several: a line each first, and what holds of all of them once.
#[must_use]
pub fn render(bests: &[Best<'_>]) -> String {
    let mut parts: Vec<String> = Vec::new();
    if bests.len() > 1 {
        parts.push(overview(bests));
    }
    parts.extend(bests.iter().map(one));
    if bests.iter().any(|best| best.top_speed_m_s.is_some()) {
        parts.push(notes());
    }
    parts.join("\n")
}

fn one(best: &Best<'_>) -> String {
    let mut out = first(best);
    if best.top_speed_m_s.is_some() {
        out += &sprints(best);
        out.push('\n');
        out += &history(best);
    }
    out
}

/// The top speeds of a squad, a line each.
fn overview(bests: &[Best<'_>]) -> String {
    let speeds = bests.first().map(|best| best.speeds).unwrap_or_default();
    let mut out = format!(
        "{}  best top speed, {}\n",
        left("athlete", NAME),
        speeds.sign()
    );
    for best in bests {
        let told = best.top_speed_m_s.map_or_else(
            || "–".to_owned(),
            |top| {
                format!(
                    "{}  {}  {}",
                    left(&speed_interval(Some(top.value), speeds), 18),
                    left(&full_day(top.date), 11),
                    rate(&top)
                )
            },
        );
        let name = cut(&athlete(best.athlete), NAME);
        let _ = writeln!(out, "{}  {told}", left(&name, NAME));
    }
    out
}

/// What is read first: the best, and what it takes to beat it.
fn first(best: &Best<'_>) -> String {
    hanging("", &headline(best), WIDTH)
}

/// The same in one line.
pub(in crate::report) fn headline(best: &Best<'_>) -> String {
    let name = athlete(best.athlete);
    let Some(top) = best.top_speed_m_s else {
        return format!("{name}: no recording with a top speed in the diary yet.");
    };
    let mut text = format!("{name}: best top speed {}", told(&top, best.speeds));
    if let (Some(mark), Some(smallest)) = (best.mark_m_s, best.smallest_gain_m_s) {
        let _ = write!(
            text,
            ". The next real gain is {} or more, against the mark of {}, {}, if that recording is as exact as the latest",
            best.speeds.text(mark.value.value + smallest, 2),
            full_day(mark.date),
            best.speeds.text(mark.value.value, 2)
        );
    }
    text + "."
}

/// `8.41 m/s (8.27–8.55) on 12 May 2026, 10 fixes a second`
fn told(record: &Record, speeds: SpeedUnit) -> String {
    format!(
        "{} {} on {}, {}",
        speed_interval(Some(record.value), speeds),
        speeds.sign(),
        full_day(record.date),
        rate(record)
    )
}

fn rate(record: &Record) -> String {
    format!("{} Hz", short(record.rate_hz, 1))
}

fn sprints(best: &Best<'_>) -> String {
    let mut out = String::new();
    if let Some(curve) = best.curve_top_m_s {
        out += &hanging(
            "",
            &format!(
                "Best sprint, would have levelled off at {}.",
                told(&curve, best.speeds)
            ),
            WIDTH,
        );
    }
    if best.splits.is_empty() {
        out += "No sprint from rest with a curve yet, so there are no split times.\n";
        return out;
    }
    out += "\nbest times from the first movement\n";
    for (distance, record) in &best.splits {
        let _ = writeln!(
            out,
            "{} m  {}  {}  {}",
            right(&short(*distance, 1), 5),
            left(&format!("{} s", interval(Some(record.value))), 20),
            left(&full_day(record.date), 12),
            rate(record)
        );
    }
    out
}

fn history(best: &Best<'_>) -> String {
    let skipped = best.history.len().saturating_sub(MOST);
    let shown = |at: usize, point: &Point| at >= skipped || is_mark(point);
    let speeds = best.speeds;
    let head = format!("top speed by recording, {}", speeds.sign());
    let mut out = format!("{head}         against the mark before\n");
    let mut left_out = 0;
    for (at, point) in best.history.iter().enumerate() {
        if !shown(at, point) {
            left_out += 1;
            continue;
        }
        let change = point.change.map_or_else(String::new, |change| {
            signed(speeds.of(change.difference.value), 2)
        });
        // One who changes the receiver compares two of them.
        let line = format!(
            "{}  {}{}{}  {}",
            left(&full_day(point.record.date), 11),
            left(&speed_interval(Some(point.record.value), speeds), 18),
            right(&rate(&point.record), 7),
            right(&change, 7),
            outcome(point, speeds)
        );
        out += line.trim_end();
        out.push('\n');
    }
    if left_out > 0 {
        let text = format!(
            "{} without a gain left out; --json has all.",
            count(left_out, "earlier recording", "earlier recordings")
        );
        out += &hanging("", &text, WIDTH);
    }
    out
}

fn is_mark(point: &Point) -> bool {
    matches!(point.outcome, Outcome::First | Outcome::Gain { .. })
}

fn outcome(point: &Point, speeds: SpeedUnit) -> String {
    let smallest = point.change.map(|change| change.smallest);
    match point.outcome {
        Outcome::NotTried => "no sprint from rest; sets no mark".to_owned(),
        Outcome::First => "first mark".to_owned(),
        Outcome::Gain { confirmed: true } => "real gain, repeated since".to_owned(),
        Outcome::Gain { confirmed: false } => "real gain, not repeated yet".to_owned(),
        Outcome::WithinError => match smallest {
            Some(smallest) => {
                format!("no change to be told (± {})", speeds.difference(smallest))
            }
            None => "no change to be told".to_owned(),
        },
        Outcome::Below => "clearly below".to_owned(),
        Outcome::NoMaximalSprint => "no maximal sprint".to_owned(),
    }
}

fn notes() -> String {
    hanging(
        "",
        "The best is the speed whose 95 % interval begins the highest, and the time whose interval ends the lowest: a poor \
         recording cannot win by its error. A gain is real when both intervals together cannot explain it (after Weir 2005); \
         one in forty would look so by chance, which is why a repeated one counts more. The mark is the first \
         recording with a sprint from rest, then each real gain. What a receiver gets wrong the same way each time cancels only \
         while you keep to that receiver.",
        WIDTH,
    )
}
