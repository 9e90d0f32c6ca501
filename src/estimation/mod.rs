//! estimation
