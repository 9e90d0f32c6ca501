//! Bounds: what is no rep at all, so that nobody has to weigh it.

use crate::review::items::Item;

/// Work that takes longer than expected by so many standard deviations is none of it.
const LONGEST: f64 = 2.5;
/// Less than this share of the planned work is none of it, and so is more than that.
pub(super) const LEAST_SHARE: f64 = 0.3;
const MOST_SHARE: f64 = 1.4;
/// A pairing dearer than this is not considered.
pub(super) const DEAREST_PAIR: f64 = 16.0;
/// Shorter work than this is none, s.
pub(super) const SHORTEST_S: f64 = 0.3;

/// Whether a share of the planned work, with the standard deviation of its logarithm, may be a rep.
pub(super) fn allows_share(share: f64, sd: f64) -> bool {
    !(share < LEAST_SHARE || share > MOST_SHARE.max((3.2 * sd).exp()))
}

/// Whether a rep of an item may take so long, s, where none takes longer than this by its pace alone, as a logarithm.
pub(super) fn allows_time(item: &Item, time_s: f64, by_pace: Option<f64>) -> bool {
    let longest = by_pace.map_or_else(
        || LONGEST * item.work.sd.max(0.12),
        |slower| (LONGEST * item.work.sd).max(slower),
    );
    (time_s / item.work.value).ln() <= longest
}
