//! The uncertain quantities of a scenario.

use super::shape::value_at;
use crate::circuit::parts;
use crate::scenario::bounds::{self, Bound};
use crate::scenario::model::Scenario;
use crate::scenario::procedure::{Action, StopRule};
use crate::scenario::quantity::Quantity;
use crate::scenario::section::{Section, Value};
use crate::scenario::spec::{Form, Key};
use crate::scenario::tables;
use crate::supply;

/// A quantity with a spread, or several that are one and the same unknown.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// What it is called, for instance `length of line RR` or `bore of every line`. Draws are keyed by
    /// this name.
    pub name: String,
    /// Value and spread.
    pub quantity: Quantity,
    /// Its bounds.
    pub bound: &'static Bound,
    /// No draw is larger, SI.
    most: f64,
    places: Vec<Place>,
}

/// Where a quantity stands in a scenario.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Place {
    Section(At, &'static str),
    Step(usize, Field),
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

/// A quantity of a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Field {
    Threshold,
    Hold,
    Volume,
    Time,
    AtLeast,
    AtMost,
    /// The quantity of a step that is no opening.
    Own,
}

impl Unknown {
    /// The value that the draw `u`, between 0 and 1, gives it (SI). What the reservoir holds is cut off at
    /// the brim, as every distribution is at its bounds.
    pub fn value_at(&self, u: f64) -> f64 {
        value_at(&self.quantity, (self.bound.min, self.most.min(self.bound.max)), u)
    }

    /// Puts a value (SI) in its place, or places; it then counts as known.
    pub fn set(&self, scenario: &mut Scenario, value: f64) {
        let known = Quantity::known(value);
        for place in &self.places {
            match *place {
                Place::Section(at, key) => {
                    section_mut(scenario, at).values.insert(key, Value::Quantity(known));
                }
                Place::Step(step, field) => {
                    if let Some(q) = field_mut(&mut scenario.procedure.steps[step].action, field) {
                        *q = known;
                    }
                }
            }
        }
    }
}

/// Every quantity of the scenario that carries a spread and has a part in the job pushed by `supply`, in
/// the order of the file's tables.
///
/// The same key of several parts of one kind is one unknown where value and spread are the same (tube
/// from one coil, calipers of one make); quantities that differ are drawn each for itself.
pub fn unknowns(scenario: &Scenario, supply: Option<&str>) -> Vec<Unknown> {
    let mut found: Vec<Unknown> = Vec::new();
    for (at, keys) in tables_of(scenario, supply) {
        for (key, bound) in quantities(keys) {
            let Some(quantity) = spread_of(section(scenario, at), key) else { continue };
            let place = Place::Section(at, key);
            let alike = found.iter_mut().find(|u| {
                u.quantity == quantity && u.places.iter().any(|p| same_unknown(scenario, *p, place))
            });
            match alike {
                Some(unknown) => unknown.places.push(place),
                None => found.push(Unknown {
                    name: String::new(),
                    quantity,
                    bound,
                    most: f64::INFINITY,
                    places: vec![place],
                }),
            }
        }
    }
    for (i, step) in scenario.procedure.steps.iter().enumerate() {
        let mut action = step.action.clone();
        for (field, bound) in FIELDS {
            if let Some(quantity) = field_mut(&mut action, *field)
                && quantity.spread.is_some()
            {
                let places = vec![Place::Step(i, *field)];
                found.push(Unknown {
                    name: String::new(),
                    quantity: *quantity,
                    bound,
                    most: f64::INFINITY,
                    places,
                });
            }
        }
    }
    for unknown in &mut found {
        unknown.name = name(scenario, unknown);
        if let Some(brim) = scenario.reservoir.find_si("brim")
            && unknown.places.iter().all(|p| is_reservoir_level(scenario, *p))
        {
            unknown.most = brim;
        }
    }
    found
}

/// Whether any of the spreads is written in the scenario, rather than part of a value by default.
pub(super) fn any_is_written(scenario: &Scenario, unknowns: &[Unknown]) -> bool {
    unknowns.iter().flat_map(|u| &u.places).any(|place| match place {
        Place::Section(at, key) => !section(scenario, *at).defaulted.contains(key),
        Place::Step(..) => true,
    })
}

/// Whether some bleeder is closed by the eye and what the eye accepts is taken as known, though it
/// usually decides most.
pub fn eye_is_known(scenario: &Scenario, unknowns: &[Unknown]) -> bool {
    let drawn = |place: Place| unknowns.iter().any(|u| u.places.contains(&place));
    scenario.procedure.steps.iter().enumerate().any(|(i, step)| match &step.action {
        Action::Open { until, .. } if until.clean => match until.threshold {
            None => !drawn(Place::Section(At::ClearHose, "threshold")),
            Some(_) => !drawn(Place::Step(i, Field::Threshold)),
        },
        _ => false,
    })
}

