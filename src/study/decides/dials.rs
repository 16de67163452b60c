//! What may be otherwise on a car or in a shop, each from one end of what is usual to the other.

use crate::circuit::Scenario;
use crate::job::options::Options;
use crate::keys::Place;
use crate::keys::bounds::{Bound, GAUGE, THRESHOLD};
use crate::keys::quantity::Quantity;
use crate::measures::{ZERO_CELSIUS_K, to_celsius, to_kpa, to_ml};
use crate::scenario::model::Tables;
use crate::scenario::procedure::{Action, Step};
use crate::scenario::quantities::{Address, At};
use crate::study::chance::defaults::usual_half;
use crate::study::pressures::at_gauge;
use crate::study::syringe::syringe;

/// What the eye accepts.
pub const EYE: &str = "what the eye accepts";
/// Level of the reservoir.
pub const LEVEL: &str = "level of the reservoir";
/// Wear of the pads.
pub const WEAR: &str = "wear of the pads";
/// Temperature.
pub const TEMPERATURE: &str = "temperature";
/// Reservoir syringed.
pub const SYRINGE: &str = "emptying the reservoir by syringe";
/// Gauge pressure.
pub const GAUGE_PRESSURE: &str = "gauge pressure";
/// All lines together.
pub const LINES: &str = "bores and lengths of the lines";

/// Between which temperatures a job is done, K: an unheated shop in winter, a yard in summer (estimates).
const TEMPERATURES_K: (f64, f64) = (ZERO_CELSIUS_K + 5.0, ZERO_CELSIUS_K + 35.0);
/// What different eyes call clean, as old fluid seen (estimates: the program's own range for an eye that nobody tested).
const EYES: (f64, f64) = (0.10, 0.30);

/// Something that can be set anywhere between two ends.
pub(crate) struct Dial {
    /// What it is.
    pub what: &'static str,
    /// Where it stands on this car.
    pub own: f64,
    /// From where to where it usually goes.
    pub ends: (f64, f64),
    /// A setting as a person would say it.
    pub say: Box<dyn Fn(f64) -> String + Send + Sync>,
    /// The scenario with this setting; `None` if no car comes of it.
    pub set: Box<dyn Fn(f64) -> Option<Scenario> + Send + Sync>,
}

/// All that this car has. What its procedure never asks for is left out: the eye where millilitres are counted, the gauge
/// of a supply without one.
pub(crate) fn dials(scenario: &Scenario, options: &Options) -> Vec<Dial> {
    let mut all = Vec::new();
    let mut add = |what, own: f64, ends, say: fn(f64) -> String, change: fn(&mut Tables, f64)| {
        let car = scenario.clone();
        let set = Box::new(move |x| car.changed(|t| change(t, x)).ok());
        all.push(Dial { what, own, ends, say: Box::new(say), set });
    };
    let (reservoir, vehicle) = (&scenario.reservoir, &scenario.vehicle);
    let within = |x: f64, bound: &Bound| x.clamp(bound.min, bound.max);
    if looks(scenario) {
        let eyes = (within(EYES.0, &THRESHOLD), within(EYES.1, &THRESHOLD));
        add(
            EYE,
            scenario.clear_hose.threshold.value,
            eyes,
            |x| format!("{} old", percent(x)),
            accept,
        );
    }
    let marks = (scenario.circuit().reservoir.min_m3, scenario.circuit().reservoir.max_m3);
    add(LEVEL, reservoir.level.value, marks, millilitres, |t, x| {
        t.reservoir.level = Quantity::known(x);
    });
    add(WEAR, vehicle.pad_wear.value, (0.0, 1.0), percent, |t, x| {
        t.vehicle.pad_wear = Quantity::known(x);
    });
    let degrees = |x| format!("{:.0} °C", to_celsius(x));
    add(TEMPERATURE, vehicle.temperature.value, TEMPERATURES_K, degrees, |t, x| {
        t.vehicle.temperature = Quantity::known(x);
    });
    if let Some((leave, level)) = syringe(scenario).filter(|_| !syringes(scenario)) {
        add(SYRINGE, level, (leave, level), millilitres, syringed);
    }
    all.extend(gauge(scenario, options));
    all.extend(lines(scenario));
    for dial in &mut all {
        let own = dial.own;
        match dial.what {
            LEVEL => {
                dial.say = Box::new(move |x| match x {
                    x if x == marks.0 => "MIN".to_owned(),
                    x if x == marks.1 => "MAX".to_owned(),
                    x => millilitres(x),
                });
            }
            SYRINGE => {
                dial.say = Box::new(move |x| match x {
                    x if x == own => "not at all".to_owned(),
                    x => format!("down to {}", millilitres(x)),
                });
            }
            _ => {}
        }
    }
    all
}

