//! Lengths of vectors.

/// The length of a vector with components between 1e-150 and 1e150, as metres of a pitch are: a fifth of the work of `hypot`, which minds
/// all others.
#[inline]
pub(crate) fn length(x: f64, y: f64) -> f64 {
    (x * x + y * y).sqrt()
}

/// The square of a vector's length.
#[inline]
pub(crate) fn squared<const M: usize>(vector: &[f64; M]) -> f64 {
    vector.iter().map(|x| x * x).sum()
}
