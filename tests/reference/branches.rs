//! The flow at each open bleeder at one moment: a tree of losses, solved by bisection within bisection.

use super::losses::{Loss, rising_root};

/// Something on the way, and where to look for the fluid in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Element {
    /// What it costs.
    pub loss: Loss,
    /// Whose fluid it is.
    pub fluid: FluidOf,
}

/// Whose fluid is in something.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FluidOf {
    /// That of the supply.
    Supply,
    /// What this part holds, in the mean.
    Inside(usize),
    /// What last left this part.
    Leaving(usize),
    /// What last left this compartment of the reservoir.
    Outlet(usize),
}

/// A way from the supply (or the open reservoir) to a bleeder.
#[derive(Debug, Clone, Copy)]
pub struct Way<'a> {
    /// Indices of the elements, in the order of the flow. Ways that begin alike share what they begin with.
    pub elements: &'a [usize],
    /// Pressure at its end, Pa.
    pub end_pa: f64,
}

/// Flow at the end of each way, m³/s, with this pressure (Pa) where all begin.
pub fn flows(
    elements: &[Element],
    fluids: &[(f64, f64)],
    ways: &[Way<'_>],
    start_pa: f64,
) -> Vec<f64> {
    let tree = Tree { elements, fluids, ways };
    let mut flows = vec![0.0; ways.len()];
    let all: Vec<usize> = (0..ways.len()).collect();
    for group in tree.groups(&all, 0) {
        tree.divide(&group, 0, start_pa, &mut flows);
    }
    flows
}

struct Tree<'a> {
    elements: &'a [Element],
    fluids: &'a [(f64, f64)],
    ways: &'a [Way<'a>],
}

impl Tree<'_> {
    /// Ways that go on alike at this depth, together.
    fn groups(&self, of: &[usize], depth: usize) -> Vec<Vec<usize>> {
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for &way in of {
            let next = |w: usize| self.ways[w].elements.get(depth);
            match groups.iter_mut().find(|g| next(g[0]) == next(way)) {
                Some(group) => group.push(way),
                None => groups.push(vec![way]),
            }
        }
        groups
    }

    /// The flows of ways that all go through the element at `depth`, from the pressure before it; gives
    /// their sum.
    fn divide(&self, group: &[usize], depth: usize, start_pa: f64, flows: &mut [f64]) -> f64 {
        let path = self.ways[group[0]].elements;
        let alike = |d: usize| group.iter().all(|w| self.ways[*w].elements.get(d) == path.get(d));
        let end = (depth..path.len()).find(|d| !alike(*d)).unwrap_or(path.len());
        let trunk = &path[depth..end];
        let drop_pa = |flow: f64| -> f64 {
            trunk.iter().map(|e| self.elements[*e].loss.drop_pa(flow, self.fluids[*e])).sum()
        };
        if let [only] = group {
            let push_pa = start_pa - self.ways[*only].end_pa;
            let pumped = trunk.iter().any(|e| is_pumped(&self.elements[*e].loss));
            let flow = match push_pa > 0.0 || pumped {
                true => rising_root(|q| drop_pa(q) - push_pa, 1e-6),
                false => 0.0,
            };
            flows[*only] = flow;
            return flow;
        }
        let branches = self.groups(group, end);
        let behind = |pa: f64, flows: &mut [f64]| -> f64 {
            branches.iter().map(|b| self.divide(b, end, pa, flows)).sum()
        };
        let total = rising_root(
            |q| {
                let pa = if q > 0.0 { start_pa - drop_pa(q) } else { start_pa };
                q - behind(pa, &mut flows.to_vec())
            },
            1e-6,
        );
        behind(start_pa - drop_pa(total), flows);
        total
    }
}

/// Whether a pump is in it.
fn is_pumped(loss: &Loss) -> bool {
    match loss {
        Loss::Beside(ways) => ways.iter().any(is_pumped),
        other => matches!(other, Loss::Pump { .. }),
    }
}
