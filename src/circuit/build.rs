//! From a checked scenario to the circuit.

mod joints;
mod modulator;
mod source;

use super::modulator::Modulator;
use super::species::{Group, Tag};
use super::{Bleeder, Circuit, Filling, Link, Node, paths};
use crate::fluid::blend::{Fluid, mixed_water_percent};
use crate::keys::{Place, Quantity, Role};
use crate::parts::Built;
use crate::parts::chamber::Chamber;
use crate::parts::contents::Contents;
use crate::parts::passage::Passage;
use crate::scenario::model::{Part, Tables};
use std::collections::HashMap;
use std::fmt;
use std::ops::Range;

/// A circuit that cannot be built from the parts given.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BuildError {
    /// Where in the scenario.
    pub line: Place,
    /// Bytes of the scenario file, or of what was set over it (empty if built in code).
    pub span: Range<usize>,
    /// What is wrong.
    pub what: String,
    /// What would be right.
    pub remedy: String,
}

impl fmt::Display for BuildError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if self.line != Place::Nowhere {
            write!(f, "{}: ", self.line)?;
        }
        write!(f, "{}: {}", self.what, self.remedy)
    }
}

impl std::error::Error for BuildError {}

fn error((line, span): (Place, Range<usize>), what: String, remedy: &str) -> BuildError {
    BuildError { line, span, what, remedy: remedy.to_owned() }
}

/// Where a name can be reached: a node, and the reservoir outlet if the node is the reservoir.
type Start = (usize, Option<usize>);

struct Builder<'a> {
    scenario: &'a Tables,
    nodes: Vec<Node>,
    links: Vec<Link>,
    /// Where a part or chamber of this name can be reached.
    places: HashMap<&'a str, Start>,
    /// The modulator's node that a channel of this name starts from.
    channels: HashMap<&'a str, usize>,
}

impl Circuit {
    /// Builds the circuit of a scenario.
    ///
    /// # Errors
    /// If the parts do not join to a circuit in which every bleeder is reached.
    pub(super) fn build(scenario: &Tables) -> Result<Self, BuildError> {
        let mut b = Builder {
            scenario,
            nodes: Vec::new(),
            links: Vec::new(),
            places: HashMap::new(),
            channels: HashMap::new(),
        };
        let reservoir = b.reservoir()?;
        b.master_cylinder(&reservoir)?;
        let built = b.built_parts();
        let modulators = b.modulators(&built)?;
        b.node_parts(&built)?;
        b.through_parts(&built)?;
        let bleeders = b.bleeders(&built);
        let mut circuit =
            Circuit { reservoir, nodes: b.nodes, links: b.links, bleeders, modulators };
        joints::settle(&mut circuit, scenario)?;
        paths::find_all(&mut circuit).map_err(|bleeder| {
            let part = scenario.parts.iter().find(|p| p.bleeders.contains(&bleeder));
            error(
                part.map_or((Place::Nowhere, 0..0), |p| p.written.place()),
                format!("no path leads from the reservoir to the bleeder \"{bleeder}\""),
                "let the chain of `from` end at a chamber of the master cylinder",
            )
        })?;
        Ok(circuit)
    }
}

impl<'a> Builder<'a> {
    /// Where no water is stated, it is that of the old fluid (which may have a figure of its own, `here`) and of new
    /// fluid, each by its share.
    fn filling(&self, contents: Option<&Contents>, here: Option<Quantity>) -> Filling {
        let (old, new) = (&self.scenario.old_fluid, &self.scenario.new_fluid);
        let here = here.unwrap_or(old.water).value;
        let stated = contents.and_then(|c| c.old_fraction).map(|q| q.value);
        // What was replaced was filled with new fluid.
        let old_fraction = stated.or(contents.filter(|c| c.replaced).map(|_| 0.0));
        let water_share = match (contents.and_then(|c| c.water), old_fraction) {
            (Some(stated), _) => stated.value,
            (None, None) => here,
            (None, Some(share)) => {
                let old = Fluid { water_percent: 100.0 * here, ..old.fluid() };
                0.01 * mixed_water_percent(share, &old, &new.fluid())
            }
        };
        Filling { old_fraction: old_fraction.unwrap_or(1.0), water_share }
    }

