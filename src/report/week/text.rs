//! A week around its match, as text of 80 columns.

use std::fmt::Write as _;

use crate::diary::{Activity, Entry};
use crate::progress::{Day, Match, NEAR_MAXIMAL, Remark, Totals, Week, remarks};
use crate::report::day_words::{
    UNKNOWN, athlete, day, rating, session_of_day, speed_interval, thresholds, whole,
};
use crate::report::layout::{count, ends, hanging, left, right, safe, thousands};
use crate::report::words;

/// Columns of a terminal that we may use.
const WIDTH: usize = 80;
/// Columns of the day, its place and what was done.
const DAY: usize = 7;
const PLACE: usize = 6;
const WHAT: usize = 24;

/// Writes the week; with `monotony` also how alike its days were.
#[must_use]
pub fn render(week: &Week<'_>, monotony: bool) -> String {
    let mut out = first(week);
    out.push('\n');
    out += &table(week);
    out += &shape(week);
    out.push('\n');
    out += &notes(week);
    if monotony {
        out += &monotony_text(week);
    }
    let open = open_text(week);
    if !open.is_empty() {
        out.push('\n');
        out += &open;
    }
    out.push('\n');
    out += &remarks_text(&remarks(week));
    out
}

/// What is read first: where today stands and what is to do, or what the week came to.
fn first(week: &Week<'_>) -> String {
    let Some(today) = week.days.iter().find(|day| day.date == week.today) else {
        let came_to = if week.is_over() {
            came_to(&week.totals)
        } else {
            "still to come".to_owned()
        };
        return hanging("", &format!("{}: {came_to}.", heading(week)), WIDTH);
    };
    let place = (today.place).map_or_else(String::new, |place| format!(", is {place}"));
    let ahead = match week.next_match {
        Some(Match { date, label }) if date != week.today => {
            let against = label.map(|l| format!(" ({})", safe(l))).unwrap_or_default();
            format!("; next match {}{against}", day(date))
        }
        _ => String::new(),
    };
    let text = format!("Today, {}{place}{ahead}. {}", day(week.today), to_do(today));
    hanging("", &text, WIDTH) + &hanging("", &heading(week), WIDTH)
}

fn to_do(today: &Day<'_>) -> String {
    let open: Vec<String> = (today.planned.iter())
        .filter(|plan| !plan.done)
        .map(|plan| title(plan.planned.title.as_deref()))
        .collect();
    if !open.is_empty() {
        return format!("To do today: {}.", open.join(", "));
    }
    if today.totals.sessions > 0 {
        return format!("Done today: {}.", came_to(&today.totals));
    }
    match today.match_day {
        Some(Match {
            label: Some(label), ..
        }) => format!("Match: {}.", safe(label)),
        Some(_) => "Match day.".to_owned(),
        None => "Nothing is planned for today.".to_owned(),
    }
}

fn came_to(totals: &Totals) -> String {
    if totals.sessions == 0 {
        return "nothing was noted".to_owned();
    }
    let mut parts = vec![
        count(totals.sessions, "session", "sessions"),
        format!("{} min", thousands(totals.minutes())),
    ];
    if let Some(distance) = totals.distance_m {
        parts.push(format!("{} m recorded", thousands(distance.value)));
    }
    if let Some(load) = totals.load {
        let least = if totals.all_rated() { "" } else { "at least " };
        parts.push(format!("load {least}{}", thousands(load)));
    }
    parts.join(", ")
}

fn title(title: Option<&str>) -> String {
    let title = title.map(safe).unwrap_or_default();
    if title.is_empty() {
        "a plan without a title".to_owned()
    } else {
        format!("\"{title}\"")
    }
}

fn heading(week: &Week<'_>) -> String {
    let span = match (week.days.first(), week.days.last()) {
        (Some(first), Some(last)) => format!(", {} to {}", day(first.date), day(last.date)),
        _ => String::new(),
    };
    format!("{}: week {}{span}", athlete(week.athlete), week.week)
}

fn table(week: &Week<'_>) -> String {
    let mut out = format!(
        "{}{}{}{}\n",
        " ".repeat(DAY),
        " ".repeat(PLACE),
        " ".repeat(WHAT),
        "  min  dist m   high sprint near  RPE  load",
    );
    for day in &week.days {
        out += &rows(week, day);
    }
    out += &left("", DAY + PLACE);
    out += &left(&count(week.totals.sessions, "session", "sessions"), WHAT);
    out += &cells(&week.totals, "");
    out.push('\n');
    out
}

