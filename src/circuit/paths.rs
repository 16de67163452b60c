//! Ways from the reservoir to the bleeders, and what no bleeder reaches.

use super::species::{Group, Tag};
use super::{Circuit, RESERVOIR};
use crate::keys::Role;

/// Finds each bleeder's path, and from them which circuit and group every part belongs to.
///
/// # Errors
/// The name of a bleeder that no path reaches.
pub(super) fn find_all(circuit: &mut Circuit) -> Result<(), String> {
    let (reached, by) = shortest(circuit);
    for i in 0..circuit.bleeders.len() {
        let b = &circuit.bleeders[i];
        if !reached[b.node].is_finite() {
            return Err(b.name.clone());
        }
        let mut path = Vec::new();
        let mut node = b.node;
        while let Some(link) = by[node] {
            path.push(link);
            node = other_end(circuit, link, node);
        }
        path.reverse();
        circuit.bleeders[i].path = path;
    }
    tag(circuit, &by);
    modulators(circuit, &by);
    Ok(())
}

fn other_end(circuit: &Circuit, link: usize, node: usize) -> usize {
    let l = &circuit.links[link];
    if l.from == node { l.to } else { l.from }
}

/// Volume from the reservoir to each node (infinite if unreached) and the link it is reached by.
fn shortest(circuit: &Circuit) -> (Vec<f64>, Vec<Option<usize>>) {
    let n = circuit.nodes.len();
    let (mut far, mut by) = (vec![f64::INFINITY; n], vec![None; n]);
    far[RESERVOIR] = 0.0;
    // Bellman–Ford: circuits are small, and it needs no queue.
    for _ in 0..n {
        for (i, l) in circuit.links.iter().enumerate().filter(|(_, l)| !l.shut) {
            let through = l.tube.map_or(0.0, |t| t.volume_m3);
            let ends: &[(usize, usize)] =
                if matches!(l.passage, crate::parts::passage::Passage::Check { .. }) {
                    &[(l.from, l.to)]
                } else {
                    &[(l.from, l.to), (l.to, l.from)]
                };
            for &(a, b) in ends {
                let held = circuit.nodes[b].chamber.map_or(0.0, |c| c.volume_m3);
                if far[a] + through + held < far[b] {
                    far[b] = far[a] + through + held;
                    by[b] = Some(i);
                }
            }
        }
    }
    (far, by)
}

fn tag(circuit: &mut Circuit, by: &[Option<usize>]) {
    // Parts with a bleeder served by each link; the bleeders of one caliper share its own line.
    let mut users = vec![Vec::new(); circuit.links.len()];
    for b in &circuit.bleeders {
        let part = &circuit.nodes[b.node].part;
        for &l in &b.path {
            if !users[l].contains(part) {
                users[l].push(part.clone());
            }
        }
    }
    let outlet_of = |circuit: &Circuit, mut node: usize| {
        let mut outlet = None;
        while let Some(l) = by[node] {
            outlet = circuit.links[l].outlet;
            node = other_end(circuit, l, node);
        }
        outlet
    };
    for i in 1..circuit.nodes.len() {
        let outlet = outlet_of(circuit, i);
        circuit.nodes[i].tag.outlet = outlet;
    }
    for (i, users) in users.iter().enumerate() {
        if circuit.links[i].tube.is_none() {
            continue;
        }
        let group = if users.len() >= 2 { Group::SharedLine } else { Group::OwnLine };
        let outlet = outlet_of(circuit, circuit.links[i].to);
        circuit.links[i].tag = Tag { group, outlet };
    }
}

/// Finds how each modulator's circuits are fed and which bleeders each channel serves.
fn modulators(circuit: &mut Circuit, by: &[Option<usize>]) {
    let mut modulators = std::mem::take(&mut circuit.modulators);
    for c in modulators.iter_mut().flat_map(|m| &mut m.circuits) {
        let mut node = c.common;
        while let Some(link) = by[node] {
            c.supply.push((link, circuit.links[link].to != node));
            node = other_end(circuit, link, node);
        }
        c.supply.reverse();
        // Nothing leads into them at rest, but they are of the same brake circuit.
        for node in c.trapped() {
            circuit.nodes[node].tag.outlet = circuit.nodes[c.common].tag.outlet;
        }
        for channel in &mut c.channels {
            let behind = |b: &usize| circuit.bleeders[*b].path.contains(&channel.inlet);
            channel.bleeders = (0..circuit.bleeders.len()).filter(behind).collect();
        }
    }
    circuit.modulators = modulators;
}

/// Nodes that fluid from these can reach without passing the reservoir.
fn reached_from(circuit: &Circuit, sources: &[usize]) -> Vec<bool> {
    let inner = |l: &&super::Link| l.from != RESERVOIR && l.to != RESERVOIR && !l.shut;
    let mut after = vec![Vec::new(); circuit.nodes.len()];
    for l in circuit.links.iter().filter(inner) {
        after[l.from].push(l.to);
        if !matches!(l.passage, crate::parts::passage::Passage::Check { .. }) {
            after[l.to].push(l.from);
        }
    }
    let mut reached = vec![false; circuit.nodes.len()];
    let mut next = sources.to_vec();
    while let Some(node) = next.pop() {
        if !std::mem::replace(&mut reached[node], true) {
            next.extend(&after[node]);
        }
    }
    reached
}

