//! The lines before the first block.

use jiff::civil::Date;

/// Header lines; all optional.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Header {
    /// `title:`
    pub title: Option<String>,
    /// `athlete:`
    pub athlete: Option<String>,
    /// `date:`
    pub date: Option<Date>,
    /// `match day:`
    pub match_day: Option<Date>,
    /// `pitch: 100 x 64 m`
    pub pitch: Option<PitchSize>,
    /// `top speed: 8.8 m/s`, in m/s.
    pub top_speed_m_s: Option<f64>,
    /// `paced: cues`: the sound track of the plan was played, so that all starts lie on one clock.
    pub paced_by_cues: bool,
}

/// The size of a pitch between the outer edges of its lines.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PitchSize {
    /// Along the touchline, m.
    pub length_m: f64,
    /// Along the goal line, m.
    pub width_m: f64,
}
