//! The words for what the review found; what is written and what is shown use the same ones.

use crate::efforts::Kind;
use crate::motion::SpeedFrom;
use crate::review::{BlockVerdict, Reached, RestVerdict, TopSpeedSource, Verdict};

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

/// The word for the verdict on a rest.
pub(super) fn rest_verdict(verdict: RestVerdict) -> &'static str {
    match verdict {
        RestVerdict::Kept => "kept",
        RestVerdict::Long => "long",
        RestVerdict::Short => "short",
        RestVerdict::Free => "free",
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
