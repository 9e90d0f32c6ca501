//! Which pitch lies under a session, of what is known of the ground.

use crate::geodesy::LocalFrame;
use crate::measured::Z95;
use crate::motion::Motion;
use crate::note::Note;
use crate::pitch::fit::{Fit, fit};
use crate::pitch::{Kept, Pitch, Size, Source, laps};

/// What is known of the ground before a session is looked at.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Ground {
    /// The pitch that was asked for; without a name it came from its corners.
    pub asked: Option<Kept>,
    /// Those that were kept; one is used where a session was made on it.
    pub kept: Vec<Kept>,
    /// Whether no pitch is wanted.
    pub off: bool,
}

impl Ground {
    /// The pitch under a session, and what the reader must know of it.
    ///
    /// The one that was asked for goes first, then the nearest of those kept, then one of the plan's size where it fits; without a size,
    /// one that laps were run around.
    #[must_use]
    pub fn under(
        &self,
        motion: &Motion,
        frame: Option<&LocalFrame>,
        planned: Option<Size>,
    ) -> (Option<Pitch>, Option<Note>) {
        if self.off || !motion.has_position {
            return (None, None);
        }
        if let Some(asked) = &self.asked {
            return match (frame, frame.and_then(|f| asked.in_session(f))) {
                (_, Some(pitch)) => (Some(with_source(pitch)), None),
                (Some(_), None) => (None, Some(Note::PitchElsewhere)),
                (None, None) => (None, Some(Note::PitchWithoutPlace)),
            };
        }
        let near = frame.and_then(|frame| {
            self.kept
                .iter()
                .filter_map(|kept| kept.in_session(frame))
                .min_by(|a, b| off_m(a).total_cmp(&off_m(b)))
        });
        match (near, planned) {
            (Some(pitch), _) => (Some(pitch), None),
            (None, Some(size)) => laid(motion, size),
            (None, None) => (laps(motion), None),
        }
    }
}

fn off_m(pitch: &Pitch) -> f64 {
    pitch.centre_m[0].hypot(pitch.centre_m[1])
}

/// A pitch without a name came from its corners.
fn with_source(mut pitch: Pitch) -> Pitch {
    if pitch.source == Source::Kept(String::new()) {
        pitch.source = Source::Corners;
    }
    pitch
}

fn laid(motion: &Motion, size: Size) -> (Option<Pitch>, Option<Note>) {
    match fit(motion, size) {
        Fit::Sure(pitch) => (Some(pitch), None),
        Fit::Unsure(pitch) => (
            None,
            Some(Note::PitchOpen {
                off_m: Z95 * pitch.centre_sd_m,
                off_deg: Z95 * pitch.turn_sd_rad.to_degrees(),
            }),
        ),
        Fit::TooSmall { outside } => (
            None,
            Some(Note::PitchTooSmall {
                outside,
                length_m: size.length_m,
                width_m: size.width_m,
            }),
        ),
        Fit::TooLittle => (None, None),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geodesy::Degrees;
    use crate::motion::Sample;
    use crate::pitch::made;

    fn motion() -> Motion {
        let samples: Vec<Sample> = (0..300)
            .map(|k| Sample {
                time_s: f64::from(k),
                x_m: f64::from(k % 10),
                ..Sample::default()
            })
            .collect();
        made::motion(samples)
    }

    fn kept(name: &str, latitude_deg: f64) -> Kept {
        Kept {
            name: name.to_owned(),
            size: Size {
                length_m: 100.0,
                width_m: 64.0,
            },
            centre: Degrees {
                latitude_deg,
                longitude_deg: -110.0,
            },
            turn_rad: 0.4,
            centre_sd_m: 1.0,
            turn_sd_rad: 0.01,
            traces: 1,
            known_by: Vec::new(),
        }
    }

    #[test]
    fn the_nearest_that_was_kept_is_used_and_one_that_was_asked_for_goes_first() {
        let frame = LocalFrame::new(Degrees {
            latitude_deg: -30.0,
            longitude_deg: -110.0,
        });
        let mut ground = Ground {
            kept: vec![
                kept("far", -30.0004),
                kept("near", -30.0001),
                kept("away", 10.0),
            ],
            ..Ground::default()
        };
        let name = |ground: &Ground| match ground.under(&motion(), Some(&frame), None).0 {
            Some(Pitch {
                source: Source::Kept(name),
                ..
            }) => Some(name),
            _ => None,
        };
        assert_eq!(name(&ground).as_deref(), Some("near"));
        ground.asked = Some(kept("far", -30.0004));
        assert_eq!(name(&ground).as_deref(), Some("far"));
        ground.asked = Some(kept("away", 10.0));
        let (pitch, note) = ground.under(&motion(), Some(&frame), None);
        assert!(pitch.is_none() && note.is_some_and(|n| n == Note::PitchElsewhere));
        ground.off = true;
        assert_eq!(ground.under(&motion(), Some(&frame), None), (None, None));
    }

    #[test]
    fn a_size_alone_is_laid_only_where_it_is_sure() {
        let size = Size {
            length_m: 100.0,
            width_m: 64.0,
        };
        let (pitch, note) = Ground::default().under(&motion(), None, Some(size));
        assert!(pitch.is_none() && note.is_some_and(|n| matches!(n, Note::PitchOpen { .. })));
    }
}
