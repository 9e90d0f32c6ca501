//! Values from outside, each with its source beside it.

mod earth;
mod filters;
mod kalman;
