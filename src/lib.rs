//! Farwheel simulates the flush of a vehicle's brake hydraulics.

pub mod scenario;

pub mod fluid;

pub mod circuit;

pub mod flow;

pub mod transport;

pub mod supply;

pub mod job;
