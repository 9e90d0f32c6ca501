//! The elements of a track point that are read, by local name.

use quick_xml::events::BytesStart;

use crate::trace::candidate::{Candidate, Field, geodetic};
use crate::trace::defect::Reason;
use crate::trace::number;
use crate::trace::time::{Fault, Moment, date_time, offset};

/// Longest text of a field that is looked at, bytes; none that means something comes near.
pub(super) const FIELD: usize = 256;

/// A point as read, or why it is none, and its line.
pub(super) type Closed = Result<Candidate, (Reason, u64)>;

/// What a child of a track point says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Element {
    Time,
    Elevation,
    Speed,
    Course,
    HeartRate,
    Cadence,
    Hdop,
    Satellites,
    Fix,
}

/// Attributes looked at before a tag is given up; GPX points have two.
const ATTRIBUTES: usize = 64;

/// The element of a local name; `extension` when it stands inside `extensions`, where only motion and body are read.
///
/// ## Units
/// GPX 1.0 has speed in m/s and course in degrees as children of the point; extensions of all writers known follow it.
pub(super) fn element(local: &str, extension: bool) -> Option<Element> {
    // Lower case is what GPX has; other spellings come in extensions only.
    let plain = match local {
        "time" if !extension => Some(Element::Time),
        "ele" if !extension => Some(Element::Elevation),
        "fix" if !extension => Some(Element::Fix),
        "speed" => Some(Element::Speed),
        "course" | "bearing" | "heading" => Some(Element::Course),
        "hr" | "heartrate" | "heart_rate" => Some(Element::HeartRate),
        "cad" | "cadence" => Some(Element::Cadence),
        "hdop" => Some(Element::Hdop),
        "sat" => Some(Element::Satellites),
        _ => None,
    };
    if plain.is_some() || local.len() > 16 || !local.bytes().any(|b| b.is_ascii_uppercase()) {
        return plain;
    }
    element(&local.to_ascii_lowercase(), extension)
}

/// A track point while its children are read.
#[derive(Debug)]
pub(super) struct Point {
    candidate: Candidate,
    no_fix: bool,
}

impl Point {
    /// A point with the position that the tag gives.
    pub(super) fn open(tag: &BytesStart<'_>, line: u64) -> Self {
        let (mut latitude, mut longitude) = (Field::Absent, Field::Absent);
        let mut attributes = tag.attributes();
        attributes.with_checks(false);
        for attribute in attributes.take(ATTRIBUTES) {
            // A tag that breaks off the rules keeps what stood before.
            let Ok(attribute) = attribute else { break };
            let field = match attribute.key.local_name().into_inner() {
                "lat" => &mut latitude,
                "lon" => &mut longitude,
                _ => continue,
            };
            if *field == Field::Absent {
                *field = self::field(&attribute.value);
            }
        }
        Self::at(latitude, longitude, line)
    }

    /// A point of which latitude and longitude were read.
    pub(super) fn at(latitude: Field, longitude: Field, line: u64) -> Self {
        let mut candidate = Candidate::on(line);
        candidate.position = match geodetic(latitude, longitude) {
            Ok(None) => Err(Reason::HalfPosition),
            other => other,
        };
        Self {
            candidate,
            no_fix: false,
        }
    }

    /// Takes in the text of a child. What GPX itself defines goes before an extension, and the first before a second.
    pub(super) fn set(&mut self, element: Element, text: &str, extension: bool) {
        match element {
            Element::Time => self.set_time(text, |text| date_time(text, None)),
            Element::Fix => self.no_fix |= text.trim_ascii() == "none",
            number => self.set_number(number, field(text), extension),
        }
    }

    /// The same of an element that is a number, which was read; of the others nothing.
    pub(super) fn set_number(&mut self, element: Element, value: Field, extension: bool) {
        let c = &mut self.candidate;
        let field = match element {
            Element::Time | Element::Fix => return,
            Element::Elevation => &mut c.elevation_m,
            Element::Speed => &mut c.speed_m_s,
            Element::Course => &mut c.course_deg,
            Element::HeartRate => &mut c.heart_rate_bpm,
            Element::Cadence => &mut c.cadence,
            Element::Hdop => &mut c.hdop,
            Element::Satellites => &mut c.satellites,
        };
        if *field == Field::Absent || !extension {
            *field = value;
        }
    }

    /// Takes in the text of the time, as `read` understands it; the first that is not empty counts.
    pub(super) fn set_time(
        &mut self,
        text: &str,
        read: impl FnOnce(&str) -> Result<Moment, Fault>,
    ) {
        let text = text.trim_ascii();
        if self.candidate.time == Err(Reason::NoTime) && !text.is_empty() {
            self.candidate.offset = offset(text);
            self.candidate.time = read(text).map_err(|fault| match fault {
                Fault::Range => Reason::TimeOutOfRange,
                Fault::Form | Fault::Order => Reason::BadTime,
            });
        }
    }

    /// The point as read.
    pub(super) fn close(self) -> Closed {
        if self.no_fix {
            return Err((Reason::NoFix, self.candidate.line));
        }
        Ok(self.candidate)
    }

    pub(super) fn line(&self) -> u64 {
        self.candidate.line
    }
}

/// What the text of a number says.
pub(super) fn field(text: &str) -> Field {
    match number::parse(text) {
        Some(value) => Field::Number(value),
        None if text.trim_ascii().is_empty() => Field::Absent,
        None => Field::Bad,
    }
}
