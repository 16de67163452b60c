//! What a person writes: the scenario file, quantities with units, diagnosis of mistakes.
//!
//! [`read`] takes the text of a file to a checked [`Scenario`](model::Scenario), or to every
//! mistake in it with its line and remedy. It works from descriptions: the fixed tables in
//! [`tables`], kinds of parts and supplies as [`KindSpec`](spec::KindSpec)s handed in through
//! [`Kinds`], every bounded quantity in [`bounds`].

mod amounts;
pub mod bounds;
pub mod chamber_keys;
mod graph;
pub mod joints;
pub mod kinds;
pub mod limits;
pub mod mistake;
pub mod model;
mod modulators;
mod names;
mod parts;
mod patterns;
pub mod procedure;
pub mod quantity;
pub mod quantity_text;
mod reader;
pub(crate) mod rewrite;
mod schema;
pub mod section;
mod sense;
pub mod spec;
mod step;
pub mod step_quantity;
mod steps;
pub mod stop_rule;
pub(crate) mod suggest;
mod supplies;
mod syntax;
pub mod tables;
pub mod units;
mod verbs;
mod walk;

pub use kinds::{Family, GradeName, Kinds};
pub use mistake::{Mistake, Mistakes};
pub use reader::{read, read_bytes, read_file};
pub use schema::schema;
pub use walk::default_value;
