//! A session: what was done of the plan, the numbers with their intervals, reps, efforts and speeds, as the diary keeps them.

use maud::{Markup, html};

use super::super::day_words::{activity, full_day, of, rating, session};
use super::super::kept::Kept;
use super::super::layout::{clock, ends, safe, short, thousands};
use super::super::page::answer;
use super::super::shortfall::headline_text;
use super::super::words;
use super::frame::{self, Step, document, interval, known, number, table, unknown, who};
use super::{FIRST, Page, Season, names};
use crate::diary::{Activity, Block, Effort, Entry, Recorded, Recording, Rep, Rest};
use crate::efforts::Kind;
use crate::progress::{self, IsoWeek, MatchWeek};
use crate::review::Verdict;
use crate::units::SpeedUnit;

/// Most efforts that are listed.
const MOST_EFFORTS: usize = 200;

/// Writes the page.
pub(super) fn page(
    season: &Season<'_>,
    entry: &Entry,
    recording: Option<&Recording>,
    review: Option<&str>,
) -> Page {
    let speeds = season.log.speeds;
    let body = html! {
        section aria-labelledby="done" {
            h2 #done { "What was done" }
            p.headline { (headline(entry)) }
            @if let Some(recording) = recording { (answer::of(&Kept::of(recording).facts(entry, speeds))) }
            (numbers(entry, speeds))
            @if let Some(note) = &entry.note { p { "Note: " bdi { (safe(note)) } } }
            @if let Some(review) = review {
                p { a href=(review) { "The whole review" } ", with the speed over time, the maps and every caution." }
            }
        }
        @if let Some(recording) = recording {
            (reps(&recording.blocks, speeds))
            (efforts(&recording.efforts, speeds))
            (bands(&recording.summary, speeds))
            (hearts(&recording.summary, &recording.blocks))
            section aria-labelledby="trust" {
                h2 #trust { "How far to trust the numbers" }
                p {
                    (fixes(recording.summary.rate_hz)) " a second. An interval of 95 % is meant to hold the truth 19 times of 20. A verdict is
                     given only where the recording can bear it; where it cannot, the rep is unresolved and never counted as done."
                }
            }
        }
    };
    let mut way = Vec::new();
    if !season.alone {
        way.push(Step {
            name: "Squad".to_owned(),
            file: FIRST.to_owned(),
        });
    }
    way.push(Step {
        name: who(&entry.athlete),
        file: season.of_athlete(&entry.athlete),
    });
    let title = session(entry);
    Page {
        name: names::session(entry),
        html: document(&title, &way, &around(season, entry), &[], &body),
    }
}

/// When it was, and the sessions beside it.
fn around(season: &Season<'_>, entry: &Entry) -> Markup {
    let place = MatchWeek::of(&season.log, &entry.athlete).place(entry.date);
    let key = (entry.date, entry.id);
    let own = || {
        season
            .log
            .entries
            .iter()
            .filter(|other| other.athlete == entry.athlete)
    };
    let before = own()
        .filter(|other| (other.date, other.id) < key)
        .max_by_key(|o| (o.date, o.id));
    let after = own()
        .filter(|other| (other.date, other.id) > key)
        .min_by_key(|o| (o.date, o.id));
    let week = IsoWeek::of(entry.date);
    html! {
        p.soft {
            bdi { (who(&entry.athlete)) } ", " (full_day(entry.date))
            @if let Some(place) = place { ", " (place) }
            ", " (activity(entry.activity))
        }
        nav aria-label="Beside it" {
            ul.links {
                @if season.weeks().binary_search(&week).is_ok() { li { a href=(names::week(week)) { (format!("Week {}", week.week)) } } }
                @if let Some(before) = before { li { a href=(names::session(before)) rel="prev" { "Session before" } } }
                @if let Some(after) = after { li { a href=(names::session(after)) rel="next" { "Session after" } } }
            }
        }
    }
}

fn headline(entry: &Entry) -> String {
    if entry.activity == Activity::Rest {
        return "A day of rest".to_owned();
    }
    match entry.recorded.as_ref().and_then(|recorded| recorded.counts) {
        Some(counts) if counts.planned > 0 => headline_text(&counts),
        _ => format!("{} min", thousands(entry.duration_s / 60.0)),
    }
}

