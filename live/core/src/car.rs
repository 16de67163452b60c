//! What a scenario is: bleeders, supplies, what can be changed, the car from above.

use crate::question::{Failure, read};
use farwheel::above::layout;
use farwheel::job::options::Options;
use farwheel::job::stepping::Stepping;
use farwheel::study::order::together;
use farwheel::study::{controls, modulator, ranking};
use serde::Deserialize;
use serde_json::{Value, json};

/// A scenario, and how wide its map is to be.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    text: String,
    #[serde(default)]
    file: String,
    #[serde(default)]
    supply: Option<String>,
    wide: f64,
}

pub fn car(asked: &Asked) -> Result<Value, Failure> {
    let scenario = read(&asked.text, &asked.file)?;
    let options = Options { supply: asked.supply.clone(), ..Options::default() };
    let left = Stepping::begin(&scenario, &options)?.left();
    let names = |ranked: Vec<ranking::Ranked>| -> Vec<String> {
        ranked.into_iter().map(|r| r.bleeder).collect()
    };
    let supplies: Vec<&str> = scenario.supplies.iter().map(|s| s.name.as_str()).collect();
    Ok(json!({
        "title": scenario.title,
        "spoken": scenario.vehicle.spoken(),
        "opened_together": together(&scenario.procedure),
        "far_first": names(ranking::far_first(&scenario)),
        "near_first": names(ranking::near_first(&scenario)),
        "supplies": supplies,
        "supply": scenario.supply(options.supply.as_deref()).map(|s| &s.name).ok(),
        "modulator": modulator::is_worked(&scenario),
        "controls": controls::controls(&scenario, &options),
        "parts": left.parts,
        "regions": left.regions,
        "map": layout(&left, asked.wide),
    }))
}
