//! Places on the earth (WGS 84) and the local plane in which everything else is done.

mod local;

pub use local::{Degrees, LocalFrame};
