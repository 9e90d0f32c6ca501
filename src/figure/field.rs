//! The ground of a map: the pitch with its lines where it is known, else metres with north up.

use crate::measured::Z95;
use crate::pitch::{Mark, Pitch, Source, markings};

use super::canvas::{self, Canvas};
use super::panel::Panel;
use super::style::{self, Anchor};
use super::{Scene, axis, lettering};

/// Around the pitch, m.
const AROUND_M: f64 = 3.0;
/// An arc is drawn as so many straight pieces a turn.
const PIECES: f64 = 72.0;

/// What a map lies on.
#[derive(Clone, Copy, Debug)]
pub(super) struct Field<'a> {
    pitch: Option<&'a Pitch>,
    north_up: bool,
}

impl<'a> Field<'a> {
    /// The ground of a session.
    pub(super) fn of(scene: &Scene<'a>) -> Self {
        Self {
            pitch: scene.pitch,
            north_up: scene.north_up,
        }
    }

    /// A place of the session on the map, m: along and across the pitch, or as it is.
    pub(super) fn place(&self, place_m: [f64; 2]) -> [f64; 2] {
        self.pitch.map_or(place_m, |pitch| pitch.to_pitch(place_m))
    }

    /// What must be on the map in any case, m: least and greatest along, least and greatest across.
    pub(super) fn extent_m(&self) -> Option<[f64; 4]> {
        let size = self.pitch?.size;
        let (along, across) = (
            size.length_m / 2.0 + AROUND_M,
            size.width_m / 2.0 + AROUND_M,
        );
        Some([-along, along, -across, across])
    }

    /// The lines of the pitch, to scale.
    pub(super) fn draw(&self, page: &mut Canvas, map: &Panel) {
        let Some(pitch) = self.pitch else { return };
        let at = |[along, across]: [f64; 2]| (map.x(along), map.y(across));
        for marking in markings(pitch.size) {
            match marking.mark {
                Mark::Line { from_m, to_m } => {
                    page.line(at(from_m), at(to_m), style::FRAME, style::LINE, "");
                }
                Mark::Arc {
                    centre_m,
                    radius_m,
                    from_rad,
                    sweep_rad,
                } => {
                    let pieces = (sweep_rad.abs() / std::f64::consts::TAU * PIECES)
                        .ceil()
                        .clamp(2.0, PIECES);
                    let path: Vec<(f64, f64)> = (0..=pieces as u32)
                        .map(|i| {
                            let turn = from_rad + sweep_rad * f64::from(i) / pieces;
                            let (sin, cos) = turn.sin_cos();
                            at([centre_m[0] + radius_m * cos, centre_m[1] + radius_m * sin])
                        })
                        .collect();
                    page.polyline(&path, style::FRAME, style::LINE);
                }
                Mark::Spot { at_m } => {
                    page.mark(canvas::Mark::Disc, at(at_m), 3.5, style::FRAME);
                }
            }
        }
    }

    /// What the two directions are called.
    pub(super) fn directions(&self) -> (&'static str, &'static str) {
        match (self.pitch, self.north_up) {
            (Some(_), _) => (
                "along the touchlines from the centre mark, m",
                "across the pitch, m",
            ),
            (None, true) => ("east, m", "north, m"),
            (None, false) => ("x, m", "y, m"),
        }
    }

    /// What is known of the ground, in words.
    pub(super) fn in_words(&self) -> String {
        let Some(pitch) = self.pitch else {
            return if self.north_up {
                "No pitch known: north is up.".to_owned()
            } else {
                "No pitch known: the axes of the recording.".to_owned()
            };
        };
        let whole = |m: f64| {
            if (m - m.round()).abs() < 0.05 {
                axis::whole(m)
            } else {
                format!("{m:.1}")
            }
        };
        let how = match &pitch.source {
            Source::Corners => "from its corners".to_owned(),
            Source::Kept(name) => format!("kept as {name}"),
            Source::Fitted => "laid where it fits the motion best".to_owned(),
            Source::Laps => "from laps around its lines".to_owned(),
        };
        let place = if pitch.centre_sd_m.is_finite() && pitch.centre_sd_m > 0.0 {
            format!(", its place to ±{:.1} m", Z95 * pitch.centre_sd_m)
        } else {
            String::new()
        };
        format!(
            "Pitch of {} × {} m, {how}{place}.",
            whole(pitch.size.length_m),
            whole(pitch.size.width_m)
        )
    }

    /// An arrow to the north with its upper left corner there, where north is known.
    pub(super) fn north(&self, page: &mut Canvas, corner: (f64, f64)) {
        if self.north_up {
            north(page, corner, self.pitch.map_or(0.0, |pitch| pitch.turn_rad));
        }
    }

    /// Numbers along two sides, and which way is which.
    pub(super) fn numbers(&self, page: &mut Canvas, map: &Panel) {
        for tick in &map.across.ticks {
            let text = axis::whole(*tick);
            page.text(
                map.x(*tick),
                map.bottom() + 16.0,
                &text,
                style::TICK,
                Anchor::Middle,
            );
        }
        for tick in &map.up.ticks {
            let text = axis::whole(*tick);
            let y = map.y(*tick) + 4.0;
            page.text(map.left - 8.0, y, &text, style::TICK, Anchor::End);
        }
        let (across, up) = self.directions();
        let (above, below) = (map.top - 12.0, map.bottom() + 36.0);
        page.text(page.sheet.margin, above, up, style::PLAIN, Anchor::Start);
        page.text(map.left, below, across, style::PLAIN, Anchor::Start);
    }

    /// How wide the name of the direction across is.
    pub(super) fn caption_width(&self) -> f64 {
        lettering::width(self.directions().0, style::PLAIN)
    }
}

/// An arrow to the north with its upper left corner there; the map is turned by so much against north.
pub(super) fn north(page: &mut Canvas, (left, top): (f64, f64), turn_rad: f64) {
    const SIZE: f64 = 34.0;
    let (x, y) = (left + SIZE / 2.0, top + SIZE / 2.0);
    let shape = format!(
        "path d=\"M0 -15l5.5 14h-4v16h-3v-16h-4z\" transform=\"translate({x:.1} {y:.1}) rotate({:.1})\"",
        turn_rad.to_degrees()
    );
    page.filled(&shape, style::INK);
    page.text(left + SIZE, y + 4.0, "north", style::PLAIN, Anchor::Start);
}
