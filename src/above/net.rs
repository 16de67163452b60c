//! What there is to draw: blocks where paths meet, and runs of lines and hoses between them.

use crate::circuit::place::Place;
use crate::job::record::Left;
use crate::keys::Role;
use crate::sorting;
use std::collections::VecDeque;

/// Parts that are drawn as one block: a chamber, a caliper's halves, all of a modulator. Without parts it is a place
/// where lines meet, or end.
#[derive(Debug, Clone)]
pub(super) struct Vertex {
    pub parts: Vec<usize>,
    pub role: Role,
    pub place: Place,
    /// Places of its bleeders in [`Joined::bleeders`](crate::job::record::joined::Joined::bleeders).
    pub bleeders: Vec<usize>,
    /// The vertex at which it stands without a line between, if that is the reservoir.
    pub at_reservoir: bool,
    /// Runs that begin or end at it.
    pub degree: usize,
}

/// Lines and hoses that run on into one another, from the vertex nearer to the reservoir on.
#[derive(Debug, Clone)]
pub(super) struct Run {
    pub ends: [usize; 2],
    /// Parts, and whether each is passed against the direction in which its cells count.
    pub parts: Vec<(usize, bool)>,
}

/// Both, and parts that are neither: nothing joins them.
#[derive(Debug, Clone, Default)]
pub(super) struct Net {
    pub vertices: Vec<Vertex>,
    pub runs: Vec<Run>,
}

impl Net {
    pub(super) fn new(left: &Left) -> Self {
        let joined = &*left.joined;
        // Nodes of one part are one group; chambers of a master cylinder and plain joints are each their own.
        let own = |i: usize| matches!(joined.nodes[i].role, Role::MasterCylinder | Role::Joint);
        let group: Vec<usize> = (0..joined.nodes.len())
            .map(|i| {
                let alike = |j: &usize| !own(*j) && joined.nodes[*j].of == joined.nodes[i].of;
                if own(i) { i } else { (0..i).find(alike).unwrap_or(i) }
            })
            .collect();
        let inside = |l: usize| {
            let l = &joined.links[l];
            group[l.from] == group[l.to] && joined.nodes[l.from].role != Role::Joint
        };
        let mut links_at: Vec<Vec<usize>> = vec![Vec::new(); group.len()];
        for l in (0..joined.links.len()).filter(|l| !inside(*l)) {
            for end in [joined.links[l].from, joined.links[l].to] {
                links_at[group[end]].push(l);
            }
        }
        let mut parts: Vec<Vec<usize>> = vec![Vec::new(); group.len()];
        for (i, node) in joined.nodes.iter().enumerate() {
            parts[group[i]].extend(node.part);
        }
        for l in (0..joined.links.len()).filter(|l| inside(*l)) {
            parts[group[joined.links[l].from]].extend(joined.links[l].part);
        }
        let mut bleeders: Vec<Vec<usize>> = vec![Vec::new(); group.len()];
        for (b, (_, node)) in joined.bleeders.iter().enumerate() {
            bleeders[group[*node]].push(b);
        }
        let passed =
            |g: usize| parts[g].is_empty() && bleeders[g].is_empty() && links_at[g].len() == 2;
        let depth = depths(left, &group);
        let mut net = Self::default();
        let mut vertex = vec![usize::MAX; group.len()];
        for g in (0..group.len()).filter(|g| group[*g] == *g && !passed(*g)) {
            vertex[g] = net.vertices.len();
            let node = &joined.nodes[g];
            net.vertices.push(Vertex {
                parts: parts[g].clone(),
                role: node.role,
                place: node.place,
                bleeders: bleeders[g].clone(),
                at_reservoir: false,
                degree: 0,
            });
        }
        let mut used = vec![false; joined.links.len()];
        let mut from: Vec<usize> = (0..group.len()).filter(|g| vertex[*g] != usize::MAX).collect();
        sorting::by_key(&mut from, |g| depth[*g]);
        for g in from {
            for &first in &links_at[g] {
                if used[first] {
                    continue;
                }
                let (mut at, mut link, mut run) = (g, first, Vec::new());
                loop {
                    used[link] = true;
                    let l = &joined.links[link];
                    let backward = group[l.from] != at;
                    run.extend(l.part.map(|p| (p, backward)));
                    at = if backward { group[l.from] } else { group[l.to] };
                    match links_at[at].iter().find(|l| !used[**l]) {
                        Some(next) if vertex[at] == usize::MAX => link = *next,
                        _ => break,
                    }
                }
                if vertex[at] != usize::MAX {
                    net.join([vertex[g], vertex[at]], run);
                }
            }
        }
        net
    }

    fn join(&mut self, ends: [usize; 2], parts: Vec<(usize, bool)>) {
        let [a, b] = ends;
        let stands_there = self.vertices[a].role == Role::Reservoir
            && matches!(self.vertices[b].role, Role::MasterCylinder | Role::ClutchMaster)
            && parts.is_empty();
        if stands_there {
            self.vertices[b].at_reservoir = true;
            return;
        }
        if a == b && parts.is_empty() {
            return;
        }
        self.vertices[a].degree += 1;
        self.vertices[b].degree += 1;
        self.runs.push(Run { ends, parts });
    }
}

/// How many links each group lies from the reservoir.
fn depths(left: &Left, group: &[usize]) -> Vec<usize> {
    let links = &left.joined.links;
    let mut next_to: Vec<Vec<usize>> = vec![Vec::new(); group.len()];
    for l in links {
        let (a, b) = (group[l.from], group[l.to]);
        next_to[a].push(b);
        next_to[b].push(a);
    }
    let mut depth = vec![usize::MAX; group.len()];
    let mut queue: VecDeque<usize> = group.first().copied().into_iter().collect();
    if let Some(first) = queue.front() {
        depth[*first] = 0;
    }
    while let Some(g) = queue.pop_front() {
        for &n in &next_to[g] {
            if depth[n] == usize::MAX {
                depth[n] = depth[g] + 1;
                queue.push_back(n);
            }
        }
    }
    depth
}
