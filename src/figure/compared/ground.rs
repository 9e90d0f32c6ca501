//! The ground that the maps of several sessions share.

use super::Named;
use crate::figure::density::Stay;
use crate::session::Session;

/// Sessions whose origins lie farther apart than this were not on one ground, m.
const FARTHEST_M: f64 = 1000.0;

/// What the places of several sessions are told by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ground {
    /// East and north of the first session's origin.
    Earth,
    /// Along and across the pitch, from its centre mark.
    Pitch,
}

/// Why there is no ground that all share.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Apart {
    /// A recording has no positions.
    NoPositions,
    /// Recordings were made at places far from each other, and the pitch of one is not known.
    Far,
    /// A recording in metres of its own does not say where on earth it is, and the pitch of one is not known.
    Nowhere,
}

impl Ground {
    /// What must be said of it.
    pub(super) fn note(self) -> Option<&'static str> {
        match self {
            Self::Earth => None,
            Self::Pitch => Some(
                "The maps lie on the pitch of each session. Which goal is which is not known, so a map may be turned by half against \
                 the others.",
            ),
        }
    }
}

impl Apart {
    /// The reason as a note.
    pub(super) fn in_words(self) -> &'static str {
        match self {
            Self::NoPositions => {
                "No maps: a recording has no positions, so that where the time was spent cannot be compared."
            }
            Self::Far => {
                "No maps: the sessions lie more than 1 km apart, and not each has a pitch that is known; they share no ground."
            }
            Self::Nowhere => {
                "No maps: a recording in metres of its own does not say where on earth it is, and not each has a pitch that is \
                 known; they share no ground."
            }
        }
    }
}

/// The ground that all sessions share, and where each was on it.
///
/// # Definition
/// East and north metres where all sessions say where on earth they are and lie within 1 km: two sessions on one field need nothing
/// else. Elsewhere the pitch, where each has one.
pub(super) fn stays(sessions: &[Named<'_>]) -> Result<(Ground, Vec<Stay>), Apart> {
    let sessions: Vec<&Session> = sessions.iter().map(|named| named.session).collect();
    let earth = on_earth(&sessions);
    let stay = |session: &Session, to: &dyn Fn([f64; 2]) -> [f64; 2]| Stay::of(&session.motion, to);
    let collect = |list: Vec<Option<Stay>>| list.into_iter().collect::<Option<Vec<Stay>>>();
    if let Ok(offsets) = &earth {
        let stays = sessions
            .iter()
            .zip(offsets)
            .map(|(session, [x, y])| stay(session, &|[east, north]| [east + x, north + y]));
        let stays = collect(stays.collect()).ok_or(Apart::NoPositions)?;
        return Ok((Ground::Earth, stays));
    }
    if sessions.iter().any(|s| !s.motion.has_position) {
        return Err(Apart::NoPositions);
    }
    let on_pitch = sessions.iter().map(|session| {
        let pitch = session.pitch.as_ref()?;
        stay(session, &|place| pitch.to_pitch(place))
    });
    match (collect(on_pitch.collect()), earth) {
        (Some(stays), _) => Ok((Ground::Pitch, stays)),
        (None, Err(apart)) => Err(apart),
        (None, Ok(_)) => Err(Apart::Nowhere),
    }
}

/// Where the origin of each session lies from the first's, m: within 1 km the planes of two origins are one to the millimetre.
fn on_earth(sessions: &[&Session]) -> Result<Vec<[f64; 2]>, Apart> {
    let frames = sessions
        .iter()
        .map(|s| s.track.frame)
        .collect::<Option<Vec<_>>>()
        .ok_or(Apart::Nowhere)?;
    let first = frames.first().ok_or(Apart::Nowhere)?;
    frames
        .iter()
        .map(|frame| {
            let origin = first.to_local(frame.origin());
            if origin.x.hypot(origin.y) <= FARTHEST_M {
                Ok([origin.x, origin.y])
            } else {
                Err(Apart::Far)
            }
        })
        .collect()
}
