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

const NONE: u32 = u32::MAX;

/// Where an element's conductance goes.
#[derive(Debug, Clone, Copy)]
struct Place {
    /// Ranks of its ends, `NONE` if fixed.
    from: u32,
    to: u32,
    /// The link that holds it, if both ends are free.
    link: u32,
}

/// A neighbour of a node at the time when it is taken out.
#[derive(Debug, Clone, Copy)]
struct Neighbour {
    rank: u32,
    link: u32,
}

/// Plan and scratch memory for one network and one choice of fixed nodes.
#[derive(Debug, Clone, Default)]
pub(super) struct Elimination {
    /// Node of each rank, in the order of elimination.
    nodes: Vec<u32>,
    places: Vec<Place>,
    /// Neighbours of rank `r`: `neighbours[starts[r]..starts[r + 1]]`.
    starts: Vec<u32>,
    neighbours: Vec<Neighbour>,
    /// Links between the neighbours of each rank in turn, pair by pair.
    pairs: Vec<u32>,

    links: Vec<f64>,
    ground: Vec<f64>,
    source: Vec<f64>,
    inverse: Vec<f64>,
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
        let mut places: Vec<Place> = Vec::with_capacity(ends.len());
        for &(from, to) in ends {
            let end = |n: usize| if fixed[n] { NONE } else { n as u32 };
            let (from, to) = (end(from), end(to));
            let free = from != NONE && to != NONE;
            let link = if free {
                join(&mut adjacent, from, to)
            } else {
                NONE
            };
            places.push(Place { from, to, link });
        }

        let mut waiting: Vec<u32> = (0..fixed.len() as u32)
            .filter(|&n| !fixed[n as usize])
            .collect();
        let mut plan = Self {
            starts: vec![0],
            ..Self::default()
        };
        while let Some(at) = (0..waiting.len()).min_by_key(|&i| adjacent[waiting[i] as usize].len())
        {
            let node = waiting.remove(at);
            let around: Vec<(u32, u32)> = std::mem::take(&mut adjacent[node as usize])
                .into_iter()
                .collect();
            for (i, &(other, link)) in around.iter().enumerate() {
                adjacent[other as usize].remove(&node);
                plan.neighbours.push(Neighbour { rank: other, link });
                for &(third, _) in &around[i + 1..] {
                    plan.pairs.push(join(&mut adjacent, other, third));
                }
            }
            plan.nodes.push(node);
            plan.starts.push(plan.neighbours.len() as u32);
        }

        let mut rank = vec![NONE; fixed.len()];
        for (r, &node) in plan.nodes.iter().enumerate() {
            rank[node as usize] = r as u32;
        }
        for neighbour in &mut plan.neighbours {
            neighbour.rank = rank[neighbour.rank as usize];
        }
        for place in &mut places {
            for end in [&mut place.from, &mut place.to] {
                if *end != NONE {
                    *end = rank[*end as usize];
                }
            }
        }
        plan.places = places;
        plan.links = vec![0.0; links as usize];
        plan.ground = vec![0.0; plan.nodes.len()];
        plan.source = plan.ground.clone();
        plan.inverse = plan.ground.clone();
        plan
    }

    /// Empties the system, to be filled by [`Self::add`].
    #[inline]
    pub(super) fn clear(&mut self) {
        self.links.fill(0.0);
        self.ground.fill(0.0);
        self.source.fill(0.0);
    }

    /// Adds element `e` with its conductance (m³/(s·Pa)) and the flow (m³/s) that it would carry
    /// if no pressure were corrected.
    #[inline]
    pub(super) fn add(&mut self, e: usize, conductance: f64, flow_m3_s: f64) {
        let Place { from, to, link } = self.places[e];
        if from != NONE {
            self.source[from as usize] -= flow_m3_s;
            if to == NONE {
                self.ground[from as usize] += conductance;
            }
        }
        if to != NONE {
            self.source[to as usize] += flow_m3_s;
            if from == NONE {
                self.ground[to as usize] += conductance;
            }
        }
        if link != NONE {
            self.links[link as usize] += conductance;
        }
    }

    /// Solves the system and writes the correction (Pa) of each free node.
    pub(super) fn solve(&mut self, corrections_pa: &mut [f64]) {
        let mut pairs = self.pairs.iter();
        for rank in 0..self.nodes.len() {
            let around =
                &self.neighbours[self.starts[rank] as usize..self.starts[rank + 1] as usize];
            let (ground, source) = (self.ground[rank], self.source[rank]);
            let sum = around
                .iter()
                .fold(ground, |sum, n| sum + self.links[n.link as usize]);
            let inverse = 1.0 / sum;
            self.inverse[rank] = inverse;
            for (i, near) in around.iter().enumerate() {
                let share = self.links[near.link as usize] * inverse;
                self.ground[near.rank as usize] += share * ground;
                self.source[near.rank as usize] += share * source;
                for other in &around[i + 1..] {
                    let carried = share * self.links[other.link as usize];
                    if let Some(&pair) = pairs.next() {
                        self.links[pair as usize] += carried;
                    }
                }
            }
        }
        for rank in (0..self.nodes.len()).rev() {
            let around =
                &self.neighbours[self.starts[rank] as usize..self.starts[rank + 1] as usize];
            let mut sum = self.source[rank];
            for n in around {
                sum += self.links[n.link as usize] * self.source[n.rank as usize];
            }
            let correction = sum * self.inverse[rank];
            // From here on the place holds the node's correction.
            self.source[rank] = correction;
            corrections_pa[self.nodes[rank] as usize] = correction;
        }
    }
}
