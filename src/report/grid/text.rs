//! A squad by week, as text of 80 columns: athletes down, weeks across, one quantity.

use crate::figure;
use crate::progress::{Cell, Grid, Known, Quantity, Verdict};
use crate::report::day_words::{UNKNOWN, athlete, day};
use crate::report::layout::{count, cut, hanging, left, right, thousands, width};
use crate::report::weeks::text::name;
use crate::units::SpeedUnit;
use jiff::civil::Date;

/// Columns of a terminal that we may use.
const WIDTH: usize = 80;
/// Most columns of a name.
const NAME: usize = 16;
/// What stands for a week in which nothing was noted.
const NOTHING: &str = "·";

/// Writes the grid, seen on `today`. More weeks than a line holds go on below.
#[must_use]
pub fn render(grid: &Grid<'_>, today: Date) -> String {
    let mut out = first(grid, today);
    if grid.lines.is_empty() || grid.weeks.is_empty() {
        return out;
    }
    let names: Vec<String> = (grid.lines.iter())
        .map(|line| cut(&athlete(line.athlete), NAME - 1))
        .collect();
    let stub = 1 + names.iter().map(|name| width(name)).max().unwrap_or(0);
    let heads: Vec<String> = (grid.weeks.iter())
        .map(|week| {
            let mark = if grid.running == Some(*week) { "*" } else { "" };
            format!("W{:02}{mark}", week.week)
        })
        .collect();
    let cells: Vec<Vec<String>> = (grid.lines.iter())
        .map(|line| {
            line.cells
                .iter()
                .map(|c| cell(grid.of, c, grid.speeds))
                .collect()
        })
        .collect();
    let all: Vec<String> = (grid.lines.iter())
        .map(|line| cell(grid.of, &line.all, grid.speeds))
        .collect();
    let every = cells.iter().flatten().chain(&heads);
    let each = 1 + every.map(|text| width(text)).max().unwrap_or(0);
    let last = 2 + all.iter().map(|text| width(text)).max().unwrap_or(0).max(3);
    let a_line = ((WIDTH - stub) / each).max(1);
    let mut from = 0;
    while from < heads.len() {
        let mut to = (from + a_line).min(heads.len());
        // The sum stands after the last week, on the same line where it has room.
        let ends = to == heads.len();
        if ends && stub + (to - from) * each + last > WIDTH && to - from > 1 {
            to -= 1;
        }
        let ends = to == heads.len();
        out.push('\n');
        out += &left("", stub);
        out += &heads[from..to]
            .iter()
            .map(|head| right(head, each))
            .collect::<String>();
        if ends {
            out += &right(all_word(grid.of), last);
        }
        out.push('\n');
        for (at, name) in names.iter().enumerate() {
            let mut line = left(name, stub);
            line += &(cells[at][from..to].iter())
                .map(|text| right(text, each))
                .collect::<String>();
            if ends {
                line += &right(&all[at], last);
            }
            out += line.trim_end();
            out.push('\n');
        }
        from = to;
    }
    out.push('\n');
    out + &notes(grid)
}

fn first(grid: &Grid<'_>, today: Date) -> String {
    let span = match (grid.weeks.first(), grid.weeks.last()) {
        (Some(from), Some(to)) if from != to => format!("weeks {from} to {to}"),
        (Some(from), _) => format!("week {from}"),
        _ => String::new(),
    };
    let text = format!(
        "{}, {span}, seen on {}: {}.",
        title(grid.of, grid.speeds),
        day(today),
        count(grid.lines.len(), "athlete", "athletes")
    );
    hanging("", &text, WIDTH)
}

/// The quantity with its unit, as a heading.
pub(in crate::report) fn title(of: Quantity, speeds: SpeedUnit) -> String {
    match of {
        // A cell has room for both counts, an axis for their share alone.
        Quantity::RepsDone => "Reps done of planned".to_owned(),
        of => figure::quantity_title(of, speeds),
    }
}

