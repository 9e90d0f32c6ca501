//! Process models: how a point moves between observations.

use crate::estimation::kalman::Transition;
use crate::estimation::matrix::{Square, identity, plus, product, product_transposed, times};

/// A linear process in continuous time, x' = A x + g w with white w of unit spectral density.
///
/// A component is driven by itself and by later ones only: A is upper triangular, and so is every transition.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Process<const N: usize> {
    /// The drift matrix A, 1/s.
    pub(crate) a: Square<N>,
    /// Where the noise enters, g.
    pub(crate) g: [f64; N],
}

impl<const N: usize> Process<N> {
    /// The exact transition over `dt_s`, for unit spectral density; Q grows in proportion with the density.
    ///
    /// # Definition
    /// F = exp(A T), Q = ∫ exp(A s) g g' exp(A' s) ds over 0..T. Both are summed as Taylor series over a step so short
    /// that a dozen terms exhaust double precision, then doubled: F(2h) = F(h)², Q(2h) = Q(h) + F(h) Q(h) F(h)'.
    ///
    /// # References
    /// Van Loan (1978), Computing integrals involving the matrix exponential, IEEE Trans Autom Control 23:395 (from
    /// memory) for the pair; the doubling follows from splitting the integral.
    #[must_use]
    pub(crate) fn over(&self, dt_s: f64) -> Transition<N> {
        let column = |j: usize| self.a.iter().map(|row| row[j].abs()).sum::<f64>();
        let size = (0..N).map(column).fold(0.0, f64::max) * dt_s.abs();
        let doublings = if size > 0.25 {
            (size / 0.25).log2().ceil() as u32
        } else {
            0
        };
        let h = dt_s / f64::from(1_u32 << doublings.min(30));
        let mut f = identity();
        let mut power = f;
        // The integrand's derivatives at 0 follow d/ds Y = A Y + Y A'.
        let mut slope = self.g.map(|a| self.g.map(|b| a * b));
        let mut q = times(&slope, h);
        let mut weight = h;
        for k in 1..=14_u32 {
            power = times(&product(&power, &self.a), h / f64::from(k));
            f = plus(&f, &power, 1.0);
            slope = plus(
                &product(&self.a, &slope),
                &product_transposed(&slope, &self.a),
                1.0,
            );
            weight *= h / f64::from(k + 1);
            q = plus(&q, &slope, weight);
        }
        for _ in 0..doublings.min(30) {
            q = plus(&q, &product_transposed(&product(&f, &q), &f), 1.0);
            f = product(&f, &f);
        }
        Transition { f, q }
    }
}

/// Acceleration that fades with time constant `fade_s` (Singer's model); state [x, v, a].
///
/// # References
/// Singer (1970), Estimating optimal tracking filter performance for manned maneuvering targets, IEEE Trans Aerosp
/// Electron Syst 6:473 (from memory).
#[must_use]
pub(crate) fn singer(fade_s: f64) -> Process<3> {
    Process {
        a: [[0.0, 1.0, 0.0], [0.0, 0.0, 1.0], [0.0, 0.0, -1.0 / fade_s]],
        g: [0.0, 0.0, 1.0],
    }
}

/// As [`singer`], seen through a receiver that follows the position with a first-order lag; state [x seen, x, v, a].
#[must_use]
pub(crate) fn lagged_singer(lag_s: f64, fade_s: f64) -> Process<4> {
    let k = 1.0 / lag_s;
    Process {
        a: [
            [-k, k, 0.0, 0.0],
            [0.0, 0.0, 1.0, 0.0],
            [0.0, 0.0, 0.0, 1.0],
            [0.0, 0.0, 0.0, -1.0 / fade_s],
        ],
        g: [0.0, 0.0, 0.0, 1.0],
    }
}

/// Speed whose acceleration fades with time constant `fade_s`, seen through a first-order lag of `lag_s`; state
/// [v seen, v, a]: [`lagged_singer`] without the position.
#[must_use]
pub(crate) fn lagged_fading_acceleration(lag_s: f64, fade_s: f64) -> Process<3> {
    let k = 1.0 / lag_s;
    Process {
        a: [[-k, k, 0.0], [0.0, 0.0, 1.0], [0.0, 0.0, -1.0 / fade_s]],
        g: [0.0, 0.0, 1.0],
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn two_half_steps_are_one_whole_step() {
        let process = lagged_singer(1.1, 0.8);
        let (half, whole) = (process.over(0.5), process.over(1.0));
        let f = product(&half.f, &half.f);
        let q = plus(
            &half.q,
            &product_transposed(&product(&half.f, &half.q), &half.f),
            1.0,
        );
        for (ours, theirs) in [(f, whole.f), (q, whole.q)] {
            let apart = plus(&ours, &theirs, -1.0);
            assert!(apart.iter().flatten().all(|x| x.abs() < 1e-12));
        }
    }
}
