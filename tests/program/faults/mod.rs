//! What goes wrong outside the program: places that cannot be written, inputs that are no scenario, Ctrl-C at any
//! moment, scenarios that would fill the memory. No half-written file, no lost input, a clear message.

mod beforehand;
mod child;
mod inputs;
mod interrupts;
mod large;
mod limits;
mod places;
mod small_disk;

/// A scenario that runs in no time: two bleeders, by gravity.
const CAR: &str = include_str!("../../../scenarios/motorcycle-front.toml");