    fn filling_of(&self, p: &Part) -> Filling {
        let here = match Group::of(p.role()) {
            Group::WheelBrake => self.scenario.old_fluid.water_wheel_brakes,
            _ => None,
        };
        self.filling(p.kind.contents(), here)
    }

    fn built_parts(&self) -> Vec<Built> {
        let pad_wear = self.scenario.vehicle.pad_wear.value;
        self.scenario.parts.iter().map(|p| p.kind.build(pad_wear)).collect()
    }

    /// Gives every node part its node; a through part that it comes from ends there.
    fn node_parts(&mut self, built: &[Built]) -> Result<(), BuildError> {
        for (p, made) in self.scenario.parts.iter().zip(built) {
            if let Built::Halves { half, crossovers, .. } = made {
                self.halves(p, *half, crossovers)?;
            }
            let Built::Node { chamber, .. } = made else { continue };
            let node = self.nodes.len();
            self.nodes.push(Node {
                name: p.name.clone(),
                part: p.name.clone(),
                kind: p.word(),
                role: p.role(),
                chamber: *chamber,
                filling: self.filling_of(p),
                tag: Tag { group: Group::of(p.role()), outlet: None },
            });
            self.places.insert(&p.name, (node, None));
        }
        for (p, made) in self.scenario.parts.iter().zip(built) {
            if matches!(made, Built::Through { .. } | Built::Modulator(_)) {
                continue;
            }
            let node = self.places[p.name.as_str()].0;
            for from in &p.from {
                self.ends_in(built, p, from, node)?;
            }
        }
        Ok(())
    }

    /// Two nodes named after their bleeders and the passages between them; the part itself is
    /// reached at the first.
    fn halves(
        &mut self,
        p: &'a Part,
        half: Chamber,
        crossovers: &[Passage],
    ) -> Result<(), BuildError> {
        if p.bleeders.len() != 2 {
            return Err(error(
                p.written.place(),
                format!("\"{}\" has {} bleeder(s) named, not two", p.name, p.bleeders.len()),
                "add `bleeders = [\"… inner\", \"… outer\"]`, that of the half with the inlet first",
            ));
        }
        let first = self.nodes.len();
        let filling = self.filling_of(p);
        let tag = Tag { group: Group::of(p.role()), outlet: None };
        self.nodes.extend(p.bleeders.iter().map(|name| Node {
            name: name.clone(),
            part: p.name.clone(),
            kind: p.word(),
            role: p.role(),
            chamber: Some(half),
            filling,
            tag,
        }));
        self.places.insert(&p.name, (first, None));
        self.links.extend(crossovers.iter().map(|&passage| Link {
            name: format!("{} crossover", p.name),
            kind: "crossover",
            from: first,
            to: first + 1,
            passage,
            tube: None,
            filling,
            tag,
            outlet: None,
            shut: false,
            joint: None,
        }));
        Ok(())
    }

    /// Lets the line, hose or valve that `p` comes from end in `node`.
    fn ends_in(
        &mut self,
        built: &[Built],
        p: &Part,
        from: &str,
        node: usize,
    ) -> Result<(), BuildError> {
        let through = self
            .scenario
            .parts
            .iter()
            .zip(built)
            .find(|(q, m)| q.name == from && matches!(m, Built::Through { .. }));
        let Some((q, _)) = through else {
            return Err(error(
                p.written.place(),
                format!("\"{}\" comes straight from \"{from}\"", p.name),
                "put a line or hose between them",
            ));
        };
        if q.to.as_ref().is_some_and(|to| *to != p.name) {
            return Err(error(
                q.written.place(),
                format!("\"{}\" ends in two places", q.name),
                "drop its `to`, or branch with a tee",
            ));
        }
        if self.places.insert(&q.name, (node, None)).is_some() {
            return Err(error(
                p.written.place(),
                format!("\"{from}\" already ends in another part"),
                "branch with a tee",
            ));
        }
        Ok(())
    }

