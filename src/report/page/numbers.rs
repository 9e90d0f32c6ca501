//! The sums with their intervals, and how far to trust them.

use maud::{Markup, html};

use super::super::layout::{ends, short, thousands};
use super::super::words;
use crate::efforts::Kind;
use crate::session::Session;

pub(super) fn section(session: &Session) -> Markup {
    let totals = &session.review.totals;
    let distance = totals.distance_m;
    let speeds = session.settings.speeds;
    html! {
        section aria-labelledby="numbers" {
            h2 #numbers { "In numbers" }
            dl {
                div {
                    dt { "Distance" }
                    dd { (thousands(distance.value)) " m"
                        span { "95 %: " (ends(distance, thousands)) } }
                }
                @if let Some(top) = totals.top_speed_m_s {
                    div {
                        dt { "Top speed" }
                        dd { (speeds.text(top.value, 2))
                            span { "95 %: " (speeds.ends(top)) "; " (speeds.other().text(top.value, 2)) } }
                    }
                }
                (effort(session, "Sprints", Kind::Sprint, session.settings.efforts.bands.sprint_m_s))
                (effort(session, "High-speed runs", Kind::HighSpeedRun, session.settings.efforts.bands.high_speed_m_s))
                (splits(session))
            }
        }
    }
}

fn effort(session: &Session, name: &str, kind: Kind, from_m_s: f64) -> Markup {
    let from = session.settings.speeds.edge(from_m_s, 2);
    let between = match session.efforts.count(kind) {
        Some(n) if n.low < n.high => {
            format!("95 %: {:.0} to {:.0}; ", n.low, n.high)
        }
        _ => String::new(),
    };
    html! {
        div {
            dt { (name) }
            dd { (session.efforts.of_kind(kind).count()) span { (between) "at " (from) " or more" } }
        }
    }
}

/// The times of the best sprint, where one was fitted.
fn splits(session: &Session) -> Markup {
    let splits = session.profile.best().map(|(_, fit)| &fit.splits);
    html! {
        @for split in splits.into_iter().flatten() {
            div {
                dt { "Best " (short(split.distance_m, 0)) " m" }
                dd { (format!("{:.2} s", split.time_s.value))
                    span { (format!("95 %: {:.2} to {:.2}", split.time_s.low, split.time_s.high)) } }
            }
        }
    }
}

/// What was recorded, what was left out, and what an interval promises.
pub(super) fn trust(session: &Session) -> Markup {
    let track = &session.track;
    html! {
        section aria-labelledby="trust" {
            h2 #trust { "How far to trust the numbers" }
            ul {
                li {
                    (thousands(track.points.len() as f64)) " of " (thousands(track.fixes as f64)) " fixes are used, "
                    (short(track.rate.hz, 2)) " a second"
                    @if track.rate.irregular { ", at irregular intervals" }
                    "; the speed is that of: " (words::speed_from(session.motion.speed_from)) "."
                }
                @for aside in &track.set_aside {
                    li { (thousands(aside.count as f64)) " set aside: " (aside.reason) "." }
                }
                @for left_out in &track.left_out {
                    li { "Left out: " (words::left_out_in_full(left_out, session.settings.speeds)) "." }
                }
                @if !track.gaps.is_empty() {
                    li { "Stretches without a usable fix: " (track.gaps.len()) "." }
                }
            }
            p {
                "An interval of 95 % is meant to hold the truth 19 times of 20. A verdict is given only where the recording
                 can bear it; where it cannot, the rep is unresolved and never counted as done."
            }
            p.soft { "These numbers are no medical advice." }
        }
    }
}
