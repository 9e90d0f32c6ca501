//! Weeks after each other, as text of 80 columns.

use crate::progress::{Quantity, Step, Totals, Trend, Verdict, WeekRow};
use crate::report::day_words::{UNKNOWN, athlete, of, speed_interval, thresholds, whole};
use crate::report::layout::{hanging, left, right, thousands};
use crate::units::SpeedUnit;

/// Columns of a terminal that we may use.
const WIDTH: usize = 80;
/// Columns of the week.
const WEEK: usize = 9;

/// Writes the weeks of an athlete.
#[must_use]
pub fn render(trend: &Trend<'_>) -> String {
    let mut out = first(trend);
    if trend.weeks.is_empty() {
        return out;
    }
    out.push('\n');
    out += &table(trend);
    out.push('\n');
    out += &notes(trend);
    out
}

/// What is read first: whether the last whole week differs clearly from the one before.
fn first(trend: &Trend<'_>) -> String {
    let name = athlete(trend.athlete);
    let Some(row) = trend.last_whole() else {
        let text = if trend.weeks.is_empty() {
            "nothing is noted in these weeks."
        } else {
            "no whole week yet, so nothing to compare."
        };
        return hanging("", &format!("{name}: {text}"), WIDTH);
    };
    hanging(
        "",
        &format!(
            "{name}: week {}: {}.",
            row.week,
            in_words(row, trend.speeds)
        ),
        WIDTH,
    )
}

/// What can be said of a week against the one before it.
fn in_words(row: &WeekRow, speeds: SpeedUnit) -> String {
    let clear: Vec<String> = (row.steps.iter())
        .filter_map(|step| clear_step(step, speeds))
        .collect();
    let of_verdict = |verdict| -> Vec<&str> {
        let steps = row.steps.iter().filter(|step| step.verdict == verdict);
        steps.map(|step| name(step.quantity)).collect()
    };
    let open = of_verdict(Verdict::NotClear);
    let few = of_verdict(Verdict::TooFewWeeks);
    let mut parts = Vec::new();
    if !clear.is_empty() {
        parts.push(clear.join(", "));
    }
    if !open.is_empty() {
        parts.push(format!("no clear change in {}", open.join(", ")));
    }
    if !few.is_empty() {
        parts.push(format!("too few weeks to judge {}", few.join(", ")));
    }
    if parts.is_empty() {
        parts.push("no week before it to compare with".to_owned());
    }
    parts.join("; ")
}

/// `distance up by 3,100 m since 2026-W18`, where it is clear.
pub(in crate::report) fn clear_step(step: &Step, speeds: SpeedUnit) -> Option<String> {
    let way = match step.verdict {
        Verdict::Up => "up",
        Verdict::Down => "down",
        Verdict::NotClear | Verdict::TooFewWeeks => return None,
    };
    let by = step.difference.value.abs();
    let by = match step.quantity {
        Quantity::TopSpeed => format!("{} {}", speeds.difference(by), speeds.sign()),
        Quantity::Minutes => format!("{} min", thousands(by)),
        Quantity::Load | Quantity::HeartLoad | Quantity::NearMaximal => thousands(by),
        Quantity::RepsDone => format!("{} %", thousands(by)),
        Quantity::Distance | Quantity::HighSpeed | Quantity::Sprint => {
            format!("{} m", thousands(by))
        }
    };
    Some(format!(
        "{} clearly {way} by {by} from {}",
        name(step.quantity),
        step.from
    ))
}

pub(in crate::report) fn name(quantity: Quantity) -> &'static str {
    match quantity {
        Quantity::Minutes => "minutes",
        Quantity::Distance => "distance",
        Quantity::HighSpeed => "high-speed metres",
        Quantity::Sprint => "sprint metres",
        Quantity::Load => "load",
        Quantity::TopSpeed => "top speed",
        Quantity::NearMaximal => "near-maximal runs",
        Quantity::RepsDone => "reps done",
        Quantity::HeartLoad => "load by heart rate",
    }
}

fn table(trend: &Trend<'_>) -> String {
    let mut out = format!(
        "{}  n   min  dist m   high sprint   load {}reps  rests\n",
        left("week", WEEK),
        left(&format!("top speed, {}", trend.speeds.sign()), 20)
    );
    for row in &trend.weeks {
        let mark = if row.running { "*" } else { "" };
        out += &left(&format!("{}{mark}", row.week), WEEK);
        out += cells(&row.totals, trend.speeds, &|quantity| {
            mark_of(row.step(quantity))
        })
        .trim_end();
        out.push('\n');
    }
    out
}

