//! Farwheel simulates the flush of a vehicle's brake hydraulics.

pub mod flow;
pub mod job;
pub mod scenario;
