//! What all pages share: head, way back, style, and small parts.

use maud::{DOCTYPE, Markup, html};

use super::super::day_words::{self, UNKNOWN};
use super::super::head::{head, source};
use super::super::layout::is_format_control;
use super::super::page::{self, Drawing};
use crate::figure::Svg;
use crate::measured::Measured;
use crate::units::SpeedUnit;

const STYLE: &str = include_str!("season.css");

/// A step of the way back to the first page.
pub(super) struct Step {
    pub(super) name: String,
    pub(super) file: String,
}

/// The whole document.
pub(super) fn document(
    title: &str,
    way: &[Step],
    around: &Markup,
    drawings: &[Drawing<'_>],
    body: &Markup,
) -> String {
    let style = format!("{STYLE}{}", page::sheets(drawings));
    let policy = format!(
        "default-src 'none'; style-src '{}'; font-src data:; img-src data:; base-uri 'none'; form-action 'none'",
        source(&style)
    );
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            (head(title, &style, &policy, "light dark"))
            body {
                a.skip href="#main" { "To the content" }
                header {
                    @if !way.is_empty() {
                        nav aria-label="Way back" {
                            ol.way { @for step in way { li { a href=(step.file) { bdi { (step.name) } } } } }
                        }
                    }
                    h1 { bdi { (title) } }
                    (around)
                }
                main #main tabindex="-1" { (body) }
                footer { p { "Made by repledger. Intervals are 95 %; these numbers are no medical advice." } }
            }
        }
    };
    page.into_string()
}

/// A table in a frame that scrolls sideways on narrow screens; the second of each column says that it holds numbers.
pub(super) fn table(caption: &str, columns: &[(&str, bool)], rows: &Markup) -> Markup {
    framed(caption, columns, rows, false)
}

/// The same, whose rows are cards on a phone, each value after its `data-label`.
pub(super) fn cards(caption: &str, columns: &[(&str, bool)], rows: &Markup) -> Markup {
    framed(caption, columns, rows, true)
}

fn framed(caption: &str, columns: &[(&str, bool)], rows: &Markup, cards: bool) -> Markup {
    html! {
        div.wide.cards[cards] role="region" tabindex="0" aria-label=(caption) {
            table {
                caption { (caption) }
                thead { tr { @for (column, number) in columns { th.n[*number] scope="col" { (column) } } } }
                tbody { (rows) }
            }
        }
    }
}

/// A picture with its caption.
pub(super) fn figure(drawing: &Drawing<'_>, caption: &str) -> Markup {
    page::figure(drawing, caption)
}

/// A picture without the signs that turn or hide what follows, which a name may hold.
pub(super) fn clean(svg: Svg) -> String {
    if svg.chars().any(is_format_control) {
        svg.chars().filter(|c| !is_format_control(*c)).collect()
    } else {
        svg.into_text()
    }
}

/// Whose, as a page writes it.
pub(super) fn who(athlete: &str) -> String {
    day_words::athlete(athlete)
}

/// A number of a dictionary of numbers, with what explains it.
pub(super) fn number(name: &str, value: &str, aside: &str) -> Markup {
    html! {
        div {
            dt { (name) }
            dd { (value) @if !aside.is_empty() { span { (aside) } } }
        }
    }
}

/// `8.41 (8.27–8.55)` in so many decimals, or what stands for the unknown.
pub(super) fn interval(value: Option<Measured>, decimals: usize) -> Markup {
    match value {
        Some(m) => html! {
            (format!("{:.decimals$}", m.value)) " "
            span.soft { (format!("({:.decimals$}–{:.decimals$})", m.low, m.high)) }
        },
        None => unknown(),
    }
}

/// The same of a speed, in the unit that it is told in.
pub(super) fn speed(speed_m_s: Option<Measured>, speeds: SpeedUnit) -> Markup {
    interval(speed_m_s.map(|m| speeds.measured(m)), speeds.decimals(2))
}

/// A text, or what stands for the unknown.
pub(super) fn known(text: Option<String>) -> Markup {
    text.map_or_else(unknown, |text| html! { (text) })
}

/// The sign for the unknown, with its word for those who do not see it.
pub(super) fn unknown() -> Markup {
    html! { span aria-hidden="true" { (UNKNOWN) } span.unseen { "not known" } }
}
