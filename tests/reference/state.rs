//! The car at one moment, and what draining does to it.

use super::car::{ReferenceCar, ReferenceKind, ReferencePath};
use super::common_space::CommonSpace;
use super::mixed::MixedPart;
use super::row::{LineOfRow, Row};
use super::signal::{Grid, Signal};
use super::unit::Accumulator;

#[derive(Clone)]
enum Content {
    /// A row that begins here, and the parts that are in it.
    Row(Row, Vec<usize>),
    /// A line of a row that begins elsewhere.
    InRow,
    Mixed(MixedPart),
}

/// The car at one moment.
#[derive(Clone)]
pub(super) struct State {
    pub common: CommonSpace,
    /// Share of what was last drained that ran straight to the outlets.
    pub straight: f64,
    pub compartments: Vec<(f64, Vec<f64>)>,
    parts: Vec<Content>,
    /// Mean composition of each part.
    pub held: Vec<Vec<f64>>,
    /// What last left each part.
    pub leaving: Vec<Vec<f64>>,
    /// Of each circuit of a unit.
    pub accumulators: Vec<Accumulator>,
}

/// Where some of what flows goes through rooms that else nothing flows through.
#[derive(Debug, Clone)]
pub(super) struct Shunt {
    /// What costs pressure there, of the elements.
    pub valve: usize,
    /// The parts before which it lies.
    pub passages: Vec<usize>,
    /// The rooms, in a row.
    pub rooms: Vec<usize>,
    /// Share of the flow that goes through them.
    pub share: f64,
}

/// A path through which fluid is drained, and its share of all that is drained meanwhile.
pub(super) type Draw = (usize, f64);

/// What draining gave.
pub(super) struct Drained {
    /// What left each bleeder, over its own share of the grid.
    pub leaving: Vec<Signal>,
    /// Mean old fraction of each part that was flowed through, at each point of the grid.
    pub held: Vec<Option<Vec<f64>>>,
    /// The same of the common space with each compartment that was drawn from.
    pub reservoir: Vec<Option<Vec<f64>>>,
}

impl State {
    pub fn new(car: &ReferenceCar) -> Self {
        let parts: Vec<Content> = (0..car.parts.len()).map(|i| content(car, i)).collect();
        let filled = |of: fn(&super::car::ReferencePart) -> Vec<f64>| car.parts.iter().map(of);
        Self {
            common: CommonSpace::new(car.space, &car.common),
            straight: 0.0,
            compartments: car.compartments.clone(),
            parts,
            held: filled(|p| p.content.clone()).collect(),
            leaving: filled(|p| p.content.clone()).collect(),
            accumulators: car.unit.iter().map(|u| Accumulator::new(u, car.feed.len())).collect(),
        }
    }

    /// Mean old fraction of the common space and a compartment together.
    pub fn reservoir_old(&self, compartment: usize) -> f64 {
        mean([&self.common.held(), &self.compartments[compartment]].map(|p| (p.0, p.1[0])))
    }

    /// Drains through paths that branch like a tree, all at shares that stay the same, at this slowness (s/mL of
    /// all that is drained) at both ends.
    pub fn drain(
        &mut self,
        car: &ReferenceCar,
        draws: &[Draw],
        rise: f64,
        grid: Grid,
        slowness: [f64; 2],
        shunts: &[Shunt],
    ) -> Drained {
        let share_of = |takes: &dyn Fn(&ReferencePath) -> bool| -> f64 {
            draws.iter().filter(|(p, _)| takes(&car.paths[*p])).map(|(_, share)| share).sum()
        };
        let mut outlets: Vec<Option<Signal>> = vec![None; self.compartments.len()];
        let mut reservoir = vec![None; self.compartments.len()];
        let common = self.common.clone();
        self.straight = common.straight(rise);
        for (path, _) in draws {
            let k = car.paths[*path].compartment;
            if outlets[k].is_some() {
                continue;
            }
            let share = share_of(&|p| p.compartment == k);
            let below = &mut self.compartments[k];
            let course = common.drain((&*below, share), &car.feed, rise, grid, slowness);
            let together = (0..=grid.cells()).map(|i| {
                let common_ml = common.ml + rise * grid.at(i);
                let above = course.common.node(i)[0];
                mean([(common_ml, above), (below.0, course.compartment.node(i)[0])])
            });
            reservoir[k] = Some(together.collect());
            below.1.copy_from_slice(course.compartment.last());
            self.common = course.after;
            outlets[k] = Some(course.leaving.stretched(share));
        }
        let was: Vec<f64> = self.held.iter().map(|mean| mean[0]).collect();
        let mut left: Vec<Option<Signal>> = vec![None; self.parts.len()];
        let mut held: Vec<Option<Vec<f64>>> = vec![None; self.parts.len()];
        let mut leaving = vec![];
        let mut shunted: Vec<Option<Signal>> = vec![None; shunts.len()];
        for (path, _) in draws {
            let way = &car.paths[*path];
            let mut flow = outlets[way.compartment].clone().expect("its compartment was drained");
            let mut before = share_of(&|p| p.compartment == way.compartment);
            for &part in &way.parts {
                let shunt = shunts.iter().position(|s| s.passages.contains(&part));
                if let Some(i) = shunt {
                    let through = || self.shunt(&shunts[i], &flow, slowness.map(|s| s / before));
                    flow = shunted[i].get_or_insert_with(through).clone();
                }
                let share = share_of(&|p| p.parts.contains(&part));
                let entering = flow.stretched(share / before);
                if left[part].is_none() {
                    for (of, out) in self.pass(part, &entering, slowness.map(|s| s / share)) {
                        left[of] = Some(out);
                    }
                }
                let out = left[part].clone().expect("its row was flowed through");
                if held[part].is_none() {
                    let ends = (was[part], self.held[part][0]);
                    let volume_ml = car.parts[part].kind.volume_ml();
                    held[part] = Some(course(volume_ml, ends, &entering, &out));
                }
                (flow, before) = (out, share);
            }
            leaving.push(flow);
        }
        Drained { leaving, held, reservoir }
    }