fn numbers(entry: &Entry, speeds: SpeedUnit) -> Markup {
    let load = entry
        .rpe
        .map(|rpe| progress::session_load(rpe, entry.duration_s));
    html! {
        @if entry.activity != Activity::Rest {
            dl {
                (number("Time", &format!("{} min", thousands(entry.duration_s / 60.0)), ""))
                @if let (Some(rpe), Some(load)) = (entry.rpe, load) {
                    (number("Load", &thousands(load), &format!("RPE {} x minutes", rating(Some(rpe)))))
                }
                @if let Some(recorded) = &entry.recorded { (measured(recorded, speeds)) }
            }
        }
    }
}

fn measured(recorded: &Recorded, speeds: SpeedUnit) -> Markup {
    let distance = recorded.distance_m;
    let [high, sprint] = recorded.thresholds_m_s;
    html! {
        (number("Distance", &format!("{} m", thousands(distance.value)),
            &format!("95 %: {}", ends(distance, thousands))))
        @if let Some(top) = recorded.top_speed_m_s {
            (number("Top speed", &speeds.text(top.value, 2),
                &format!("95 %: {}; {}", speeds.ends(top), speeds.other().text(top.value, 2))))
        }
        (number("High speed", &format!("{} m", thousands(recorded.fast_m[0])), &format!("at {} or more", speeds.text(high, 1))))
        (number("Sprints", &recorded.sprints.to_string(),
            &format!("{} m at {} or more", thousands(recorded.fast_m[1]), speeds.text(sprint, 1))))
        @if let Some(heart) = &recorded.heart {
            (number("Heart rate", &format!("{:.0} a minute", heart.mean_bpm), &format!("in the mean, {:.0} at the highest", heart.highest_bpm)))
            @if let Some(load) = progress::heart_load(heart) {
                (number("Load by heart rate", &thousands(load), words::heart_load(heart.numbers.map(|n| n.load).unwrap_or_default())))
            }
        }
        @if recorded.rests[1] > 0 {
            (number("Rests kept", &of(Some((recorded.rests[0], recorded.rests[1]))), "of those that were judged"))
        }
    }
}

fn reps(blocks: &[Block], speeds: SpeedUnit) -> Markup {
    html! {
        @if !blocks.is_empty() {
            section aria-labelledby="plan" {
                h2 #plan { "The plan, block by block" }
                @for block in blocks { (of_block(block, speeds)) }
            }
        }
    }
}

fn of_block(block: &Block, speeds: SpeedUnit) -> Markup {
    let peak = peak(speeds);
    let name = block
        .review
        .name
        .as_deref()
        .map_or_else(|| block.review.category.word().to_owned(), safe);
    let done = block
        .reps
        .iter()
        .filter(|rep| rep.review.verdict == Verdict::Done)
        .count();
    let sets = block.reps.iter().map(|rep| rep.set).max().unwrap_or(1);
    let caption = format!(
        "{}{}: {} done",
        block.review.category.word(),
        if block.review.with_ball {
            ", with ball"
        } else {
            ""
        },
        of(Some((done, block.reps.len())))
    );
    html! {
        h3 { (block.review.index) " " bdi { (name) } }
        (table(&caption, &[
            ("Rep", false), ("Verdict", false), ("Start", true), ("Work, s", true), ("Distance, m", true), (&peak, true), ("Rest after", true),
        ], &html! {
            @for rep in &block.reps {
                tr {
                    th scope="row" { @if sets > 1 { (rep.set) "." } (rep.review.index) }
                    td.why[rep.why.is_some()] { (words::verdict(rep.review.verdict)) @if let Some(why) = &rep.why { span.soft { ": " (why) } } }
                    td.n { (known(rep.review.start_s.map(clock))) }
                    td.n { (interval(rep.review.work_s, 1)) }
                    td.n { (interval(rep.review.distance_m, 0)) }
                    td.n { (frame::speed(rep.review.peak_speed_m_s, speeds)) }
                    td.n { (rest_after(block, rep)) }
                }
            }
        }))
    }
}