/// The same as the head of a column.
pub(in crate::report) fn short(of: Quantity, speeds: SpeedUnit) -> String {
    let text = match of {
        Quantity::Minutes => "Minutes",
        Quantity::Distance => "Distance, m",
        Quantity::HighSpeed => "High speed, m",
        Quantity::Sprint => "Sprint, m",
        Quantity::NearMaximal => "Near-maximal",
        Quantity::Load => "Load",
        Quantity::HeartLoad => "Load by heart rate",
        Quantity::TopSpeed => return format!("Top speed, {}", speeds.sign()),
        Quantity::RepsDone => "Reps",
    };
    text.to_owned()
}

/// What the column of all weeks holds.
pub(in crate::report) fn all_word(of: Quantity) -> &'static str {
    match of {
        Quantity::TopSpeed => "best",
        _ => "all",
    }
}

/// A cell as it is written: an arrow before what changed clearly.
pub(in crate::report) fn cell(of: Quantity, cell: &Cell, speeds: SpeedUnit) -> String {
    match cell {
        Cell::Before => String::new(),
        Cell::Nothing => NOTHING.to_owned(),
        Cell::Unknown => UNKNOWN.to_owned(),
        Cell::Known(known) => format!("{}{}", mark(known), number(of, known, speeds)),
    }
}

/// The arrow of a clear change.
pub(in crate::report) fn mark(known: &Known) -> &'static str {
    match known.step.map(|step| step.verdict) {
        Some(Verdict::Up) => "↑",
        Some(Verdict::Down) => "↓",
        _ => "",
    }
}

/// The value without its arrow.
pub(in crate::report) fn number(of: Quantity, known: &Known, speeds: SpeedUnit) -> String {
    let least = if known.least { "≥" } else { "" };
    match (of, known.reps) {
        (_, Some((done, planned))) => format!("{done}/{planned}"),
        (Quantity::TopSpeed, _) => speeds.number(known.value.value, 2),
        _ => format!("{least}{}", thousands(known.value.value)),
    }
}

fn notes(grid: &Grid<'_>) -> String {
    let cells = || (grid.lines.iter()).flat_map(|line| &line.cells);
    let known = || cells().filter_map(Cell::known);
    let mut out = String::new();
    if grid.running.is_some() {
        out += &hanging(
            "*  ",
            "the week is not over; it is compared with none.",
            WIDTH,
        );
    }
    if known().any(|known| !mark(known).is_empty()) {
        out += &hanging(
            "↑ ↓  ",
            "a clear change from the athlete's week before: beyond both 95 % intervals and beyond the own scatter from week to \
             week (typical error of successive weeks, Hopkins 2000). One step in twenty would pass by chance.",
            WIDTH,
        );
    } else {
        let text = format!("No clear change in {} in these weeks.", name(grid.of));
        out += &hanging("", &text, WIDTH);
    }
    let mut gaps = Vec::new();
    if cells().any(|cell| *cell == Cell::Nothing) {
        gaps.push("· nothing was noted");
    }
    if cells().any(|cell| *cell == Cell::Unknown) {
        gaps.push(unknown(grid.of));
    }
    if cells().any(|cell| *cell == Cell::Before) {
        gaps.push("blank: before the first entry");
    }
    if known().any(|known| known.value.value == 0.0) {
        gaps.push("0 is a zero that was seen");
    }
    if known().any(|known| known.least) {
        gaps.push("≥ a sum in which a session without RPE is missing");
    }
    if !gaps.is_empty() {
        out += &hanging("", &format!("{}.", gaps.join("; ")), WIDTH);
    }
    out
}

fn unknown(of: Quantity) -> &'static str {
    match of {
        Quantity::Load => "– no session was rated",
        Quantity::HeartLoad => {
            "– no heart rate was recorded, or the highest is not in the diary (`diary athlete`)"
        }
        Quantity::RepsDone => "– no session had a plan",
        _ => "– no session was recorded",
    }
}
