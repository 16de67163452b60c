//! Answers as the JSON of the program (feature `json`): the record's own names in the record's own order, which are a
//! promise, and at the end what an answer comes of. The program writes it, and whoever embeds the core can.

pub mod asked;
mod flushed;
mod origin;

pub use flushed::Flushed;
pub use origin::Origin;

use serde::Serialize;

/// Pretty JSON with a line end. Figures that are no numbers become `null`.
///
/// # Errors
/// If the value cannot be serialised; a record or check report always can.
pub fn render<T: Serialize>(value: &T) -> serde_json::Result<String> {
    serde_json::to_string_pretty(value).map(|text| text + "\n")
}
