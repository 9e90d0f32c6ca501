//! The words for what the review found; what is written and what is shown use the same ones.

use jiff::tz::{Offset, TimeZone};

use super::layout::{clock, short};
use crate::diary::HeartLoad;
use crate::efforts::Kind;
use crate::motion::{Device, Lag, LagTold, SpeedFrom};
use crate::review::{BlockVerdict, Fits, Reached, RestVerdict, TopSpeedSource, Verdict};
use crate::session::Session;
use crate::simulation::outlook::Judged;
use crate::simulation::{Format, Outcome, UnplannedKind};
use crate::trace::Clock;
use crate::track::{LeftOut, Reason};
use crate::units::KM_H;

/// The word for a kind of effort.
pub(super) fn kind(kind: Kind) -> &'static str {
    match kind {
        Kind::Sprint => "sprint",
        Kind::HighSpeedRun => "high_speed_run",
        Kind::Acceleration => "acceleration",
        Kind::Deceleration => "deceleration",
        Kind::Turn => "turn",
    }
}

/// The word for where the speed comes from.
pub(super) fn speed_from(from: SpeedFrom) -> &'static str {
    match from {
        SpeedFrom::Receiver => "receiver",
        SpeedFrom::Position => "position",
        SpeedFrom::Both => "both",
    }
}

/// What a slow receiver does before it writes, in a line.
pub(super) fn device(device: Device) -> String {
    let each = |what: &str, are: &str, lag: Lag| match lag.told() {
        LagTold::Unfiltered if are == "are" => format!("{what} look unfiltered"),
        LagTold::Unfiltered => format!("{what} looks unfiltered"),
        LagTold::Filtered => format!("{what} {are} smoothed over about {:.1} s", lag.mean_s),
        LagTold::Unknown => format!("whether {what} {are} smoothed cannot be told"),
    };
    match (device.position, device.speed) {
        (Some(position), Some(speed))
            if position.told() == speed.told() && position.told() != LagTold::Filtered =>
        {
            each("positions and speed", "are", position)
        }
        (Some(position), Some(speed)) if position.told() == speed.told() => format!(
            "positions are smoothed over about {:.1} s, the speed over about {:.1} s",
            position.mean_s, speed.mean_s
        ),
        (position, speed) => {
            let position = position.map(|lag| each("positions", "are", lag));
            let speed = speed.map(|lag| each("the speed", "is", lag));
            let parts: Vec<String> = position.into_iter().chain(speed).collect();
            parts.join(", ")
        }
    }
}

/// The word for the verdict on a rep.
pub(super) fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Done => "done",
        Verdict::Short => "short",
        Verdict::Slow => "slow",
        Verdict::Missed => "missed",
        Verdict::Unresolved => "unresolved",
    }
}

/// The word for the verdict on a block.
pub(super) fn block_verdict(verdict: BlockVerdict) -> &'static str {
    match verdict {
        BlockVerdict::Done => "done",
        BlockVerdict::Short => "short",
        BlockVerdict::Missed => "missed",
        BlockVerdict::Unresolved => "unresolved",
    }
}

/// The word for how well a plan fits.
pub(super) fn fits(fits: Fits) -> &'static str {
    match fits {
        Fits::Yes => "yes",
        Fits::Partly => "partly",
        Fits::No => "no",
    }
}

/// The word for the verdict on a rest.
pub(super) fn rest_verdict(verdict: RestVerdict) -> &'static str {
    match verdict {
        RestVerdict::Kept => "kept",
        RestVerdict::Long => "long",
        RestVerdict::Short => "short",
        RestVerdict::Free => "free",
    }
}

/// The word for why a stretch is left out.
pub(super) fn left_out(reason: Reason) -> &'static str {
    match reason {
        Reason::OnTheWay => "on_the_way",
        Reason::LyingStill => "lying_still",
    }
}