/// The rows of a day: one a session, one a plan that is open, and at least one.
fn rows(week: &Week<'_>, day: &Day<'_>) -> String {
    let mut rows: Vec<(String, String)> = Vec::new();
    if day.match_day.is_some() && !day.entries.iter().any(|e| e.activity == Activity::Match) {
        let label = day
            .match_day
            .and_then(|m| m.label)
            .map(safe)
            .unwrap_or_default();
        let text = if label.is_empty() {
            "match day".to_owned()
        } else {
            format!("match: {label}")
        };
        rows.push((text, String::new()));
    }
    for entry in &day.entries {
        rows.push((session_of_day(entry, day), entry_cells(week, entry)));
    }
    for plan in day.planned.iter().filter(|plan| !plan.done) {
        let title = plan.planned.title.as_deref().map(safe).unwrap_or_default();
        let word = if day.date < week.today {
            "not done"
        } else {
            "to do"
        };
        rows.push((format!("{word}: {title}"), String::new()));
    }
    if rows.is_empty() {
        let text = if day.date < week.today { UNKNOWN } else { "" };
        rows.push((text.to_owned(), String::new()));
    }
    let mut out = String::new();
    for (at, (text, cells)) in rows.iter().enumerate() {
        let mark = if day.date == week.today { "> " } else { "  " };
        let (name, place) = if at == 0 {
            let name = day.date.strftime("%a").to_string();
            let place = day
                .place
                .map_or_else(|| UNKNOWN.to_owned(), |place| place.to_string());
            (format!("{mark}{name}"), place)
        } else {
            (String::new(), String::new())
        };
        let line = format!(
            "{}{}{}{cells}",
            left(&name, DAY),
            left(&place, PLACE),
            left(text, WHAT - 1) + " "
        );
        out += line.trim_end();
        out.push('\n');
    }
    out
}

fn entry_cells(week: &Week<'_>, entry: &Entry) -> String {
    if entry.activity == Activity::Rest {
        return String::new();
    }
    let totals = Totals::of([entry], week.own_top_m_s.map(|top| top.value));
    cells(&totals, &rating(entry.rpe))
}

fn cells(totals: &Totals, rpe: &str) -> String {
    if totals.sessions == 0 {
        return String::new();
    }
    let near = totals.near_maximal.map(|n| n as f64);
    format!(
        "{}{}{}{}{}{}{}",
        right(&thousands(totals.minutes()), 5),
        right(&whole(totals.distance_m.map(|m| m.value)), 8),
        right(&whole(totals.high_speed_m), 7),
        right(&whole(totals.sprint_m), 7),
        right(&whole(near), 5),
        right(rpe, 5),
        right(&whole(totals.load), 6),
    )
}

/// The load of the days as blocks of growing height, so that the shape around the match is seen at once.
fn shape(week: &Week<'_>) -> String {
    const BLOCKS: [&str; 8] = ["▁", "▂", "▃", "▄", "▅", "▆", "▇", "█"];
    let by_load = week.totals.load.is_some() && week.totals.all_rated();
    let size = |day: &Day<'_>| {
        if by_load {
            day.totals.load.unwrap_or(0.0)
        } else {
            day.totals.minutes()
        }
    };
    let most = week.days.iter().map(size).fold(0.0, f64::max);
    if most <= 0.0 {
        return String::new();
    }
    let mut out = left(
        if by_load {
            "shape by load"
        } else {
            "shape by min"
        },
        DAY + PLACE + 1,
    );
    for day in &week.days {
        let size = size(day);
        let block = if day.totals.sessions == 0 {
            if day.date < week.today { "·" } else { " " }
        } else {
            let step = (size / most * 7.0).round().clamp(0.0, 7.0) as usize;
            BLOCKS.get(step).copied().unwrap_or(BLOCKS[7])
        };
        let name = day.place.map_or_else(
            || day.date.strftime("%a").to_string(),
            |place| place.to_string(),
        );
        let _ = write!(out, "{} ", left(&format!("{name} {block}{block}"), 8));
    }
    format!("{}\n", out.trim_end())
}

