//! From a scenario to the same whole job for the reference.
//!
//! Taken from the program: geometry (volumes, bores, lengths and loss coefficients of the circuit it built)
//! and the figures of the fluids' data sheets. Nothing that it computes.

use super::geometry;
use super::reference::branches::{Element, FluidOf};
use super::reference::liquid::{Liquid, Mixture};
use super::reference::losses::Loss;
use super::reference::push::{Push, Vessel};
use super::reference::whole::{Flush, Rule, Task, Working};
use super::reference::{Chamber, ReferenceCar, ReferenceKind};
use super::units;
use farwheel::Scenario;
use farwheel::circuit::{Circuit, RESERVOIR, paths};
use farwheel::fluid::blend::Fluid;
use farwheel::parts::passage::Passage;
use farwheel::scenario::procedure::{Action, StopRule};
use farwheel::scenario::tables::{ClearHose, Filling};
use farwheel::supply::Kind;
use farwheel::supply::pressure_bleeder::FeedHoseHolds;
use farwheel::supply::topping::Topping;
use std::f64::consts::PI;

/// The bound at which the program ends an opening, in all the fluid that the system holds.
const BOUND_CAPACITIES: f64 = 10.0;

/// The job with one of the scenario's supplies; says what stands in the way if the reference cannot do it.
pub fn job(scenario: &Scenario, supply: &str) -> Result<Flush, String> {
    let circuit = scenario.circuit();
    let push = push(scenario, circuit, supply)?;
    let (mut parts, index) = geometry::parts(circuit, scenario)?;
    let master = &scenario.master_cylinder;
    for part in &mut parts {
        part.content.truncate(1);
        // Its pocket is taken from the file, not from the circuit.
        if let (ReferenceKind::Mixed(chamber), true) =
            (&mut part.kind, master.chambers.contains(&part.name))
        {
            chamber.pocket_share = master.mixing.pocket.value;
            chamber.pocket_exchange = master.mixing.trade.pocket_exchange.value;
            chamber.pocket_s = master.mixing.trade.pocket_time.map_or(f64::INFINITY, |q| q.value);
        }
    }
    let r = &circuit.reservoir;
    let compartment_ml = 1e6 * r.compartment_m3;
    let common_ml = 1e6 * r.level_m3 - compartment_ml * r.outlets.len() as f64;
    if common_ml <= 0.0 {
        return Err("its reservoir is not filled to above the wall".to_owned());
    }
    let old = vec![circuit.nodes[RESERVOIR].filling.old_fraction];
    let hose = &scenario.clear_hose;
    let mut car = ReferenceCar {
        common: (common_ml, old.clone()),
        space: space(scenario),
        unit: vec![],
        compartments: vec![(compartment_ml, old); r.outlets.len()],
        feed: vec![0.0],
        paths: circuit.bleeders.iter().map(|b| geometry::path(circuit, &b.name, &index)).collect(),
        parts,
        watched_ml: 1e6 * PI / 4.0 * hose.bore.value * hose.bore.value * hose.watched.value,
        filling: vec![if hose.filling == Filling::Old { 1.0 } else { 0.0 }],
    };
    let (elements, ways, valves) = elements(scenario, circuit, &index, supply)?;
    units::add(scenario, circuit, &index, &valves, &mut car)?;
    let tasks = tasks(scenario, circuit)?;
    let liquid = |fluid: Fluid| Liquid {
        nu_cold_mm2_s: fluid.nu_minus40_mm2_s,
        nu_hot_mm2_s: fluid.nu_100_mm2_s,
        density_20_kg_m3: fluid.density_20_kg_m3,
        expansion_per_k: fluid.expansion_per_k,
    };
    let celsius = scenario.vehicle.temperature.value - 273.15;
    let mixture = Mixture::new(
        &liquid(scenario.old_fluid.fluid()),
        &liquid(scenario.new_fluid.fluid()),
        celsius,
    );
    Ok(Flush { car, mixture, elements, ways, push, brim_ml: 1e6 * r.brim_m3, tasks })
}

/// How the reservoir's common space mixes, from the file alone.
fn space(scenario: &Scenario) -> Chamber {
    let r = &scenario.reservoir;
    Chamber {
        pocket_share: r.pocket.value,
        pocket_exchange: r.trade.pocket_exchange.value,
        pocket_s: r.trade.pocket_time.map_or(f64::INFINITY, |q| q.value),
        bypass_share: r.bypass.value,
        ..Chamber::plain(0.0, r.stages.stages as usize)
    }
}