/// Chambers of the master cylinder (their nodes) from which fluid reaches one of these bleeders without
/// passing the reservoir.
pub fn chambers_of(circuit: &Circuit, bleeders: &[usize]) -> Vec<usize> {
    let chambers = circuit.nodes.iter().enumerate().filter(|(_, n)| n.role == Role::MasterCylinder);
    chambers
        .map(|(node, _)| node)
        .filter(|&node| {
            let reached = reached_from(circuit, &[node]);
            bleeders.iter().any(|&b| reached[circuit.bleeders[b].node])
        })
        .collect()
}

/// Nodes and links (as two masks) that lie on some way from the reservoir to one of these bleeders.
/// Dead ends are cut off one after another, so parts that hang on a loop remain.
pub fn live(circuit: &Circuit, bleeders: &[usize]) -> (Vec<bool>, Vec<bool>) {
    let open = circuit.links.iter().map(|l| !l.shut).collect();
    cut_back(circuit, &[RESERVOIR], bleeders, open)
}

/// As [`live`], with the ways out of these chambers while the ports to the reservoir are shut. Between two
/// of them, which stand at one pressure, nothing flows: a way counts only if it leads to a bleeder without
/// passing another of them.
pub fn live_from_chambers(
    circuit: &Circuit,
    chambers: &[usize],
    bleeders: &[usize],
) -> (Vec<bool>, Vec<bool>) {
    let reached = reached_from(circuit, chambers);
    let inside = |n: usize| n != RESERVOIR && reached[n];
    let mut at = vec![Vec::new(); circuit.nodes.len()];
    for (i, l) in circuit.links.iter().enumerate() {
        if !l.shut && inside(l.from) && inside(l.to) {
            at[l.from].push(i);
            at[l.to].push(i);
        }
    }
    let mut on = vec![false; circuit.links.len()];
    let mut seen = vec![false; circuit.nodes.len()];
    let mut next: Vec<usize> = bleeders.iter().map(|&b| circuit.bleeders[b].node).collect();
    while let Some(node) = next.pop() {
        if std::mem::replace(&mut seen[node], true) || chambers.contains(&node) {
            continue;
        }
        for &i in &at[node] {
            on[i] = true;
            next.push(other_end(circuit, i, node));
        }
    }
    let (mut nodes, links) = cut_back(circuit, chambers, bleeders, on);
    // A bleeder that nothing pushes stays off, and a chamber that pushes none.
    let mut joined = vec![false; circuit.nodes.len()];
    for (l, _) in circuit.links.iter().zip(&links).filter(|(_, on)| **on) {
        joined[l.from] = true;
        joined[l.to] = true;
    }
    nodes.iter_mut().zip(joined).for_each(|(on, joined)| *on &= joined);
    (nodes, links)
}

fn cut_back(
    circuit: &Circuit,
    sources: &[usize],
    bleeders: &[usize],
    mut link_on: Vec<bool>,
) -> (Vec<bool>, Vec<bool>) {
    let mut fixed = vec![false; circuit.nodes.len()];
    for &node in sources {
        fixed[node] = true;
    }
    for &b in bleeders {
        fixed[circuit.bleeders[b].node] = true;
    }
    loop {
        // A node with one neighbour leads nowhere, however many links join the two: port and cup between the
        // reservoir and one chamber are one way only.
        let mut neighbour = vec![None; circuit.nodes.len()];
        let mut several = fixed.clone();
        for (l, _) in circuit.links.iter().zip(&link_on).filter(|(_, on)| **on) {
            for (n, other) in [(l.from, l.to), (l.to, l.from)] {
                several[n] |= *neighbour[n].get_or_insert(other) != other;
            }
        }
        let mut cut = false;
        for (l, on) in circuit.links.iter().zip(&mut link_on) {
            if *on && !(several[l.from] && several[l.to]) {
                *on = false;
                cut = true;
            }
        }
        if !cut {
            break;
        }
    }
    let mut node_on = fixed;
    for (l, _) in circuit.links.iter().zip(&link_on).filter(|(_, on)| **on) {
        node_on[l.from] = true;
        node_on[l.to] = true;
    }
    (node_on, link_on)
}

/// Volume along the path to a bleeder, from the reservoir's outlet on, m³.
pub fn path_volume_m3(circuit: &Circuit, bleeder: usize) -> f64 {
    let b = &circuit.bleeders[bleeder];
    let links: f64 =
        b.path.iter().filter_map(|&l| circuit.links[l].tube).map(|t| t.volume_m3).sum();
    let nodes: f64 = path_nodes(circuit, bleeder)
        .iter()
        .filter_map(|&n| circuit.nodes[n].chamber)
        .map(|c| c.volume_m3)
        .sum();
    links + nodes
}

/// Nodes along the path to a bleeder, the reservoir left out.
pub fn path_nodes(circuit: &Circuit, bleeder: usize) -> Vec<usize> {
    let mut node = RESERVOIR;
    circuit.bleeders[bleeder]
        .path
        .iter()
        .map(|&l| {
            node = other_end(circuit, l, node);
            node
        })
        .collect()
}
