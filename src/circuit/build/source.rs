//! Where the fluid comes from: the reservoir with its outlets, and the chambers of the master cylinder.

use super::{BuildError, Builder, error};
use crate::circuit::species::{Group, Tag};
use crate::circuit::{CommonSpace, Link, Node, RESERVOIR, Reservoir};
use crate::keys::Role;
use crate::measures::to_ml;
use crate::parts::contents::Contents;
use crate::parts::passage::Passage;
use crate::scenario::model::Tables;

impl Builder<'_> {
    pub(super) fn reservoir(&mut self) -> Result<Reservoir, BuildError> {
        let s = &self.scenario.reservoir;
        let chambers = &self.scenario.master_cylinder.chambers;
        let outlets = match s.outlets.as_slice() {
            [] => chambers.clone(),
            names => names.to_vec(),
        };
        let wear = self.scenario.vehicle.pad_wear.value;
        let worn: f64 = self.scenario.parts.iter().map(|p| p.kind.worn_m3(wear)).sum();
        let level_m3 = s.level.value - if s.topped_up { 0.0 } else { worn };
        if level_m3 <= 0.0 {
            return Err(error(
                s.written.place(),
                format!(
                    "pad wear took {:.0} mL out of a reservoir that held {:.0} mL",
                    to_ml(worn),
                    to_ml(s.level.value)
                ),
                "write `topped_up = true`, or state less wear or a higher level",
            ));
        }
        for (i, name) in outlets.iter().enumerate() {
            if !chambers.contains(name) {
                self.places.insert(as_written(self.scenario, name), (RESERVOIR, Some(i)));
            }
        }
        self.nodes.push(Node {
            name: "reservoir".to_owned(),
            part: "reservoir".to_owned(),
            kind: "reservoir",
            role: Role::Reservoir,
            chamber: None,
            filling: self.filling(
                Some(&Contents { water: s.water, old_fraction: s.old_fraction, replaced: false }),
                self.scenario.old_fluid.water_reservoir,
            ),
            tag: Tag { group: Group::Reservoir, outlet: None },
        });
        Ok(Reservoir {
            compartment_m3: s.compartment.map_or(0.0, |q| q.value),
            level_m3,
            min_m3: s.min.value,
            max_m3: s.max.value,
            brim_m3: s.brim.value,
            height_m: s.height.value,
            common: CommonSpace {
                stages: s.stages.stages as usize,
                pocket_share: s.pocket.value,
                pocket_exchange: s.trade.pocket_exchange.value,
                pocket_time_s: s.trade.pocket_time.map_or(f64::INFINITY, |q| q.value),
                bypass_share: s.bypass.value,
            },
            outlets,
        })
    }

    pub(super) fn master_cylinder(&mut self, reservoir: &Reservoir) -> Result<(), BuildError> {
        let s = &self.scenario.master_cylinder;
        let contents = Contents { water: s.water, replaced: s.replaced, ..Contents::default() };
        let filling = self.filling(Some(&contents), None);
        for name in &s.chambers {
            let outlet = match reservoir.outlets.iter().position(|o| o == name) {
                Some(i) => i,
                None if reservoir.outlets.len() == 1 => 0,
                None => {
                    return Err(error(
                        s.written.place(),
                        format!("no outlet of the reservoir feeds the chamber \"{name}\""),
                        "name it in `outlets` of [reservoir]",
                    ));
                }
            };
            let node = self.nodes.len();
            let tag = Tag { group: Group::MasterCylinder, outlet: Some(outlet) };
            self.nodes.push(Node {
                name: name.clone(),
                part: name.clone(),
                kind: "master cylinder",
                role: Role::MasterCylinder,
                chamber: Some(s.mixing.chamber(s.volume.value)),
                filling,
                tag,
            });
            self.places.insert(name, (node, None));
            let hole = |bore_m: f64, length_m: f64| Passage::Orifice { bore_m, length_m };
            let port = hole(s.compensating_port.value, s.compensating_port_length.value);
            let cup =
                Passage::Check { cracking_pa: s.cup_cracking.value, bore_m: s.cup_path.value };
            let ways = match s.centre_valve {
                Some(bore) => vec![("centre valve", hole(bore.value, 0.0))],
                None => vec![("compensating port", port), ("cup", cup)],
            };
            for (what, passage) in ways {
                self.links.push(Link {
                    name: format!("{name} {what}"),
                    kind: what,
                    from: RESERVOIR,
                    to: node,
                    passage,
                    tube: None,
                    filling,
                    tag,
                    outlet: Some(outlet),
                    shut: false,
                    joint: None,
                });
            }
        }
        Ok(())
    }
}

/// The outlet's name as it stands in the scenario, so that it lives as long as the scenario does.
fn as_written<'a>(scenario: &'a Tables, name: &str) -> &'a str {
    scenario.reservoir.outlets.iter().find(|n| *n == name).map_or("", String::as_str)
}
