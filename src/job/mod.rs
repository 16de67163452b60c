//! The procedure: steps, stop rules, the loop that runs them, the record it leaves.
//!
//! Its storeys, each of which imports only from those before it: `record` (what a job leaves behind, in figures and
//! words), `options` and `error`, `state` (what changes while a job runs and what does not), `survey` (what can be said
//! beforehand), `run` (the steps), `outcome` (what a job comes to).

pub mod error;
pub mod options;
mod outcome;
pub mod record;
mod run;
mod state;
mod survey;

pub use outcome::error_estimate;
pub use outcome::flush::{check, flush, flush_whole};
pub use outcome::foreseen::{cost, least_cost};
pub use outcome::over_time::{MOST_HELD, parts_over_time};
pub(crate) use outcome::resume;
pub use outcome::stepping;
pub use record::{check, over_time};
pub use run::clear_hose::BOUND_CAPACITIES;
pub use state::limits;
