//! Athletes beside each other, as text of 80 columns.

use std::fmt::Write as _;

use jiff::civil::Date;

use crate::progress::{IsoWeek, Row};
use crate::report::day_words::{UNKNOWN, athlete, day, thresholds, whole};
use crate::report::layout::{count, cut, hanging, left, right, thousands};
use crate::report::weeks::text::clear_step;
use crate::report::words::{ROUGH, is_rough};
use crate::units::SpeedUnit;

/// Columns of a terminal that we may use.
const WIDTH: usize = 80;
/// Columns of a name.
const NAME: usize = 18;

/// Writes the squad over the weeks `from` to `to`.
#[must_use]
pub fn render(rows: &[Row<'_>], (from, to): (IsoWeek, IsoWeek), today: Date) -> String {
    // As the grid above it, from the first entry on.
    let begun = rows.iter().filter_map(|row| row.first).min();
    let from = begun.map_or(from, |begun| begun.clamp(from, to.max(from)));
    let mut out = first(rows, from, to, today);
    if rows.is_empty() {
        return out;
    }
    out.push('\n');
    out += &table(rows);
    out += &changes(rows);
    out.push('\n');
    out += &notes(rows);
    out
}

fn first(rows: &[Row<'_>], from: IsoWeek, to: IsoWeek, today: Date) -> String {
    let span = if from == to {
        format!("Week {to}")
    } else {
        format!("Weeks {from} to {to}")
    };
    let trained = rows.iter().filter(|row| row.totals.sessions > 0).count();
    let sessions: usize = rows.iter().map(|row| row.totals.sessions).sum();
    let unrated: usize = rows
        .iter()
        .map(|row| row.totals.sessions - row.totals.rated)
        .sum();
    let mut text = format!(
        "{span}, seen on {}: {trained} of {} with {}",
        day(today),
        count(rows.len(), "athlete", "athletes"),
        count(sessions, "session", "sessions"),
    );
    if unrated > 0 {
        let _ = write!(text, ", {} without RPE", thousands(unrated as f64));
    }
    hanging("", &format!("{text}."), WIDTH)
}

fn table(rows: &[Row<'_>]) -> String {
    let mut out = format!(
        "{}today  n    min  dist m    high sprint near    load    top\n",
        left("athlete", NAME)
    );
    for row in rows {
        let totals = &row.totals;
        out += &left(&cut(&athlete(row.athlete), NAME - 1), NAME);
        out += &left(
            &row.place
                .map_or_else(|| UNKNOWN.to_owned(), |place| place.to_string()),
            5,
        );
        if totals.sessions == 0 {
            out += &right(UNKNOWN, 3);
            out.push('\n');
            continue;
        }
        let load = whole(totals.load);
        let least = totals.load.is_some() && !totals.all_rated();
        out += &right(&totals.sessions.to_string(), 3);
        out += &right(&thousands(totals.minutes()), 7);
        out += &right(&whole(totals.distance_m.map(|m| m.value)), 8);
        out += &right(&whole(totals.high_speed_m), 8);
        out += &right(&whole(totals.sprint_m), 7);
        out += &right(&whole(totals.near_maximal.map(|n| n as f64)), 5);
        out += &right(&if least { format!("≥{load}") } else { load }, 8);
        out += &right(&top(row), 7);
        out.push('\n');
    }
    out
}

fn top(row: &Row<'_>) -> String {
    let Some(top) = row.totals.top_speed_m_s else {
        return UNKNOWN.to_owned();
    };
    // What is hardly known does not stand beside others unmarked.
    let rough = if is_rough(top) { ROUGH } else { "" };
    format!("{rough}{}", row.speeds.number(top.value, 2))
}

fn changes(rows: &[Row<'_>]) -> String {
    let mut out = String::new();
    for row in rows {
        let clear: Vec<String> = row
            .clear
            .iter()
            .filter_map(|step| clear_step(step, row.speeds))
            .collect();
        if !clear.is_empty() {
            let name = format!("{}: ", cut(&athlete(row.athlete), NAME));
            out += &hanging(&name, &format!("{}.", clear.join(", ")), WIDTH);
        }
    }
    if out.is_empty() {
        return "\nNo clear change in anybody's last whole week.\n".to_owned();
    }
    format!("\nClear changes in the last whole week\n{out}")
}

fn notes(rows: &[Row<'_>]) -> String {
    let mut edges = (rows.iter())
        .filter(|row| row.totals.recorded > 0)
        .map(|row| row.totals.thresholds_m_s);
    let mut out = String::new();
    if let Some(first) = edges.next() {
        let same = first.filter(|_| edges.all(|other| other == first));
        out += &hanging("", &format!("{}.", thresholds(same, speeds(rows))), WIDTH);
    }
    out + &hanging(
        "",
        &format!(
            "{place}Recorded sessions only for metres and top speed ({}, the one whose interval begins the highest; ~ known to ±10 % or \
             worse; all intervals in --json). near: runs at 90 % of the own top speed or more. load: RPE x minutes. – is not known, ≥ a sum in which a \
             session without RPE is missing.",
            speeds(rows).sign(),
            place = if rows.iter().any(|row| row.place.is_some()) {
                "today: days from a match day, MD. "
            } else {
                ""
            },
        ),
        WIDTH,
    )
}

/// The unit of the rows.
fn speeds(rows: &[Row<'_>]) -> SpeedUnit {
    rows.first()
        .map_or_else(SpeedUnit::default, |row| row.speeds)
}
