//! Values from outside, each with its source beside it.

mod filters;
mod kalman;
