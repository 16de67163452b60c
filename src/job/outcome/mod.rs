//! What a job comes to: its record, what stays behind, how exact that is, how much was missing, how it may go on or be driven by
//! hand, what each part holds meanwhile.

mod boiling;
mod by_hand;
pub mod error_estimate;
pub(crate) mod flush;
pub(crate) mod foreseen;
mod left;
mod look;
mod on_the_road;
mod once;
pub(crate) mod over_time;
pub(crate) mod resume;
mod shortage;
pub mod stepping;
