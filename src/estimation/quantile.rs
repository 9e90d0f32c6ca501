//! Values by their rank.
//!
//! By hand, since the selection of the standard library does it in linear time: a library of statistics would sort all, and
//! interpolate between two values where one that was measured is wanted.

/// The value of a rank, from 0, the least; the order of `values` changes.
pub(crate) fn of_rank(values: &mut [f64], rank: usize) -> Option<f64> {
    (rank < values.len()).then(|| *values.select_nth_unstable_by(rank, f64::total_cmp).1)
}

/// The middle value, of an even number the upper of two; none of none.
pub(crate) fn median(mut values: Vec<f64>) -> Option<f64> {
    let middle = values.len() / 2;
    of_rank(&mut values, middle)
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
}
