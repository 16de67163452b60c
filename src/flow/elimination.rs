//! The linear step of the network solve: corrections of the free nodes' pressures.
//!
//! Around the present flows each element is a conductance, and the free nodes' corrections obey a
//! symmetric system of a Laplacian's kind. It is solved by star–mesh elimination: a node is taken
//! out, and conductances between its neighbours take its place. Each node keeps its conductance to
//! the fixed nodes as a number of its own, so that no diagonal is ever formed by subtraction and
//! conductances that differ by ten powers of ten (a shut check valve beside a short tube) lose no
//! digits (the idea of Grassmann, Taksar and Heyman, *Operations Research* 33, 1985). The order and
//! the fill are worked out once, fewest neighbours first, so that a tree costs no fill at all.

use std::collections::BTreeMap;

/// Where an element's conductance goes.
#[derive(Debug, Clone, Copy)]
struct Slot {
    /// Ranks of its ends; one beyond the last for a fixed end.
    from: u32,
    to: u32,
    /// Where its conductance counts: the link between two free ends, the ground of the one free
    /// end, or a cell that nobody reads.
    cell: u32,
}

/// A neighbour of a node at the time when it is taken out.
#[derive(Debug, Clone, Copy)]
struct Neighbour {
    rank: u32,
    /// The cell of the link to it.
    cell: u32,
}

/// Plan and scratch memory for one network and one choice of fixed nodes.
#[derive(Debug, Clone, Default)]
pub(super) struct Elimination {
    /// Node of each rank, in the order of elimination.
    nodes: Vec<u32>,
    places: Vec<Slot>,
    /// Neighbours of rank `r`: `neighbours[starts[r]..starts[r + 1]]`.
    starts: Vec<u32>,
    neighbours: Vec<Neighbour>,
    /// Cells of the links between the neighbours of each rank in turn, pair by pair.
    pairs: Vec<u32>,

    /// Conductances: of each rank to the fixed nodes, then one that nobody reads, then the links.
    cells: Vec<f64>,
    /// Unbalanced flow of each rank, later its correction; one more for fixed ends.
    source: Vec<f64>,
    inverse: Vec<f64>,
    /// Of each neighbour, its link's part of the conductances of the node taken out.
    shares: Vec<f64>,
}

impl Elimination {
    /// Plans the elimination of the nodes for which `fixed` is false.
    pub(super) fn new(ends: &[(usize, usize)], fixed: &[bool]) -> Self {
        let mut adjacent: Vec<BTreeMap<u32, u32>> = vec![BTreeMap::new(); fixed.len()];
        let mut links = 0;
        let mut join = |adjacent: &mut Vec<BTreeMap<u32, u32>>, a: u32, b: u32| -> u32 {
            if let Some(&link) = adjacent[a as usize].get(&b) {
                return link;
            }
            adjacent[a as usize].insert(b, links);
            adjacent[b as usize].insert(a, links);
            links += 1;
            links - 1
        };
        for &(from, to) in ends {
            if !fixed[from] && !fixed[to] {
                join(&mut adjacent, from as u32, to as u32);
            }
        }
        // As they are now; the elimination empties them.
        let joined = adjacent.clone();

        let mut waiting: Vec<u32> =
            (0..fixed.len() as u32).filter(|&n| !fixed[n as usize]).collect();
        let mut plan = Self { starts: vec![0], ..Self::default() };
        while let Some(at) = (0..waiting.len()).min_by_key(|&i| adjacent[waiting[i] as usize].len())
        {
            let node = waiting.remove(at);
            let around: Vec<(u32, u32)> =
                std::mem::take(&mut adjacent[node as usize]).into_iter().collect();
            for (i, &(other, link)) in around.iter().enumerate() {
                adjacent[other as usize].remove(&node);
                plan.neighbours.push(Neighbour { rank: other, cell: link });
                for &(third, _) in &around[i + 1..] {
                    plan.pairs.push(join(&mut adjacent, other, third));
                }
            }
            plan.nodes.push(node);
            plan.starts.push(plan.neighbours.len() as u32);
        }

        let free = plan.nodes.len() as u32;
        let mut rank = vec![free; fixed.len()];
        for (r, &node) in plan.nodes.iter().enumerate() {
            rank[node as usize] = r as u32;
        }
        let link_cell = |link: u32| free + 1 + link;
        for neighbour in &mut plan.neighbours {
            neighbour.rank = rank[neighbour.rank as usize];
            neighbour.cell = link_cell(neighbour.cell);
        }
        for pair in &mut plan.pairs {
            *pair = link_cell(*pair);
        }
        let place = |&(from, to): &(usize, usize)| Slot {
            from: rank[from],
            to: rank[to],
            // If one end is fixed the lesser rank is the free one's; if both are, it is the cell
            // that nobody reads.
            cell: match joined[from].get(&(to as u32)) {
                Some(&link) => link_cell(link),
                None => rank[from].min(rank[to]),
            },
        };
        plan.places = ends.iter().map(place).collect();
        plan.cells = vec![0.0; (free + 1 + links) as usize];
        plan.source = vec![0.0; free as usize + 1];
        plan.inverse = vec![0.0; free as usize];
        plan.shares = vec![0.0; plan.neighbours.len()];
        plan
    }

    /// Empties the system, to be filled by [`Self::add`].
    #[inline]
    pub(super) fn clear(&mut self) {
        self.cells.fill(0.0);
        self.source.fill(0.0);
    }

    /// Adds element `e` with its conductance (m³/(s·Pa)) and the flow (m³/s) that it would carry
    /// if no pressure were corrected.
    #[inline]
    pub(super) fn add(&mut self, e: usize, conductance: f64, flow_m3_s: f64) {
        let Slot { from, to, cell } = self.places[e];
        self.source[from as usize] -= flow_m3_s;
        self.source[to as usize] += flow_m3_s;
        self.cells[cell as usize] += conductance;
    }

    /// Solves the system and writes the correction (Pa) of each free node.
    pub(super) fn solve(&mut self, corrections_pa: &mut [f64]) {
        let mut pairs = self.pairs.iter();
        for rank in 0..self.nodes.len() {
            let span = self.starts[rank] as usize..self.starts[rank + 1] as usize;
            let around = &self.neighbours[span.clone()];
            let (ground, source) = (self.cells[rank], self.source[rank]);
            let sum = around.iter().fold(ground, |sum, n| sum + self.cells[n.cell as usize]);
            let inverse = 1.0 / sum;
            self.inverse[rank] = inverse;
            for (i, (near, kept)) in around.iter().zip(&mut self.shares[span]).enumerate() {
                let share = self.cells[near.cell as usize] * inverse;
                *kept = share;
                self.cells[near.rank as usize] += share * ground;
                self.source[near.rank as usize] += share * source;
                for other in &around[i + 1..] {
                    let carried = share * self.cells[other.cell as usize];
                    if let Some(&pair) = pairs.next() {
                        self.cells[pair as usize] += carried;
                    }
                }
            }
        }
        for rank in (0..self.nodes.len()).rev() {
            let span = self.starts[rank] as usize..self.starts[rank + 1] as usize;
            let mut correction = self.source[rank] * self.inverse[rank];
            for (near, share) in self.neighbours[span.clone()].iter().zip(&self.shares[span]) {
                correction += share * self.source[near.rank as usize];
            }
            // From here on the place holds the node's correction.
            self.source[rank] = correction;
            corrections_pa[self.nodes[rank] as usize] = correction;
        }
    }
}
