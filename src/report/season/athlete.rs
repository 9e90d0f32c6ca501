//! An athlete: the weeks, the bests with their intervals, drills over time, and the sessions.

use maud::{Markup, html};

use super::frame::{self, Step, document, interval, known, number, table, who};
use super::squad::{of_cell, week_links};
use super::{FIRST, Page, Season, names};
use crate::diary::{Activity, Entry};
use crate::figure::{self, Sheet};
use crate::progress::{self, Best, Drill, IsoWeek, Quantity, Sort, grid};
use crate::report::best;
use crate::report::day_words::{full_day, of, rating, session};
use crate::report::drill;
use crate::report::grid;
use crate::report::layout::{count, short, thousands};
use crate::report::page::Drawing;
use crate::units::SpeedUnit;

/// Weeks that are drawn.
const WEEKS: usize = 16;
/// Weeks of the table.
const MOST_WEEKS: i64 = 52;

/// Writes the page.
pub(super) fn page(season: &Season<'_>, athlete: &str) -> Result<Page, figure::Error> {
    let shown = season.shown_until(Some(athlete));
    // Looked at from the week after it, a week is over.
    let seen = shown.later(1).and_then(IsoWeek::monday);
    let seen = seen.map_or(season.today, |monday| monday.min(season.today));
    let trend = progress::trend(&season.log, athlete, WEEKS, seen);
    let draw = |sheet| Ok::<_, figure::Error>(figure::weeks(&trend, sheet)?.map(frame::clean));
    let (svg, narrow) = (draw(Sheet::WIDE)?, draw(Sheet::NARROW)?);
    let drawings = Drawing::of("weeks", svg.as_deref(), narrow.as_deref());
    let best = progress::best(&season.log, athlete, season.today);
    let mut own: Vec<&Entry> = (season.log.entries.iter())
        .filter(|entry| entry.athlete == athlete)
        .collect();
    own.sort_by_key(|entry| std::cmp::Reverse((entry.date, entry.id)));
    let drills: Vec<&Drill> = (season.drills.iter())
        .filter(|drill| drill.times.iter().any(|time| time.athlete == athlete))
        .collect();
    let body = html! {
        (bests(&best))
        section aria-labelledby="weeks" {
            h2 #weeks { "Weeks" }
            @for drawing in &drawings {
                (frame::figure(drawing, "The last weeks. The table below has the same in numbers."))
            }
            (by_week(season, athlete))
            @if season.alone { (week_links(season)) }
        }
        @if !drills.is_empty() {
            section aria-labelledby="drills" {
                h2 #drills { "Drills over time" }
                p.soft {
                    "Of reps run in full. A gain is clearly better than the mark, which is the first time and then each gain; without a word no
                     change can be told. One in forty would look so by chance."
                }
                @for drill in drills { (over_time(season, drill, athlete)) }
            }
        }
        section aria-labelledby="sessions" {
            h2 #sessions { "Sessions" }
            @if own.is_empty() { p { "No session is noted." } } @else { (sessions(&own, season.log.speeds)) }
        }
    };
    let way: Vec<Step> = (!season.alone)
        .then(|| Step {
            name: "Squad".to_owned(),
            file: FIRST.to_owned(),
        })
        .into_iter()
        .collect();
    let around = html! {
        p.soft { "Seen on " (full_day(season.today)) ", " (count(own.len(), "entry", "entries")) "." }
    };
    Ok(Page {
        name: season.of_athlete(athlete),
        html: document(&who(athlete), &way, &around, &drawings, &body),
    })
}

fn bests(best: &Best<'_>) -> Markup {
    html! {
        section aria-labelledby="bests" {
            h2 #bests { "Bests" }
            p { (best::text::headline(best)) }
            dl {
                @if let Some(top) = best.top_speed_m_s {
                    (number("Top speed", &best.speeds.text(top.value.value, 2),
                        &format!("{}, {}", best.speeds.ends(top.value), full_day(top.date))))
                }
                @for (distance, record) in &best.splits {
                    (number(&format!("{} m from rest", short(*distance, 0)), &format!("{:.2} s", record.value.value),
                        &format!("{:.2} to {:.2}, {}", record.value.low, record.value.high, full_day(record.date))))
                }
            }
        }
    }
}

