//! Values by their rank, and the middle between them.
//!
//! By hand, since the selection of the standard library does it in linear time: a library of statistics would sort all. Where one
//! value that was measured is wanted it is [`median`] or [`of_share`]; where a few numbers are to be summed up, [`midpoint`].
//!
//! # References
//! Hyndman and Fan (1996), The American Statistician 50:361, doi:10.1080/00031305.1996.10473566: [`of_share`] is the inverse of
//! the empirical distribution, but for the upper value where two would do, [`midpoint`] its usual median.

/// The standard deviation of a normal distribution over the median of its absolute deviations, 1 / Φ⁻¹(3/4).
pub(crate) const MAD_TO_SD: f64 = 1.4826;

/// The value of a rank, from 0, the least; the order of `values` changes.
pub(crate) fn of_rank(values: &mut [f64], rank: usize) -> Option<f64> {
    (rank < values.len()).then(|| *values.select_nth_unstable_by(rank, f64::total_cmp).1)
}

/// The value below which a share of all lie, the share from 0 to 1; none of none. The order of `values` changes.
pub(crate) fn of_share(values: &mut [f64], share: f64) -> Option<f64> {
    let rank = (share * values.len() as f64) as usize;
    of_rank(values, rank.min(values.len().saturating_sub(1)))
}

/// The middle value, of an even number the upper of two; none of none.
pub(crate) fn median(mut values: Vec<f64>) -> Option<f64> {
    of_share(&mut values, 0.5)
}

/// The middle value, of an even number half-way between two; none of none.
pub(crate) fn midpoint(mut values: Vec<f64>) -> Option<f64> {
    let upper = median(values.clone())?;
    if values.len() % 2 == 1 {
        return Some(upper);
    }
    let below = values.len() / 2 - 1;
    of_rank(&mut values, below).map(|lower| f64::midpoint(lower, upper))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_median_is_a_value_that_is_there() {
        assert_eq!(median(vec![3.0, 1.0, 2.0]), Some(2.0));
        assert_eq!(median(vec![4.0, 1.0, 3.0, 2.0]), Some(3.0));
        assert_eq!(median(Vec::new()), None);
        assert_eq!(of_rank(&mut [2.0, 1.0], 2), None);
    }

    #[test]
    fn a_share_lies_below() {
        let mut values = [5.0, 1.0, 4.0, 2.0, 3.0];
        assert_eq!(of_share(&mut values, 0.0), Some(1.0));
        assert_eq!(of_share(&mut values, 0.2), Some(2.0));
        assert_eq!(of_share(&mut values, 1.0), Some(5.0));
        assert_eq!(of_share(&mut [], 0.5), None);
    }

    #[test]
    fn a_midpoint_is_not_moved_by_one_that_is_far_off() {
        assert_eq!(midpoint(vec![1.0, 2.0, 300.0]), Some(2.0));
        assert_eq!(midpoint(vec![3.0, 1.0]), Some(2.0));
        assert_eq!(midpoint(Vec::new()), None);
    }
}
