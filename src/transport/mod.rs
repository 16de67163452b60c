//! What moves: histories and lanes in lines, stages and pockets in chambers, mixing where paths meet.
//!
//! Amounts are m³ · composition; a composition is one row of [`Species`](crate::circuit::species::Species).

pub mod chamber;
pub mod course;
pub mod grain;
pub mod grid;
pub mod history;
pub mod lanes;
pub mod leg;
pub mod reservoir;
pub mod snapshot;
pub mod system;
pub mod tube;
