//! The part of the review's JSON on the pitch.

use schemars::JsonSchema;
use serde::Serialize;

use crate::measured::Measured;
use crate::pitch::{self, Part, Source, zones};
use crate::report::parts::{Interval, QUANTITY_DECIMALS, interval, quantity};
use crate::report::words::word_for;
use crate::session::Session;

/// The pitch under the session.
#[derive(Serialize, JsonSchema)]
pub(super) struct Pitch<'a> {
    /// Along the touchline, m.
    length_m: Option<f64>,
    /// Along the goal line, m.
    width_m: Option<f64>,
    /// How it is known: from its corners, kept earlier, laid where it fits the motion, or from laps around it.
    #[schemars(extend("enum" = SOURCES))]
    source: &'static str,
    /// What it is kept as.
    name: Option<&'a str>,
    /// Its centre mark in the metres of the session, m east (or x).
    centre_x_m: Option<Interval>,
    /// The same north (or y), m.
    centre_y_m: Option<Interval>,
    /// Direction of the touchlines, anticlockwise from east (or x), degrees from 0 up to 180.
    touchline_deg: Option<Interval>,
    /// Whether it is known which goal is which; it never is.
    #[schemars(extend("const" = false))]
    way_known: bool,
    /// Time and distance by thirds along the touchline, in the direction of `touchline_deg`.
    thirds: Vec<PartOf>,
    /// The same by thirds across, from right to left of that direction.
    channels: Vec<PartOf>,
    /// The same before and beyond the halfway line.
    halves: Vec<PartOf>,
    /// The same well outside the lines.
    outside: PartOf,
}

/// One part of the pitch.
#[derive(Serialize, JsonSchema)]
struct PartOf {
    /// Time there, s.
    time_s: Option<f64>,
    /// Distance moved there, m.
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

word_for! {
    word(&pitch::Source) in SOURCES {
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
