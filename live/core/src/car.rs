//! What a scenario is: bleeders, supplies, what can be changed, the car from above.

use crate::change::Hung;
use crate::question::{Failure, read};
use farwheel::above::layout;
use farwheel::job::options::Options;
use farwheel::job::stepping::Stepping;
use farwheel::study::order::together;
use farwheel::study::{controls, modulator, ranking, split};
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
    #[serde(default)]
    split: Option<Hung>,
    wide: f64,
}

pub fn car(asked: &Asked) -> Result<Value, Failure> {
    let own = read(&asked.text, &asked.file)?;
    let scenario = asked.split.map_or_else(|| own.clone(), |split| split.joined(&own));
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
        "split": split::own(&own).map(|s| s.words()),
        "modulator": modulator::is_worked(&scenario),
        "controls": controls::controls(&scenario, &options),
        "parts": left.parts,
        "regions": left.regions,
        "map": layout(&left, asked.wide),
    }))
}
