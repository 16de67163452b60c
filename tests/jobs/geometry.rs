//! From a circuit to the reference's car: volumes and what fills them.

use super::reference::*;
use farwheel::Scenario;
use farwheel::circuit::species::Group;
use farwheel::circuit::{Circuit, Node, paths, reach};
use farwheel::parts::Kind;

/// Species of the reference, after the old fraction: the names of the origins.
pub const ORIGINS: [&str; 7] = [
    "reservoir",
    "master cylinder",
    "hydraulic modulator",
    "shared line",
    "own line",
    "caliper",
    "new fluid",
];

/// The old fraction and the origins of something filled from one group; `None`: new fluid.
pub fn composition(old: Option<(Group, f64)>) -> Composition {
    let (group, fraction) = old.map_or((None, 0.0), |(g, f)| (Some(g.name()), f));
    let share = |name: &str| match name {
        "new fluid" => 1.0 - fraction,
        _ if Some(name) == group => fraction,
        _ => 0.0,
    };
    std::iter::once(fraction).chain(ORIGINS.iter().map(|name| share(name))).collect()
}

/// Where the circuit's links and nodes stand among the reference's parts.
#[derive(Default)]
pub struct Index {
    /// Part of each link.
    pub links: Vec<Option<usize>>,
    /// Part of each node.
    pub nodes: Vec<Option<usize>>,
}

/// The parts, and where they stand; says what the reference cannot express.
pub fn parts(
    circuit: &Circuit,
    scenario: &Scenario,
) -> Result<(Vec<ReferencePart>, Index), String> {
    let mut parts = Vec::new();
    let mut index = Index::default();
    let link_on = reach::reached(circuit).1;
    for (link, on) in circuit.links.iter().zip(&link_on) {
        if !on {
            // Shut, or a dead end: whatever is there stays.
            index.links.push(None);
            continue;
        }
        let others = circuit.links.iter().zip(&link_on).filter(|(_, on)| **on);
        let ways_in = others.filter(|(l, _)| l.to == link.to && l.from != link.from);
        if ways_in.count() > 0 {
            return Err(format!("\"{}\" is part of a loop", link.name));
        }
        index.links.push(link.tube.map(|_| parts.len()));
        let Some(tube) = link.tube else { continue };
        if tube.plug {
            return Err(format!("\"{}\" moves as a plug", link.name));
        }
        parts.push(ReferencePart {
            name: link.name.clone(),
            kind: ReferenceKind::Line {
                volume_ml: 1e6 * tube.volume_m3,
                remix: tube.remix,
                joint: joint(scenario, &link.name).unwrap_or(1.0),
            },
            content: composition(Some((link.tag.group, link.filling.old_fraction))),
        });
    }
    for node in &circuit.nodes {
        index.nodes.push(node.chamber.map(|_| parts.len()));
        if node.chamber.is_some() {
            parts.push(chamber(node)?);
        }
    }
    Ok((parts, index))
}

/// Degree to which the cross-section is mixed where a line or hose runs on from another, if it does. As the file
/// says; else not at all between two of one kind whose bores differ by 4 % at most, and fully otherwise.
pub fn joint(scenario: &Scenario, line: &str) -> Option<f64> {
    let tube = |name: &str| {
        let part = scenario.parts.iter().find(|p| p.name == name)?;
        let bore = match &part.kind {
            Kind::Line(line) => line.bore,
            Kind::Hose(hose) => hose.bore,
            _ => return None,
        };
        Some((part, bore.value))
    };
    let (here, b) = tube(line)?;
    let (before, a) = here.from.iter().find_map(|name| tube(name))?;
    let alike = before.word() == here.word() && (a - b).abs() <= 0.04 * a.max(b);
    let default = if alike { 0.0 } else { 1.0 };
    Some(here.kind.run()?.joint_remix.map_or(default, |q| q.value))
}

fn chamber(node: &Node) -> Result<ReferencePart, String> {
    let c = node.chamber.ok_or("no chamber")?;
    Ok(ReferencePart {
        name: node.name.clone(),
        kind: ReferenceKind::Mixed(Chamber {
            volume_ml: 1e6 * c.volume_m3,
            stages: c.stages,
            pocket_share: c.pocket_share,
            // Counted by what passes the stages there, by what is drained here.
            pocket_exchange: c.pocket_exchange * (1.0 - c.bypass_share),
            bypass_share: c.bypass_share,
            pocket_s: c.pocket_time_s,
        }),
        content: composition(Some((node.tag.group, node.filling.old_fraction))),
    })
}

/// The way to a bleeder.
pub fn path(circuit: &Circuit, bleeder: &str, index: &Index) -> ReferencePath {
    let number = circuit.bleeder(bleeder).expect("a bleeder of this circuit");
    let links = &circuit.bleeders[number].path;
    let nodes = paths::path_nodes(circuit, number);
    let parts = links.iter().zip(nodes).flat_map(|(l, n)| [index.links[*l], index.nodes[n]]);
    ReferencePath {
        bleeder: bleeder.to_owned(),
        compartment: circuit.links[links[0]].outlet.expect("a path begins at an outlet"),
        parts: parts.flatten().collect(),
    }
}
