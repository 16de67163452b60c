//! From a file, or from what a person can see, to a scenario: what is read, what every key moves, and what people are
//! told of a mistake.

#[path = "../common/mod.rs"]
mod common;

mod broken_scenarios;
mod describe;
mod described_keys;
mod every_key;
mod misuse;
mod mutated;
mod one_slip;
mod scenario_reader;
mod settings;
mod slips;
