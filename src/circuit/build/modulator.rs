//! A hydraulic modulator's nodes and links.

use super::{BuildError, Builder, error};
use crate::circuit::modulator::{Channel, Modulator, ModulatorCircuit};
use crate::circuit::species::{Group, Tag};
use crate::circuit::{Link, Node};
use crate::keys::Role;
use crate::parts::chamber::Chamber;
use crate::parts::passage::Passage;
use crate::parts::{Kind, ModulatorSpec};
use crate::scenario::model::{Part, Tables};

/// Bore of the valves that are shut at rest and of the damper's throttle, m: nothing flows through
/// them while bleeders alone decide, and what the pump sends through them it displaces (estimate, no source).
const SHUT_BORE: f64 = 0.7e-3;
/// Cracking pressure of the pump's check valves, Pa: as above.
const PUMP_CRACKING: f64 = 5e4;

impl<'a> Builder<'a> {
    /// Adds a modulator: its nodes and links, where its lines end and where its channels start.
    pub(super) fn modulator(
        &mut self,
        p: &'a Part,
        spec: &ModulatorSpec,
    ) -> Result<Modulator, BuildError> {
        let scenario = self.scenario;
        let channels: Vec<&Part> =
            scenario.parts.iter().filter(|q| q.from.contains(&p.name)).collect();
        let first = match &p.kind {
            Kind::Modulator(m) => &m.first_circuit[..],
            _ => &[],
        };
        let wrong = |what: String, remedy: &str| Err(error(p.written.place(), what, remedy));
        if channels.is_empty() {
            return wrong(
                format!("nothing starts from the modulator \"{}\"", p.name),
                "let the line of each of its channels start from it",
            );
        }
        let of: Vec<Vec<&Part>> = match p.from.as_slice() {
            [_] => vec![channels],
            [_, _] => {
                let (a, b): (Vec<_>, Vec<_>) =
                    channels.into_iter().partition(|c| first.contains(&c.name));
                vec![a, b]
            }
            _ => {
                return wrong(
                    format!("the modulator \"{}\" has {} inlets", p.name, p.from.len()),
                    "name one line in `from` for each of its one or two circuits",
                );
            }
        };
        if of.iter().any(Vec::is_empty) {
            return wrong(
                format!("a circuit of the modulator \"{}\" has no channel", p.name),
                "let `first_circuit` name some of its channels, but not all",
            );
        }
        let names = circuit_names(scenario, p);
        let several = scenario.parts.iter().filter(|q| q.role() == Role::Modulator).count() > 1;
        let circuits = of.iter().zip(&names).map(|(channels, name)| {
            // Short enough for a table: the unit's name only where it is needed.
            let title = match (names.len() > 1, several) {
                (false, _) => p.name.clone(),
                (true, false) => name.clone(),
                (true, true) => format!("{} {name}", p.name),
            };
            self.modulator_circuit(p, spec, channels, &title)
        });
        let modulator = Modulator { name: p.name.clone(), circuits: circuits.collect() };
        if let [only] = modulator.circuits.as_slice() {
            self.places.insert(&p.name, (only.common, None));
        }
        Ok(modulator)
    }

    fn modulator_circuit(
        &mut self,
        p: &'a Part,
        spec: &ModulatorSpec,
        channels: &[&'a Part],
        title: &str,
    ) -> ModulatorCircuit {
        let name = &p.name;
        let orifice = |bore_m: f64| Passage::Orifice { bore_m, length_m: 0.0 };
        let check = Passage::Check { cracking_pa: PUMP_CRACKING, bore_m: SHUT_BORE };
        let common = self.inner_node(p, format!("{title} gallery"), None);
        let accumulator =
            self.inner_node(p, format!("{title} accumulator"), Some(spec.accumulator));
        let pump = self.inner_node(p, format!("{title} pump"), Some(Chamber::mixed(spec.pump_m3)));
        let damper = self.inner_node(p, format!("{title} damper"), spec.damper);
        self.inner_link(p, "pump inlet", (accumulator, pump), check, false);
        let outlet = self.inner_link(p, "pump outlet", (pump, damper), check, false);
        let throttle = self.inner_link(p, "throttle", (damper, common), orifice(SHUT_BORE), false);
        let (mut entry, mut isolation, mut suction) = (common, None, Vec::new());
        if let Some(bore) = spec.isolation_m {
            entry = self.inner_node(p, format!("{title} inlet"), None);
            let ends = (entry, common);
            isolation = Some(self.inner_link(p, "isolation valve", ends, orifice(bore), false));
            let ends = (entry, pump);
            let valve = self.inner_link(p, "suction valve", ends, orifice(SHUT_BORE), true);
            suction = vec![valve, outlet, throttle];
        }
        let channels = channels.iter().map(|line| {
            let passage =
                self.inner_node(p, format!("{name} to {}", line.name), Some(spec.passage));
            let what = format!("inlet valve to {}", line.name);
            let inlet = self.inner_link(p, &what, (common, passage), orifice(spec.inlet_m), false);
            let what = format!("outlet valve to {}", line.name);
            self.inner_link(p, &what, (passage, accumulator), orifice(SHUT_BORE), true);
            self.channels.insert(&line.name, passage);
            Channel { name: line.name.clone(), passage, inlet, bleeders: Vec::new() }
        });
        ModulatorCircuit {
            channels: channels.collect(),
            entry,
            common,
            accumulator,
            pump,
            damper,
            isolation,
            suction,
            supply: Vec::new(),
            dead_m3: spec.accumulator.volume_m3,
            opens_pa: spec.opens_pa,
            swept_m3: spec.swept_m3,
            cycle_m3: spec.cycle_m3.min(spec.swept_m3),
            cycle_s: spec.cycle_s,
            suction_share: spec.suction_share,
        }
    }

    fn inner_node(&mut self, p: &Part, name: String, chamber: Option<Chamber>) -> usize {
        self.nodes.push(Node {
            name,
            part: p.name.clone(),
            kind: p.word(),
            role: p.role(),
            chamber,
            filling: self.filling_of(p),
            tag: Tag { group: Group::of(p.role()), outlet: None },
        });
        self.nodes.len() - 1
    }

    fn inner_link(
        &mut self,
        p: &Part,
        what: &str,
        (from, to): (usize, usize),
        passage: Passage,
        shut: bool,
    ) -> usize {
        self.links.push(Link {
            name: format!("{} {what}", p.name),
            kind: "valve",
            from,
            to,
            passage,
            tube: None,
            filling: self.filling_of(p),
            tag: Tag { group: Group::Modulator, outlet: None },
            outlet: None,
            shut,
            joint: None,
        });
        self.links.len() - 1
    }
}

/// What to call a modulator's circuits: by the chamber that feeds each, or, if one feeds both, by the
/// line.
fn circuit_names(scenario: &Tables, p: &Part) -> Vec<String> {
    let chamber = |line: &String| {
        let mut at = line;
        // No chain is longer than there are parts.
        for _ in 0..=scenario.parts.len() {
            match scenario.parts.iter().find(|q| q.name == *at).and_then(|q| q.from.first()) {
                Some(before) => at = before,
                None => break,
            }
        }
        at.clone()
    };
    let chambers: Vec<String> = p.from.iter().map(chamber).collect();
    let alike = chambers.iter().any(|c| chambers.iter().filter(|d| *d == c).count() > 1);
    if alike { p.from.clone() } else { chambers }
}
