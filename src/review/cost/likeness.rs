//! What a bout looks like beside what is expected of a part of a rep: its pace, its peak, its shape and its place.

use super::bell::{bell, either};
use super::bounds::LEAST_SHARE;
use super::dose::end_s;
use super::legs::{leg_s, rhythm};
use super::quality::Quality;
use crate::bouts::Bout;
use crate::plan::Category;
use crate::review::items::{Item, Shuttle};

/// A rep taken easy: 1 in 50, slower by so much at least and at most, as a logarithm, its peak within this share of the usual one.
pub(super) const EASY: f64 = 4.0;
pub(super) const SLOWER: (f64, f64) = (0.05, 0.5);
const EASY_SD: f64 = 0.06;
/// A peak speed unlike any expected.
const PEAK_FLOOR: f64 = 4.0;
/// A place far from the reps before; laps have no place in common.
const PLACE_FLOOR: f64 = 3.5;
/// What a bout in the place of the rep before earns: of all the pitch, it is just there.
const SAME_PLACE: f64 = -1.5;
/// A shuttle whose length is off, or a straight run that turned round.
const SHAPE_FLOOR: f64 = 4.0;
/// Who walks into a rep or jogs on out of it changes its peak, shape and place all at once: together they cost no more.
const MOST_UNLIKE: f64 = 5.0;

/// The time of a bout beside the share of a length that was run in it: the time must suit the length, at whatever share of it.
pub(super) struct Pace {
    /// How much longer it took than expected, as a logarithm.
    slower: f64,
    /// What that costs who runs as usual.
    cost: f64,
}

impl Pace {
    pub(crate) fn of(item: &Item, time_s: f64, share: f64, quality: &Quality) -> Self {
        let expected_s = item.work.value * item.time_of_part(share.clamp(0.3, 1.5));
        let slower = (time_s / expected_s).ln();
        let sd = item.work.sd.hypot(quality.edge_sd_s / expected_s);
        Self {
            slower,
            cost: bell(slower / sd, PEAK_FLOOR),
        }
    }
}

/// What a bout looks like beside what is expected of a part of a rep: its pace where its way tells one, its peak, its shape and its place.
pub(super) fn unlike(
    item: &Item,
    bout: &Bout,
    quality: &Quality,
    pace: Option<&Pace>,
    part: f64,
) -> f64 {
    let peak_m_s = item.peak.value * item.peak_of_part(part);
    let peak_sd = item.peak.sd.hypot(quality.peak_sd_m_s);
    let peak = bell((bout.peak_m_s - peak_m_s) / peak_sd, PEAK_FLOOR);
    let elsewhere = shape(item, bout, quality, part) + place(item, bout, quality, part);
    let usual = (peak + elsewhere).min(MOST_UNLIKE);
    let Some(&Pace { slower, cost }) = pace else {
        return usual;
    };
    let usual = usual + cost;
    if slower < SLOWER.0 || slower > SLOWER.1 {
        return usual;
    }
    // Who takes it easy is slower by as much in his peak as in his time.
    let easy_m_s = peak_m_s * (-slower).exp();
    let off = (bout.peak_m_s - easy_m_s) / quality.peak_sd_m_s.hypot(EASY_SD * peak_m_s);
    let easy = EASY + 0.5 * off * off + elsewhere.min(MOST_UNLIKE);
    either(usual, easy)
}

/// The cost of a shape beside that of so large a part of a rep.
fn shape(item: &Item, bout: &Bout, quality: &Quality, part: f64) -> f64 {
    let Some(shape) = &bout.shape else {
        return 0.0;
    };
    match item.shuttle {
        Some(Shuttle { leg_m, legs }) => {
            let timed = || (end_s(item, bout) - bout.start_s) / leg_s(leg_m);
            let expected = legs.map_or_else(timed, |legs| part * legs);
            // Who turns back before the first line leaves a shorter way.
            let way_m = leg_m * expected.clamp(LEAST_SHARE, 1.0);
            let sd = 0.1_f64.hypot(quality.length_sd_m / way_m);
            let extent = bell((shape.extent_m / way_m).max(1e-3).ln() / sd, SHAPE_FLOOR);
            let turned = if expected >= 1.8 && shape.reversals() == 0 {
                SHAPE_FLOOR
            } else {
                0.0
            };
            extent + turned - rhythm(item, bout)
        }
        None if item.category == Category::Speed => {
            let straight = shape.net_m() / bout.path_m.max(0.1);
            bell((1.0 - straight).max(0.0) / 0.12, SHAPE_FLOOR)
        }
        None => 0.0,
    }
}

/// The cost of the place of so large a part of a rep, given where the others of its block were: the reps of a set share a lane.
fn place(item: &Item, bout: &Bout, quality: &Quality, part: f64) -> f64 {
    let (Some(usual), Some(shape)) = (item.place_m, &bout.shape) else {
        return 0.0;
    };
    // The middle of a straight run that ends before its line lies nearer to its start, by up to so much.
    let nearer_m = 0.5 * (1.0 - part) * item.straight_m().unwrap_or(0.0);
    let apart = (crate::bouts::distance(usual, shape.middle_m) - nearer_m).max(0.0);
    let sd = quality.place_sd_m.hypot(0.1 * shape.extent_m);
    SAME_PLACE + bell(apart / sd, PLACE_FLOOR)
}