/// The rest after a rep, else after its set where it is the last one.
fn rest_after(block: &Block, rep: &Rep) -> Markup {
    let of = |after: Option<usize>| {
        (block.rests.iter()).find(move |rest| rest.set == rep.set && rest.after_rep == after)
    };
    let last = (block.reps.iter())
        .filter(|other| other.set == rep.set)
        .all(|o| o.review.index <= rep.review.index);
    let found: Option<&Rest> = of(Some(rep.review.index)).or_else(|| of(None).filter(|_| last));
    let Some(rest) = found else { return html! {} };
    html! {
        @match rest.rest_s { Some(s) => { (short(s, 0)) " s" } None => (unknown()) }
        @if let Some([low, high]) = rest.interval_s { " (" (short(low, 0)) " to " (short(high, 0)) ")" }
        @if let Some(planned) = rest.planned_s { " of " (short(planned, 0)) }
    }
}

fn efforts(efforts: &[Effort], speeds: SpeedUnit) -> Markup {
    let peak = peak(speeds);
    let fast: Vec<&Effort> = (efforts.iter())
        .filter(|effort| matches!(effort.kind, Kind::Sprint | Kind::HighSpeedRun))
        .collect();
    html! {
        @if !fast.is_empty() {
            section aria-labelledby="efforts" {
                h2 #efforts { "Sprints and high-speed runs" }
                (table("In order of time", &[
                    ("Kind", false), ("Start", true), ("Duration, s", true), ("Distance, m", true), (&peak, true),
                ], &html! {
                    @for effort in fast.iter().take(MOST_EFFORTS) {
                        tr {
                            th scope="row" { (words::spelt(words::kind(effort.kind))) }
                            td.n { (clock(effort.start_s)) }
                            td.n { (short(effort.duration_s, 1)) }
                            td.n { (short(effort.distance_m, 0)) }
                            td.n { (frame::speed(Some(effort.peak_speed_m_s), speeds)) }
                        }
                    }
                }))
                @if fast.len() > MOST_EFFORTS { p { (fast.len() - MOST_EFFORTS) " more are in the diary." } }
            }
        }
    }
}

fn bands(recorded: &Recorded, speeds: SpeedUnit) -> Markup {
    let from = format!("From, {}", speeds.sign());
    html! {
        @if !recorded.bands.is_empty() {
            section aria-labelledby="bands" {
                h2 #bands { "Time and distance by speed" }
                (table("By speed", &[("Band", false), (&from, true), ("Time", true), ("Distance, m", true)], &html! {
                    @for band in &recorded.bands {
                        tr {
                            th scope="row" { (words::spelt(&band.name)) }
                            td.n { (speeds.edge_number(band.from_m_s, 2)) }
                            td.n { (clock(band.time_s)) }
                            td.n { (thousands(band.distance_m)) }
                        }
                    }
                }))
            }
        }
    }
}

/// The head of a column of peaks.
fn peak(speeds: SpeedUnit) -> String {
    format!("Peak, {}", speeds.sign())
}

fn fixes(rate_hz: f64) -> String {
    let number = short(rate_hz, 1);
    let word = if number == "1" { "fix" } else { "fixes" };
    format!("{number} {word}")
}

/// The heart rate over the blocks, and in classes of beats.
fn hearts(recorded: &Recorded, blocks: &[Block]) -> Markup {
    let Some(heart) = &recorded.heart else {
        return html! {};
    };
    let over: Vec<_> = (blocks.iter())
        .filter_map(|block| Some((block, block.heart.as_ref()?)))
        .collect();
    html! {
        section aria-labelledby="heart" {
            h2 #heart { "Heart rate" }
            @if !over.is_empty() {
                (table("Over the blocks, beats a minute", &[
                    ("Block", false), ("Mean", true), ("Highest", true), ("Drop in the first minute after each set", true),
                ], &html! {
                    @for (block, heart) in over {
                        tr {
                            th scope="row" { (block.review.index) " " bdi { (block.review.name.as_deref().map_or_else(|| block.review.category.word().to_owned(), safe)) } }
                            td.n { (short(heart.mean_bpm, 0)) }
                            td.n { (short(heart.highest_bpm, 0)) }
                            td.n {
                                @for (at, recovery) in heart.recoveries.iter().enumerate() {
                                    @if at > 0 { ", " } (short(recovery.drop_bpm, 0)) " from " (short(recovery.at_end_bpm, 0))
                                }
                            }
                        }
                    }
                }))
            }
            details {
                summary { "Time by heart rate" }
                (table("In classes of five beats a minute", &[("From", false), ("Time", true)], &html! {
                    @for (from, time_s) in &heart.classes_s {
                        tr { th scope="row" { (from) } td.n { (clock(*time_s)) } }
                    }
                }))
            }
        }
    }
}
