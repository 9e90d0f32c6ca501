//! Reps, efforts, bands and settings as tables.

use maud::{Markup, html};

use super::super::layout::{clock, ends, short, thousands};
use super::super::words;
use super::verdict::name;
use crate::efforts::{Effort, Kind};
use crate::measured::Measured;
use crate::review::{BlockReview, RepReview, SetReview};
use crate::session::Session;
use crate::settings::{self, Setting};
use crate::units::SpeedUnit;

pub(super) fn section(session: &Session) -> Markup {
    let speeds = session.settings.speeds;
    let peak = peak(speeds);
    let from = format!("From, {}", speeds.sign());
    html! {
        section aria-labelledby="tables" {
            h2 #tables { "Tables" }
            @if let Some(plan) = &session.review.plan {
                (table("Reps of the plan, with 95 % intervals", &[
                    ("Block", false), ("Set", true), ("Rep", true), ("Verdict", false), ("Start", true), ("Work, s", true),
                    (&peak, true), ("Rest after, s", true),
                ], &html! {
                    @for block in &plan.blocks {
                        @for set in &block.sets {
                            @for rep in &set.reps { (rep_row(block, set, rep, speeds)) }
                        }
                    }
                }))
            }
            (efforts(session))
            (table("Time and distance by speed, with 95 % intervals", &[("Band", false), (&from, true), ("Time", true), ("Distance, m", true)], &html! {
                @for band in &session.review.totals.bands {
                    tr {
                        th scope="row" { (words::spelt(&band.name)) }
                        td.n data-label=(from) { (speeds.edge_number(band.from_m_s, 2)) }
                        td.n data-label="Time" {
                            (clock(band.time_s))
                            @if let Some(within) = band.within { " (" (ends(within.time_s, clock)) ")" }
                        }
                        td.n data-label="Distance, m" {
                            (thousands(band.distance_m))
                            @if let Some(within) = band.within { " (" (ends(within.distance_m, thousands)) ")" }
                        }
                    }
                }
            }))
        }
    }
}

/// A table in a frame that scrolls sideways where it must, and whose rows are cards on a phone, each value after its
/// `data-label`; the second of each column says that it holds numbers.
fn table(caption: &str, columns: &[(&str, bool)], rows: &Markup) -> Markup {
    html! {
        div.wide role="region" tabindex="0" aria-label=(caption) {
            table {
                caption { (caption) }
                thead {
                    tr { @for (column, number) in columns { th.n[*number] scope="col" { (column) } } }
                }
                tbody { (rows) }
            }
        }
        br;
    }
}

fn rep_row(block: &BlockReview, set: &SetReview, rep: &RepReview, speeds: SpeedUnit) -> Markup {
    // Behind the last rep of a set lies the rest after the set.
    let last = set.reps.last().is_some_and(|last| last.index == rep.index);
    let (rest_s, planned_s) = if last && rep.rest_s.is_none() {
        (set.rest_after_s, set.rest_after_planned_s)
    } else {
        (rep.rest_s, rep.rest_planned_s)
    };
    html! {
        tr data-block=(block.index) {
            th scope="row" { (name(block)) }
            td.n data-label="Set" { (set.index) }
            td.n data-label="Rep" { (rep.index) }
            td data-label="Verdict" {
                span {
                    (words::verdict(rep.verdict))
                    @if rep.is_speed_open() { ", speed open" }
                }
            }
            td.n data-label="Start" { (rep.start_s.map_or_else(unknown, clock)) }
            td.n data-label="Work, s" { (with_interval(rep.work_s, 1)) }
            td.n data-label=(peak(speeds)) { (speed(rep.peak_speed_m_s, speeds)) }
            td.n data-label="Rest after, s" {
                span {
                    (with_interval(rest_s, 0))
                    @if let Some(planned) = planned_s { " of " (short(planned, 0)) }
                }
            }
        }
    }
}

fn efforts(session: &Session) -> Markup {
    let speeds = session.settings.speeds;
    let peak = peak(speeds);
    let fast: Vec<&Effort> = session
        .efforts
        .list
        .iter()
        .filter(|e| matches!(e.kind, Kind::Sprint | Kind::HighSpeedRun))
        .collect();
    html! {
        @if !fast.is_empty() {
            (table("Sprints and high-speed runs, with 95 % intervals", &[
                ("Kind", false), ("Start", true), ("Duration, s", true), ("Distance, m", true), (&peak, true),
            ], &html! {
                @for effort in fast {
                    tr {
                        th scope="row" { (words::spelt(words::kind(effort.kind))) }
                        td.n data-label="Start" { (clock(effort.start_s)) }
                        td.n data-label="Duration, s" { (short(effort.duration_s(), 1)) }
                        td.n data-label="Distance, m" { (short(effort.distance_m, 0)) }
                        td.n data-label=(peak) { (speed(Some(effort.peak_speed_m_s), speeds)) }
                    }
                }
            }))
        }
    }
}

fn with_interval(measured: Option<Measured>, decimals: usize) -> String {
    measured.map_or_else(unknown, |m| {
        format!(
            "{:.decimals$} ({:.decimals$} to {:.decimals$})",
            m.value, m.low, m.high
        )
    })
}

/// The head of a column of peaks.
fn peak(speeds: SpeedUnit) -> String {
    format!("Peak speed, {}", speeds.sign())
}

fn speed(measured: Option<Measured>, speeds: SpeedUnit) -> String {
    with_interval(measured.map(|m| speeds.measured(m)), speeds.decimals(2))
}

fn unknown() -> String {
    "\u{2013}".to_owned()
}

/// The settings in force.
pub(super) fn settings(settings: &[Setting], speeds: SpeedUnit) -> Markup {
    html! {
        section aria-labelledby="settings" {
            h2 #settings { "Settings" }
            p { "They say what counts; others give other numbers." }
            (table("Settings in force", &[("Setting", false), ("Value", false), ("Meaning", false)], &html! {
                @for setting in settings {
                    tr {
                        th scope="row" { (setting.key.name) }
                        td data-label="Value" { (value(setting, speeds)) }
                        td data-label="Meaning" { (setting.key.about) }
                    }
                }
            }))
        }
    }
}

/// The value of a setting, a speed in the unit asked for.
fn value(setting: &Setting, speeds: SpeedUnit) -> String {
    match (setting.key.kind, setting.value.number()) {
        (settings::Kind::Speed(..), Some(speed_m_s)) if speeds != SpeedUnit::default() => {
            speeds.edge(speed_m_s, 2)
        }
        _ => setting.key.text(&setting.value),
    }
}
