//! The squad: who trained this week and who is missing, and each quantity by week.

use maud::{Markup, html};

use super::frame::{self, cards, document, interval, known, table, who};
use super::{Page, Season, names};
use crate::figure::{self, Sheet};
use crate::measured::Measured;
use crate::progress::{
    self, Cell, Gauge, Grid, IsoWeek, Known, Quantity, Row, Sort, Totals, Verdict, grid,
};
use crate::report::day_words::{day, full_day, of, thresholds, whole};
use crate::report::drill;
use crate::report::grid;
use crate::report::layout::{count, thousands};
use crate::report::page::Drawing;
use crate::units::SpeedUnit;

/// Weeks of the grids.
const WEEKS: i64 = 12;
/// Days without an entry after which an athlete is missing.
const MISSING_DAYS: i32 = 7;

/// Writes the page.
pub(super) fn page(season: &Season<'_>) -> Result<Page, figure::Error> {
    let now = IsoWeek::of(season.today);
    let to = season.shown_until(None);
    let from = to.later(1 - WEEKS).unwrap_or(to);
    let rows = progress::squad(&season.log, (from, to), season.today, Sort::Name);
    let week = progress::squad(&season.log, (now, now), season.today, Sort::Name);
    let grids: Vec<Grid<'_>> = (Quantity::EVERY.into_iter())
        .map(|of| grid(&rows, (from, to), now, of))
        .filter(|grid| grid.lines.iter().any(|line| line.all.known().is_some()))
        .collect();
    // Of what is drawn, load tells most, where it is known.
    let drawn = [Quantity::Load, Quantity::Minutes];
    let drawn = drawn
        .iter()
        .find_map(|of| grids.iter().find(|grid| grid.of == *of));
    let draw = |sheet| match drawn {
        Some(grid) => Ok::<_, figure::Error>(figure::grid(grid, sheet)?.map(frame::clean)),
        None => Ok(None),
    };
    let (svg, narrow) = (draw(Sheet::WIDE)?, draw(Sheet::NARROW)?);
    let drawings = Drawing::of("squad", svg.as_deref(), narrow.as_deref());
    let body = html! {
        section aria-labelledby="week" {
            h2 #week { "This week" }
            p.headline { (headline(season, &week)) }
            (missing(season, &week))
            (this_week(season, &week))
        }
        section aria-labelledby="grids" {
            h2 #grids { "Week by week" }
            @if to < now && !grids.is_empty() { p.soft { "The last weeks in which something was noted, up to " (to) "." } }
            @if grids.is_empty() { p { "Nothing is noted yet." } }
            @for drawing in &drawings {
                (frame::figure(drawing, "The same in numbers is in the tables below. An athlete is held against the own weeks, not against others."))
            }
            @for grid in &grids { (of_quantity(season, grid, drawn.is_some_and(|of| of.of == grid.of))) }
            @if !grids.is_empty() { (meaning()) }
        }
        (drills(season))
        section aria-labelledby="weeks" {
            h2 #weeks { "The weeks around the match" }
            (week_links(season))
        }
    };
    let around = html! { p.soft { "Seen on " (full_day(season.today)) ", " (count(week.len(), "athlete", "athletes")) "." } };
    Ok(Page {
        name: names::FIRST.to_owned(),
        html: document("Squad", &[], &around, &drawings, &body),
    })
}

fn headline(season: &Season<'_>, rows: &[Row<'_>]) -> String {
    let trained = rows.iter().filter(|row| row.totals.sessions > 0).count();
    let sessions: usize = rows.iter().map(|row| row.totals.sessions).sum();
    format!(
        "{trained} of {} with {} since Monday; today is {}",
        count(rows.len(), "athlete", "athletes"),
        count(sessions, "session", "sessions"),
        day(season.today)
    )
}

/// Who has nothing noted for a week or more.
fn missing(season: &Season<'_>, rows: &[Row<'_>]) -> Markup {
    let last = |athlete: &str| {
        let own = season
            .log
            .entries
            .iter()
            .filter(|entry| entry.athlete == athlete);
        own.map(|entry| entry.date)
            .filter(|date| *date <= season.today)
            .max()
    };
    let away: Vec<_> = (rows.iter())
        .map(|row| (row.athlete, last(row.athlete)))
        .filter(|(_, last)| {
            last.is_none_or(|last| {
                last.until(season.today).map_or(0, |span| span.get_days()) >= MISSING_DAYS
            })
        })
        .collect();
    html! {
        @if !away.is_empty() {
            h3 { "Nothing noted for a week or more" }
            ul {
                @for (athlete, last) in away {
                    li {
                        (link(season, athlete))
                        @match last {
                            Some(last) => { ": last on " (full_day(last)) }
                            None => ": no entry so far",
                        }
                    }
                }
            }
        }
    }
}

