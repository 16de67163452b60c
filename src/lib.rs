//! Farwheel simulates the flush of a vehicle's brake hydraulics.

pub mod circuit;
pub mod job;
pub mod scenario;
pub mod supply;
pub mod transport;
