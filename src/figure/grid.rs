//! A squad by week: a small panel an athlete, all on one scale and over the same weeks.

use super::Error;
use super::axis::Axis;
use super::canvas::{Canvas, Heading, Mark};
use super::key::{self, Sample};
use super::lettering;
use super::panel::Panel;
use super::style::{self, Anchor, Sheet};
use super::svg::Svg;
use super::time_panel::{around, from_zero, thousands, whisker};
use crate::progress::{Cell, Grid, Known, Line, Quantity, Verdict};
use crate::units::SpeedUnit;

/// Room for the numbers of the axis, left of the first column of panels.
const AXIS: f64 = 52.0;
/// Between those numbers and the first column of panels.
const NUMBERS: f64 = 8.0;
/// Between two columns of panels.
const GAP: f64 = 28.0;
/// What a name takes above its panel, and the weeks below it.
const CAPTION: f64 = 30.0;
const BELOW: f64 = 24.0;
/// Most athletes that are drawn.
const MOST: usize = 120;

/// Columns of panels, and the height of one, for so many athletes.
fn layout(athletes: usize, sheet: Sheet) -> (usize, f64) {
    match athletes {
        _ if sheet.narrow => (1, 76.0),
        0..=2 => (1, 120.0),
        3..=8 => (2, 92.0),
        9..=18 => (3, 76.0),
        _ => (4, 64.0),
    }
}

/// Draws a squad's weeks; `None` where nothing is known of anybody.
///
/// # Errors
/// Where it could not be drawn.
pub fn grid(grid: &Grid<'_>, sheet: Sheet) -> Result<Option<Svg>, Error> {
    let known = || (grid.lines.iter().flat_map(|line| &line.cells)).filter_map(Cell::known);
    let (Some(first), Some(last)) = (grid.weeks.first(), grid.weeks.last()) else {
        return Ok(None);
    };
    if known().next().is_none() {
        return Ok(None);
    }
    let lines = grid.lines.get(..MOST).unwrap_or(&grid.lines);
    let (columns, height) = layout(lines.len(), sheet);
    let each = CAPTION + height + BELOW;
    let heading = Heading::new(
        sheet,
        &format!("{}, {first} to {last}", title(grid.of, grid.speeds)),
        &subtitle(grid, lines.len()),
    );
    let ahead = heading.height;
    let foot = ahead + lines.len().div_ceil(columns) as f64 * each + 18.0;
    let entries = entries(grid);
    let note = key::note(sheet, &note(grid));
    let below = foot + key::lines(sheet, &entries) as f64 * key::LINE;
    let whole = below + note.len() as f64 * key::LINE + sheet.margin - 8.0;
    let mut page = Canvas::on(sheet, whole, heading);
    let ends = known().flat_map(|known| [known.value.low, known.value.high]);
    let up = match grid.of {
        Quantity::TopSpeed => around(ends),
        Quantity::RepsDone => Axis::stepped(0.0..112.0, 50.0),
        _ => from_zero(ends),
    };
    let up = Axis::numbers(up.range, 3);
    let up = match grid.of {
        Quantity::TopSpeed => up.told_in(grid.speeds, 3),
        _ => up,
    };
    let room = sheet.room() - AXIS - (columns - 1) as f64 * GAP;
    let width = room / columns as f64;
    for (at, line) in lines.iter().enumerate() {
        let (column, row) = (at % columns, at / columns);
        let panel = Panel {
            left: sheet.margin + AXIS + column as f64 * (width + GAP),
            top: ahead + row as f64 * each + CAPTION,
            width,
            height,
            across: Axis {
                range: -0.5..grid.weeks.len() as f64 - 0.5,
                ticks: Vec::new(),
                per: 1.0,
            },
            up: up.clone(),
        };
        draw(&mut page, grid, line, &panel, column == 0);
        // The weeks stand once a column, below its last panel.
        if at + columns >= lines.len() {
            weeks(&mut page, grid, &panel);
        }
    }
    key::draw(&mut page, foot, &entries);
    key::draw_note(&mut page, below, &note);
    Ok(Some(page.finish()))
}

