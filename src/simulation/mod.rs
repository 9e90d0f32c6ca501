//! simulation
