//! Search by halving.

/// The highest value of a span for which something holds, or less by no more than so many halvings leave of the span. It must hold for the
/// lower end, and for nothing above a value for which it does not.
pub(crate) fn highest(
    (mut low, mut high): (f64, f64),
    halvings: usize,
    holds: impl Fn(f64) -> bool,
) -> f64 {
    for _ in 0..halvings {
        let middle = f64::midpoint(low, high);
        if holds(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    low
}

#[cfg(test)]
mod tests {
    use super::highest;

    #[test]
    fn it_stays_below_by_no_more_than_the_last_span() {
        let root = highest((0.0, 4.0), 20, |x| x * x <= 2.0);
        assert!(root <= 2.0_f64.sqrt() && 2.0_f64.sqrt() - root <= 4.0 / f64::from(1 << 20));
        assert_eq!(highest((1.0, 2.0), 8, |_| false), 1.0);
    }
}
