//! Where the fluid comes from: the reservoir with its outlets, and the chambers of the master cylinder.

use super::{BuildError, Builder, error};
use crate::circuit::chamber::Chamber;
use crate::circuit::parts;
use crate::circuit::passage::Passage;
use crate::circuit::species::{Group, Tag};
use crate::circuit::{Link, Node, RESERVOIR, Reservoir};
use crate::measures::to_ml;
use crate::scenario::model::Scenario;
use crate::scenario::spec::Role;

impl Builder<'_> {
    pub(super) fn reservoir(&mut self) -> Result<Reservoir, BuildError> {
        let s = &self.scenario.reservoir;
        let chambers = self.scenario.master_cylinder.names("chambers");
        let outlets = match s.names("outlets") {
            [] => chambers.to_vec(),
            names => names.to_vec(),
        };
        let worn: f64 = self
            .scenario
            .parts
            .iter()
            .filter_map(|p| parts::kind(p.kind).map(|k| (k.worn_m3)(&p.section, self.vehicle)))
            .sum();
        let level_m3 = s.si("level") - if s.flag("topped_up") { 0.0 } else { worn };
        if level_m3 <= 0.0 {
            return Err(error(
                s.line,
                format!(
                    "pad wear took {:.0} mL out of a reservoir that held {:.0} mL",
                    to_ml(worn),
                    to_ml(s.si("level"))
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
            filling: self.filling_at(s, "water_reservoir"),
            tag: Tag { group: Group::Reservoir, outlet: None },
        });
        Ok(Reservoir {
            compartment_m3: s.find_si("compartment").unwrap_or(0.0),
            level_m3,
            min_m3: s.si("min"),
            max_m3: s.si("max"),
            brim_m3: s.si("brim"),
            height_m: s.si("height"),
            outlets,
        })
    }

    pub(super) fn master_cylinder(&mut self, reservoir: &Reservoir) -> Result<(), BuildError> {
        let s = &self.scenario.master_cylinder;
        for name in s.names("chambers") {
            let outlet = match reservoir.outlets.iter().position(|o| o == name) {
                Some(i) => i,
                None if reservoir.outlets.len() == 1 => 0,
                None => {
                    return Err(error(
                        s.line,
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
                chamber: Some(Chamber::with_pocket(s.si("volume"), s)),
                filling: self.filling(s),
                tag,
            });
            self.places.insert(name, (node, None));
            let port = Passage::Orifice { bore_m: s.si("compensating_port") };
            let cup =
                Passage::Check { cracking_pa: s.si("cup_cracking"), bore_m: s.si("cup_path") };
            for (what, passage) in [("compensating port", port), ("cup", cup)] {
                self.links.push(Link {
                    name: format!("{name} {what}"),
                    kind: what,
                    from: RESERVOIR,
                    to: node,
                    passage,
                    tube: None,
                    filling: self.filling(s),
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
fn as_written<'a>(scenario: &'a Scenario, name: &str) -> &'a str {
    scenario.reservoir.names("outlets").iter().find(|n| *n == name).map_or("", String::as_str)
}