fn described<'a>(scenario: &'a Scenario, supply: &str) -> Result<&'a Kind, String> {
    let found = scenario.supplies.iter().find(|s| s.name == supply);
    found.map(|s| &s.kind).ok_or(format!("no supply \"{supply}\""))
}

fn push(scenario: &Scenario, circuit: &Circuit, supply: &str) -> Result<Push, String> {
    let refill = |topping: &Topping| {
        let (min, max) = (circuit.reservoir.min_m3, circuit.reservoir.max_m3);
        let low = topping.refill_below.map_or(min, |q| q.value);
        let high = topping.refill_to.map_or(max, |q| q.value);
        match topping.topped_up {
            true => Ok((1e6 * low, 1e6 * high)),
            false => Err("its reservoir is not topped up"),
        }
    };
    Ok(match described(scenario, supply)? {
        Kind::PressureBleeder(v) => {
            let (bore, length) = (v.feed_hose_bore.value, v.feed_hose_length.value);
            let hose_ml = match v.feed_hose_holds {
                FeedHoseHolds::NewFluid => 0.0,
                _ => 1e6 * PI / 4.0 * bore * bore * length,
            };
            let air_ml = 1e6 * (v.shell.value - v.loaded.value);
            let vessel = Vessel::new(air_ml, v.gauge.value, v.exponent.value, hose_ml);
            Push::Vessel(Vessel { low_mark_pa: v.re_pump_below.map(|q| q.value), ..vessel })
        }
        Kind::Gravity(g) => Push::Open { at_bleeder_pa: 0.0, refill: refill(&g.topping)? },
        Kind::Vacuum(v) => {
            Push::Open { at_bleeder_pa: -v.vacuum.value, refill: refill(&v.topping)? }
        }
        Kind::Pedal(_) => return Err("strokes of a pedal are no steady flow".to_owned()),
    })
}

fn tasks(scenario: &Scenario, circuit: &Circuit) -> Result<Vec<Task>, String> {
    let mut tasks = Vec::new();
    for (_, step) in scenario.procedure.in_turn() {
        match &step.action {
            Action::Open { bleeders, until } => tasks.push(Task::Open {
                paths: bleeders.iter().filter_map(|b| circuit.bleeder(b)).collect(),
                rule: rule(until, &scenario.clear_hose, circuit)?,
            }),
            Action::Syringe { leave } => tasks.push(Task::Draw(1e6 * leave.value)),
            Action::TopUp { to } => tasks.push(Task::Fill(1e6 * to.value)),
            Action::SetLevel { to } => {
                tasks.extend([Task::Draw(1e6 * to.value), Task::Fill(1e6 * to.value)]);
            }
            Action::RePump { gauge } => tasks.push(Task::Pump(gauge.value)),
            Action::Wait { .. } => return Err("it waits".to_owned()),
            Action::WorkModulator { modulator, channels, time, pump, bleeders } => {
                let free = rule(&StopRule::default(), &scenario.clear_hose, circuit)?;
                tasks.push(Task::Work(Working {
                    circuits: units::worked(circuit, modulator, channels),
                    seconds: time.value,
                    pump: *pump,
                    paths: bleeders.iter().filter_map(|b| circuit.bleeder(b)).collect(),
                    rule: free,
                }));
            }
            Action::Load { .. } | Action::Relieve => {
                return Err("the supply is opened in between".to_owned());
            }
        }
    }
    Ok(tasks)
}

fn rule(until: &StopRule, hose: &ClearHose, circuit: &Circuit) -> Result<Rule, String> {
    if until.time.is_some() {
        return Err("a bleeder is closed by the clock".to_owned());
    }
    let ml = |q: Option<farwheel::keys::quantity::Quantity>| q.map(|q| 1e6 * q.value);
    let bound_ml = 1e6 * BOUND_CAPACITIES * circuit.capacity_m3();
    Ok(Rule {
        clean: until.clean,
        threshold: until.threshold.unwrap_or(hose.threshold).value,
        hold_ml: ml(until.hold.or(hose.hold)),
        least_look_s: hose.least_look.value,
        volume_ml: ml(until.volume),
        at_least_ml: ml(until.at_least).unwrap_or(0.0),
        at_most_ml: ml(until.at_most).unwrap_or(bound_ml),
    })
}

