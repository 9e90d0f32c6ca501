//! The fixed-interval smoother of Rauch, Tung and Striebel.

use crate::estimation::kalman::{self, Belief, Transition};

/// One step back: the belief at `k` given everything, from the filtered belief at `k`, the prediction from it, and the
/// smoothed belief at `k + 1`.
///
/// Where the prediction's covariance is singular to rounding the filtered belief is returned as it is.
///
/// # Definition
/// C = P F' P⁻¹(k+1|k), x = x(k|k) + C (x(k+1|N) - x(k+1|k)), P = P(k|k) + C (P(k+1|N) - P(k+1|k)) C'.
///
/// # References
/// Rauch, Tung, Striebel (1965), Maximum likelihood estimates of linear dynamic systems, AIAA J 3:1445 (from memory).
#[must_use]
#[inline]
fn step_back<const N: usize, const M: usize>(
    filtered: &Belief<N, M>,
    predicted_next: &Belief<N, M>,
    smoothed_next: &Belief<N, M>,
    step: &Transition<N>,
) -> Belief<N, M> {
    let Some(cholesky) = predicted_next.covariance.cholesky() else {
        return *filtered;
    };
    let gain = cholesky.solve(&(step.f * filtered.covariance)).transpose();
    let covariance = filtered.covariance
        + gain * (smoothed_next.covariance - predicted_next.covariance) * gain.transpose();
    Belief {
        mean: filtered.mean + gain * (smoothed_next.mean - predicted_next.mean),
        // Rounding leaves the two halves apart by the last bits; the next Cholesky reads only one of them.
        covariance: (covariance + covariance.transpose()) * 0.5,
    }
}

/// Smooths a whole series in place: `beliefs` are the filtered ones on the way in and the smoothed ones on the way out.
///
/// `step(k)` is the transition from `k - 1` to `k`. The predictions are worked out again, which is cheaper than to keep them.
#[inline]
pub(crate) fn smooth<const N: usize, const M: usize>(
    beliefs: &mut [Belief<N, M>],
    step: impl Fn(usize) -> Transition<N>,
) {
    for k in (1..beliefs.len()).rev() {
        let step = step(k);
        let predicted = kalman::predict(&beliefs[k - 1], &step);
        beliefs[k - 1] = step_back(&beliefs[k - 1], &predicted, &beliefs[k], &step);
    }
}