fn draw(page: &mut Canvas, grid: &Grid<'_>, line: &Line<'_>, panel: &Panel, numbered: bool) {
    let name = match line.athlete.trim() {
        "" => "(no name)",
        name => name,
    };
    let all = match line.all.known() {
        Some(known) if grid.of == Quantity::TopSpeed => format!("best {}", number(grid, known)),
        Some(known) => format!("all {}", number(grid, known)),
        None => String::new(),
    };
    let taken = lettering::width(&all, style::TICK) + 14.0;
    let y = panel.top - 8.0;
    page.fitted(panel.left, y, name, style::LABEL, panel.width - taken);
    page.text(panel.right(), y, &all, style::TICK, Anchor::End);
    for &tick in &panel.up.ticks {
        let y = panel.y(tick);
        panel.level(page, y, style::RULE, style::HAIR, "");
        if numbered {
            let text = match grid.of {
                Quantity::TopSpeed => format!("{:.1}", tick * panel.up.per),
                _ => thousands(tick),
            };
            page.text(
                panel.left - NUMBERS,
                y + 4.0,
                &text,
                style::TICK,
                Anchor::End,
            );
        }
    }
    let slot = panel.width / grid.weeks.len() as f64;
    let bar = (slot * 0.66).min(30.0);
    for (at, cell) in line.cells.iter().enumerate() {
        let x = panel.x(at as f64);
        match cell {
            Cell::Before => {}
            Cell::Nothing => {
                page.rect(
                    (x - 1.0, panel.bottom() - 5.0),
                    (2.0, 5.0),
                    style::FRAME,
                    1.0,
                );
            }
            Cell::Unknown => page.hatched(
                (x - bar / 2.0, panel.top + 0.7 * panel.height),
                (bar, 0.3 * panel.height),
            ),
            Cell::Known(known) => {
                let running = grid.running.is_some() && grid.running == grid.weeks.get(at).copied();
                value(page, grid.of, known, panel, (x, bar), running);
            }
        }
    }
    let y = panel.bottom();
    panel.level(page, y, style::FRAME, style::LINE, "");
}

fn value(
    page: &mut Canvas,
    of: Quantity,
    known: &Known,
    panel: &Panel,
    (x, bar): (f64, f64),
    running: bool,
) {
    let way = known.step.map(|step| step.verdict);
    let clear = matches!(way, Some(Verdict::Up | Verdict::Down));
    let colour = if clear {
        style::PICKED
    } else {
        style::MEASURED
    };
    let y = panel.y(known.value.value);
    if of == Quantity::TopSpeed {
        if bar > 5.0 {
            whisker(page, panel, x, known.value, colour);
        } else {
            let (low, high) = (panel.y(known.value.low), panel.y(known.value.high));
            page.line((x, low), (x, high), colour, style::LINE, "");
        }
        let mark = if running { Mark::Ring } else { Mark::Disc };
        page.mark(mark, (x, y), bar.clamp(3.0, 7.0), colour);
    } else if known.value.value == 0.0 {
        // A zero is seen and flat; a gap is not.
        page.rect(
            (x - bar / 2.0, panel.bottom() - 2.5),
            (bar, 2.5),
            colour,
            1.0,
        );
    } else if running || known.least {
        page.outline(
            (x - bar / 2.0, y),
            (bar, panel.bottom() - y),
            colour,
            style::LINE,
        );
    } else {
        page.rect((x - bar / 2.0, y), (bar, panel.bottom() - y), colour, 0.78);
    }
    if clear {
        let half = (bar / 2.0).clamp(2.2, 4.5);
        let top = (panel.y(known.value.high) - 3.0).max(panel.top + 2.0 * half);
        let (tip, base) = if way == Some(Verdict::Up) {
            (top - 2.0 * half, top)
        } else {
            (top, top - 2.0 * half)
        };
        let corners = [(x, tip), (x - half, base), (x + half, base)];
        page.polygon(&corners, style::INK, 1.0);
    }
}

/// The weeks below a panel, as far as they do not touch.
fn weeks(page: &mut Canvas, grid: &Grid<'_>, panel: &Panel) {
    // The numbers of the axis end here, and the lowest reaches down to the weeks.
    let mut free = panel.left - NUMBERS;
    for (at, week) in grid.weeks.iter().enumerate() {
        let word = format!("W{:02}", week.week);
        let half = lettering::width(&word, style::TICK) / 2.0;
        let x = panel.x(at as f64);
        if free < x - half && x + half <= panel.right() + GAP / 2.0 - 2.0 {
            page.text(x, panel.bottom() + 15.0, &word, style::TICK, Anchor::Middle);
            free = x + half + 8.0;
        }
    }
}

