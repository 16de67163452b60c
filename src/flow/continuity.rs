//! Flows that balance exactly.
//!
//! A solver leaves flows that balance to some tolerance; transport needs them to balance to
//! rounding, or fluid appears and vanishes. [`Projection`] recomputes the flows along a spanning
//! tree from those of the remaining elements, and then takes out flow that only goes round.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::FlowError;

/// Makes flows balance at every node of free pressure. Planned once for a network and a choice of
/// fixed nodes; [`Projection::apply`] does not allocate.
#[derive(Debug, Clone, Default)]
pub struct Projection {
    ends: Vec<(u32, u32)>,
    /// Elements outside the tree, whose flows are kept.
    chords: Vec<u32>,
    /// Free nodes from the leaves to the roots, each with the element that leads to its parent.
    tree: Vec<Branch>,
    /// Whether any closed path exists, of whatever elements and nodes.
    loops: bool,
    /// Elements at node `n`: `incident[starts[n]..starts[n + 1]]`.
    starts: Vec<u32>,
    incident: Vec<u32>,

    leaving: Vec<f64>,
    entries: Vec<u32>,
    queue: Vec<u32>,
    came_by: Vec<u32>,
    ring: Vec<u32>,
}

#[derive(Debug, Clone, Copy)]
struct Branch {
    node: u32,
    parent: u32,
    element: u32,
    /// Whether the element points from the node to its parent.
    outward: bool,
}

/// What [`Projection::apply`] changed.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Correction {
    /// Largest change of a flow made to balance the nodes, m³/s.
    pub balanced_m3_s: f64,
    /// Largest flow taken out because it went round in a circle, m³/s. Without a pump or a
    /// difference in density along a loop it is rounding; more than that is a slow convection
    /// that the transport of a flush does not carry.
    pub circulation_m3_s: f64,
}

/// An element that would bring a new node into the tree.
struct Candidate {
    resistance: f64,
    element: u32,
    node: u32,
    parent: u32,
}

impl Ord for Candidate {
    fn cmp(&self, other: &Self) -> Ordering {
        // The heap gives its greatest first; the least resistance is wanted, then the first element.
        (other.resistance.total_cmp(&self.resistance)).then(other.element.cmp(&self.element))
    }
}
impl PartialOrd for Candidate {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl PartialEq for Candidate {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Candidate {}

impl Projection {
    /// Plans the projection. `ends` are the two nodes of each element, `fixed` says of each node
    /// whether its pressure is fixed, so that it need not balance, and `resistance` orders the
    /// elements: the tree takes the least first, since a solver knows their flows least well.
    ///
    /// # Errors
    /// [`FlowError::Unreachable`] with the node's name, if no path leads to it from a fixed one;
    /// [`FlowError::WrongLength`] if there are not as many resistances as elements;
    /// [`FlowError::NoSuchNode`] if an end is beyond the nodes.
    pub fn new(
        ends: &[(usize, usize)],
        fixed: &[bool],
        resistance: &[f64],
        node_name: impl Fn(usize) -> String,
    ) -> Result<Self, FlowError> {
        if resistance.len() != ends.len() {
            let (needed, given) = (ends.len(), resistance.len());
            return Err(FlowError::WrongLength { what: "resistances", needed, given });
        }
        let nodes = fixed.len();
        let mut starts = vec![0_u32; nodes + 1];
        for (e, &(from, to)) in ends.iter().enumerate() {
            for node in [from, to] {
                if node >= nodes {
                    return Err(FlowError::NoSuchNode { part: format!("element {e}"), node });
                }
                starts[node + 1] += 1;
            }
        }
        for n in 0..nodes {
            starts[n + 1] += starts[n];
        }
        let mut next = starts.clone();
        let mut incident = vec![0; 2 * ends.len()];
        for (e, &(from, to)) in ends.iter().enumerate() {
            for node in [from, to] {
                incident[next[node] as usize] = e as u32;
                next[node] += 1;
            }
        }
        let mut plan = Self {
            ends: ends.iter().map(|&(a, b)| (a as u32, b as u32)).collect(),
            loops: has_loops(nodes, ends),
            starts,
            incident,
            leaving: vec![0.0; nodes],
            entries: vec![0; nodes],
            queue: Vec::with_capacity(nodes),
            came_by: vec![0; nodes],
            ring: Vec::with_capacity(nodes),
            ..Self::default()
        };
        match plan.grow(fixed, resistance) {
            None => Ok(plan),
            Some(lost) => Err(FlowError::Unreachable { node: node_name(lost) }),
        }
    }

    /// Grows the tree from all fixed nodes at once; gives a node that it can't reach.
    fn grow(&mut self, fixed: &[bool], resistance: &[f64]) -> Option<usize> {
        let mut heap = BinaryHeap::new();
        let mut reached = fixed.to_vec();
        let mut in_tree = vec![false; self.ends.len()];
        let offer = |heap: &mut BinaryHeap<Candidate>, plan: &Self, parent: u32| {
            for &element in plan.around(parent) {
                let node = plan.far_end(element, parent);
                let resistance = resistance[element as usize];
                heap.push(Candidate { resistance, element, node, parent });
            }
        };
        for node in (0..fixed.len()).filter(|&n| fixed[n]) {
            offer(&mut heap, self, node as u32);
        }
        while let Some(Candidate { element, node, parent, .. }) = heap.pop() {
            if std::mem::replace(&mut reached[node as usize], true) {
                continue;
            }
            in_tree[element as usize] = true;
            let outward = self.ends[element as usize].0 == node;
            self.tree.push(Branch { node, parent, element, outward });
            offer(&mut heap, self, node);
        }
        self.tree.reverse();
        self.chords = (0..self.ends.len() as u32).filter(|&e| !in_tree[e as usize]).collect();
        reached.iter().position(|&r| !r)
    }

