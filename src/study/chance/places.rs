//! Where the quantities of a scenario stand.

use crate::circuit::parts;
use crate::scenario::bounds::Bound;
use crate::scenario::model::Scenario;
use crate::scenario::quantity::Quantity;
use crate::scenario::section::{Section, Value};
use crate::scenario::spec::{Form, Key};
use crate::scenario::step_quantity::StepQuantity;
use crate::scenario::tables;
use crate::supply;

/// Where a quantity stands in a scenario.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    /// A key of a table.
    Section(At, &'static str),
    /// A step, by its index.
    Step(usize, StepQuantity),
}

/// A table of the scenario.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum At {
    Vehicle,
    OldFluid,
    NewFluid,
    Reservoir,
    MasterCylinder,
    ClearHose,
    Procedure,
    Part(usize),
    Supply(usize),
}

/// Keys of [reservoir] that say how much is in it, or is to be.
const LEVELS: [&str; 3] = ["level", "min", "max"];

impl Place {
    /// Whether the eye's threshold stands there: a stop rule's own or that of the clear hose.
    pub(super) fn is_the_eye(self) -> bool {
        matches!(
            self,
            Self::Section(At::ClearHose, "threshold") | Self::Step(_, StepQuantity::Threshold)
        )
    }

    /// Whether a mark of the reservoir stands there.
    pub(super) fn is_mark(self) -> bool {
        matches!(self, Self::Section(At::Reservoir, "min" | "max"))
    }

    /// Whether the brim limits what stands there.
    pub(super) fn is_level(self) -> bool {
        match self {
            Self::Section(At::Reservoir, key) => LEVELS.contains(&key),
            Self::Section(At::Supply(_), key) => key == "refill_to",
            Self::Section(..) => false,
            Self::Step(_, what) => what.is_level(),
        }
    }

    /// Whether a default stands there, since nothing is written.
    pub(super) fn is_unwritten(self, scenario: &Scenario) -> bool {
        match self {
            Self::Section(at, key) => section(scenario, at).defaulted.contains(&key),
            Self::Step(..) => false,
        }
    }

    /// Kind of the part or supply, or name of the table; and the key. A stop rule's threshold is as good as
    /// the clear hose's: one eye judges both.
    pub(super) fn of_and_key(self, scenario: &Scenario) -> Option<(&str, &'static str)> {
        match self {
            Self::Section(At::Part(i), key) => Some((scenario.parts[i].kind, key)),
            Self::Section(At::Supply(i), key) => Some((scenario.supplies[i].kind, key)),
            Self::Section(at, key) => Some((section(scenario, at).name.as_str(), key)),
            Self::Step(..) if self.is_the_eye() => Some((tables::CLEAR_HOSE.name, "threshold")),
            Self::Step(..) => None,
        }
    }

    /// Puts a quantity there.
    pub(super) fn put(self, scenario: &mut Scenario, quantity: Quantity) {
        match self {
            Self::Section(at, key) => {
                section_mut(scenario, at).values.insert(key, Value::Quantity(quantity));
            }
            Self::Step(step, what) => {
                let held = scenario.procedure.steps[step].action.quantities_mut();
                for (_, q) in held.into_iter().filter(|(w, _)| *w == what) {
                    *q = quantity;
                }
            }
        }
    }
}

/// Every quantity that has a part in the job pushed by `supply` (all supplies if none is named), with its
/// bound, in the order of the file's tables, the steps last.
pub(super) fn every(
    scenario: &Scenario,
    supply: Option<&str>,
) -> Vec<(Place, Quantity, &'static Bound)> {
    let mut all = Vec::new();
    for (at, keys) in tables_of(scenario, supply) {
        for key in keys {
            if let (Form::Quantity(bound), Some(Value::Quantity(q))) =
                (key.form, section(scenario, at).values.get(key.name))
            {
                all.push((Place::Section(at, key.name), *q, bound));
            }
        }
    }
    for (i, step) in scenario.procedure.steps.iter().enumerate() {
        for (what, q) in step.action.clone().quantities_mut() {
            all.push((Place::Step(i, what), *q, what.bound()));
        }
    }
    all
}

/// The tables that have a part in the job, each with its keys.
fn tables_of(scenario: &Scenario, supply: Option<&str>) -> Vec<(At, Vec<&'static Key>)> {
    let fixed = [
        (At::Vehicle, tables::VEHICLE.keys),
        (At::OldFluid, tables::OLD_FLUID.keys),
        (At::NewFluid, tables::NEW_FLUID.keys),
        (At::Reservoir, tables::RESERVOIR.keys),
        (At::MasterCylinder, tables::MASTER_CYLINDER.keys),
        (At::ClearHose, tables::CLEAR_HOSE.keys),
        (At::Procedure, tables::PROCEDURE_KEYS),
    ];
    let mut all: Vec<_> = fixed.into_iter().map(|(at, keys)| (at, keys.iter().collect())).collect();
    for (i, part) in scenario.parts.iter().enumerate() {
        let keys = parts::kind(part.kind).map_or_else(Vec::new, |k| k.spec.all_keys().collect());
        all.push((At::Part(i), keys));
    }
    for (i, s) in scenario.supplies.iter().enumerate() {
        if supply.is_none_or(|name| name == s.name)
            && let Some(kind) = supply::KINDS.iter().find(|k| k.name == s.kind)
        {
            all.push((At::Supply(i), kind.keys.iter().collect()));
        }
    }
    all
}

pub(super) fn section(scenario: &Scenario, at: At) -> &Section {
    match at {
        At::Vehicle => &scenario.vehicle,
        At::OldFluid => &scenario.old_fluid,
        At::NewFluid => &scenario.new_fluid,
        At::Reservoir => &scenario.reservoir,
        At::MasterCylinder => &scenario.master_cylinder,
        At::ClearHose => &scenario.clear_hose,
        At::Procedure => &scenario.procedure.section,
        At::Part(i) => &scenario.parts[i].section,
        At::Supply(i) => &scenario.supplies[i].section,
    }
}

fn section_mut(scenario: &mut Scenario, at: At) -> &mut Section {
    match at {
        At::Vehicle => &mut scenario.vehicle,
        At::OldFluid => &mut scenario.old_fluid,
        At::NewFluid => &mut scenario.new_fluid,
        At::Reservoir => &mut scenario.reservoir,
        At::MasterCylinder => &mut scenario.master_cylinder,
        At::ClearHose => &mut scenario.clear_hose,
        At::Procedure => &mut scenario.procedure.section,
        At::Part(i) => &mut scenario.parts[i].section,
        At::Supply(i) => &mut scenario.supplies[i].section,
    }
}
