//! From a random car to a record.

use crate::common;
use crate::common::random::Car;
pub use crate::common::read;
use farwheel::Scenario;
use farwheel::job::options::Options;
use farwheel::job::record::Record;
use proptest::test_runner::TestCaseError;

pub fn options() -> Options {
    Options { origins: false, estimate_error: false, ..Options::default() }
}

pub fn run(scenario: &Scenario, text: &str) -> Result<Record, TestCaseError> {
    common::run(scenario, text, &options())
}

pub fn run_text(text: &str) -> Result<Record, TestCaseError> {
    run(&read(text)?, text)
}

/// The text without its procedure, and the names of its bleeders.
fn without_procedure(car: &Car) -> Result<(String, Vec<String>), TestCaseError> {
    let text = car.toml();
    let bleeders = read(&text)?.parts.iter().flat_map(|p| p.bleeders.iter().cloned()).collect();
    let end = text.find("[procedure]").unwrap_or(text.len());
    Ok((text[..end].to_owned(), bleeders))
}

/// The car with another procedure: one bleeder, by number, opened until `rule`, so many passes.
pub fn one_bleeder(
    car: &Car,
    number: usize,
    rule: &str,
    passes: u32,
) -> Result<String, TestCaseError> {
    let (text, bleeders) = without_procedure(car)?;
    let bleeder = &bleeders[number % bleeders.len()];
    let supply = car.supply();
    Ok(format!(
        "{text}[procedure]\nsupply = {supply:?}\npasses = {passes}\nopen = [{bleeder:?}]\nuntil = {rule:?}\n"
    ))
}

/// The car with all bleeders opened one after another, each until `rule`.
pub fn each_bleeder(car: &Car, rule: &str) -> Result<String, TestCaseError> {
    let (text, bleeders) = without_procedure(car)?;
    let supply = car.supply();
    Ok(format!("{text}[procedure]\nsupply = {supply:?}\nopen = {bleeders:?}\nuntil = {rule:?}\n"))
}
