//! Places on the earth (WGS 84) and the local plane in which everything else is done.

mod local;

pub(crate) use local::short_way_deg;
pub use local::{Degrees, LocalFrame};
