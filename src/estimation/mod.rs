//! Estimation: turns noisy observations into states with covariances; the mathematics only, with no word of football.
//!
//! How a point moves between observations is a process model ([`kinematic`]); the Kalman filter ([`kalman`]) goes through
//! the observations forwards, the Rauch-Tung-Striebel smoother ([`rts`]) back. Beside them stand two filters of plain
//! series, [`butterworth`] and [`savitzky_golay`]. Units are the caller's, consistent among themselves; times are in s.

pub mod butterworth;
pub mod kalman;
pub mod kinematic;
pub(crate) mod quantile;
pub mod rts;
pub mod savitzky_golay;
