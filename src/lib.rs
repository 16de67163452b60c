//! Farwheel simulates the flush of a vehicle's brake hydraulics: which mixture of old and new fluid
//! leaves each bleeder, after how many millilitres it runs clean, how long that takes at which
//! pressure, and what old fluid and water stay behind, part by part.
//!
//! # A guided tour
//!
//! The rooms stand in the order in which data flows; a room imports only from rooms before it.
//!
//! 1. [`keys`]: what may be written. Quantities within bounds, words, and tables: plain structs, each declared once
//!    with its keys.
//! 2. [`fluid`]: grades and their limits, viscosity, density, water, boiling point. A
//!    [`Blend`](fluid::blend::Blend) is old fluid mixed with new.
//! 3. [`parts`]: what hydraulics are made of, each kind of part one file.
//! 4. [`supply`]: what pushes, each supply one file.
//! 5. [`scenario`]: from the text of a file to its [`Tables`](scenario::model::Tables), or to every mistake in it with
//!    line and remedy.
//! 6. [`circuit`]: parts and how they join. [`read`] takes a file to a [`Scenario`], which is its tables with the circuit
//!    that comes of them.
//! 7. [`flow`]: pressures and flow rates at an instant. Loss laws, a damped Newton solve of the
//!    network, and a projection that makes volumes balance exactly.
//! 8. [`transport`]: what moves. Lines are lanes of a laminar profile that read one shared history,
//!    chambers are mixed stages with pockets, and paths mix where they meet.
//! 9. [`job`]: the procedure. [`job::check()`] looks a scenario over, [`job::flush`] runs it and leaves a
//!    [`Record`](job::record::Record); [`job::stepping`] lets a caller drive it by hand.
//! 10. [`above`]: the vehicle from above, to scale by volume.
//! 11. [`describe`]: a scenario's text from what a person at a car can see, each value read or guessed with a reason.
//! 12. [`study`]: many jobs. [`study::layouts`] sets several vehicles side by side.
//! 13. `json`, `plot`, `report`, `commands`: JSON, pictures, tables and CSV of what the above found, and the verbs of
//!     the program. They need the features `json`, `pictures` and `program`; everything above builds without.
//!
//! # From a file to an answer
//!
//! ```
//! use farwheel::job::{self, options::Options, record::ClosedBy};
//!
//! let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/compact-hatchback.toml"));
//! let scenario = farwheel::read(text, "compact-hatchback.toml")?;
//! let record = job::flush(&scenario, &Options::default())?;
//!
//! // The far wheel goes first, and is closed once the clear hose looks clean.
//! let first = &record.openings[0];
//! assert_eq!((first.bleeder.as_str(), first.closed_by), ("RR", ClosedBy::Clean));
//! assert!(first.seen_old_fraction <= 0.2);
//! // Where its millilitres came from adds up to what was drained.
//! let from: f64 = first.origins_ml.iter().map(|(_, ml)| ml).sum();
//! assert!((from - first.drained_ml).abs() < 1e-6);
//! // What stays behind, and where it boils first.
//! println!("{:.0} mL of old fluid left", record.left.old_ml);
//! println!("{} boils at {:.0} °C", record.left.lowest_boiling_part, record.left.lowest_boiling_c);
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Inside, everything is SI; a bare number that crosses a boundary carries its unit in its name. Elementary
//! functions are those of [`portable`] in every room, so that the same input gives the same bits anywhere; constants
//! of physics and conversions of units are those of [`measures`].

// Unit tests may hold the code against the system's own functions.
#![forbid(unsafe_code)]
#![cfg_attr(
    not(test),
    warn(clippy::disallowed_methods, clippy::print_stdout, clippy::print_stderr)
)]

pub mod measures;
pub mod portable;
mod roots;
mod sorting;

pub use circuit::{Scenario, read, read_bytes, read_bytes_with, read_file, read_with};
pub use keys::harmless::harmless;

pub mod keys;

pub mod fluid;

pub mod parts;

pub mod supply;

pub mod scenario;

pub mod circuit;

pub mod flow;

pub mod transport;

pub mod job;

pub mod above;
pub mod describe;
pub mod study;

#[cfg(feature = "program")]
pub mod readings;

#[cfg(feature = "json")]
pub mod json;

#[cfg(feature = "pictures")]
pub mod plot;

#[cfg(feature = "program")]
pub mod report;

#[cfg(all(feature = "program", feature = "pictures"))]
pub mod commands;