    /// Gives every modulator its nodes and valves; the lines it comes from end there.
    fn modulators(&mut self, built: &[Built]) -> Result<Vec<Modulator>, BuildError> {
        let mut modulators = Vec::new();
        for (p, made) in self.scenario.parts.iter().zip(built) {
            let Built::Modulator(spec) = made else { continue };
            let modulator = self.modulator(p, spec)?;
            for (from, circuit) in p.from.iter().zip(&modulator.circuits) {
                self.ends_in(built, p, from, circuit.entry)?;
            }
            modulators.push(modulator);
        }
        Ok(modulators)
    }

    fn through_parts(&mut self, built: &[Built]) -> Result<(), BuildError> {
        for (p, made) in self.scenario.parts.iter().zip(built) {
            if !matches!(made, Built::Through { .. }) || self.places.contains_key(p.name.as_str()) {
                continue;
            }
            let end = match &p.to {
                Some(to) => self.place(p, to)?,
                None => {
                    self.nodes.push(Node {
                        name: p.name.clone(),
                        part: p.name.clone(),
                        kind: "joint",
                        role: Role::Joint,
                        chamber: None,
                        filling: self.filling_of(p),
                        tag: Tag { group: Group::SharedLine, outlet: None },
                    });
                    (self.nodes.len() - 1, None)
                }
            };
            self.places.insert(&p.name, end);
        }
        for (p, made) in self.scenario.parts.iter().zip(built) {
            let Built::Through { passage, tube } = made else { continue };
            let [from] = p.from.as_slice() else {
                return Err(error(
                    p.written.place(),
                    format!("\"{}\" has {} beginnings", p.name, p.from.len()),
                    "a line, hose or valve comes from exactly one part; join several with a tee",
                ));
            };
            let (start, outlet) = match self.channels.get(p.name.as_str()) {
                Some(&passage) => (passage, None),
                None => self.place(p, from)?,
            };
            let (end, _) = self.place(p, &p.name)?;
            if start == end {
                return Err(error(
                    p.written.place(),
                    format!("\"{}\" begins and ends in the same place", p.name),
                    "let `from` and `to` name two different parts",
                ));
            }
            self.links.push(Link {
                name: p.name.clone(),
                kind: p.word(),
                from: start,
                to: end,
                passage: *passage,
                tube: *tube,
                filling: self.filling_of(p),
                tag: Tag { group: Group::SharedLine, outlet },
                outlet,
                shut: false,
                // As stated; `joints` settles it.
                joint: p.kind.run().and_then(|r| r.joint_remix).map(|q| q.value),
            });
        }
        Ok(())
    }

    fn place(&self, part: &Part, name: &str) -> Result<Start, BuildError> {
        self.places.get(name).copied().ok_or_else(|| {
            error(
                part.written.place(),
                format!("\"{}\" refers to \"{name}\", which is no part of this circuit", part.name),
                "name a part or a chamber of the master cylinder",
            )
        })
    }

    fn bleeders(&self, built: &[Built]) -> Vec<Bleeder> {
        let parts = self.scenario.parts.iter().zip(built);
        let hose = &self.scenario.clear_hose;
        let hose_bore_and_length_m = (hose.bore.value, hose.length.value);
        parts
            .filter_map(|(p, made)| match made {
                Built::Node { screw: Some(screw), .. } => Some((p, screw, 0)),
                Built::Halves { screw, .. } => Some((p, screw, 1)),
                _ => None,
            })
            .flat_map(|(p, screw, apart)| {
                let node = self.places[p.name.as_str()].0;
                p.bleeders.iter().enumerate().map(move |(i, name)| Bleeder {
                    name: name.clone(),
                    node: node + apart * i,
                    passage: screw.passage(hose_bore_and_length_m),
                    height_m: screw.height.value,
                    outlet_m: screw.height.value + hose.outlet_m(),
                    path: Vec::new(),
                })
            })
            .collect()
    }
}
