//! Estimation: the mathematics only, with no word of football.

pub mod butterworth;
pub mod kalman;
pub mod kinematic;
pub mod rts;
pub mod savitzky_golay;
