//! Estimation: turns noisy observations into states with covariances; the mathematics only, with no word of football.
//!
//! How a point moves between observations is a process model ([`kinematic`]); the Kalman filter ([`kalman`]) goes through
//! the observations forwards, the smoother ([`adjoint`]) back, both on small matrices ([`matrix`]). Beside them stand two filters of plain
//! series, [`butterworth`] and [`savitzky_golay`], values by their rank ([`quantile`]), a search by halving ([`halving`]), the
//! normal distribution ([`normal`]) and Student's ([`student`]). Units are the caller's, consistent among themselves; times are in s.

pub(crate) mod adjoint;
pub(crate) mod butterworth;
mod collected;
pub(crate) mod halving;
pub(crate) mod kalman;
pub(crate) mod kinematic;
pub(crate) mod matrix;
pub(crate) mod normal;
pub(crate) mod quantile;
#[cfg(test)]
mod reference;
pub(crate) mod savitzky_golay;
pub(crate) mod student;
mod vector;

pub(crate) use collected::collected;
pub(crate) use vector::{length, squared};
