//! Many jobs: layouts side by side, each with the far wheel first and with the near wheel first; one job
//! over a range of pressures and with every supply; random draws over what is uncertain.
//!
//! [`ranking`] says which bleeder is far and which near, [`order`] puts a scenario's openings into
//! another order, [`verdict`] says whether two answers can be told apart. A study is one file on top of
//! these: [`layouts`], [`pressures`].

pub mod chance;
pub(crate) mod in_order;
pub mod job_card;
pub mod layouts;
pub mod lesson;
pub mod order;
pub mod orders;
pub mod plan;
pub mod pressures;
pub mod progress;
pub mod ranking;
pub(crate) mod shared;
pub mod spread;
mod syringe;
pub mod verdict;