fn notes(week: &Week<'_>) -> String {
    let totals = &week.totals;
    let mut out = String::new();
    if let Some(distance) = totals.distance_m {
        let text = format!(
            "{} m ({}) in {} of {}; errors of sessions are taken as independent and add as squares.",
            thousands(distance.value),
            ends(distance, thousands),
            totals.recorded,
            count(totals.sessions, "session", "sessions"),
        );
        out += &hanging("distance  ", &text, WIDTH);
        out += &hanging(
            "",
            &format!("{}.", thresholds(totals.thresholds_m_s, week.speeds)),
            WIDTH,
        );
    }
    if let Some(own) = week.own_top_m_s {
        let sure = match (totals.near_maximal, totals.near_maximal_sure) {
            (Some(all), Some(sure)) if sure < all => {
                format!(", {sure} of {all} with the whole interval")
            }
            _ => String::new(),
        };
        let text = format!(
            "runs at or above {:.0} % of the own top speed so far, {} {}{sure}.",
            100.0 * NEAR_MAXIMAL,
            speed_interval(Some(own), week.speeds),
            week.speeds.sign()
        );
        out += &hanging("near  ", &text, WIDTH);
    }
    if let Some(load) = totals.heart_load {
        let by = (week.days.iter().flat_map(|day| &day.entries))
            .find_map(|entry| entry.recorded.as_ref()?.heart.as_ref()?.numbers);
        let text = format!(
            "{} by heart rate ({}), of {} of {}; it stands beside RPE x minutes and is no part of it.",
            thousands(load),
            words::heart_load(by.map(|numbers| numbers.load).unwrap_or_default()),
            totals.by_heart,
            count(totals.sessions, "session", "sessions"),
        );
        out += &hanging("heart  ", &text, WIDTH);
    }
    if totals.sessions > 0 {
        let unrated = totals.sessions - totals.rated;
        let least = if unrated == 0 {
            String::new()
        } else {
            format!(
                "; {} without RPE, so the sum is a least",
                count(unrated, "session", "sessions")
            )
        };
        out += &hanging(
            "load  ",
            &format!("RPE x minutes (Foster et al. 2001){least}."),
            WIDTH,
        );
    }
    if week.days.iter().all(|day| day.place.is_none()) {
        out += &hanging(
            "",
            "No match is near, so the days have no place; set one with: repledger diary match DATE",
            WIDTH,
        );
    }
    out
}

fn monotony_text(week: &Week<'_>) -> String {
    let text = match week.monotony {
        None if !week.is_over() => "not before the week is over.".to_owned(),
        None => "not known, since a session was not rated or nothing was noted.".to_owned(),
        Some(found) => match (found.monotony, found.strain) {
            (Some(monotony), Some(strain)) => format!(
                "{monotony:.2}, strain {}: mean over sample standard deviation of the seven daily loads, a day without a session \
                 counted as 0; strain is the sum {} times that (Foster 1998). They describe how alike the days were and \
                 foretell nothing.",
                thousands(strain),
                thousands(found.sum)
            ),
            _ => "none, since all days were alike.".to_owned(),
        },
    };
    hanging("monotony  ", &text, WIDTH)
}

fn open_text(week: &Week<'_>) -> String {
    let mut out = String::new();
    for at in &week.days {
        for plan in at.planned.iter().filter(|plan| !plan.done) {
            let place = at
                .place
                .map(|place| format!(" ({place})"))
                .unwrap_or_default();
            let text = format!(
                "{}{place}: {}",
                day(at.date),
                title(plan.planned.title.as_deref())
            );
            let word = if at.date < week.today {
                "planned, not done  "
            } else {
                "still to do  "
            };
            out += &hanging(word, &text, WIDTH);
        }
    }
    out
}

fn remarks_text(remarks: &[Remark]) -> String {
    if remarks.is_empty() {
        return hanging(
            "",
            "Nothing in the diary goes against common practice around a match.",
            WIDTH,
        );
    }
    let mut out = String::from("Remarks from common practice\n");
    for remark in remarks {
        let on = remark
            .date
            .map(|date| format!("{}: ", day(date)))
            .unwrap_or_default();
        let text = format!(
            "{on}{}. Why: {}. [{}]",
            remark.text, remark.reason, remark.source
        );
        out += &hanging("- ", &text, WIDTH);
    }
    out
}
