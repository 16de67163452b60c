//! Many jobs: each study by the library and by its verb.

#[path = "../common/mod.rs"]
mod common;

mod agree;
mod class;
mod compare_verb;
mod decides;
mod fleet;
mod flips_and_reach;
mod layouts;
mod learn;
mod orders;
mod plan;
mod pressures;
mod spread;
mod statistics;
