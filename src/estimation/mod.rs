//! Estimation: turns noisy observations into states with covariances; the mathematics only, with no word of football.
//!
//! How a point moves between observations is a process model ([`kinematic`]); the Kalman filter ([`kalman`]) goes through
//! the observations forwards, the Rauch-Tung-Striebel smoother ([`rts`]) back. Beside them stand two filters of plain
//! series, [`butterworth`] and [`savitzky_golay`]. Units are the caller's, consistent among themselves; times are in s.

pub(crate) mod butterworth;
pub(crate) mod kalman;
pub(crate) mod kinematic;
pub(crate) mod quantile;
#[cfg(test)]
mod reference;
pub(crate) mod rts;
pub(crate) mod savitzky_golay;
