//! Many jobs: layouts side by side, each with the far wheel first and with the near wheel first; one job
//! over a range of pressures and with every supply; random draws over what is uncertain.
//!
//! [`ranking`] says which bleeder is far and which near, [`order`] puts a scenario's openings into
//! another order, [`difference`] says whether two answers can be told apart. A study is one file or folder on top of
//! these: [`layouts`], [`pressures`]. Each takes its scenario, its own `Question` if there is anything to ask, the
//! [`Options`] of its jobs and, if it can end early, an [`Onlooker`](progress::Onlooker); each fails with a
//! [`StudyError`].

pub mod chance;
pub mod class;
pub mod compare;
pub mod controls;
pub mod decides;
pub mod difference;
mod error;
pub mod flips;
pub mod guesses;
pub(crate) mod in_order;
pub mod job_card;
pub mod layouts;
pub mod learn;
pub mod modulator;
pub mod order;
pub mod orders;
pub mod plan;
pub mod pressures;
pub mod progress;
pub mod ranking;
pub mod reach;
pub mod scheme;
pub(crate) mod shared;
pub mod split;
pub mod spread;
pub mod standard;
mod syringe;
mod tried_orders;

pub use error::{Miss, StudyError};

use crate::job::options::Options;

/// These options for many jobs of which only the sums are asked for, as [`Options::for_sums`] has it.
fn for_sums(options: &Options) -> Options {
    let Options { origins, estimate_error, endless, detail, .. } = Options::for_sums(0);
    Options { origins, estimate_error, endless, detail, ..options.clone() }
}

/// These options for many draws of such jobs, as coarse as [`Options::for_draws`] has it.
fn for_draws(options: &Options) -> Options {
    let Options { steps_per_path, lanes, flow_drift, .. } = Options::for_draws(0);
    Options { steps_per_path, lanes, flow_drift, ..for_sums(options) }
}
