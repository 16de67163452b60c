//! The procedure: steps, stop rules, the loop that runs them, the record it leaves.

pub(crate) mod at_rest;
mod bleeder;
mod boiling;
pub(crate) mod cautions;
pub mod check;
pub mod error;
pub mod film;
mod hydraulics;
pub mod limits;
pub(crate) mod mixing;
mod modulator;
pub mod numerics;
mod on_the_road;
mod opening;
pub mod options;
mod path;
mod pushing;
pub mod record;
mod run;
mod shortage;
pub mod shown;
mod slips;
mod state;
mod strokes;
mod summary;
mod survey;
pub(crate) mod underway;
mod valves;
mod warning;
mod watch;
mod whole;

pub use run::{BOUND_CAPACITIES, flush};
pub use survey::check;
pub use whole::flush_whole;