    /// What comes of a flow of which a share goes through rooms beside.
    fn shunt(&mut self, by: &Shunt, flow: &Signal, slowness: [f64; 2]) -> Signal {
        let mut out = flow.stretched(by.share);
        for room in &by.rooms {
            for (_, left) in self.pass(*room, &out, slowness.map(|s| s / by.share)) {
                out = left;
            }
        }
        flow.blend(1.0 - by.share, &out, by.share)
    }

    /// Lets what comes from below into a part, and gives what leaves it above.
    pub fn pass_back(&mut self, part: usize, entering: &Signal) -> Signal {
        match &mut self.parts[part] {
            Content::Row(row, lines) => {
                let out = row.push_back(entering);
                for (of, mean) in lines.iter().zip(row.content()) {
                    self.held[*of] = mean;
                }
                out
            }
            Content::Mixed(chamber) => {
                let out = chamber.advance_back(entering);
                self.held[part] = chamber.content();
                out
            }
            // Its row answers for it where it begins.
            Content::InRow => entering.clone(),
        }
    }

    /// Lets the inflow into a part, or into the row that begins with it; gives what leaves each.
    pub fn pass(
        &mut self,
        part: usize,
        entering: &Signal,
        slowness: [f64; 2],
    ) -> Vec<(usize, Signal)> {
        let (outs, means) = match &mut self.parts[part] {
            Content::Row(row, lines) => {
                let outs = row.advance(entering);
                let means = lines.iter().copied().zip(row.content()).collect();
                (lines.iter().copied().zip(outs).collect(), means)
            }
            Content::Mixed(chamber) => {
                let out = chamber.advance(entering, slowness);
                (vec![(part, out)], vec![(part, chamber.content())])
            }
            Content::InRow => panic!("a row is flowed through from its beginning"),
        };
        let means: Vec<(usize, Vec<f64>)> = means;
        for (of, mean) in means {
            self.held[of] = mean;
        }
        let outs: Vec<(usize, Signal)> = outs;
        for (of, out) in &outs {
            self.leaving[*of].copy_from_slice(out.last());
        }
        outs
    }

    /// Whether time makes a difference.
    pub fn trades_by_time(&self, car: &ReferenceCar) -> bool {
        self.common.trades_by_time() || car.parts.iter().any(|p| p.kind.trades_by_time())
    }

    /// Lets time pass for the chambers whose fluid does not flow.
    pub fn stand(&mut self, seconds: f64, flows: impl Fn(usize) -> bool) {
        for (part, content) in self.parts.iter_mut().enumerate() {
            if let (Content::Mixed(chamber), false) = (content, flows(part)) {
                chamber.stand(seconds);
                self.held[part] = chamber.content();
            }
        }
    }
}

/// What a part is filled with; a row stands where it begins.
fn content(car: &ReferenceCar, part: usize) -> Content {
    let line = |part: usize| match car.parts[part].kind {
        ReferenceKind::Line { volume_ml, remix, joint } => {
            let content = car.parts[part].content.clone();
            Some(LineOfRow { volume_ml, remix, joint, content })
        }
        ReferenceKind::Mixed(_) => None,
    };
    // What follows a part on some path.
    let behind = |part: usize| {
        let pairs = car.paths.iter().flat_map(|p| p.parts.windows(2));
        pairs.filter(|pair| pair[0] == part).map(|pair| pair[1]).next()
    };
    let first = match car.parts[part].kind {
        ReferenceKind::Mixed(chamber) => {
            return Content::Mixed(MixedPart::new(chamber, &car.parts[part].content));
        }
        ReferenceKind::Line { joint, .. } if joint < 1.0 => return Content::InRow,
        ReferenceKind::Line { .. } => part,
    };
    let next = |of: &usize| behind(*of).filter(|b| line(*b).is_some_and(|l| l.joint < 1.0));
    let lines: Vec<usize> = std::iter::successors(Some(first), next).collect();
    Content::Row(Row::new(lines.iter().filter_map(|of| line(*of)).collect()), lines)
}

/// Mean of pools (mL, old fraction).
fn mean<const N: usize>(pools: [(f64, f64); N]) -> f64 {
    pools.iter().map(|(ml, old)| ml * old).sum::<f64>() / pools.iter().map(|p| p.0).sum::<f64>()
}

/// Mean old fraction in a part over an advance, from what it is at both ends and from what enters and leaves.
fn course(volume_ml: f64, ends: (f64, f64), entering: &Signal, leaving: &Signal) -> Vec<f64> {
    if volume_ml == 0.0 {
        return vec![0.0; leaving.grid.cells() + 1];
    }
    let gain = entering.blend(1.0, leaving, -1.0);
    let mut means = vec![ends.0];
    for k in 0..gain.grid.cells() {
        let width_ml = gain.grid.at(k + 1) - gain.grid.at(k);
        let gained_ml = 0.5 * width_ml * (gain.node(k)[0] + gain.node(k + 1)[0]);
        means.push(means[k] + gained_ml / volume_ml);
    }
    // The trapezium's error, spread evenly.
    let error = ends.1 - means[means.len() - 1];
    let cells = gain.grid.cells() as f64;
    means.iter().enumerate().map(|(k, m)| m + error * k as f64 / cells).collect()
}
