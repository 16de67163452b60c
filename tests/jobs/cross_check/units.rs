//! ABS/ESC units for the reference: where a unit's rooms stand among its parts, the figures from the file's own keys.

use super::geometry::Index;
use super::reference::unit::UnitCircuit;
use super::reference::{Chamber, ReferenceCar, ReferenceKind, ReferencePath};
use farwheel::Scenario;
use farwheel::circuit::Circuit;
use farwheel::circuit::modulator::ModulatorCircuit;
use farwheel::parts::Kind;
use farwheel::parts::passage::Passage;

/// Circuits of all units, in the file's order.
fn circuits(circuit: &Circuit) -> impl Iterator<Item = (&str, &ModulatorCircuit)> {
    circuit.modulators.iter().flat_map(|m| m.circuits.iter().map(|c| (m.name.as_str(), c)))
}

/// The circuits of a unit that have one of these channels (all, if none is named), with the channels.
pub fn worked(circuit: &Circuit, unit: &str, channels: &[String]) -> Vec<(usize, Vec<usize>)> {
    let of_circuit = |c: &ModulatorCircuit| -> Vec<usize> {
        let named = |name: &String| channels.is_empty() || channels.contains(name);
        (0..c.channels.len()).filter(|i| named(&c.channels[*i].name)).collect()
    };
    let all = circuits(circuit).enumerate().filter(|(_, (name, _))| *name == unit);
    all.map(|(i, (_, c))| (i, of_circuit(c))).filter(|(_, c)| !c.is_empty()).collect()
}

/// Adds the units to the car, with a path to each channel's passage.
pub fn add(
    scenario: &Scenario,
    circuit: &Circuit,
    index: &Index,
    valves: &[((usize, usize), usize)],
    car: &mut ReferenceCar,
) -> Result<(), String> {
    let ml = |q: farwheel::keys::Quantity| 1e6 * q.value;
    for (name, c) in circuits(circuit) {
        let part = scenario.parts.iter().find(|p| p.name == name).ok_or("no unit")?;
        let Kind::Modulator(keys) = &part.kind else { return Err("no unit".to_owned()) };
        let mut channels = Vec::new();
        let mut way_down = Vec::new();
        let mut compartment = 0;
        for channel in &c.channels {
            let passage = index.nodes[channel.passage].ok_or("a passage holds something")?;
            let way = car.paths.iter().find(|p| p.parts.contains(&passage)).ok_or("no way")?;
            let end = way.parts.iter().position(|p| *p == passage).ok_or("no way")?;
            way_down = way.parts[..end].to_vec();
            compartment = way.compartment;
            let parts = way.parts[..=end].to_vec();
            channels.push((passage, car.paths.len()));
            let bleeder = channel.name.clone();
            car.paths.push(ReferencePath { bleeder, compartment, parts });
        }
        let pump = index.nodes[c.pump].ok_or("a pump has a chamber")?;
        let damper = index.nodes[c.damper];
        if let Some(damper) = damper {
            let through = keys.damper_exchange.value;
            let chamber = Chamber::plain(ml(keys.damper), 1);
            let chamber = Chamber { bypass_share: 1.0 - through, ..chamber };
            car.parts[damper].kind = ReferenceKind::Mixed(chamber);
        }
        let isolation = c.isolation.map(|l| {
            let ends = (circuit.links[l].from, circuit.links[l].to);
            valves.iter().find(|(e, _)| *e == ends).map(|(_, i)| *i)
        });
        let alone = |(link, _): &(usize, bool)| {
            let l = &circuit.links[*link];
            let beside = circuit.links.iter().filter(|o| (o.from, o.to) == (l.from, l.to));
            beside.filter(|o| !o.shut).all(|o| matches!(o.passage, Passage::Check { .. }))
        };
        car.unit.push(UnitCircuit {
            compartment,
            way_down,
            one_way: c.supply.iter().any(alone),
            channels,
            accumulator: index.nodes[c.accumulator],
            pump,
            damper,
            old: circuit.nodes[c.accumulator].filling.old_fraction,
            at_rest_ml: ml(keys.accumulator),
            mixes: keys.accumulator_exchange.value,
            swept_ml: ml(keys.accumulator_swept),
            opens_pa: keys.accumulator_opens.value,
            cycle_ml: ml(keys.cycle_volume),
            cycle_s: keys.cycle_time.value,
            suction: match isolation {
                Some(valve) => Some((keys.suction_share.value, valve.ok_or("no isolation valve")?)),
                None => None,
            },
        });
    }
    Ok(())
}
