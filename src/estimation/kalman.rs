//! A linear Gaussian state: prediction and update.

#![expect(
    clippy::needless_range_loop,
    reason = "the indices are those of the formulae, and sizes are known when this is compiled"
)]

use crate::estimation::matrix::{Square, symmetric};
use crate::estimation::squared;

/// What is believed of a state of `N` components along `M` axes that share one covariance.
///
/// East and north are measured with the same errors and move by the same rules, so that one covariance and one gain
/// serve both: the means stand side by side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Belief<const N: usize, const M: usize> {
    /// Each component along all axes.
    pub(crate) mean: [[f64; M]; N],
    /// The covariance along each axis; on and above the diagonal.
    pub(crate) covariance: Square<N>,
}

/// How a state moves over one step: `x' = F x + w`, `w ~ N(0, Q)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Transition<const N: usize> {
    /// The transition matrix F, upper triangular.
    pub(crate) f: Square<N>,
    /// The covariance Q of what is added, for unit spectral density.
    pub(crate) q: Square<N>,
}

/// What an observation said that the prediction did not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Innovation<const M: usize> {
    /// Observed less predicted, along each axis.
    pub(crate) residual: [f64; M],
    /// Its variance along each axis, S = H P H' + R.
    pub(crate) variance: f64,
}

impl<const M: usize> Innovation<M> {
    /// The normalised innovation squared, chi-squared with `M` degrees of freedom when the model holds.
    #[must_use]
    #[inline]
    pub(crate) fn normalised_squared(&self) -> f64 {
        squared(&self.residual) / self.variance
    }
}

/// Carries a belief over one step of a process whose noise has a spectral density.
///
/// # References
/// Kalman (1960), A new approach to linear filtering and prediction problems, J Basic Eng 82:35.
#[must_use]
#[inline]
pub(crate) fn predict<const N: usize, const M: usize>(
    belief: &Belief<N, M>,
    step: &Transition<N>,
    density: f64,
) -> Belief<N, M> {
    let Transition { f, q } = step;
    let p = &belief.covariance;
    let mut mean = [[0.0; M]; N];
    let mut fp = [[0.0; N]; N];
    let mut covariance = [[0.0; N]; N];
    // F is upper triangular and P symmetric: only what is not zero and not known already is worked out.
    for i in 0..N {
        for k in i..N {
            for axis in 0..M {
                mean[i][axis] += f[i][k] * belief.mean[k][axis];
            }
            for j in i..N {
                fp[i][j] += f[i][k] * symmetric(p, k, j);
            }
        }
    }
    for i in 0..N {
        for j in i..N {
            covariance[i][j] = q[i][j] * density;
            for k in j..N {
                covariance[i][j] += fp[i][k] * f[j][k];
            }
        }
    }
    Belief { mean, covariance }
}

/// Takes in an observation of the first component with error variance `r`.
///
/// The covariance is kept symmetric by construction, P - K S K', and positive because `r` is: the first component's
/// variance falls by the factor r / S and no other by more than the correlation allows.
#[must_use]
#[inline]
pub(crate) fn update<const N: usize, const M: usize>(
    belief: &Belief<N, M>,
    observed: &[f64; M],
    r: f64,
) -> (Belief<N, M>, Innovation<M>) {
    let column = belief.covariance[0];
    let variance = column[0] + r;
    let gain = column.map(|c| c / variance);
    let residual = std::array::from_fn(|axis| observed[axis] - belief.mean[0][axis]);
    let mut updated = *belief;
    for i in 0..N {
        for axis in 0..M {
            updated.mean[i][axis] += gain[i] * residual[axis];
        }
        for j in i..N {
            updated.covariance[i][j] -= gain[i] * column[j];
        }
    }
    (updated, Innovation { residual, variance })
}
