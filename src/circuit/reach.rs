//! What no bleeder reaches: decided by the circuit's graph alone, whatever flows and volumes are.

use super::{Circuit, RESERVOIR};

/// The nodes and links (as two masks) through which fluid can run from the reservoir to some bleeder
/// with every valve at rest.
///
/// A link lies on such a way exactly if a path that meets no node twice leads from the reservoir through
/// it to a bleeder. With one more node joined to every bleeder, and one more link from there back to the
/// reservoir, these are the links in the same block (biconnected component) as that link. So dead
/// ends are left out, and loops that hang on a single node too.
///
/// Blocks: J. Hopcroft, R. Tarjan, Commun. ACM 16 (1973) 372, algorithm 447; from memory.
pub fn reached(circuit: &Circuit) -> (Vec<bool>, Vec<bool>) {
    let beyond = circuit.nodes.len();
    let mut ends: Vec<(usize, usize)> = circuit.links.iter().map(|l| (l.from, l.to)).collect();
    ends.extend(circuit.bleeders.iter().map(|b| (b.node, beyond)));
    ends.push((beyond, RESERVOIR));
    let mut at = vec![Vec::new(); beyond + 1];
    for (i, (a, b)) in ends.iter().enumerate() {
        if circuit.links.get(i).is_some_and(|l| l.shut) {
            continue;
        }
        at[*a].push((i, *b));
        at[*b].push((i, *a));
    }
    let block = block_of(&at, beyond, ends.len() - 1, ends.len());
    let links: Vec<bool> = block[..circuit.links.len()].to_vec();
    let mut nodes = vec![false; beyond];
    nodes[RESERVOIR] = true;
    for (l, _) in circuit.links.iter().zip(&links).filter(|(_, on)| **on) {
        nodes[l.from] = true;
        nodes[l.to] = true;
    }
    (nodes, links)
}

/// The links in one block with link `wanted`, which starts at node `start`: a depth-first search that
/// stacks links and cuts a block off where nothing below leads back above.
fn block_of(at: &[Vec<(usize, usize)>], start: usize, wanted: usize, links: usize) -> Vec<bool> {
    let mut depth = vec![usize::MAX; at.len()];
    let mut low = vec![usize::MAX; at.len()];
    let mut used = vec![false; links];
    let mut stack = Vec::new();
    // Node, the link it was entered by, how many of its neighbours have been looked at.
    let mut way = vec![(start, usize::MAX, 0_usize)];
    depth[start] = 0;
    low[start] = 0;
    while let Some(&(node, by, next)) = way.last() {
        if let Some(&(link, other)) = at[node].get(next) {
            way.last_mut().expect("it has just been looked at").2 += 1;
            if used[link] {
                continue;
            }
            used[link] = true;
            stack.push(link);
            if depth[other] == usize::MAX {
                depth[other] = way.len();
                low[other] = way.len();
                way.push((other, link, 0));
            } else {
                low[node] = low[node].min(depth[other]);
            }
            continue;
        }
        way.pop();
        let Some(&(above, _, _)) = way.last() else { break };
        low[above] = low[above].min(low[node]);
        if low[node] >= depth[above] {
            let cut = stack.iter().rposition(|l| *l == by).unwrap_or(0);
            let block = stack.split_off(cut);
            if block.contains(&wanted) {
                let mut mask = vec![false; links];
                block.into_iter().for_each(|l| mask[l] = true);
                return mask;
            }
        }
    }
    vec![false; links]
}

/// The parts with a volume that no volume drained at the bleeders ever flushes: name and volume, m³.
pub fn unreached(circuit: &Circuit) -> Vec<(String, f64)> {
    let (node_on, link_on) = reached(circuit);
    let nodes = circuit.nodes.iter().zip(&node_on).filter(|(_, on)| !**on);
    let links = circuit.links.iter().zip(&link_on).filter(|(_, on)| !**on);
    nodes
        .filter_map(|(n, _)| n.chamber.map(|c| (n.name.clone(), c.volume_m3)))
        .chain(links.filter_map(|(l, _)| l.tube.map(|t| (l.name.clone(), t.volume_m3))))
        .filter(|(_, m3)| *m3 > 0.0)
        .collect()
}
