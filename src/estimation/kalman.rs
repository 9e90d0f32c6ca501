//! A linear Gaussian state: prediction and update.

use nalgebra::{SMatrix, SVector};

/// What is believed of a state of `N` components along `M` axes that share one covariance.
///
/// East and north are measured with the same errors and move by the same rules, so that one covariance and one gain
/// serve both: the means stand side by side as columns.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Belief<const N: usize, const M: usize> {
    /// One column an axis.
    pub(crate) mean: SMatrix<f64, N, M>,
    /// The covariance of each column.
    pub(crate) covariance: SMatrix<f64, N, N>,
}

/// How a state moves over one step: `x' = F x + w`, `w ~ N(0, Q)`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Transition<const N: usize> {
    /// The transition matrix F.
    pub(crate) f: SMatrix<f64, N, N>,
    /// The covariance Q of what is added.
    pub(crate) q: SMatrix<f64, N, N>,
}

/// What an observation said that the prediction did not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Innovation<const M: usize> {
    /// Observed less predicted, one an axis.
    pub(crate) residual: SMatrix<f64, 1, M>,
    /// Its variance along each axis, S = H P H' + R.
    pub(crate) variance: f64,
}

impl<const M: usize> Innovation<M> {
    /// The normalised innovation squared, chi-squared with `M` degrees of freedom when the model holds.
    #[must_use]
    pub(crate) fn normalised_squared(&self) -> f64 {
        self.residual.norm_squared() / self.variance
    }
}

/// Carries a belief over one step.
///
/// # References
/// Kalman (1960), A new approach to linear filtering and prediction problems, J Basic Eng 82:35.
#[must_use]
#[inline]
pub(crate) fn predict<const N: usize, const M: usize>(
    belief: &Belief<N, M>,
    step: &Transition<N>,
) -> Belief<N, M> {
    Belief {
        mean: step.f * belief.mean,
        covariance: step.f * belief.covariance * step.f.transpose() + step.q,
    }
}

/// Takes in an observation of the first component with error variance `r`.
///
/// The covariance is kept symmetric by construction, P - K S K', and positive because `r` is: the first component's
/// variance falls by the factor r / S and no other by more than the correlation allows.
#[must_use]
#[inline]
pub(crate) fn update<const N: usize, const M: usize>(
    belief: &Belief<N, M>,
    observed: &SMatrix<f64, 1, M>,
    r: f64,
) -> (Belief<N, M>, Innovation<M>) {
    let variance = belief.covariance[(0, 0)] + r;
    let column: SVector<f64, N> = belief.covariance.column(0).into_owned();
    let gain = column / variance;
    let residual = observed - belief.mean.row(0);
    let updated = Belief {
        mean: belief.mean + gain * residual,
        covariance: belief.covariance - gain * column.transpose(),
    };
    (updated, Innovation { residual, variance })
}
