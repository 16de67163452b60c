//! `orders`: shared beginnings, the fair comparison, draws, the program.

mod fair;
mod readme;
mod shared;
mod verb;

use farwheel::Scenario;

/// A shipped scenario.
fn shipped(name: &str) -> Scenario {
    farwheel::read_file(format!("scenarios/{name}.toml").as_ref()).unwrap_or_else(|m| panic!("{m}"))
}

fn names(order: &str) -> Vec<String> {
    order.split(", ").map(str::to_owned).collect()
}
