//! The scenario reader on the shipped scenarios.

mod common;

use farwheel::scenario;

#[test]
fn the_shipped_scenario_is_read_whole() {
    let path = std::path::Path::new("scenarios/compact-hatchback.toml");
    let s = match scenario::read_file(path, &common::kinds()) {
        Ok(s) => s,
        Err(m) => panic!("{m}"),
    };
    assert_eq!(s.parts.len(), 12);
    println!("{s:#?}");
}
