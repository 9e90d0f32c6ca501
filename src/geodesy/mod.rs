//! geodesy
