//! The fixed-interval smoother, in the form of Bryson and Frazier.
//!
//! It gives what that of Rauch, Tung and Striebel gives, and inverts nothing: what the later observations say goes back through the
//! series as an adjoint state of its own, and each belief is corrected by it. Where only a part of a smoothed belief is wanted, only that is
//! worked out.

#![expect(
    clippy::needless_range_loop,
    reason = "the indices are those of the formulae, and sizes are known when this is compiled"
)]

use crate::estimation::kalman::{Belief, Innovation, Transition};
use crate::estimation::matrix::{Square, symmetric};

/// What all observations after a node say of it: by how much its mean, and by how much its covariance, is to be corrected.
///
/// # Definition
/// Behind the last node both are 0. An observation with gain K, innovation e and its variance S makes λ into (I - K H)' λ - H' e / S and Λ
/// into (I - K H)' Λ (I - K H) + H' H / S; a step back over F makes them F' λ and F' Λ F.
///
/// # References
/// Bierman (1973), Fixed interval smoothing with discrete measurements, Int J Control 18:65; Rauch, Tung, Striebel (1965), Maximum
/// likelihood estimates of linear dynamic systems, AIAA J 3:1445 (both from memory).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Adjoint<const N: usize, const M: usize> {
    /// λ, each component along all axes.
    mean: [[f64; M]; N],
    /// Λ, on and above the diagonal.
    information: Square<N>,
}

impl<const N: usize, const M: usize> Adjoint<N, M> {
    /// Behind the last node nothing more is said.
    pub(crate) fn last() -> Self {
        Self {
            mean: [[0.0; M]; N],
            information: [[0.0; N]; N],
        }
    }

    /// Goes back over the observation of a node with error variance `r`, which left `filtered`.
    #[inline]
    pub(crate) fn before_observation(
        &mut self,
        filtered: &Belief<N, M>,
        innovation: &Innovation<M>,
        r: f64,
    ) {
        // After the update the first column of the covariance is the gain times r.
        let gain = filtered.covariance[0].map(|c| c / r);
        let mut said = [0.0; N];
        for j in 0..N {
            for k in 0..N {
                said[j] += symmetric(&self.information, j, k) * gain[k];
            }
        }
        // H is the first component alone, so that only first rows change.
        // The corner takes off what it says itself twice, and the loop does so once.
        let mut corner = 1.0 / innovation.variance - said[0];
        for k in 0..N {
            corner += gain[k] * said[k];
            self.information[0][k] -= said[k];
        }
        self.information[0][0] += corner;
        for axis in 0..M {
            let mut off = innovation.residual[axis] / innovation.variance;
            for k in 0..N {
                off += gain[k] * self.mean[k][axis];
            }
            self.mean[0][axis] -= off;
        }
    }

    /// Goes back over the step that leads to a node.
    #[inline]
    pub(crate) fn before_step(&mut self, step: &Transition<N>) {
        let f = &step.f;
        let mut mean = [[0.0; M]; N];
        let mut by_f = [[0.0; N]; N];
        let mut information = [[0.0; N]; N];
        for k in 0..N {
            for i in k..N {
                for axis in 0..M {
                    mean[i][axis] += f[k][i] * self.mean[k][axis];
                }
                for j in 0..=i {
                    by_f[j][i] += symmetric(&self.information, j, k) * f[k][i];
                }
            }
        }
        for i in 0..N {
            for j in i..N {
                for k in 0..=i {
                    information[i][j] += f[k][i] * by_f[k][j];
                }
            }
        }
        *self = Self { mean, information };
    }

    /// A node as all observations tell it, where this is what the later ones say and `filtered` what those up to it say.
    #[inline]
    pub(crate) fn smoothed<'a>(&'a self, filtered: &'a Belief<N, M>) -> Smoothed<'a, N, M> {
        Smoothed {
            filtered,
            later: self,
        }
    }
}

/// What all observations say of a node.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Smoothed<'a, const N: usize, const M: usize> {
    filtered: &'a Belief<N, M>,
    later: &'a Adjoint<N, M>,
}

impl<const N: usize, const M: usize> Smoothed<'_, N, M> {
    /// The mean of a component along each axis, x - P λ.
    #[inline]
    pub(crate) fn mean(&self, component: usize) -> [f64; M] {
        let mut mean = self.filtered.mean[component];
        for k in 0..N {
            let p = symmetric(&self.filtered.covariance, component, k);
            for axis in 0..M {
                mean[axis] -= p * self.later.mean[k][axis];
            }
        }
        mean
    }

    /// The variance of a component along each axis.
    #[inline]
    pub(crate) fn variance(&self, component: usize) -> f64 {
        self.covariance(component, component)
    }

    /// The covariance of two components along each axis, of P - P Λ P.
    #[inline]
    pub(crate) fn covariance(&self, i: usize, j: usize) -> f64 {
        let p = &self.filtered.covariance;
        let mut covariance = symmetric(p, i, j);
        for k in 0..N {
            let mut said = 0.0;
            for l in 0..N {
                said += symmetric(&self.later.information, k, l) * symmetric(p, l, j);
            }
            covariance -= symmetric(p, i, k) * said;
        }
        covariance
    }
}
