//! What a person writes: the scenario file, quantities with units, diagnosis of mistakes.
//!
//! [`read`] takes the text of a file to a [`Tables`](model::Tables), or to every
//! mistake in it with its line and remedy. It works from descriptions: the fixed tables in
//! [`tables`] and [`fluid::declared`](crate::fluid::declared), the kinds of [`parts`](crate::parts) and
//! [`supply`](crate::supply), each quantity within its [`Bound`](crate::keys::Bound).

mod amounts;
mod consistency;
pub(crate) mod derived;
mod derived_water;
mod fixed_tables;
mod graph;
mod headers;
mod homes;
mod joints;
mod kinds;
pub mod limits;
mod line_slips;
mod mend;
mod misplaced;
pub mod mistake;
pub mod model;
mod modulators;
mod names;
mod nodes;
mod number_text;
mod parts;
mod patterns;
pub mod procedure;
pub mod quantities;
pub mod quantity_text;
mod reader;
pub(crate) mod rewrite;
mod rings;
mod schema;
mod section;
mod sections;
mod set_in_text;
pub(crate) mod settings;
pub mod spoken;
mod starts;
mod step;
pub mod step_quantity;
mod steps;
pub mod stop_rule;
pub(crate) mod suggest;
mod supplies;
mod syntax;
mod syntax_words;
pub mod tables;
mod templates;
mod twice;
mod unknown_keys;
mod unusual;
pub mod vehicle_kind;
mod verbs;
mod wrong_kind;

pub use mistake::{Mistake, Mistakes};
pub(crate) use reader::Source;
pub(crate) use reader::file_bytes;
pub use reader::{read, read_bytes, read_bytes_with, read_file, read_with};
pub use schema::schema;
pub(crate) use sections::short;
pub use set_in_text::set_in_text;
