//! What a job comes to: its record, what stays behind, how exact that is, how much was missing, how it may go on.

mod boiling;
pub mod error_estimate;
pub(crate) mod flush;
pub(crate) mod foreseen;
mod left;
mod on_the_road;
mod once;
pub(crate) mod resume;
mod shortage;
