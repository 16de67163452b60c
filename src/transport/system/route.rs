//! The order in which fluid meets the nodes of a circuit.

use super::ways::Ways;
use crate::circuit::{Circuit, RESERVOIR};

/// Nodes in the order in which fluid meets them, for one pattern of flow directions.
#[derive(Debug, Clone, Default)]
pub struct Route {
    signs: Vec<i8>,
    /// All nodes.
    pub order: Vec<usize>,
    /// Those of them that a way leads to: in the same order, and all that are met if fluid comes in nowhere else.
    pub fed: Vec<usize>,
    /// Ways that fluid leaves each node by, and whether it runs against the way's own direction.
    pub out: Vec<Vec<(usize, bool)>>,
}

/// Flows that run in a circle, so that no order of mixing exists.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunsInACircle;

impl Route {
    /// Whether fluid runs every way as it did when this was found.
    pub fn fits(&self, ways: &Ways, through: &[f64]) -> bool {
        self.signs.len() == ways.all.len()
            && self.signs.iter().zip(&ways.all).all(|(s, way)| *s == sign(through[way.links[0]]))
    }

    /// Kahn's order over nodes; the reservoir comes first and what runs back into it last.
    ///
    /// # Errors
    /// [`RunsInACircle`] if the directions of flow form a circle.
    pub fn find(circuit: &Circuit, ways: &Ways, through: &[f64]) -> Result<Self, RunsInACircle> {
        let n = circuit.nodes.len();
        let mut out = vec![Vec::new(); n];
        let mut waits_for = vec![0_usize; n];
        let signs: Vec<i8> = ways.all.iter().map(|way| sign(through[way.links[0]])).collect();
        for (i, (way, sign)) in ways.all.iter().zip(&signs).enumerate() {
            let (from, to, backward) = match sign {
                1 => (way.from, way.to, false),
                -1 => (way.to, way.from, true),
                _ => continue,
            };
            if to == RESERVOIR {
                continue;
            }
            out[from].push((i, backward));
            waits_for[to] += 1;
        }
        let fed: Vec<bool> = waits_for.iter().map(|n| *n > 0).collect();
        let mut ready: Vec<usize> = (0..n).filter(|&i| waits_for[i] == 0).collect();
        let mut order = Vec::new();
        while let Some(node) = ready.pop() {
            order.push(node);
            for &(way, backward) in &out[node] {
                let way = &ways.all[way];
                let end = if backward { way.from } else { way.to };
                waits_for[end] -= 1;
                if waits_for[end] == 0 {
                    ready.push(end);
                }
            }
        }
        if order.len() < n {
            return Err(RunsInACircle);
        }
        let fed = order.iter().copied().filter(|node| fed[*node]).collect();
        Ok(Self { signs, order, fed, out })
    }
}

fn sign(q: f64) -> i8 {
    if q > 0.0 {
        1
    } else if q < 0.0 {
        -1
    } else {
        0
    }
}
