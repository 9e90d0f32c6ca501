//! Which change between two measurements can be told from their errors.

use crate::measured::Measured;

/// How a quantity changed from one measurement to another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// The later less the earlier, with its interval.
    pub difference: Measured,
    /// The smallest change that these two intervals would let one tell.
    pub smallest: f64,
    /// What can be said.
    pub direction: Direction,
}

/// What can be said of a change.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Direction {
    /// It rose.
    Up,
    /// It fell.
    Down,
    /// The intervals leave it open.
    Unclear,
}

/// The change between two independent measurements.
///
/// # Definition
/// The errors of the two add as squares. An interval need not be symmetric: what limits a rise is how far the later value
/// may lie lower and the earlier higher, and the other way round. `smallest` is the larger of the two limits, so that a
/// change beyond it can be told whichever way it goes. Errors that both measurements share, as of one receiver that
/// always reads low, cancel; the answer is then on the safe side.
///
/// # Units
/// Those of the two values.
///
/// # Examples
/// ```
/// use repledger::measured::Measured;
/// use repledger::profile::{Direction, change};
///
/// let spring = Measured::within(8.40, 8.10, 8.70);
/// let summer = Measured::within(8.70, 8.30, 9.10);
/// let change = change(spring, summer);
/// assert!((change.smallest - 0.5).abs() < 1e-12);
/// assert_eq!(change.direction, Direction::Unclear);
/// ```
///
/// # References
/// Weir (2005), J Strength Cond Res 19:231: the minimal difference is 1.96 sqrt(2) times the standard error of one
/// measurement, which this is when both have the same.
#[must_use]
pub fn change(earlier: Measured, later: Measured) -> Change {
    let difference = later.value - earlier.value;
    let below = (later.value - later.low).hypot(earlier.high - earlier.value);
    let above = (later.high - later.value).hypot(earlier.value - earlier.low);
    let difference = Measured::within(difference, difference - below, difference + above);
    Change {
        difference,
        smallest: below.max(above),
        direction: if difference.low > 0.0 {
            Direction::Up
        } else if difference.high < 0.0 {
            Direction::Down
        } else {
            Direction::Unclear
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Weir (2005), J Strength Cond Res 19:231: 1.96 x sqrt(2) x SEM; for 0.3 m/s (two units on one athlete, Hoppe et al.
    /// 2018) that is 0.8316 m/s.
    #[test]
    fn equal_errors_give_the_minimal_difference() {
        let found = change(Measured::normal(8.0, 0.3), Measured::normal(8.5, 0.3));
        assert!((found.smallest - 0.8316).abs() < 1e-4);
        assert_eq!(found.direction, Direction::Unclear);
    }

    #[test]
    fn a_change_is_told_exactly_beyond_the_smallest() {
        let earlier = Measured::within(8.0, 7.9, 8.3);
        let at = |value: f64| change(earlier, Measured::within(value, value - 0.4, value + 0.1));
        assert!((at(8.0).smallest - 0.5).abs() < 1e-12);
        assert_eq!(at(8.49).direction, Direction::Unclear);
        assert_eq!(at(8.51).direction, Direction::Up);
        // Downwards the facing half-widths are 0.1 and 0.1.
        assert_eq!(at(7.87).direction, Direction::Unclear);
        assert_eq!(at(7.85).direction, Direction::Down);
    }
}