fn link(season: &Season<'_>, athlete: &str) -> Markup {
    html! { a href=(season.of_athlete(athlete)) { bdi { (who(athlete)) } } }
}

fn this_week(season: &Season<'_>, rows: &[Row<'_>]) -> Markup {
    let speeds = season.log.speeds;
    let top = grid::text::short(Quantity::TopSpeed, speeds);
    let edges = rows.iter().find_map(|row| row.totals.thresholds_m_s);
    let hearts = rows.iter().any(|row| row.totals.heart_load.is_some());
    let placed = rows.iter().any(|row| row.place.is_some());
    html! {
        (cards("This week, an athlete a row", &columns(&["Athlete", "Today"], &top, hearts), &html! {
            @for row in rows {
                tr {
                    th scope="row" { (link(season, row.athlete)) }
                    td data-label="Today" { (known(row.place.map(|place| place.to_string()))) }
                    (cells(&row.totals, speeds, hearts))
                }
            }
        }))
        p.soft {
            @if edges.is_some() { "Metres: " (thresholds(edges, speeds)) ". " }
            "Near-maximal: runs at 90 % of the own top speed or more. Load: RPE x minutes; ≥ where a session was not rated. Only recorded
             sessions have metres and speeds."
            @if placed { " Today: MD is a match day, MD-2 two days before it, MD+1 the day after." }
        }
    }
}

/// The heads of [`cells`] behind those of whose row it is; the load by heart rate only where somebody has one.
pub(super) fn columns<'a>(
    first: &[&'a str],
    top_speed: &'a str,
    hearts: bool,
) -> Vec<(&'a str, bool)> {
    (first.iter().map(|head| (*head, false)))
        .chain(heads(top_speed, hearts).map(|head| (head, true)))
        .collect()
}

fn heads(top_speed: &str, hearts: bool) -> impl Iterator<Item = &str> {
    let numbers = [
        "Sessions",
        "Minutes",
        "Distance, m",
        "High speed, m",
        "Sprint, m",
        "Near-maximal",
        "Load",
    ];
    let heart = hearts.then_some("Load by heart rate");
    (numbers.into_iter())
        .chain(heart)
        .chain([top_speed, "Reps"])
}

/// The numbers of some sessions, from their count on, each with its head for a phone.
pub(super) fn cells(totals: &Totals, speeds: SpeedUnit, hearts: bool) -> Markup {
    let top = grid::text::short(Quantity::TopSpeed, speeds);
    let sessions = html! { (totals.sessions) };
    let mut values = vec![sessions];
    if totals.sessions > 0 {
        let least = if totals.load.is_some() && !totals.all_rated() {
            "≥"
        } else {
            ""
        };
        let load = totals
            .load
            .map(|load| format!("{least}{}", thousands(load)));
        values.extend([
            html! { (thousands(totals.minutes())) },
            number(totals.distance_m.map(|m| m.value)),
            number(totals.high_speed_m),
            number(totals.sprint_m),
            number(totals.near_maximal.map(|n| n as f64)),
            known(load),
        ]);
        values.extend(hearts.then(|| number(totals.heart_load)));
        values.push(frame::speed(totals.top_speed_m_s, speeds));
        values.push(known(totals.counts.map(|c| of(Some((c.done, c.planned))))));
    }
    let mut values = values.into_iter();
    html! {
        @for head in heads(&top, hearts) {
            @match values.next() {
                Some(value) => { td.n data-label=(head) { span { (value) } } }
                None => { td.n {} }
            }
        }
    }
}

fn number(value: Option<f64>) -> Markup {
    known(value.map(|value| whole(Some(value))))
}