/// What is left out, as the account says it: `7:00 on the way, 3.1 km, up to 50 km/h`.
pub(super) fn left_out_in_full(left_out: &LeftOut) -> String {
    let lasts = clock(left_out.end_s - left_out.start_s);
    let what = left_out.reason.words();
    match left_out.reason {
        Reason::OnTheWay => format!(
            "{lasts} {what}, {} km, up to {:.0} km/h",
            short(left_out.distance_m / 1000.0, 1),
            left_out.top_speed_m_s / KM_H
        ),
        Reason::LyingStill => format!("{lasts} {what}"),
    }
}

/// The word for whether the speed asked for was reached.
pub(super) fn reached(reached: Reached) -> &'static str {
    match reached {
        Reached::Yes => "yes",
        Reached::No => "no",
        Reached::Unclear => "unclear",
    }
}

/// The word for who says what the top speed is.
pub(super) fn top_speed_source(source: TopSpeedSource) -> &'static str {
    match source {
        TopSpeedSource::Plan => "plan",
        TopSpeedSource::Settings => "settings",
        TopSpeedSource::Session => "session",
    }
}

/// The word for how well a block could be judged.
pub(super) fn judged(judged: Judged) -> &'static str {
    match judged {
        Judged::RepByRep => "rep_by_rep",
        Judged::AsBout => "bout",
        Judged::NotAtAll => "no",
    }
}

/// The word for what became of a simulated rep that was not done.
pub(super) fn not_done(outcome: Outcome) -> Option<&'static str> {
    match outcome {
        Outcome::Done => None,
        Outcome::Short => Some("short"),
        Outcome::Slow => Some("slow"),
        Outcome::Missed => Some("missed"),
    }
}

/// The word for why simulated work was not planned.
pub(super) fn unplanned(kind: UnplannedKind) -> &'static str {
    match kind {
        UnplannedKind::ExtraRep => "extra_rep",
        UnplannedKind::Sprint => "sprint",
        UnplannedKind::FetchBall => "fetch_ball",
        UnplannedKind::OtherDrill => "other_drill",
    }
}

/// The word for the form of a simulated recording.
pub(super) fn recorded_as(format: Format) -> &'static str {
    match format {
        Format::Gpx => "gpx",
        Format::Columns | Format::LocalColumns => "csv",
    }
}

/// By what the load by heart rate is told, with who says so.
pub(super) fn heart_load(load: HeartLoad) -> &'static str {
    match load {
        HeartLoad::Edwards => "Edwards 1993",
        HeartLoad::BanisterMen => "Banister, Morton et al. 1990, men",
        HeartLoad::BanisterWomen => "Banister, Morton et al. 1990, women",
    }
}

/// When a session began, in its zone, which is named.
pub(super) fn start(session: &Session) -> Option<String> {
    const FORM: &str = "%a %-d %B %Y, %H:%M";
    match session.track.start {
        Clock::Utc(time) => {
            let zone = session.zone.as_ref();
            let offset = zone.map_or(Offset::UTC, |zone| zone.to_offset(time));
            let local = offset.to_datetime(time).strftime(FORM);
            let name = zone.and_then(TimeZone::iana_name);
            let name = name.filter(|name| !matches!(*name, "UTC" | "Etc/UTC"));
            let from_utc = from_utc(offset);
            Some(match name {
                Some(name) => format!("{local} ({name}, {from_utc})"),
                None => format!("{local} {from_utc}"),
            })
        }
        Clock::ZoneUnknown(time) => Some(time.strftime(FORM).to_string()),
        Clock::Elapsed => None,
    }
}

/// `UTC`, `UTC+2`, `UTC−3:30`.
fn from_utc(offset: Offset) -> String {
    let minutes = (offset.seconds() / 60).unsigned_abs();
    let sign = if offset.seconds() < 0 { '−' } else { '+' };
    match (minutes / 60, minutes % 60) {
        (0, 0) => "UTC".to_owned(),
        (hours, 0) => format!("UTC{sign}{hours}"),
        (hours, minutes) => format!("UTC{sign}{hours}:{minutes:02}"),
    }
}
