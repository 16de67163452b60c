//! From a file to a scenario that can be run: the reader is told every kind there is, and what it
//! cannot know by itself (whether the parts join, whether a fluid's figures agree) is checked too.

use super::{Circuit, Scenario};
use crate::fluid::blend::Fluid;
use crate::fluid::judge;
use crate::keys::{Place, Role, Written};
use crate::parts::chamber::Chamber;
use crate::scenario::model::{self, Tables};
use crate::scenario::{self, Mistakes};
use std::path::Path;

/// Reads a scenario from a file and makes sure that it can be run.
///
/// # Errors
/// Every mistake found, with its line and remedy.
pub fn read_file(path: &Path) -> Result<Scenario, Mistakes> {
    fit_to_run(scenario::read_file(path)?)
}

/// Reads a scenario from text and makes sure that it can be run; `file` is what messages call it.
///
/// # Errors
/// As [`read_file`].
pub fn read(text: &str, file: &str) -> Result<Scenario, Mistakes> {
    fit_to_run(scenario::read(text, file)?)
}

/// Reads a scenario from bytes that may not be text; `file` is what messages call it.
///
/// # Errors
/// As [`read_file`].
pub fn read_bytes(bytes: &[u8], file: &str) -> Result<Scenario, Mistakes> {
    fit_to_run(scenario::read_bytes(bytes, file)?)
}

/// Reads a scenario from text with values set over those that it holds, and makes sure that it can be run.
///
/// Each of `settings` is `key=value`: the key as a dotted key of the file, the value as it would stand there, or a text
/// without its quotes. It counts as written in the file; what is wrong with it is told as of `--set` with its number.
///
/// ```
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/compact-hatchback.toml"));
/// let set = ["reservoir.level=130 mL", "parts.\"line RR\".length=6 m"];
/// let scenario = farwheel::read_with(text, "compact-hatchback.toml", &set)?;
/// assert!((scenario.reservoir.level.value - 130e-6).abs() < 1e-12);
///
/// let wrong = farwheel::read_with(text, "compact-hatchback.toml", &["reservoir.levle=130 mL"]);
/// assert!(wrong.expect_err("no such key").to_string().contains("did you mean `level`?"));
/// # Ok::<(), farwheel::scenario::Mistakes>(())
/// ```
///
/// # Errors
/// As [`read_file`].
pub fn read_with(
    text: &str,
    file: &str,
    settings: &[impl AsRef<str>],
) -> Result<Scenario, Mistakes> {
    fit_to_run(scenario::read_with(text, file, settings)?)
}

/// As [`read_with`], from bytes that may not be text.
///
/// # Errors
/// As [`read_file`].
pub fn read_bytes_with(
    bytes: &[u8],
    file: &str,
    settings: &[impl AsRef<str>],
) -> Result<Scenario, Mistakes> {
    fit_to_run(scenario::read_bytes_with(bytes, file, settings)?)
}

fn fit_to_run(tables: Tables) -> Result<Scenario, Mistakes> {
    let (old, new) = (&tables.old_fluid, &tables.new_fluid);
    fluid(&tables, &old.written, &old.fluid())?;
    fluid(&tables, &new.written, &new.fluid())?;
    let (file, set) = (tables.file.clone(), tables.set.clone());
    let scenario = Scenario::new(tables)
        .map_err(|e| Mistakes::about_place(&file, &set, e.line, e.what, e.remedy))?;
    for described in &scenario.supplies {
        supply(&scenario, described, scenario.circuit())?;
    }
    for part in &scenario.parts {
        if let Some(pads) = part.kind.pads()
            && pads.worn_pads.is_some_and(|worn| worn.value < pads.new_pads.value)
        {
            return Err(Mistakes::about_place(
                &scenario.file,
                &scenario.set,
                part.written.blamed("worn_pads", "new_pads"),
                format!("`{}` holds less with worn pads than with new ones", part.name),
                "pistons come out as pads wear: let `worn_pads` be more than `new_pads`",
            ));
        }
    }
    Ok(scenario)
}

/// What is wrong with a supply beside single figures.
fn supply(scenario: &Tables, described: &model::Supply, circuit: &Circuit) -> Result<(), Mistakes> {
    let name = &described.name;
    let mistake = |key: &str, what: String, remedy: &str| {
        let place = described.written.line_of(key);
        Err(Mistakes::about_place(&scenario.file, &scenario.set, place, what, remedy))
    };
    let supply = described.kind.ready();
    if let Some(topping) = supply.topping()
        && topping.topped_up
    {
        let Some((_, high)) = circuit.reservoir.refill(topping) else {
            return mistake(
                "refill_to",
                format!("`{name}` tops the reservoir up to no more than where it starts to"),
                "let `refill_to` be more than `refill_below`, by a tenth of a millilitre at least",
            );
        };
        if high > circuit.reservoir.brim_m3 {
            return mistake(
                "refill_to",
                format!("`{name}` tops the reservoir up to more than the brim holds"),
                "let `refill_to` be less than `brim` of [reservoir]",
            );
        }
    }
    let masters = circuit.nodes.iter().filter(|n| n.role == Role::MasterCylinder);
    let chambers: Vec<&Chamber> = masters.filter_map(|n| n.chamber.as_ref()).collect();
    match supply.misfit(name, &chambers) {
        Some(misfit) => mistake(misfit.key, misfit.what, &misfit.remedy),
        None => Ok(()),
    }
}

fn fluid(scenario: &Tables, written: &Written, fluid: &Fluid) -> Result<(), Mistakes> {
    match judge::faults(fluid).first() {
        None => Ok(()),
        Some(fault) => Err(Mistakes::about_place(
            &scenario.file,
            &scenario.set,
            // What the file says may have agreed before.
            written.lines.values().copied().fold(written.line, Place::blamed),
            format!("the figures of [{}] contradict each other", written.name),
            fault.to_string(),
        )),
    }
}
