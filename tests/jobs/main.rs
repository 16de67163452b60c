//! Whole jobs: shipped ones and random cars, against a second solution, against themselves changed, and by their books.
//! The slowest of all; the library alone, which compiles without default features.

#[path = "../common/mod.rs"]
mod common;
mod geometry;
#[path = "../reference/mod.rs"]
mod reference;

mod above;
mod accuracy_random;
mod clean_rule;
mod conservation;
mod cost;
mod cross_check;
mod errors;
mod found;
mod invariance;
mod reference_self;
mod shipped;
mod stepping;
mod whole_job;