    fn around(&self, node: u32) -> &[u32] {
        &self.incident[self.starts[node as usize] as usize..self.starts[node as usize + 1] as usize]
    }

    fn far_end(&self, element: u32, node: u32) -> u32 {
        let (from, to) = self.ends[element as usize];
        if from == node { to } else { from }
    }

    /// Balances the flows (m³/s, one an element) at every free node to rounding and takes out flow
    /// that goes round, so that the directed graph of the flows has no cycle. A flow in a dead end
    /// becomes zero exactly.
    ///
    /// Flows beyond the number of elements are left alone; missing ones make this do nothing.
    pub fn apply(&mut self, flows_m3_s: &mut [f64]) -> Correction {
        if flows_m3_s.len() < self.ends.len() {
            return Correction::default();
        }
        let balanced_m3_s = self.balance(flows_m3_s);
        let circulation_m3_s = if self.loops { self.unwind(flows_m3_s) } else { 0.0 };
        Correction { balanced_m3_s, circulation_m3_s }
    }

    /// The first half of [`Self::apply`]; gives the largest change. Needs a flow for each element.
    pub(super) fn balance(&mut self, flows: &mut [f64]) -> f64 {
        self.leaving.fill(0.0);
        for &e in &self.chords {
            let (from, to) = self.ends[e as usize];
            self.leaving[from as usize] += flows[e as usize];
            self.leaving[to as usize] -= flows[e as usize];
        }
        let mut largest = 0.0_f64;
        for branch in &self.tree {
            let inflow = self.leaving[branch.node as usize];
            self.leaving[branch.parent as usize] += inflow;
            let flow = &mut flows[branch.element as usize];
            // 0 − x, not −x: a dead end is +0.
            let exact = if branch.outward { 0.0 - inflow } else { inflow };
            largest = largest.max((exact - *flow).abs());
            *flow = exact;
        }
        largest
    }

    /// The second half of [`Self::apply`]; gives the largest flow taken out.
    ///
    /// Takes out directed cycles one by one: nodes that nothing flows into are removed as often as
    /// there are any; what is left has a cycle, found by walking against the flow.
    pub(super) fn unwind(&mut self, flows: &mut [f64]) -> f64 {
        if !self.loops {
            return 0.0;
        }
        let mut largest = 0.0_f64;
        // Each round stops at least one flow, so there are no more rounds than elements.
        for _ in 0..self.ends.len() {
            if !self.find_cycle(flows) {
                break;
            }
            let least =
                self.ring.iter().fold(f64::INFINITY, |m, &e| m.min(flows[e as usize].abs()));
            for &e in &self.ring {
                let flow = &mut flows[e as usize];
                *flow = if *flow > 0.0 { *flow - least } else { *flow + least };
            }
            largest = largest.max(least);
        }
        largest
    }

    /// Fills `ring` with the elements of a directed cycle, if there is one.
    fn find_cycle(&mut self, flows: &[f64]) -> bool {
        self.entries.fill(0);
        for (e, &flow) in flows[..self.ends.len()].iter().enumerate() {
            if flow != 0.0 {
                let to = self.goes_to(e, flow);
                self.entries[to as usize] += 1;
            }
        }
        self.queue.clear();
        self.queue
            .extend((0..self.entries.len() as u32).filter(|&n| self.entries[n as usize] == 0));
        let mut done = 0;
        while done < self.queue.len() {
            let node = self.queue[done];
            done += 1;
            for i in self.starts[node as usize]..self.starts[node as usize + 1] {
                let e = self.incident[i as usize] as usize;
                let next = self.goes_to(e, flows[e]);
                if flows[e] != 0.0 && next != node {
                    self.entries[next as usize] -= 1;
                    if self.entries[next as usize] == 0 {
                        self.queue.push(next);
                    }
                }
            }
        }
        if done == self.entries.len() {
            return false;
        }
        // Every node left is entered from another one left. Walk back until a node comes again.
        const NEVER: u32 = u32::MAX;
        self.came_by.fill(NEVER);
        self.ring.clear();
        let Some(mut node) = self.entries.iter().position(|&n| n > 0).map(|n| n as u32) else {
            return false;
        };
        while self.came_by[node as usize] == NEVER {
            let entering = self.around(node).iter().copied().find(|&e| {
                let flow = flows[e as usize];
                flow != 0.0
                    && self.goes_to(e as usize, flow) == node
                    && self.entries[self.far_end(e, node) as usize] > 0
            });
            let Some(e) = entering else { return false };
            self.came_by[node as usize] = e;
            node = self.far_end(e, node);
        }
        let first = node;
        loop {
            let e = self.came_by[node as usize];
            self.ring.push(e);
            node = self.far_end(e, node);
            if node == first {
                return true;
            }
        }
    }

    #[inline]
    fn goes_to(&self, element: usize, flow: f64) -> u32 {
        let (from, to) = self.ends[element];
        if flow > 0.0 { to } else { from }
    }
}

/// Whether the undirected graph has a closed path (two elements side by side are one).
fn has_loops(nodes: usize, ends: &[(usize, usize)]) -> bool {
    let mut group: Vec<usize> = (0..nodes).collect();
    let mut root = |mut n: usize, join: Option<usize>| {
        while group[n] != n {
            group[n] = group[group[n]];
            n = group[n];
        }
        if let Some(to) = join {
            group[n] = to;
        }
        n
    };
    ends.iter().any(|&(a, b)| {
        let (a, b) = (root(a, None), root(b, None));
        if a != b {
            root(a, Some(b));
        }
        a == b
    })
}
