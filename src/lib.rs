//! Farwheel simulates the flush of a vehicle's brake hydraulics.

pub mod job;
pub mod report;
pub mod scenario;