/// The scenario with each unknown at the draw, between 0 and 1, that `at` gives by its index.
///
/// Where the brim itself is drawn below what the reservoir is drawn to hold, it holds as much as the drawn
/// brim lets it: nothing is overfilled.
pub fn draw(scenario: &Scenario, unknowns: &[Unknown], at: impl Fn(usize) -> f64) -> Scenario {
    let mut drawn = scenario.clone();
    for (k, unknown) in unknowns.iter().enumerate() {
        unknown.set(&mut drawn, unknown.value_at(at(k)));
    }
    let Some(brim) = drawn.reservoir.find_si("brim") else { return drawn };
    let limit = |q: &mut Quantity| {
        if q.value > brim {
            *q = Quantity::known(brim);
        }
    };
    for key in LEVELS {
        if let Some(Value::Quantity(q)) = drawn.reservoir.values.get_mut(key) {
            limit(q);
        }
    }
    for supply in &mut drawn.supplies {
        if let Some(Value::Quantity(q)) = supply.section.values.get_mut("refill_to") {
            limit(q);
        }
    }
    for step in &mut drawn.procedure.steps {
        if let Action::Syringe { leave: q } | Action::TopUp { to: q } | Action::SetLevel { to: q } =
            &mut step.action
        {
            limit(q);
        }
    }
    drawn
}

/// Keys of [reservoir] that say how much is in it, or is to be.
const LEVELS: [&str; 3] = ["level", "min", "max"];

/// Whether the brim limits what stands there.
fn is_reservoir_level(scenario: &Scenario, place: Place) -> bool {
    match place {
        Place::Section(At::Reservoir, key) => LEVELS.contains(&key),
        Place::Step(step, Field::Own) => matches!(
            scenario.procedure.steps[step].action,
            Action::Syringe { .. } | Action::TopUp { .. } | Action::SetLevel { .. }
        ),
        _ => false,
    }
}

/// The tables that have a part in the job, each with its keys.
pub(super) fn tables_of(scenario: &Scenario, supply: Option<&str>) -> Vec<(At, Vec<&'static Key>)> {
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
        let own = parts::kind(part.kind).map_or(&[][..], |k| k.spec.keys);
        all.push((At::Part(i), own.iter().chain(tables::PART_KEYS).collect()));
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

/// The quantities among some keys.
pub(super) fn quantities(
    keys: Vec<&'static Key>,
) -> impl Iterator<Item = (&'static str, &'static Bound)> {
    keys.into_iter().filter_map(|k| match k.form {
        Form::Quantity(bound) => Some((k.name, bound)),
        _ => None,
    })
}

fn spread_of(section: &Section, key: &str) -> Option<Quantity> {
    match section.values.get(key) {
        Some(Value::Quantity(q)) if q.spread.is_some() => Some(*q),
        _ => None,
    }
}

/// Whether two places of equal value and spread are one unknown: the same key of parts of one kind.
fn same_unknown(scenario: &Scenario, a: Place, b: Place) -> bool {
    match (a, b) {
        (Place::Section(At::Part(i), k), Place::Section(At::Part(j), l)) => {
            k == l && scenario.parts[i].kind == scenario.parts[j].kind
        }
        _ => false,
    }
}

fn name(scenario: &Scenario, unknown: &Unknown) -> String {
    let spoken = |key: &str| key.replace('_', " ");
    match unknown.places[0] {
        Place::Section(At::Part(first), key) => {
            let kind = scenario.parts[first].kind;
            let all = scenario.parts.iter().filter(|p| p.kind == kind).count();
            let of = |p: &Place| match p {
                Place::Section(At::Part(i), _) => scenario.parts[*i].name.as_str(),
                _ => "",
            };
            let who = match unknown.places.len() {
                n if n == all && n > 1 => format!("every {kind}"),
                _ => unknown.places.iter().map(of).collect::<Vec<_>>().join(", "),
            };
            format!("{} of {who}", spoken(key))
        }
        Place::Section(At::Supply(i), key) => {
            format!("{} of {}", spoken(key), scenario.supplies[i].name)
        }
        Place::Section(at, key) => {
            format!("{} of {}", spoken(key), spoken(&section(scenario, at).name))
        }
        Place::Step(step, field) => {
            let what = match field {
                Field::Threshold => "threshold",
                Field::Hold => "hold",
                Field::Volume => "volume",
                Field::Time => "time",
                Field::AtLeast => "at least",
                Field::AtMost => "at most",
                Field::Own => "quantity",
            };
            format!("{what} of step {}", step + 1)
        }
    }
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

pub(super) fn section_mut(scenario: &mut Scenario, at: At) -> &mut Section {
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

/// The quantities a step may have, with their bounds.
static FIELDS: &[(Field, &Bound)] = &[
    (Field::Threshold, &bounds::THRESHOLD),
    (Field::Hold, &bounds::HOLD),
    (Field::Volume, &bounds::DRAINED),
    (Field::Time, &bounds::WAIT),
    (Field::AtLeast, &bounds::DRAINED),
    (Field::AtMost, &bounds::DRAINED),
    (Field::Own, &bounds::RESERVOIR_LEFT),
];

fn field_mut(action: &mut Action, field: Field) -> Option<&mut Quantity> {
    match action {
        Action::Open { until, .. } => of_rule(until, field),
        Action::Syringe { leave: q }
        | Action::TopUp { to: q }
        | Action::SetLevel { to: q }
        | Action::Load { volume: q }
            if field == Field::Own =>
        {
            Some(q)
        }
        _ => None,
    }
}

fn of_rule(rule: &mut StopRule, field: Field) -> Option<&mut Quantity> {
    match field {
        Field::Threshold => rule.threshold.as_mut(),
        Field::Hold => rule.hold.as_mut(),
        Field::Volume => rule.volume.as_mut(),
        Field::Time => rule.time.as_mut(),
        Field::AtLeast => rule.at_least.as_mut(),
        Field::AtMost => rule.at_most.as_mut(),
        Field::Own => None,
    }
}
