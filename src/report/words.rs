//! The words for what the review found; what is written and what is shown use the same ones.

use jiff::tz::{Offset, TimeZone};

use super::layout::{clock, short};
use crate::diary::HeartLoad;
use crate::efforts::Kind;
use crate::measured::Measured;
use crate::motion::{Device, Lag, LagTold, SpeedFrom};
use crate::plan::Category;
use crate::review::{BlockVerdict, Fits, Reached, RestVerdict, TopSpeedSource, Verdict};
use crate::session::Session;
use crate::simulation::outlook::Judged;
use crate::simulation::{Format, Outcome, UnplannedKind};
use crate::trace::{self, Clock};
use crate::track::{LeftOut, Reason};
use crate::units::SpeedUnit;

/// A function from a case to its word, and the list of these words, in which a case that is added cannot be missing.
macro_rules! word_for {
    ($(#[$doc:meta])* $vis:vis $name:ident($of:ty) in $all:ident { $($case:pat => $word:literal,)+ }) => {
        $(#[$doc])*
        $vis fn $name(of: $of) -> &'static str {
            match of {
                $($case => $word,)+
            }
        }

        #[doc = concat!("The words of [`", stringify!($name), "`].")]
        $vis const $all: &[&str] = &[$($word),+];
    };
}

pub(super) use word_for;

word_for! {
    /// The word for a kind of effort.
    pub(super) kind(Kind) in KINDS {
        Kind::Sprint => "sprint",
        Kind::HighSpeedRun => "high_speed_run",
        Kind::Acceleration => "acceleration",
        Kind::Deceleration => "deceleration",
        Kind::Turn => "turn",
    }
}

word_for! {
    /// The word for where the speed comes from.
    pub(super) speed_from(SpeedFrom) in SPEED_FROM {
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

word_for! {
    /// The word for the verdict on a rep.
    pub(super) verdict(Verdict) in VERDICTS {
        Verdict::Done => "done",
        Verdict::Short => "short",
        Verdict::Slow => "slow",
        Verdict::Missed => "missed",
        Verdict::Unresolved => "unresolved",
    }
}

word_for! {
    /// The word for the verdict on a block.
    pub(super) block_verdict(BlockVerdict) in BLOCK_VERDICTS {
        BlockVerdict::Done => "done",
        BlockVerdict::Short => "short",
        BlockVerdict::Missed => "missed",
        BlockVerdict::Unresolved => "unresolved",
    }
}

word_for! {
    /// The word for how well a plan fits.
    pub(super) fits(Fits) in FITS {
        Fits::Yes => "yes",
        Fits::Partly => "partly",
        Fits::No => "no",
    }
}

word_for! {
    /// The word for the verdict on a rest.
    pub(super) rest_verdict(RestVerdict) in REST_VERDICTS {
        RestVerdict::Kept => "kept",
        RestVerdict::Long => "long",
        RestVerdict::Short => "short",
        RestVerdict::Free => "free",
    }
}

word_for! {
    /// The word for why a stretch is left out.
    pub(super) left_out(Reason) in LEFT_OUT {
        Reason::OnTheWay => "on_the_way",
        Reason::LyingStill => "lying_still",
    }
}

/// What is left out, as the account says it: `7:00 on the way, 3.1 km, up to 14 m/s (50 km/h)`; of traffic nobody thinks in m/s.
pub(super) fn left_out_in_full(left_out: &LeftOut, speeds: SpeedUnit) -> String {
    let lasts = clock(left_out.end_s - left_out.start_s);
    let what = left_out.reason.words();
    match left_out.reason {
        Reason::OnTheWay => {
            let top_m_s = left_out.top_speed_m_s;
            let top = match speeds {
                SpeedUnit::MetresPerSecond => speeds.both(top_m_s, 0),
                _ => speeds.text(top_m_s, 0),
            };
            let km = short(left_out.distance_m / 1000.0, 1);
            format!("{lasts} {what}, {km} km, up to {top}")
        }
        Reason::LyingStill => format!("{lasts} {what}"),
    }
}

word_for! {
    /// The word for whether the speed asked for was reached.
    pub(super) reached(Reached) in REACHED {
        Reached::Yes => "yes",
        Reached::No => "no",
        Reached::Unclear => "unclear",
    }
}

word_for! {
    /// The word for who says what the top speed is.
    pub(super) top_speed_source(TopSpeedSource) in TOP_SPEED_SOURCES {
        TopSpeedSource::Plan => "plan",
        TopSpeedSource::Settings => "settings",
        TopSpeedSource::Diary { .. } => "diary",
        TopSpeedSource::Session => "session",
    }
}

word_for! {
    /// The word for how well a block could be judged.
    pub(super) judged(Judged) in JUDGED {
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

word_for! {
    /// The word for why simulated work was not planned.
    pub(super) unplanned(UnplannedKind) in UNPLANNED {
        UnplannedKind::ExtraRep => "extra_rep",
        UnplannedKind::Sprint => "sprint",
        UnplannedKind::FetchBall => "fetch_ball",
        UnplannedKind::OtherDrill => "other_drill",
    }
}

word_for! {
    /// The word for the form of a recording.
    pub(super) format(&trace::Format) in FORMATS {
        trace::Format::Gpx { .. } => "gpx",
        trace::Format::Csv { .. } => "csv",
    }
}

word_for! {
    /// The word for the form of a simulated recording.
    pub(super) recorded_as(Format) in RECORDED_AS {
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
    start_of(
        session.track.start,
        session.zone.as_ref(),
        "%a %-d %B %Y, %H:%M",
    )
}

/// When a recording began, in a zone or else in universal time, which is named behind the time in the form asked for.
pub(super) fn start_of(start: Clock, zone: Option<&TimeZone>, form: &str) -> Option<String> {
    match start {
        Clock::Utc(time) => {
            let offset = zone.map_or(Offset::UTC, |zone| zone.to_offset(time));
            let local = offset.to_datetime(time).strftime(form);
            let name = zone.and_then(TimeZone::iana_name);
            let name = name.filter(|name| !matches!(*name, "UTC" | "Etc/UTC"));
            let from_utc = from_utc(offset);
            Some(match name {
                Some(name) => format!("{local} ({name}, {from_utc})"),
                None => format!("{local} {from_utc}"),
            })
        }
        Clock::ZoneUnknown(time) => Some(time.strftime(form).to_string()),
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

/// In front of a value that [`is_rough`].
pub(super) const ROUGH: &str = "~";

/// Whether the interval reaches farther than 10 % to either side, in the mean of both.
pub(super) fn is_rough(value: Measured) -> bool {
    value.width() > 2.0 * 0.1 * value.value
}

/// A name of JSON as it is spelt for readers: `high-speed run`.
pub(super) fn spelt(name: &str) -> String {
    name.replace("high_speed", "high-speed").replace('_', " ")
}

/// What a block is called behind its number: `5 game 4 v 4`, as `5 4 v 4` would be two numbers.
pub(super) fn block_name(category: Category, name: Option<&str>) -> String {
    match name {
        None | Some("") => category.word().to_owned(),
        Some(name) if name.starts_with(|c: char| c.is_numeric()) => {
            format!("{} {name}", category.word())
        }
        Some(name) => name.to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_that_begins_with_a_number_has_its_category_in_front() {
        let name = |name| block_name(Category::Game, name);
        assert_eq!(name(Some("4 v 4")), "game 4 v 4");
        assert_eq!(name(Some("to goals")), "to goals");
        assert_eq!(name(None), "game");
    }

    #[test]
    fn names_of_json_are_spelt_one_way_for_readers() {
        assert_eq!(spelt(kind(Kind::HighSpeedRun)), "high-speed run");
        assert_eq!(spelt("stand"), "stand");
    }

    #[test]
    fn what_is_hardly_known_is_rough() {
        let of = |low, high| Measured {
            value: 10.0,
            low,
            high,
        };
        assert!(is_rough(of(7.1, 11.0)));
        assert!(!is_rough(of(9.6, 10.3)));
    }
}
