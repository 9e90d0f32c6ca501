//! Puts the stages in order: bytes in, an account out.

use crate::bouts::Bouts;
use crate::efforts::Efforts;
use crate::motion::Motion;
use crate::plan::Plan;
use crate::review::Review;
use crate::settings::Settings;
use crate::trace::Format;
use crate::track::Track;

/// Everything known of one session.
#[derive(Clone, Debug)]
pub struct Session {
    /// From the plan's header, else the recording.
    pub title: Option<String>,
    /// From the plan's header.
    pub athlete: Option<String>,
    /// The format of the recording.
    pub format: Format,
    /// The cleaned recording.
    pub track: Track,
    /// The smoothed motion.
    pub motion: Motion,
    /// What was found in the motion.
    pub efforts: Efforts,
    /// Work and rest found in the motion.
    pub bouts: Bouts,
    /// The plan, if one was given.
    pub plan: Option<Plan>,
    /// The account.
    pub review: Review,
    /// The settings that made it.
    pub settings: Settings,
}
