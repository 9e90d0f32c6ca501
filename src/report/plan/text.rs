//! The plan on one screen, before going out: clock, work and rest of each block, totals, remarks.

use std::fmt::Write as _;

use crate::plan::remarks::{Remark, remarks};
use crate::plan::timetable::{Assumptions, Slot, Timetable, timetable};
use crate::plan::{Block, Plan, ReadAs};
use crate::report::layout::{clock, hanging, right, safe, thousands};
use crate::units::SpeedUnit;

/// Columns of a terminal that we may use.
const WIDTH: usize = 80;
/// Columns in front of a block's words: start, work and rest.
const FRONT: &str = "                           ";

/// Writes the plan as text for a terminal of 80 columns, with the lines that were read as they can be meant.
#[must_use]
pub fn render(plan: &Plan, assumptions: &Assumptions, read_as: &[ReadAs]) -> String {
    let table = timetable(plan, assumptions);
    let mut out = head(plan, assumptions.speeds);
    let _ = writeln!(out, "   start     work     rest  block");
    for (index, (block, slot)) in plan.blocks.iter().zip(&table.slots).enumerate() {
        out.push_str(&row(index + 1, block, slot));
    }
    out.push_str(&totals(plan, &table, assumptions));
    out.push_str(&read_as_lines(read_as));
    out.push_str(&remark_lines(&remarks(plan, &table)));
    out
}

/// How the lines were read that are not in the notation: each as written, and as it is done.
fn read_as_lines(read_as: &[ReadAs]) -> String {
    let mut out = String::new();
    let (read, aside): (Vec<&ReadAs>, Vec<&ReadAs>) =
        read_as.iter().partition(|one| one.tidy.is_some());
    if !read.is_empty() {
        out.push_str("\nread as it can be meant; --tidy writes the plan so\n");
    }
    for one in read {
        let number = format!("line {}: ", one.line);
        out.push_str(&hanging(&number, &safe(&one.written), WIDTH));
        let tidy = one.tidy.as_deref().map(safe).unwrap_or_default();
        let lead = format!("{}= ", " ".repeat(number.len() - 2));
        out.push_str(&hanging(&lead, &tidy, WIDTH));
    }
    if !aside.is_empty() {
        let lines: Vec<String> = aside
            .iter()
            .map(|one| format!("`{}` (line {})", safe(&one.written), one.line))
            .collect();
        out.push_str("\nkept as words that ask for nothing\n");
        out.push_str(&hanging("- ", &lines.join(", "), WIDTH));
    }
    out
}

/// Title, athlete, and what else the header says.
fn head(plan: &Plan, speeds: SpeedUnit) -> String {
    let header = &plan.header;
    let names: Vec<String> = [&header.title, &header.athlete]
        .into_iter()
        .flatten()
        .map(|text| safe(text))
        .collect();
    let mut facts = Vec::new();
    facts.extend(header.date.map(|date| format!("date {date}")));
    facts.extend(header.match_day.map(|date| format!("match day {date}")));
    facts.extend(header.pitch.map(|size| format!("pitch {size}")));
    facts.extend(
        header
            .top_speed_m_s
            .map(|speed| format!("top speed {}", speeds.text(speed, 1))),
    );
    let mut out = String::new();
    for line in [names.join(", "), facts.join(", ")] {
        if !line.is_empty() {
            out.push_str(&hanging("", &line, WIDTH));
        }
    }
    if !out.is_empty() {
        out.push('\n');
    }
    out
}

fn row(index: usize, block: &Block, slot: &Slot) -> String {
    let rest = if slot.rest_s > 0.0 {
        format!("{}{}", about(slot.rest_estimated), clock(slot.rest_s))
    } else {
        "-".to_owned()
    };
    let name = block.name.as_deref().map(safe).unwrap_or_default();
    let quoted = if name.is_empty() {
        String::new()
    } else {
        format!(" \"{name}\"")
    };
    let front = format!(
        "{} {} {}  ",
        right(&clock(slot.start_s), 8),
        right(
            &format!("{}{}", about(slot.work_estimated), clock(slot.work_s)),
            8
        ),
        right(&rest, 8)
    );
    let mut out = hanging(
        &front,
        &format!("{index}. {}{quoted}{}", block.category, round(block)),
        WIDTH,
    );
    out.push_str(&hanging(&format!("{FRONT}   "), &block.phrases(), WIDTH));
    out
}

/// Which round of how many, where there are several.
fn round(block: &Block) -> String {
    let round = block.round;
    round.map_or_else(String::new, |round| {
        format!(", round {} of {}", round.number, round.of)
    })
}

/// The mark of an estimated time.
fn about(estimated: bool) -> &'static str {
    if estimated { "~" } else { "" }
}

fn totals(plan: &Plan, table: &Timetable, assumptions: &Assumptions) -> String {
    let speeds = assumptions.speeds;
    let about = about(table.estimated);
    let mut out = String::new();
    let _ = writeln!(out, "{}  end", right(&clock(table.total_s), 8));
    let ratio = match table.work_to_rest() {
        None => "no rest".to_owned(),
        Some(ratio) if ratio < 1.0 && ratio > 0.0 => {
            format!("work to rest 1 to {:.1}", 1.0 / ratio)
        }
        Some(ratio) => format!("work to rest {ratio:.1} to 1"),
    };
    let _ = writeln!(
        out,
        "\ntotal {about}{}: work {about}{}, rest {about}{}, {ratio}",
        clock(table.total_s),
        clock(table.work_s),
        clock(table.rest_s)
    );
    if table.reps_with_distance > 0 {
        let text = format!(
            "{} m in the {} of {} reps whose length is known; {} m of them at {} or more, if the reps reach their \
             speed",
            thousands(table.distance_m),
            thousands(table.reps_with_distance as f64),
            thousands(table.reps as f64),
            thousands(table.high_speed_m),
            speeds.edge(assumptions.high_speed_m_s, 2)
        );
        out.push_str(&hanging("", &text, WIDTH));
    }
    if table.estimated {
        let whose = if plan.header.top_speed_m_s.is_some() {
            "the plan's top speed of"
        } else {
            "a top speed, not the plan's, of"
        };
        let text = format!(
            "estimated: sprints towards {whose} {} from a standing start (time constant {} s), walking back \
             at {}, shuttles with {} m/s2 up to {}, {} s for a counted rep of unknown length (common practice, \
             no source)",
            speeds.text(table.top_speed_m_s, 1),
            assumptions.tau_s,
            speeds.edge(assumptions.walk_m_s, 2),
            assumptions.shuttle_m_s2,
            speeds.edge(assumptions.shuttle_m_s, 2),
            assumptions.counted_rep_s
        );
        out.push_str(&hanging("~ ", &text, WIDTH));
    }
    out
}

fn remark_lines(remarks: &[Remark]) -> String {
    if remarks.is_empty() {
        return String::new();
    }
    let mut out = "\nremarks, which forbid nothing\n".to_owned();
    for remark in remarks {
        let place = match remark.blocks.as_slice() {
            [] => String::new(),
            [one] => format!("block {one}: "),
            [one, two] => format!("blocks {one} and {two}: "),
            [one, two, three] => format!("blocks {one}, {two} and {three}: "),
            [one, two, more @ ..] => format!("blocks {one}, {two} and {} more: ", more.len()),
        };
        let text = format!(
            "{place}{}: {} ({})",
            remark.text, remark.reason, remark.source
        );
        out.push_str(&hanging("- ", &text, WIDTH));
    }
    out
}