/// Quantities down, weeks across.
fn by_week(season: &Season<'_>, athlete: &str) -> Markup {
    let now = IsoWeek::of(season.today);
    let to = season.shown_until(Some(athlete));
    let from = to.later(1 - MOST_WEEKS).unwrap_or(to);
    let entries: Vec<Entry> = (season.log.entries.iter())
        .filter(|entry| entry.athlete == athlete)
        .cloned()
        .collect();
    let log = progress::Log {
        entries: &entries,
        planned: &[],
        ..season.log
    };
    let rows = progress::squad(&log, (from, to), season.today, Sort::Name);
    let grids: Vec<_> = (Quantity::EVERY.into_iter())
        .map(|of| grid(&rows, (from, to), now, of))
        .collect();
    let Some(weeks) = grids
        .first()
        .map(|grid| &grid.weeks)
        .filter(|_| !rows.is_empty())
    else {
        return html! { p { "No week is noted." } };
    };
    html! {
        div.wide role="region" tabindex="0" aria-label="Week by week" {
            table {
                caption { "Week by week, the latest first" }
                thead {
                    tr {
                        th scope="col" { "Week" }
                        @for grid in &grids { th.n scope="col" { (grid::text::short(grid.of, grid.speeds)) } }
                    }
                }
                tbody {
                    @for (at, week) in weeks.iter().enumerate().rev() {
                        tr {
                            th scope="row" { a href=(names::week(*week)) { (week) } @if *week == now { " (not over)" } }
                            @for grid in &grids {
                                td.n { @if let Some(cell) = grid.lines.first().and_then(|line| line.cells.get(at)) { (of_cell(grid.of, cell, grid.speeds)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn over_time(season: &Season<'_>, drill: &Drill, athlete: &str) -> Markup {
    let against = drill.over_time(athlete);
    let times: Vec<_> = (drill.times.iter())
        .filter(|time| time.athlete == athlete)
        .collect();
    let entry = |id| season.log.entries.iter().find(|entry| entry.id == id);
    html! {
        details {
            summary { bdi { (drill::text::title(drill)) } ", " (count(times.len(), "time", "times")) }
            @if let Some(tendency) = drill.tendency(athlete) { p { (drill::text::told(drill, tendency)) } }
            (table("Each time, the latest first", &[
                ("Day", false), ("Reps", true), (&format!("Best peak, {}", drill.speeds.sign()), true), ("Time of a rep, s", true), ("Distance of a rep, m", true), ("", false),
            ], &html! {
                @for time in times.iter().rev() {
                    tr {
                        th scope="row" {
                            @match entry(time.id) {
                                Some(entry) => { a href=(names::session(entry)) { (full_day(time.date)) } }
                                None => (full_day(time.date)),
                            }
                        }
                        td.n { (of(Some((time.reps[0], time.reps[1])))) }
                        td.n { (frame::speed(time.peak_m_s, drill.speeds)) }
                        td.n { (interval(time.work_s, 1)) }
                        td.n { (interval(time.distance_m, 0)) }
                        td { (against.iter().find(|a| a.time.id == time.id).map_or("", |a| drill::text::mark(a.outcome))) }
                    }
                }
            }))
        }
    }
}

fn sessions(own: &[&Entry], speeds: SpeedUnit) -> Markup {
    let top = grid::text::short(Quantity::TopSpeed, speeds);
    table(
        "All sessions and notes, the latest first",
        &[
            ("Day", false),
            ("What", false),
            ("Minutes", true),
            ("RPE", true),
            ("Distance, m", true),
            (&top, true),
            ("Reps", true),
        ],
        &html! {
            @for entry in own {
                @let recorded = entry.recorded.as_ref();
                tr {
                    th scope="row" { (full_day(entry.date)) }
                    td { a href=(names::session(entry)) { bdi { (session(entry)) } } }
                    td.n { @if entry.activity != Activity::Rest { (thousands(entry.duration_s / 60.0)) } }
                    td.n { (known(entry.rpe.map(|rpe| rating(Some(rpe))))) }
                    td.n { (known(recorded.map(|r| thousands(r.distance_m.value)))) }
                    td.n { (frame::speed(recorded.and_then(|r| r.top_speed_m_s), speeds)) }
                    td.n { (known(recorded.and_then(|r| r.counts).map(|c| of(Some((c.done, c.planned)))))) }
                }
            }
        },
    )
}
