//! Farwheel simulates the flush of a vehicle's brake hydraulics.

pub mod fluid;
pub mod job;
pub mod scenario;