fn number(grid: &Grid<'_>, known: &Known) -> String {
    match (grid.of, known.reps) {
        (_, Some((done, planned))) => format!("{done} of {planned}"),
        (Quantity::TopSpeed, _) => grid.speeds.number(known.value.value, 2),
        _ => thousands(known.value.value),
    }
}

/// A quantity with its unit, as a heading.
pub(crate) fn title(of: Quantity, speeds: SpeedUnit) -> String {
    let text = match of {
        Quantity::Minutes => "Minutes of all sessions",
        Quantity::Distance => "Distance recorded, m",
        Quantity::HighSpeed => "High-speed distance recorded, m",
        Quantity::Sprint => "Sprint distance recorded, m",
        Quantity::NearMaximal => "Near-maximal runs recorded",
        Quantity::Load => "Load, RPE x minutes",
        Quantity::HeartLoad => "Load by heart rate",
        Quantity::TopSpeed => return format!("Top speed, {}", speeds.sign()),
        Quantity::RepsDone => "Reps done, % of planned",
    };
    text.to_owned()
}

fn subtitle(grid: &Grid<'_>, drawn: usize) -> String {
    let more = match grid.lines.len().saturating_sub(drawn) {
        0 => String::new(),
        n => format!(" {n} more are not shown."),
    };
    let shape = if grid.of == Quantity::TopSpeed {
        "A panel an athlete, a dot a week with its 95 % interval"
    } else {
        "A panel an athlete, a bar a week"
    };
    format!("{shape}; all on one scale.{more}")
}

/// The signs that are in the picture.
fn entries(grid: &Grid<'_>) -> Vec<(Sample, String)> {
    let cells = || grid.lines.iter().flat_map(|line| &line.cells);
    let known = || cells().filter_map(Cell::known);
    let verdict = |known: &Known| known.step.map(|step| step.verdict);
    let dots = grid.of == Quantity::TopSpeed;
    let mut out = Vec::new();
    let mut add = |sample, word: &str| out.push((sample, word.to_owned()));
    if dots {
        add(Sample::Mark(Mark::Disc, style::MEASURED), "a week");
    } else {
        add(Sample::Box(style::MEASURED, 0.78), "a week");
    }
    if known().any(|k| matches!(verdict(k), Some(Verdict::Up | Verdict::Down))) {
        let sample = if dots {
            Sample::Mark(Mark::Disc, style::PICKED)
        } else {
            Sample::Box(style::PICKED, 0.78)
        };
        add(
            sample,
            "clearly up or down from the own week before, as the triangle points",
        );
    }
    if cells().any(|cell| *cell == Cell::Nothing) {
        add(
            Sample::Line(style::FRAME, 2.0, ""),
            "short stroke: nothing was noted",
        );
    }
    if !dots && known().any(|k| k.value.value == 0.0) {
        add(Sample::Line(style::MEASURED, 2.5, ""), "flat bar: zero");
    }
    if cells().any(|cell| *cell == Cell::Unknown) {
        add(Sample::Hatch, unknown(grid.of));
    }
    if grid.running.is_some() || known().any(|k| k.least) {
        let sample = Sample::Mark(
            if dots { Mark::Ring } else { Mark::Square },
            style::MEASURED,
        );
        let word = match (grid.running.is_some(), known().any(|k| k.least)) {
            (true, true) => "open: the week is not over, or a session without RPE is missing",
            (true, false) => "open: the week is not over",
            _ => "open: a session without RPE is missing",
        };
        add(sample, word);
    }
    out
}

fn unknown(of: Quantity) -> &'static str {
    match of {
        Quantity::Load => "not known: no session was rated",
        Quantity::HeartLoad => "not known: no heart rate recorded, or no highest rate in the diary",
        Quantity::RepsDone => "not known: no session had a plan",
        _ => "not known: no session was recorded",
    }
}

fn note(grid: &Grid<'_>) -> String {
    let before = (grid.lines.iter().flat_map(|line| &line.cells)).any(|c| *c == Cell::Before);
    let empty = if before {
        " Empty: before the first entry."
    } else {
        ""
    };
    let known = grid.lines.iter().flat_map(|line| &line.cells);
    let marked = (known.filter_map(Cell::known).filter_map(|known| known.step))
        .any(|step| matches!(step.verdict, Verdict::Up | Verdict::Down));
    let clear = if marked {
        "Clear"
    } else {
        "No change is clear"
    };
    format!(
        "{clear}: beyond both 95 % intervals and beyond the athlete's own scatter from week to week; one step in twenty would \
         pass by chance.{empty}"
    )
}
