//! The plan as a page to take to the pitch: big type, dark on light, one block after another, one sheet of paper.
//!
//! The page is one file. It loads nothing, runs no script and says so in its content security policy. The boxes can be
//! tapped on a phone or ticked with a pen.

use maud::{DOCTYPE, Markup, html};

use crate::plan::timetable::{Assumptions, Slot, timetable};
use crate::plan::{Block, Dose, FreeRest, Plan, Rest, Target, Work};
use crate::report::head::head;
use crate::report::layout::short;
use crate::units::SpeedUnit;

/// Nothing may be loaded or run; the one style sheet stands in the page.
const POLICY: &str =
    "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'";
const STYLE: &str = include_str!("card.css");
/// Most boxes in one block; beyond it a box stands for a set.
const MOST_BOXES: u32 = 40;

/// Writes the page.
#[must_use]
pub fn render(plan: &Plan, assumptions: &Assumptions) -> String {
    let table = timetable(plan, assumptions);
    let header = &plan.header;
    let speeds = assumptions.speeds;
    let title = header.title.as_deref().unwrap_or("Training plan");
    let about = if table.estimated { "about " } else { "" };
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(title, STYLE, POLICY, "light"))
            body class=(sheet(plan.blocks.len())) {
                header {
                    h1 { (title) }
                    @if let Some(athlete) = &header.athlete { p.who { (athlete) } }
                    p.facts {
                        span { (about) b { (short((table.total_s / 60.0).round(), 0)) " min" } }
                        @if let Some(date) = header.date { span { (date) } }
                        @if let Some(date) = header.match_day { span { "match " (date) } }
                        @if let Some(size) = header.pitch { span { "pitch " (size) } }
                        @if let Some(speed) = header.top_speed_m_s { span { "top speed " (both_speeds(speed, speeds)) } }
                    }
                }
                ol {
                    @for (block, slot) in plan.blocks.iter().zip(&table.slots) {
                        (card(block, slot, (table.top_speed_m_s, header.top_speed_m_s.is_some()), speeds))
                    }
                }
                footer {
                    p { b { "Before and during: " } "warm up first. Stop on pain, dizziness, chest trouble or a knock to the head." }
                    p { b { "Heat: " } "shade, drinks, longer rests, or another day." }
                    p { b { "Under 18: " } "fewer reps, more rest; no load made for adults." }
                    p { "This sheet gives no medical advice. After an injury, or when in doubt, ask a physiotherapist or doctor." }
                }
            }
        }
    };
    page.into_string()
}

/// How a plan of so many blocks is set on paper, so that it stays on one sheet: the names are those of the style sheet.
fn sheet(blocks: usize) -> &'static str {
    match blocks {
        0..=4 => "one",
        5..=9 => "two",
        10..=18 => "small",
        _ => "tiny",
    }
}

fn card(block: &Block, slot: &Slot, top: (f64, bool), speeds: SpeedUnit) -> Markup {
    html! {
        li {
            div.when { b { (short((slot.start_s / 60.0).floor(), 0)) } span { "min" } }
            div.what {
                p.category { (block.category) @if block.with_ball { span.ball { "with ball" } } }
                @if let Some(name) = &block.name { h2 { (name) } }
                p.dose { (dose(block)) @if block.sets().saturating_mul(block.reps()) == 1 { (tick_box("done")) } }
                @if let Some(words) = sets_in_words(block) { p.plain { (words) } }
                @if let Some(way) = way(block) { p.plain { (way) } }
                @if let Some(target) = block.target {
                    p.plain { "reach " b { (target_text(target, top, speeds)) } }
                }
                @if let Some(effort) = block.effort { p.plain { (effort) } }
                @if block.build_up { p.plain { "the first rep is a build-up" } }
                @if let Some(round) = block.round { p.plain { "round " (round.number) " of " (round.of) } }
                (rests(block))
                (boxes(block))
            }
        }
    }
}

/// The dose with the sign that is quickest to read.
fn dose(block: &Block) -> String {
    let each = block.each.map(|each| format!(" {each}"));
    (block.dose_text() + &each.unwrap_or_default()).replace(" x ", " \u{d7} ")
}

fn sets_in_words(block: &Block) -> Option<String> {
    let Dose::Reps { sets, reps, work } = block.dose else {
        return None;
    };
    let reps_text = if reps == 1 {
        "1 rep".to_owned()
    } else {
        format!("{reps} reps")
    };
    (sets > 1 && work != Work::Count).then(|| format!("{sets} sets of {reps_text}"))
}

fn way(block: &Block) -> Option<String> {
    let length = block
        .over_m
        .map(|metres| format!("over {}", crate::plan::length_text(metres)));
    let back = block.there_and_back.then(|| "there and back".to_owned());
    let parts: Vec<String> = [length, back].into_iter().flatten().collect();
    (!parts.is_empty()).then(|| parts.join(", "))
}

fn target_text(
    target: Target,
    (top_speed_m_s, top_speed_known): (f64, bool),
    speeds: SpeedUnit,
) -> String {
    match target {
        Target::Speed(speed) => both_speeds(speed, speeds),
        Target::ShareOfTop(share) if top_speed_known => {
            format!("{target}, {}", both_speeds(share * top_speed_m_s, speeds))
        }
        Target::ShareOfTop(_) => format!("{target} of top speed"),
    }
}

fn both_speeds(speed_m_s: f64, speeds: SpeedUnit) -> String {
    format!(
        "{}\u{a0}{} ({}\u{a0}{})",
        speeds.number(speed_m_s, 1),
        speeds.sign(),
        speeds.other().number(speed_m_s, 1),
        speeds.other().sign()
    )
}

/// The rests, each a line that stands out.
fn rests(block: &Block) -> Markup {
    let between_reps = match block.rest {
        Rest::RunOn if block.reps() > 1 => Some("no rest between reps".to_owned()),
        Rest::RunOn => None,
        Rest::Timed(seconds) => Some(match block.every_s {
            Some(every_s) => format!("start every {}", crate::plan::time_text(every_s)),
            None => format!("rest {}", crate::plan::time_text(seconds)),
        }),
        Rest::WalkBack => Some(match block.free_rest {
            FreeRest::Full => "full rest".to_owned(),
            back => back.to_string(),
        }),
    };
    html! {
        p.rests {
            @if let Some(rest) = between_reps { span { (rest) } }
            @if let Some(seconds) = block.between_sets_s {
                span { (crate::plan::time_text(seconds)) " between sets" }
            }
            @if let Some(seconds) = block.then_s { span { "then " (crate::plan::time_text(seconds)) } }
        }
    }
}

/// A box a rep, a row a set; a box a set where that would be too many, and none where even these are.
fn boxes(block: &Block) -> Markup {
    let (sets, reps) = (block.sets(), block.reps());
    let (rows, columns) = match sets.saturating_mul(reps) {
        // This one stands behind the dose.
        0 | 1 => (0, 0),
        2..=MOST_BOXES => (sets, reps),
        _ if sets <= MOST_BOXES => (1, sets),
        _ => (0, 0),
    };
    html! {
        @for row in 1..=rows {
            div.boxes {
                @for column in 1..=columns {
                    (tick_box(&format!("row {row}, box {column}")))
                }
            }
        }
    }
}

fn tick_box(label: &str) -> Markup {
    html! { input type="checkbox" autocomplete="off" aria-label=(label); }
}
