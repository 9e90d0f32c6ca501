//! The review as one page for a browser: the verdict first, then pictures, tables, settings, and how far to trust it all.
//!
//! The page is one file that loads nothing. Its content security policy names the one style sheet and the one script by their
//! hashes, so that nothing else in it can run, whatever a file's texts hold. Everything can be read without the script.

pub(super) mod answer;
mod drawing;
mod numbers;
mod speeds;
mod tables;
mod verdict;

use maud::{DOCTYPE, Markup, PreEscaped, html};

use super::head::{head, source};
use super::layout::clock;
use super::words;
use crate::report::note;
use crate::session::Session;
use crate::settings::Setting;

pub use drawing::Drawing;
pub(super) use drawing::{figure, sheets};

const STYLE: &str = include_str!("page.css");
const SCRIPT: &str = include_str!("page.js");

/// Headings of the pictures, with what they show for those who do not see them.
const PICTURES: [(&str, &str, &str); 7] = [
    (
        "timeline",
        "Timeline",
        "When each block was done, against the plan. The table of reps has the same in numbers.",
    ),
    (
        "reps",
        "Reps",
        "The speed of each rep from its start, set by set. The table of reps has the same in numbers.",
    ),
    (
        "fade",
        "From rep to rep",
        "The peak speed of each rep, and whether it falls clearly over a set. The table of reps has the same in numbers.",
    ),
    (
        "speed",
        "Speed",
        "Speed over the session, with its 95 % interval. The table of efforts has the sprints in numbers.",
    ),
    (
        "heatmap",
        "Where the time was spent",
        "The stronger the colour, the longer. A picture only; no number rests on it.",
    ),
    (
        "heatmap_blocks",
        "Where the time of each block was spent",
        "The same for each block, on one scale. A picture only; no number rests on it.",
    ),
    (
        "sprints",
        "Where the sprints were run",
        "An arrow for each sprint. The table of efforts has the same in numbers.",
    ),
];

/// Writes the page.
#[must_use]
pub fn render(session: &Session, drawings: &[Drawing<'_>], settings: &[Setting]) -> String {
    render_among(session, drawings, settings, &[])
}

/// Writes the page as one of several: above its title stands the way back, names with the files that they lead to.
pub(super) fn render_among(
    session: &Session,
    drawings: &[Drawing<'_>],
    settings: &[Setting],
    way: &[(String, String)],
) -> String {
    let style = format!("{STYLE}{}", drawing::sheets(drawings));
    let policy = format!(
        "default-src 'none'; style-src '{}'; script-src '{}'; font-src data:; img-src data:; base-uri 'none'; \
         form-action 'none'",
        source(&style),
        source(SCRIPT)
    );
    let title = session.title.as_deref().unwrap_or("Session");
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(title, &style, &policy, "light dark"))
            body {
                a.skip href="#main" { "To the account" }
                header {
                    @if !way.is_empty() {
                        nav aria-label="Way back" {
                            ul { @for (name, file) in way { li { a href=(file) { bdi { (name) } } } } }
                        }
                    }
                    h1 { (title) }
                    p { (when(session)) }
                }
                main #main tabindex="-1" {
                    (verdict::section(session))
                    (numbers::section(session))
                    (contents(session, drawings))
                    @for (name, heading, caption) in PICTURES {
                        @if let Some(drawing) = drawings.iter().find(|d| d.name == name) {
                            section aria-labelledby=(name) {
                                h2 id=(name) { (heading) }
                                @if name == "speed" { (speeds::reader(session)) }
                                (drawing::figure(drawing, caption))
                            }
                        }
                    }
                    (tables::section(session))
                    (cautions(session))
                    (numbers::trust(session))
                    (tables::settings(settings, session.settings.speeds))
                }
                (speeds::data(session))
                script { (PreEscaped(SCRIPT)) }
            }
        }
    };
    page.into_string()
}

fn when(session: &Session) -> String {
    let length = session.track.end_s().unwrap_or(0.0);
    let parts = [
        session.athlete.clone(),
        words::start(session),
        Some(clock(length) + " long"),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

fn contents(session: &Session, drawings: &[Drawing<'_>]) -> Markup {
    html! {
        nav aria-label="Parts of the page" {
            ul {
                @for (name, heading, _) in PICTURES {
                    @if drawings.iter().any(|d| d.name == name) {
                        li { a href={ "#" (name) } { (heading) } }
                    }
                }
                li { a href="#tables" { "Tables" } }
                @if !session.review.notes.is_empty() { li { a href="#cautions" { "Cautions" } } }
                li { a href="#trust" { "How far to trust the numbers" } }
                li { a href="#settings" { "Settings" } }
            }
        }
    }
}

fn cautions(session: &Session) -> Markup {
    html! {
        @if !session.review.notes.is_empty() {
            section aria-labelledby="cautions" {
                h2 #cautions { "Cautions" }
                ul { @for note in &session.review.notes { li { (note::text(note)) } } }
            }
        }
    }
}
