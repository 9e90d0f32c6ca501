//! One session as it is compared.

use jiff::civil::Date;

use crate::diary::{Entry, Recorded, duration_s};
use crate::efforts::Thresholds;
use crate::measured::Measured;
use crate::motion::{Method, SpeedFrom};
use crate::plan::Block;
use crate::profile::Fade;
use crate::review::BlockReview;
use crate::session::Session;
use crate::trace::Clock;

/// One session as it is compared.
#[derive(Clone, Debug)]
pub struct Side {
    /// What it is called, such as its file.
    pub name: String,
    /// From the plan or the recording.
    pub title: Option<String>,
    /// Whose it is.
    pub athlete: Option<String>,
    /// When it was.
    pub when: When,
    /// How long it lasted, s.
    pub duration_s: f64,
    /// Its sums.
    pub recorded: Recorded,
    /// The time constant of the best sprint's curve, s.
    pub time_constant_s: Option<Measured>,
    /// What recorded it.
    pub receiver: Receiver,
    /// By what rules it was counted; `None` where only its sums were kept.
    pub rules: Option<Rules>,
    /// The blocks of its plan as they were done; none without a plan, and where only its sums were kept.
    pub blocks: Vec<Drilled>,
}

/// When a session was.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum When {
    /// From this moment on.
    Start(Clock),
    /// On this day.
    Day(Date),
}

/// What is known of a receiver.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Receiver {
    /// Fixes a second.
    pub rate_hz: f64,
    /// Where the speed comes from; `None` where only the sums were kept.
    pub speed_from: Option<SpeedFrom>,
    /// Whether the time between fixes varies; `None` where only the sums were kept.
    pub irregular: Option<bool>,
}

/// By what rules a session was counted.
#[derive(Clone, Debug, PartialEq)]
pub struct Rules {
    /// What counted as an effort.
    pub efforts: Thresholds,
    /// How it was smoothed.
    pub smoothing: Method,
}

/// A block of the plan as it was done.
#[derive(Clone, Debug, PartialEq)]
pub struct Drilled {
    /// What was meant.
    pub block: Block,
    /// What was done.
    pub review: BlockReview,
    /// How its sets faded.
    pub fades: Vec<Fade>,
}

impl Side {
    /// A reviewed session by the name it is called by.
    #[must_use]
    pub fn of(name: impl Into<String>, session: &Session) -> Self {
        let best = session.profile.best().map(|(_, fit)| fit);
        Self {
            name: name.into(),
            title: session.title.clone(),
            athlete: session.athlete.clone(),
            when: When::Start(session.track.start),
            duration_s: duration_s(session),
            recorded: Recorded::of(session),
            time_constant_s: best.map(|fit| fit.tau_s),
            receiver: Receiver {
                rate_hz: session.track.rate.hz,
                speed_from: Some(session.motion.speed_from),
                irregular: Some(session.track.rate.irregular),
            },
            rules: Some(Rules {
                efforts: session.settings.efforts.clone(),
                smoothing: session.settings.motion.method,
            }),
            blocks: blocks(session),
        }
    }

    /// An entry of the diary, of which the sums were kept; `None` where nothing was recorded.
    #[must_use]
    pub fn of_entry(name: impl Into<String>, entry: &Entry) -> Option<Self> {
        let recorded = entry.recorded.clone()?;
        Some(Self {
            name: name.into(),
            title: entry.title.clone(),
            athlete: (!entry.athlete.is_empty()).then(|| entry.athlete.clone()),
            when: When::Day(entry.date),
            duration_s: entry.duration_s,
            receiver: Receiver {
                rate_hz: recorded.rate_hz,
                speed_from: None,
                irregular: None,
            },
            recorded,
            time_constant_s: None,
            rules: None,
            blocks: Vec::new(),
        })
    }
}

fn blocks(session: &Session) -> Vec<Drilled> {
    let (Some(plan), Some(review)) = (&session.plan, &session.review.plan) else {
        return Vec::new();
    };
    plan.blocks
        .iter()
        .zip(&review.blocks)
        .map(|(block, review)| Drilled {
            block: block.clone(),
            review: review.clone(),
            fades: session
                .profile
                .fades
                .iter()
                .filter(|fade| fade.block == review.index)
                .copied()
                .collect(),
        })
        .collect()
}