/// Sum of the loss coefficients of a line or hose: a sharp beginning, a sharp end, both as far as a joint
/// there mixes, and bends.
fn losses(scenario: &Scenario, line: &str) -> Option<f64> {
    let here = scenario.parts.iter().find(|p| p.name == line)?;
    let bends = f64::from(here.kind.run()?.bends);
    let behind = scenario.parts.iter().find(|p| p.from.iter().any(|name| name == line));
    let end = behind.and_then(|p| geometry::joint(scenario, &p.name)).unwrap_or(1.0);
    Some(0.5 * geometry::joint(scenario, line).unwrap_or(1.0) + end + 0.25 * bends)
}

fn loss(scenario: &Scenario, name: &str, passage: &Passage) -> Loss {
    match *passage {
        Passage::Tube { bore_m, length_m, minor_k } => {
            let k = losses(scenario, name).unwrap_or(minor_k);
            Loss::Tube { bore_m, length_m, k }
        }
        Passage::Orifice { bore_m, length_m } => Loss::Bore { bore_m, length_m },
        Passage::Screw { .. } => unreachable!("told piece by piece"),
        Passage::Check { cracking_pa, bore_m } => Loss::Valve { opens_at_pa: cracking_pa, bore_m },
    }
}

/// What fluid passes in an open bleeder and its clear hose, in a row.
fn open_bleeder(passage: &Passage) -> Vec<Loss> {
    let &Passage::Screw { gap_m, cross_bore_m, bore_m, length_m, hose_bore_m, hose_length_m } =
        passage
    else {
        unreachable!("a bleeder is a screw");
    };
    let hose = Loss::Tube { bore_m: hose_bore_m, length_m: hose_length_m, k: 0.0 };
    let screw = [
        Loss::Slit { gap_m, round_m: PI * bore_m },
        Loss::Hole { bore_m: cross_bore_m },
        Loss::Bore { bore_m, length_m },
    ];
    screw.into_iter().chain((hose_length_m > 0.0).then_some(hose)).collect()
}

/// Elements, each once; for each bleeder its way through them and its height above the reservoir, m; and the element of
/// what lies between two nodes.
type Ways = (Vec<Element>, Vec<(Vec<usize>, f64)>, Vec<((usize, usize), usize)>);

fn elements(
    scenario: &Scenario,
    circuit: &Circuit,
    index: &geometry::Index,
    supply: &str,
) -> Result<Ways, String> {
    let mut elements = Vec::new();
    let mut begin = Vec::new();
    if let Kind::PressureBleeder(v) = described(scenario, supply)? {
        // A sharp entry and an exit.
        let k = 1.5;
        let (bore_m, length_m) = (v.feed_hose_bore.value, v.feed_hose_length.value);
        begin.push(0);
        elements.push(Element { loss: Loss::Tube { bore_m, length_m, k }, fluid: FluidOf::Supply });
    }
    let mut known: Vec<((usize, usize), usize)> = Vec::new();
    let mut ways = Vec::new();
    for (number, bleeder) in circuit.bleeders.iter().enumerate() {
        let mut way = begin.clone();
        let first = &circuit.links[bleeder.path[0]];
        let mut fluid = FluidOf::Outlet(first.outlet.ok_or("a path begins at no outlet")?);
        for (&link, node) in bleeder.path.iter().zip(paths::path_nodes(circuit, number)) {
            let l = &circuit.links[link];
            let ends = (l.from, l.to);
            if let Some(part) = index.links[link] {
                fluid = FluidOf::Inside(part);
            }
            let place = known.iter().find(|(e, _)| *e == ends).map(|(_, i)| *i);
            way.push(match place {
                Some(i) => i,
                None => {
                    let beside: Vec<_> = circuit
                        .links
                        .iter()
                        .filter(|o| (o.from, o.to) == ends && !o.shut)
                        .collect();
                    if beside.len() > 1 && beside.iter().any(|o| o.tube.is_some()) {
                        return Err(format!("\"{}\" is part of a loop", l.name));
                    }
                    let loss = match beside.as_slice() {
                        [only] => loss(scenario, &only.name, &only.passage),
                        all => Loss::Beside(
                            all.iter().map(|o| loss(scenario, &o.name, &o.passage)).collect(),
                        ),
                    };
                    elements.push(Element { loss, fluid });
                    known.push((ends, elements.len() - 1));
                    elements.len() - 1
                }
            });
            if let Some(part) = index.links[link] {
                fluid = FluidOf::Leaving(part);
            }
            if let Some(part) = index.nodes[node] {
                fluid = FluidOf::Leaving(part);
            }
        }
        for loss in open_bleeder(&bleeder.passage) {
            way.push(elements.len());
            elements.push(Element { loss, fluid });
        }
        ways.push((way, bleeder.outlet_m - circuit.reservoir.height_m));
    }
    Ok((elements, ways, known))
}