/// The gauge of the supply that pushes, if that is pumped up.
fn gauge(scenario: &Scenario, options: &Options) -> Option<Dial> {
    let supply = scenario.supply(options.supply.as_deref()).ok()?;
    let own = supply.kind.vessel()?.gauge.value;
    let limit = scenario.vehicle.gauge_limit.map_or(GAUGE.usual.1, |q| q.value);
    let ends = (GAUGE.usual.0, GAUGE.usual.1.min(limit));
    let (car, name) = (scenario.clone(), supply.name.clone());
    Some(Dial {
        what: GAUGE_PRESSURE,
        own,
        ends,
        say: Box::new(|x| format!("{:.0} kPa", to_kpa(x))),
        set: Box::new(move |x| at_gauge(&car, &name, x).ok()),
    })
}

/// Every line narrower and shorter together (−1) or wider and longer (1), by what nine in ten lie within.
fn lines(scenario: &Scenario) -> Option<Dial> {
    let mut tables = Tables::clone(scenario);
    let is_line = |i: usize| scenario.parts[i].word() == "line";
    let mut halves = Vec::new();
    for (place, bound, held) in tables.quantities_mut() {
        let Address::Key(At::Part(i), key) = place else { continue };
        if is_line(i) && matches!(key, "bore" | "length") {
            let half = usual_half(scenario, place, bound, held);
            halves.extend((half > 0.0).then_some((place, half)));
        }
    }
    let car = scenario.clone();
    (!halves.is_empty()).then(|| Dial {
        what: LINES,
        own: 0.0,
        ends: (-1.0, 1.0),
        say: Box::new(|x| match x {
            x if x < 0.0 => "narrow and short".to_owned(),
            x if x > 0.0 => "wide and long".to_owned(),
            _ => "as they are".to_owned(),
        }),
        set: Box::new(move |x| {
            let change = |t: &mut Tables| {
                for (place, _, held) in t.quantities_mut() {
                    if let Some((_, half)) = halves.iter().find(|(p, _)| *p == place) {
                        *held = Quantity::known(held.value + x * half);
                    }
                }
            };
            car.changed(change).ok()
        }),
    })
}

fn percent(x: f64) -> String {
    format!("{:.0} %", 100.0 * x)
}

fn millilitres(x: f64) -> String {
    format!("{:.0} mL", to_ml(x))
}

/// Whether a stop rule looks at the fluid.
pub(crate) fn looks(scenario: &Scenario) -> bool {
    let by_eye = |s: &Step| matches!(&s.action, Action::Open { until, .. } if until.clean);
    scenario.procedure.steps.iter().any(by_eye)
}

fn syringes(scenario: &Scenario) -> bool {
    scenario.procedure.steps.iter().any(|s| matches!(s.action, Action::Syringe { .. }))
}

/// Lets every eye accept so much.
fn accept(t: &mut Tables, eye: f64) {
    t.clear_hose.threshold = Quantity::known(eye);
    for step in &mut t.procedure.steps {
        if let Action::Open { until, .. } = &mut step.action {
            until.threshold = None;
        }
    }
}

/// Lets the reservoir be syringed down and filled to where it stood before all else.
fn syringed(t: &mut Tables, leave: f64) {
    let level = t.reservoir.level.value;
    let known = Quantity::known;
    let first = [Action::Syringe { leave: known(leave) }, Action::TopUp { to: known(level) }];
    t.procedure.steps.splice(0..0, first.map(|action| Step { line: Place::Nowhere, action }));
}
