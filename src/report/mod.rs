//! What a reader gets to see: tables, JSON, CSV, pages; nothing here computes.

#[cfg(feature = "program")]
pub mod mistakes;
