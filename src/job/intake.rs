//! From a file to a scenario that can be run: the reader is told every kind there is, and what it
//! cannot know by itself (whether the parts join, whether a fluid's figures agree) is checked too.

use crate::circuit::{Circuit, parts};
use crate::fluid::blend::Fluid;
use crate::fluid::{grade, judge};
use crate::scenario::model::Scenario;
use crate::scenario::section::Section;
use crate::scenario::{self, Family, GradeName, Kinds, Mistakes};
use crate::supply::{self, Supply};
use std::path::Path;
use std::sync::LazyLock;

static GRADES: LazyLock<Vec<GradeName>> = LazyLock::new(|| {
    grade::grades()
        .iter()
        .map(|g| GradeName {
            name: g.name,
            family: match g.family {
                grade::Family::Glycol => Family::Glycol,
                grade::Family::Silicone => Family::Silicone,
                grade::Family::Mineral => Family::MineralOil,
            },
        })
        .collect()
});

/// Every part kind, supply kind and grade that a scenario may name.
pub fn kinds() -> Kinds {
    Kinds { parts: parts::SPECS, supplies: supply::KINDS, grades: &GRADES }
}

/// Reads a scenario from a file and makes sure that it can be run.
///
/// # Errors
/// Every mistake found, with its line and remedy.
pub fn read_file(path: &Path) -> Result<Scenario, Mistakes> {
    fit_to_run(scenario::read_file(path, &kinds())?)
}

/// Reads a scenario from text and makes sure that it can be run; `file` is what messages call it.
///
/// # Errors
/// As [`read_file`].
pub fn read_text(text: &str, file: &str) -> Result<Scenario, Mistakes> {
    fit_to_run(scenario::read(text, file, &kinds())?)
}

/// Reads a scenario from bytes that may not be text; `file` is what messages call it.
///
/// # Errors
/// As [`read_file`].
pub fn read_bytes(bytes: &[u8], file: &str) -> Result<Scenario, Mistakes> {
    fit_to_run(scenario::read_bytes(bytes, file, &kinds())?)
}

fn fit_to_run(scenario: Scenario) -> Result<Scenario, Mistakes> {
    fluid(&scenario, &scenario.old_fluid)?;
    fluid(&scenario, &scenario.new_fluid)?;
    let circuit = Circuit::build(&scenario)
        .map_err(|e| Mistakes::about_line(&scenario.file, e.line, e.what, e.remedy))?;
    for described in &scenario.supplies {
        let Some(supply) = Supply::new(described) else { continue };
        if let Some((what, remedy)) = misfit(&supply, &circuit) {
            let what = format!("the supply \"{}\" does not fit: {what}", described.name);
            let line = described.section.line;
            return Err(Mistakes::about_line(&scenario.file, line, what, remedy));
        }
    }
    Ok(scenario)
}

/// What is wrong with a supply on this circuit and what would be right, if anything is.
fn misfit(supply: &Supply, circuit: &Circuit) -> Option<(String, String)> {
    let reservoir = &circuit.reservoir;
    if let Some(topping) = supply.topping()
        && topping.topped_up
    {
        let Some((_, high)) = topping.refill(reservoir) else {
            return Some((
                "it tops the reservoir up to no more than where it starts to".into(),
                "let `refill_to` be more than `refill_below`".into(),
            ));
        };
        if high > reservoir.brim_m3 {
            return Some((
                "it tops the reservoir up to more than the brim holds".into(),
                "let `refill_to` be less than `brim` of [reservoir]".into(),
            ));
        }
    }
    let Supply::Pedal(pedal) = supply else { return None };
    let nodes = circuit.nodes.iter().filter(|n| n.kind == "master cylinder");
    nodes.filter_map(|n| pedal.misfit(n.chamber.as_ref()?)).next()
}

fn fluid(scenario: &Scenario, section: &Section) -> Result<(), Mistakes> {
    match judge::faults(&Fluid::from_section(section)).first() {
        None => Ok(()),
        Some(fault) => Err(Mistakes::about_line(
            &scenario.file,
            section.line,
            format!("the figures of [{}] contradict each other", section.name),
            fault.to_string(),
        )),
    }
}