fn of_quantity(season: &Season<'_>, grid: &Grid<'_>, open: bool) -> Markup {
    let title = grid::text::title(grid.of, grid.speeds);
    html! {
        details open[open] {
            summary { (title) }
            div.wide role="region" tabindex="0" aria-label=(title) {
                table {
                    caption { (title) " by week; the last is not over" }
                    thead {
                        tr {
                            th scope="col" { "Athlete" }
                            @for week in &grid.weeks {
                                th.n scope="col" { a href=(names::week(*week)) { (format!("W{:02}", week.week)) } }
                            }
                            th.n scope="col" { (grid::text::all_word(grid.of)) }
                        }
                    }
                    tbody {
                        @for line in &grid.lines {
                            tr {
                                th scope="row" { (link(season, line.athlete)) }
                                @for cell in line.cells.iter().chain([&line.all]) { td.n { (of_cell(grid.of, cell, grid.speeds)) } }
                            }
                        }
                    }
                }
            }
        }
    }
}

/// A cell of a grid: its sign is said in words, too.
pub(super) fn of_cell(of: Quantity, cell: &Cell, speeds: SpeedUnit) -> Markup {
    match cell {
        Cell::Before => html! {},
        Cell::Nothing => html! { span aria-hidden="true" { "·" } span.unseen { "nothing noted" } },
        Cell::Unknown => frame::unknown(),
        Cell::Known(known) => html! {
            @let told = html! {
                @if of == Quantity::TopSpeed {
                    (frame::speed(Some(known.value), speeds))
                } @else {
                    (grid::text::number(of, known, speeds))
                }
            };
            @if let Some(word) = clear(known) {
                span.clear { span aria-hidden="true" { (grid::text::mark(known)) } span.unseen { (word) " " } (told) }
            } @else {
                (told)
            }
        },
    }
}

fn clear(known: &Known) -> Option<&'static str> {
    match known.step?.verdict {
        Verdict::Up => Some("clearly up"),
        Verdict::Down => Some("clearly down"),
        Verdict::NotClear | Verdict::TooFewWeeks => None,
    }
}

fn meaning() -> Markup {
    html! {
        p.soft {
            "An arrow marks a clear change from the athlete's own week before: beyond both 95 % intervals and beyond the own scatter from
             week to week (typical error of successive weeks, Hopkins 2000). One step in twenty would pass by chance. · nothing was noted,
             – not known, empty: before the first entry; 0 is a zero that was seen."
        }
    }
}

/// The drills that more than one did: everybody's best, nobody ranked.
fn drills(season: &Season<'_>) -> Markup {
    let shared: Vec<_> = (season.drills.iter())
        .filter(|drill| drill.athletes().len() > 1)
        .collect();
    html! {
        @if !shared.is_empty() {
            section aria-labelledby="drills" {
                h2 #drills { "Drills" }
                p.soft {
                    "In alphabetical order; nobody stands above another but where it is clear: beyond both intervals, all pairs of the squad
                     judged together (Bonferroni). Who did a drill more often had more tries at a best."
                }
                @for drill in shared {
                    details {
                        summary { bdi { (drill::text::title(drill)) } }
                        (table("The surest best of each athlete", &[
                            ("Athlete", false), ("Times", true), (&drill::text::heading(drill.gauge(), drill.speeds), true), ("On", false),
                            ("Clearly better than", false),
                        ], &html! {
                            @for standing in drill.standings() {
                                tr {
                                    th scope="row" { (link(season, standing.athlete)) }
                                    td.n { (standing.times) }
                                    td.n { (gauged(drill, standing.best.map(|best| best.1))) }
                                    td { (known(standing.best.map(|best| full_day(best.0.date)))) }
                                    td {
                                        @for (at, name) in standing.clearly_above.iter().enumerate() {
                                            @if at > 0 { ", " } bdi { (who(name)) }
                                        }
                                    }
                                }
                            }
                        }))
                    }
                }
            }
        }
    }
}

/// Links to the weeks, the latest first; older years fold away.
pub(super) fn week_links(season: &Season<'_>) -> Markup {
    let mut weeks = season.weeks();
    weeks.reverse();
    let mut years: Vec<i16> = weeks.iter().map(|week| week.year).collect();
    years.dedup();
    html! {
        @for (at, year) in years.iter().enumerate() {
            details open[at == 0] {
                summary { (year) }
                ul.links {
                    @for week in weeks.iter().filter(|week| week.year == *year) {
                        li { a href=(names::week(*week)) { (format!("Week {}", week.week)) } }
                    }
                }
            }
        }
    }
}

/// A value of a drill's gauge.
fn gauged(drill: &progress::Drill, value: Option<Measured>) -> Markup {
    match drill.gauge() {
        Gauge::Peak => frame::speed(value, drill.speeds),
        gauge => interval(value, drill::text::decimals(gauge)),
    }
}
