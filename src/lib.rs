//! Farwheel simulates the flush of a vehicle's brake hydraulics.

pub mod scenario;

pub mod fluid;

pub mod circuit;

pub mod flow;

pub mod transport;

pub mod supply;

pub mod job;

#[cfg(feature = "pictures")]
pub mod plot;

#[cfg(feature = "program")]
pub mod report;

#[cfg(all(feature = "program", feature = "pictures"))]
pub mod commands;
