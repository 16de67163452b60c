//! Ways from node to node: a link, or several lines and hoses that run on into one another.

use crate::circuit::Circuit;

/// A way that fluid takes from one node to the next that it meets.
#[derive(Debug, Clone)]
pub(super) struct Way {
    pub from: usize,
    pub to: usize,
    /// Its links in order. All carry the same flow.
    pub links: Vec<usize>,
}

/// All ways of a circuit, in the order of their first links.
#[derive(Debug, Clone)]
pub(super) struct Ways {
    pub all: Vec<Way>,
    /// For each link, its way and its place in it.
    pub of: Vec<(usize, usize)>,
    /// Links that begin at an outlet of the reservoir, and which.
    pub outlets: Vec<(usize, usize)>,
}

impl Ways {
    /// A joint that remixes fully is a node like any other; over every other the way goes on.
    pub fn new(circuit: &Circuit) -> Self {
        let goes_on = |link: usize| circuit.links[link].joint.is_some_and(|degree| degree < 1.0);
        let outlets = circuit.links.iter().enumerate().filter_map(|(i, l)| Some((i, l.outlet?)));
        let mut ways = Self {
            all: Vec::new(),
            of: vec![(0, 0); circuit.links.len()],
            outlets: outlets.collect(),
        };
        for first in (0..circuit.links.len()).filter(|&link| !goes_on(link)) {
            let mut links = vec![first];
            let mut to = circuit.links[first].to;
            while let Some(next) =
                (0..circuit.links.len()).find(|&l| circuit.links[l].from == to && goes_on(l))
            {
                links.push(next);
                to = circuit.links[next].to;
            }
            for (place, &link) in links.iter().enumerate() {
                ways.of[link] = (ways.all.len(), place);
            }
            ways.all.push(Way { from: circuit.links[first].from, to, links });
        }
        ways
    }

    /// Whether each way lies on a loop: whether its ends are joined without it.
    pub fn on_a_loop(&self, circuit: &Circuit) -> Vec<bool> {
        let joined_without = |without: usize| {
            let mut reached = vec![false; circuit.nodes.len()];
            let mut next = vec![self.all[without].from];
            while let Some(node) = next.pop() {
                if !std::mem::replace(&mut reached[node], true) {
                    let others = self.all.iter().enumerate().filter(|(i, _)| *i != without);
                    next.extend(others.filter_map(|(_, way)| match node {
                        n if n == way.from => Some(way.to),
                        n if n == way.to => Some(way.from),
                        _ => None,
                    }));
                }
            }
            reached[self.all[without].to]
        };
        (0..self.all.len()).map(joined_without).collect()
    }

    /// The first link of a way, whose flow is that of all of it.
    pub fn first(&self, way: usize) -> usize {
        self.all[way].links[0]
    }
}
