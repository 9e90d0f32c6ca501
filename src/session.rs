//! Puts the stages in order: bytes in, an account out.

use std::fmt;

use jiff::tz::TimeZone;

use crate::bouts::{self, Bouts};
use crate::efforts::{self, Efforts};
use crate::motion::{self, Motion};
use crate::note::{Note, Reveals};
use crate::pitch::{Ground, Pitch, Size, Source};
use crate::plan::Plan;
use crate::profile::{self, Profile};
use crate::review::{self, Evidence, Review, TopSpeedSource};
use crate::settings::Settings;
use crate::trace::{self, Clock, Defect, Format, Trace};
use crate::track::{self, Track};

/// Everything known of one session.
#[derive(Clone, Debug)]
pub struct Session {
    /// From the plan's header, else the recording.
    pub title: Option<String>,
    /// From the plan's header.
    pub athlete: Option<String>,
    /// What recorded it, where that has a name.
    pub device: Option<String>,
    /// The zone that its times are told in: as asked for, else the recording's, else the usual one; `None` is universal time.
    pub zone: Option<TimeZone>,
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
    /// The pitch under it, where it is known.
    pub pitch: Option<Pitch>,
    /// The plan, if one was given.
    pub plan: Option<Plan>,
    /// The account.
    pub review: Review,
    /// What the sprints say of the player.
    pub profile: Profile,
    /// The settings that made it.
    pub settings: Settings,
}

impl Session {
    /// The same without what says where on earth it was made, for sharing: metres stay, places go. Names that the recording
    /// or a kept pitch gave go too, since they may name a place; those of the plan stay. Without `with_date` the day goes as
    /// well.
    #[must_use]
    pub fn without_place(mut self, with_date: bool) -> Self {
        self.track.frame = None;
        self.zone = None;
        self.title = self.plan.as_ref().and_then(|p| p.header.title.clone());
        self.device = None;
        if let Some(pitch) = &mut self.pitch
            && matches!(pitch.source, Source::Kept(_))
        {
            pitch.source = Source::Corners;
        }
        if !with_date {
            self.track.start = Clock::Elapsed;
            if let Some(earlier) = &mut self.settings.review.earlier_top {
                earlier.date = None;
            }
            let top = self
                .review
                .plan
                .as_mut()
                .and_then(|plan| plan.top_speed.as_mut());
            if let Some(TopSpeedSource::Diary { date }) = top.map(|top| &mut top.source) {
                *date = None;
            }
            if let Some(plan) = &mut self.plan {
                plan.header.date = None;
                plan.header.match_day = None;
            }
        }
        self.review.notes.retain(|note| match note.reveals() {
            Reveals::Nothing => true,
            Reveals::Day => with_date,
            Reveals::Place => false,
        });
        self
    }
}

/// Why a recording gives no account.
#[derive(Debug)]
#[non_exhaustive]
pub enum Error {
    /// The file could not be read.
    Trace(trace::Error),
    /// What was read holds no motion.
    Track(track::Error),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Trace(error) => error.fmt(f),
            Self::Track(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for Error {}

/// Accounts for the recording in `bytes`, held against `plan` if there is one.
///
/// # Errors
/// When nothing of the file can be read, or the recording holds no motion.
pub fn analyse(bytes: &[u8], plan: Option<&Plan>, settings: &Settings) -> Result<Session, Error> {
    analyse_on(bytes, plan, settings, &Ground::default())
}

/// The same, with what is known of the ground that it was made on.
///
/// # Errors
/// When nothing of the file can be read, or the recording holds no motion.
pub fn analyse_on(
    bytes: &[u8],
    plan: Option<&Plan>,
    settings: &Settings,
    ground: &Ground,
) -> Result<Session, Error> {
    let trace = trace::read(bytes, &settings.trace).map_err(Error::Trace)?;
    account_on(trace, plan, settings, ground)
}

/// Accounts for a recording that was read before, held against `plan` if there is one.
///
/// # Errors
/// When the recording holds no motion.
pub fn account(trace: Trace, plan: Option<&Plan>, settings: &Settings) -> Result<Session, Error> {
    account_on(trace, plan, settings, &Ground::default())
}

/// The same, with what is known of the ground that it was made on.
///
/// # Errors
/// When the recording holds no motion.
pub fn account_on(
    mut trace: Trace,
    plan: Option<&Plan>,
    settings: &Settings,
    ground: &Ground,
) -> Result<Session, Error> {
    let track = track::clean_taking(&mut trace, &settings.track).map_err(Error::Track)?;
    let Trace {
        format,
        title,
        device,
        offset,
        defects,
        ..
    } = trace;
    let motion = motion::estimate(&track, &settings.motion);
    let efforts = efforts::detect(&motion, &settings.efforts);
    let bouts = bouts::find(&motion, &bouts::Rules::default());
    let evidence = Evidence {
        track: &track,
        motion: &motion,
        efforts: &efforts,
        bouts: &bouts,
        thresholds: &settings.efforts,
    };
    let mut review = review::assess(&evidence, plan, &settings.review);
    let profile = profile::profile(&motion, &efforts, (plan, &review), &settings.profile);
    review.notes.extend(profile.not_fitted.clone());
    let planned = plan.and_then(|p| p.header.pitch).map(|size| Size {
        length_m: size.length_m,
        width_m: size.width_m,
    });
    let (pitch, note) = ground.under(&motion, track.frame.as_ref(), planned);
    review.notes.extend(note);
    review.notes.splice(0..0, defects.into_iter().map(in_file));
    Ok(Session {
        title: plan.and_then(|p| p.header.title.clone()).or(title),
        athlete: plan.and_then(|p| p.header.athlete.clone()),
        device,
        zone: (settings.zone.asked.clone())
            .or(offset.map(TimeZone::fixed))
            .or_else(|| settings.zone.usual.clone()),
        format,
        track,
        motion,
        efforts,
        bouts,
        pitch,
        plan: plan.cloned(),
        review,
        profile,
        settings: settings.clone(),
    })
}

/// A defect as a note.
fn in_file(defect: Defect) -> Note {
    Note::InFile {
        line: defect.line,
        message: defect.message,
    }
}