/// The load by heart rate, week by week, where any week has one. It stands apart from the load of the table, and its columns are full.
fn by_heart(trend: &Trend<'_>) -> String {
    if trend
        .weeks
        .iter()
        .all(|row| row.totals.heart_load.is_none())
    {
        return String::new();
    }
    let week = |row: &WeekRow| {
        let totals = &row.totals;
        let load = match totals.heart_load {
            Some(load) => thousands(load),
            None => UNKNOWN.to_owned(),
        };
        let mark = mark_of(row.step(Quantity::HeartLoad));
        let of = if totals.by_heart == totals.sessions || totals.heart_load.is_none() {
            String::new()
        } else {
            format!(" ({} of {})", totals.by_heart, totals.sessions)
        };
        format!("W{:02} {mark}{load}{of}", row.week.week)
    };
    let weeks: Vec<String> = trend.weeks.iter().map(week).collect();
    hanging(
        "heart  ",
        &format!(
            "load by heart rate, with how many of the week's sessions have one: {}. It is no part of load.",
            weeks.join(", ")
        ),
        WIDTH,
    )
}

/// An arrow beside a number that changed clearly.
fn mark_of(step: Option<&Step>) -> &'static str {
    match step.map(|step| step.verdict) {
        Some(Verdict::Up) => "↑",
        Some(Verdict::Down) => "↓",
        _ => "",
    }
}

/// The numbers of a row; a mark stands before the number that it belongs to.
pub(in crate::report) fn cells(
    totals: &Totals,
    speeds: SpeedUnit,
    mark: &dyn Fn(Quantity) -> &'static str,
) -> String {
    if totals.sessions == 0 {
        return right(UNKNOWN, 3);
    }
    let cell = |quantity: Quantity, text: String, columns: usize| {
        right(&format!("{}{text}", mark(quantity)), columns)
    };
    let top = format!(
        "{}{}",
        mark(Quantity::TopSpeed),
        speed_interval(totals.top_speed_m_s, speeds)
    );
    let least = |load: String| {
        if totals.all_rated() || totals.load.is_none() {
            load
        } else {
            format!("≥{load}")
        }
    };
    format!(
        "{}{}{}{}{}{} {}{}{}",
        right(&totals.sessions.to_string(), 3),
        cell(Quantity::Minutes, thousands(totals.minutes()), 6),
        cell(
            Quantity::Distance,
            whole(totals.distance_m.map(|m| m.value)),
            8
        ),
        cell(Quantity::HighSpeed, whole(totals.high_speed_m), 7),
        cell(Quantity::Sprint, whole(totals.sprint_m), 7),
        cell(Quantity::Load, least(whole(totals.load)), 7),
        left(&top, 17),
        right(&of(totals.counts.map(|c| (c.done, c.planned))), 8),
        right(&of(totals.rests.map(|[kept, judged]| (kept, judged))), 7),
    )
}

fn notes(trend: &Trend<'_>) -> String {
    let mut out = String::new();
    if trend.weeks.iter().any(|row| row.running) {
        out += &hanging(
            "*  ",
            "the week is not over; it is compared with none.",
            WIDTH,
        );
    }
    out += &hanging(
        "↑ ↓  ",
        "a clear change from the week before: beyond both 95 % intervals and beyond this athlete's own scatter from week to \
         week (typical error of successive weeks, Hopkins 2000). Without an arrow no change is clear.",
        WIDTH,
    );
    out += &by_heart(trend);
    let mut edges = trend
        .weeks
        .iter()
        .filter(|row| row.totals.recorded > 0)
        .map(|row| row.totals.thresholds_m_s);
    if let Some(first) = edges.next() {
        let same = first.filter(|_| edges.all(|other| other == first));
        out += &hanging("", &format!("{}.", thresholds(same, trend.speeds)), WIDTH);
        out += &hanging(
            "",
            "dist, high and sprint: recorded sessions only. Top speed: the one whose interval begins the highest. reps: done of \
             planned; rests: kept of judged. – is not known, ≥ a sum in which a session without RPE is missing.",
            WIDTH,
        );
    }
    out
}
