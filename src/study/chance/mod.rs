//! Chance: draws over what nobody knows exactly, and what can be said from them.
//!
//! [`unknowns`] finds a scenario's uncertain quantities, [`defaults`] gives
//! spreads to those for which it states none, [`draws`] makes the draws, [`shape`] turns them into values by way of [`normal`], [`summary`] and
//! [`sensitivity`] say what came out.

pub mod defaults;
pub mod draws;
pub mod normal;
pub mod sensitivity;
pub mod shape;
pub mod summary;
pub mod unknowns;
