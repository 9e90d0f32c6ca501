//! The part of the review's JSON on the pitch.

use serde::Serialize;

use super::parts::{Interval, QUANTITY_DECIMALS, interval, quantity};
use crate::measured::Measured;
use crate::pitch::{self, Part, Source, zones};
use crate::session::Session;

#[derive(Serialize)]
pub(super) struct Pitch<'a> {
    length_m: Option<f64>,
    width_m: Option<f64>,
    source: &'static str,
    name: Option<&'a str>,
    centre_x_m: Option<Interval>,
    centre_y_m: Option<Interval>,
    touchline_deg: Option<Interval>,
    way_known: bool,
    thirds: Vec<PartOf>,
    channels: Vec<PartOf>,
    halves: Vec<PartOf>,
    outside: PartOf,
}

#[derive(Serialize)]
struct PartOf {
    time_s: Option<f64>,
    distance_m: Option<f64>,
}

impl<'a> Pitch<'a> {
    /// Of a session; `None` where no pitch is known.
    pub(super) fn of(session: &'a Session) -> Option<Self> {
        let pitch = session.pitch.as_ref()?;
        let zones = zones(&session.motion, pitch);
        let parts = |parts: &[Part]| parts.iter().map(PartOf::of).collect();
        let near = |value: f64, sd: f64| interval(Measured::normal(value, sd), QUANTITY_DECIMALS);
        Some(Self {
            length_m: quantity(pitch.size.length_m),
            width_m: quantity(pitch.size.width_m),
            source: word(&pitch.source),
            name: match &pitch.source {
                Source::Kept(name) => Some(name),
                _ => None,
            },
            centre_x_m: near(pitch.centre_m[0], pitch.centre_sd_m),
            centre_y_m: near(pitch.centre_m[1], pitch.centre_sd_m),
            touchline_deg: near(pitch.turn_rad.to_degrees(), pitch.turn_sd_rad.to_degrees()),
            way_known: false,
            thirds: parts(&zones.thirds),
            channels: parts(&zones.channels),
            halves: parts(&zones.halves),
            outside: PartOf::of(&zones.outside),
        })
    }
}

fn word(source: &pitch::Source) -> &'static str {
    match source {
        Source::Corners => "corners",
        Source::Kept(_) => "kept",
        Source::Fitted => "fitted",
        Source::Laps => "laps",
    }
}

impl PartOf {
    fn of(part: &Part) -> Self {
        Self {
            time_s: quantity(part.time_s),
            distance_m: quantity(part.distance_m),
        }
    }
}
