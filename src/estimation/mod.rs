//! The mathematics of smoothing: nothing here knows what the numbers mean.

pub mod butterworth;
pub mod savitzky_golay;
