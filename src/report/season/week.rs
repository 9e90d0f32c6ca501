//! A week around its match: athletes down, days across.

use maud::{Markup, html};

use super::frame::{Step, cards, document, known, unknown, who};
use super::squad::{cells, columns};
use super::{FIRST, Page, Season, names};
use crate::diary::{Activity, Entry};
use crate::progress::{self, Day, IsoWeek, Quantity, Week, remarks};
use crate::report::day_words::{day, session_of_day};
use crate::report::grid;
use crate::report::layout::{safe, thousands};

/// Writes the page.
pub(super) fn page(season: &Season<'_>, week: IsoWeek) -> Page {
    let weeks: Vec<Week<'_>> = (season.athletes().into_iter())
        .map(|athlete| progress::week(&season.log, athlete, week, season.today))
        .collect();
    let top = grid::text::short(Quantity::TopSpeed, season.log.speeds);
    let hearts = weeks.iter().any(|week| week.totals.heart_load.is_some());
    let all = season.weeks();
    let at = all.binary_search(&week).ok();
    let before = at.and_then(|at| all.get(at.checked_sub(1)?));
    let after = at.and_then(|at| all.get(at + 1));
    let around = html! {
        p.soft { (span(week)) }
        nav aria-label="Weeks" {
            ul.links {
                @if let Some(before) = before { li { a href=(names::week(*before)) rel="prev" { (format!("Week {}", before.week)) " before" } } }
                @if let Some(after) = after { li { a href=(names::week(*after)) rel="next" { (format!("Week {}", after.week)) " after" } } }
            }
        }
    };
    let body = html! {
        section aria-labelledby="days" {
            h2 #days { "Day by day" }
            (days(season, &weeks))
            p.soft {
                "MD is the day of the athlete's match, MD-2 two days before it, MD+1 the day after. Load: RPE x minutes, where it was rated."
            }
        }
        section aria-labelledby="sums" {
            h2 #sums { "In numbers" }
            (cards("What the week came to", &columns(&["Athlete"], &top, hearts), &html! {
                @for week in &weeks {
                    tr { th scope="row" { a href=(season.of_athlete(week.athlete)) { bdi { (who(week.athlete)) } } } (cells(&week.totals, week.speeds, hearts)) }
                }
            }))
        }
        (remarked(&weeks))
    };
    let way = [Step {
        name: if season.alone {
            who(weeks.first().map_or("", |w| w.athlete))
        } else {
            "Squad".to_owned()
        },
        file: FIRST.to_owned(),
    }];
    Page {
        name: names::week(week),
        html: document(
            &format!("Week {} of {}", week.week, week.year),
            &way,
            &around,
            &[],
            &body,
        ),
    }
}

fn span(week: IsoWeek) -> String {
    match week.days().as_slice() {
        [first, .., last] => format!("{} to {} {}", day(*first), day(*last), last.year()),
        _ => week.to_string(),
    }
}

fn days(season: &Season<'_>, weeks: &[Week<'_>]) -> Markup {
    let dates: Vec<_> = (weeks.first().iter())
        .flat_map(|week| &week.days)
        .map(|day| day.date)
        .collect();
    html! {
        div.wide role="region" tabindex="0" aria-label="Day by day" {
            table.days {
                caption { "An athlete a row, a day a column" }
                thead {
                    tr {
                        th scope="col" { "Athlete" }
                        @for date in &dates { th scope="col" { (day(*date)) } }
                    }
                }
                tbody {
                    @for week in weeks {
                        tr {
                            th scope="row" { a href=(season.of_athlete(week.athlete)) { bdi { (who(week.athlete)) } } }
                            @for day in &week.days { td { (of_day(week, day)) } }
                        }
                    }
                }
            }
        }
    }
}

fn of_day(week: &Week<'_>, day: &Day<'_>) -> Markup {
    let open: Vec<_> = day.planned.iter().filter(|plan| !plan.done).collect();
    let is_match =
        day.match_day.is_some() && !day.entries.iter().any(|e| e.activity == Activity::Match);
    let past = day.date < week.today;
    html! {
        @if let Some(place) = day.place { div.place { (place) } }
        ul {
            @if is_match {
                li {
                    "match"
                    @if let Some(label) = day.match_day.and_then(|m| m.label) { ": " bdi { (safe(label)) } }
                }
            }
            @for entry in &day.entries { li { (of_entry(entry, day)) } }
            @for plan in &open {
                li { (if past { "not done: " } else { "to do: " }) bdi { (plan.planned.title.as_deref().map_or_else(|| "a plan".to_owned(), safe)) } }
            }
        }
        @if past && day.entries.is_empty() && open.is_empty() && !is_match { (unknown()) }
    }
}

/// A session in a line, with its page.
fn of_entry(entry: &Entry, of: &Day<'_>) -> Markup {
    let load = (entry.activity != Activity::Rest)
        .then_some(entry.rpe)
        .flatten()
        .map(|rpe| thousands(progress::session_load(rpe, entry.duration_s)));
    html! {
        a href=(names::session(entry)) { bdi { (session_of_day(entry, of)) } }
        @if entry.activity != Activity::Rest {
            " " (thousands(entry.duration_s / 60.0)) " min"
            @if load.is_some() { ", load " (known(load)) }
        }
    }
}

/// What a coach might say of the week, athlete by athlete.
fn remarked(weeks: &[Week<'_>]) -> Markup {
    let all: Vec<_> = (weeks.iter())
        .map(|week| (week.athlete, remarks(week)))
        .filter(|(_, remarks)| !remarks.is_empty())
        .collect();
    html! {
        @if !all.is_empty() {
            section aria-labelledby="remarks" {
                h2 #remarks { "Remarks" }
                p.soft { "What was seen and why it may matter, with who says so. They forbid nothing and foretell nothing." }
                @for (athlete, remarks) in all {
                    h3 { bdi { (who(athlete)) } }
                    ul {
                        @for remark in remarks {
                            li {
                                @if let Some(date) = remark.date { (day(date)) ": " }
                                (remark.text) ". " span.soft { (remark.reason) " (" (remark.source) ")." }
                            }
                        }
                    }
                }
            }
        }
    }
}
