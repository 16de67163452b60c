//! Fluid, flow and transport, and what follows from them in small jobs, held against figures from outside: the library
//! alone, which compiles without default features. `cargo mutants` runs these.

#[path = "../common/mod.rs"]
mod common;
#[path = "../reference/mod.rs"]
mod reference;

mod accuracy;
mod experiments;
mod facts_of_the_trade;
mod fleet;
mod flow_examples;
mod flow_handbook;
mod flow_network;
mod flow_outside;
mod flow_row;
mod fluid_outside;
mod joints;
mod left;
mod loops;
mod modulator;
mod narrow_ways;
mod outlet;
mod profiles;
mod stop_rules;
mod supplies;
mod swept_stages;
mod transport_examples;
