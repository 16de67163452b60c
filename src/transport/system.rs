//! All fluid of a circuit, and one step of its motion.

mod counts;
mod modulator;
mod route;
mod ways;

use super::chamber::Stages;
use super::lanes::Lanes;
use super::reservoir::Reservoir;
use super::tube::{Length, Piece, Tube};
use crate::circuit::{Circuit, Filling, Link, RESERVOIR};
use counts::Counted;
use route::Route;
pub use route::RunsInACircle;
use std::sync::Arc;
use ways::{Way, Ways};

/// The fluid of a circuit.
#[derive(Debug, Clone)]
pub struct System {
    species: usize,
    /// The reservoir.
    pub reservoir: Reservoir,
    ways: Arc<Ways>,
    /// By way, and by node; shared between a system and its copies until one of them pushes fluid through.
    tubes: Vec<Option<Arc<Tube>>>,
    chambers: Vec<Option<Arc<Stages>>>,
    /// Nodes whose chambers standing changes.
    restless: Arc<[usize]>,
    /// What last left each node, [node][twice as many as species]: the mean composition of a step and that at its end.
    last: Vec<f64>,
    inflow: Vec<f64>,
    inflow_volume: Vec<f64>,
    route: Arc<Route>,
    outlets: Vec<f64>,
    outlet_rows: Vec<f64>,
    row: Vec<f64>,
    /// Ends of lanes read so far.
    readings: u64,
    /// What a finer run that this one stands for would have read and keep.
    finer: Option<Counted>,
}

/// What a shut valve leaks in a step may be so little, m³, that rounding leaves no composition in it: up
/// to this a node passes on what last left it. Even 10⁴ such steps are 10⁻⁷ mL.
const TRICKLE: f64 = 1e-17;

/// What happens in one step.
#[derive(Debug, Clone, Copy)]
pub struct Step<'a> {
    /// Volume through each link, m³, positive from its `from` to its `to`.
    pub through_m3: &'a [f64],
    /// Nodes with an open bleeder and the volume that leaves there, m³.
    pub exits: &'a [(usize, f64)],
    /// Nodes whose chamber a piston sweeps, and the volume it gives off in this step, m³.
    pub given: &'a [(usize, f64)],
    /// Volume fed into the reservoir, m³.
    pub feed_m3: f64,
    /// Composition fed.
    pub feed: &'a [f64],
    /// Duration, s.
    pub time_s: f64,
}

/// Fluid that comes in at a node, beside what the supply feeds into the reservoir.
#[derive(Debug, Clone, Copy)]
pub struct Entry<'a> {
    /// The node.
    pub node: usize,
    /// Volume, m³.
    pub volume_m3: f64,
    /// Its amounts, m³ · composition.
    pub amounts: &'a [f64],
}

impl System {
    /// The circuit with everything in it as the scenario says.
    pub fn new(
        circuit: &Circuit,
        lanes: &Arc<Lanes>,
        composition: impl Fn(&Filling, usize) -> Vec<f64>,
        tag_index: impl Fn(crate::circuit::species::Tag) -> usize,
    ) -> Self {
        let plug = Arc::new(Lanes::plug());
        let reservoir_node = &circuit.nodes[RESERVOIR];
        let filling = composition(&reservoir_node.filling, tag_index(reservoir_node.tag));
        let species = filling.len();
        let ways = Ways::new(circuit);
        let tubes = ways.all.iter().map(|way| {
            let links = || way.links.iter().map(|&l| &circuit.links[l]);
            let first = links().next()?.tube?;
            let fillings: Vec<_> =
                links().map(|l| composition(&l.filling, tag_index(l.tag))).collect();
            let lengths = lengths(links(), fillings.iter().map(Vec::as_slice));
            Some(Arc::new(Tube::of(&lengths, if first.plug { &plug } else { lanes })))
        });
        let chambers = circuit.nodes.iter().map(|n| {
            let filled = |c| Stages::new(c, &composition(&n.filling, tag_index(n.tag)));
            n.chamber.map(|c| Arc::new(filled(c)))
        });
        let chambers: Vec<Option<Arc<Stages>>> = chambers.collect();
        let restless = chambers.iter().enumerate().filter_map(|(node, chamber)| {
            chamber.as_ref().is_some_and(|c| c.changes_at_rest()).then_some(node)
        });
        let last =
            circuit.nodes.iter().flat_map(|n| composition(&n.filling, tag_index(n.tag)).repeat(2));
        Self {
            species,
            reservoir: Reservoir::new(&circuit.reservoir, &filling),
            tubes: tubes.collect(),
            ways: Arc::new(ways),
            restless: restless.collect(),
            chambers,
            last: last.collect(),
            inflow: vec![0.0; 2 * circuit.nodes.len() * species],
            inflow_volume: vec![0.0; circuit.nodes.len()],
            route: Arc::default(),
            outlets: vec![0.0; circuit.reservoir.outlets.len()],
            outlet_rows: vec![0.0; 2 * circuit.reservoir.outlets.len() * species],
            row: vec![0.0; 2 * species],
            readings: 0,
            finer: None,
        }
    }

    /// The line or hose of a link, if it is one.
    pub fn tube(&self, link: usize) -> Option<Piece<'_>> {
        let (way, place) = self.ways.of[link];
        self.tubes[way].as_deref().map(|tube| tube.length(place))
    }

    /// The chamber of a node, if it has one.
    pub fn chamber(&self, node: usize) -> Option<&Stages> {
        self.chambers[node].as_deref()
    }

    /// Composition that last left a node: the mean over a step.
    pub fn last(&self, node: usize) -> &[f64] {
        &self.course(node)[..self.species]
    }

    /// Composition that leaves a node now, at the end of a step.
    pub fn leaves(&self, node: usize) -> &[f64] {
        &self.course(node)[self.species..]
    }

    fn course(&self, node: usize) -> &[f64] {
        &self.last[2 * node * self.species..2 * (node + 1) * self.species]
    }

    /// Moves the fluid by one step; writes what leaves at each exit into `leaving` (a row an exit).
    ///
    /// # Errors
    /// [`RunsInACircle`] if the directions of flow form a circle.
    pub fn step(
        &mut self,
        circuit: &Circuit,
        step: &Step<'_>,
        leaving: &mut [f64],
    ) -> Result<(), RunsInACircle> {
        self.step_with(circuit, step, &[], leaving)
    }

    /// As [`System::step`], with fluid coming in at nodes too.
    ///
    /// # Errors
    /// [`RunsInACircle`] if the directions of flow form a circle.
    pub fn step_with(
        &mut self,
        circuit: &Circuit,
        step: &Step<'_>,
        entries: &[Entry<'_>],
        leaving: &mut [f64],
    ) -> Result<(), RunsInACircle> {
        if !self.route.fits(&self.ways, step.through_m3) {
            self.route = Arc::new(Route::find(circuit, &self.ways, step.through_m3)?);
        }
        let s = self.species;
        self.inflow.fill(0.0);
        self.inflow_volume.fill(0.0);
        for e in entries {
            self.inflow_volume[e.node] += e.volume_m3;
            let even = e.amounts.iter().chain(e.amounts);
            for (i, a) in self.inflow[2 * e.node * s..].iter_mut().zip(even) {
                *i += a;
            }
        }
        self.leave_reservoir(circuit, step);
        let elsewhere = !entries.is_empty() || !step.given.is_empty();
        let met = |route: &Route| if elsewhere { route.order.len() } else { route.fed.len() };
        for at in 0..met(&self.route) {
            let node = if elsewhere { self.route.order[at] } else { self.route.fed[at] };
            let mut dv = self.inflow_volume[node];
            let given = step.given.iter().find(|g| g.0 == node).map_or(0.0, |g| g.1);
            if dv <= 0.0 && given <= 0.0 {
                continue;
            }
            let range = 2 * node * s..2 * (node + 1) * s;
            self.row.copy_from_slice(&self.inflow[range.clone()]);
            if let Some(chamber) = &mut self.chambers[node] {
                let chamber = Arc::make_mut(chamber);
                if dv > 0.0 {
                    chamber.pass(dv, step.time_s, &mut self.row);
                }
                if given > 0.0 {
                    let (row, end) = self.row.split_at_mut(s);
                    chamber.give(given, step.time_s, false, row);
                    for (end, c) in end.iter_mut().zip(chamber.at_outlet()) {
                        *end += given * c;
                    }
                    dv += given;
                }
            }
            if dv > TRICKLE {
                for (l, r) in self.last[range].iter_mut().zip(&self.row) {
                    *l = r / dv;
                }
            }
            for i in 0..self.route.out[node].len() {
                let (way, backward) = self.route.out[node][i];
                let dv = step.through_m3[self.ways.first(way)].abs();
                self.push(way, backward, dv, node);
            }
            for (exit, row) in step.exits.iter().zip(leaving.chunks_mut(s)) {
                if exit.0 == node {
                    for (r, c) in row.iter_mut().zip(&self.last[2 * node * s..]) {
                        *r = exit.1 * c;
                    }
                }
            }
        }
        // Off the way that is open time passes too.
        for &node in &*self.restless {
            let passed = self.inflow_volume[node] > 0.0
                || step.given.iter().any(|(at, dv)| *at == node && *dv > 0.0);
            if let Some(chamber) = self.chambers[node].as_mut().filter(|_| !passed) {
                Arc::make_mut(chamber).stand(step.time_s);
            }
        }
        self.return_to_reservoir(step);
        Ok(())
    }

    fn leave_reservoir(&mut self, circuit: &Circuit, step: &Step<'_>) {
        let s = self.species;
        self.outlets.fill(0.0);
        for &(link, outlet) in &self.ways.outlets {
            self.outlets[outlet] += step.through_m3[link].max(0.0);
        }
        // Half of what pockets trade by the clock before, half after (Strang 1968).
        self.reservoir.stand(0.5 * step.time_s);
        self.reservoir.pass(step.feed_m3, step.feed, &self.outlets, &mut self.outlet_rows);
        self.reservoir.stand(0.5 * step.time_s);
        for i in 0..self.route.out[RESERVOIR].len() {
            let (way, backward) = self.route.out[RESERVOIR][i];
            let link = self.ways.first(way);
            if let Some(outlet) = circuit.links[link].outlet {
                let total = self.outlets[outlet];
                for (l, r) in self.last[..2 * s].iter_mut().zip(&self.outlet_rows[2 * outlet * s..])
                {
                    *l = r / total;
                }
                self.push(way, backward, step.through_m3[link], RESERVOIR);
            }
        }
    }

    fn return_to_reservoir(&mut self, step: &Step<'_>) {
        let s = self.species;
        for &(link, outlet) in &self.ways.outlets {
            let dv = step.through_m3[link];
            if dv < 0.0 {
                let (way, _) = self.ways.of[link];
                let to = self.ways.all[way].to;
                let course = &self.last[2 * to * s..2 * (to + 1) * s];
                let mut row = vec![0.0; 2 * s];
                match &mut self.tubes[way] {
                    Some(tube) => Arc::make_mut(tube).push(-dv, course, true, &mut row),
                    None => row.iter_mut().zip(course).for_each(|(r, c)| *r = c * -dv),
                }
                self.reservoir.give_back(outlet, -dv, &row[..s]);
            }
        }
    }

    /// Sends `dv` of what last left `node` through a way.
    fn push(&mut self, way: usize, backward: bool, dv: f64, node: usize) {
        let s = self.species;
        let Way { from, to, .. } = self.ways.all[way];
        let end = if backward { from } else { to };
        self.inflow_volume[end] += dv;
        let course = &self.last[2 * node * s..2 * (node + 1) * s];
        let into = &mut self.inflow[2 * end * s..2 * (end + 1) * s];
        match &mut self.tubes[way] {
            Some(tube) => {
                Arc::make_mut(tube).push(dv, course, backward, into);
                self.readings += tube.readings();
                if let Some(finer) = &mut self.finer {
                    finer.pushed(way, dv, tube);
                }
            }
            None => {
                for (i, c) in into.iter_mut().zip(course) {
                    *i += dv * c;
                }
            }
        }
    }

    /// Lets a piston send `dv` m³ of a chamber back up into the reservoir through an outlet.
    pub fn send_back(&mut self, node: usize, outlet: usize, dv: f64) {
        let Some(chamber) = self.chambers[node].as_mut().map(Arc::make_mut) else { return };
        let row = &mut self.row[..self.species];
        row.fill(0.0);
        chamber.give(dv, 0.0, true, row);
        self.reservoir.give_back(outlet, dv, row);
    }

    /// Lets pistons go back: each chamber (its node, the outlet that feeds it) draws `dv` m³ out of the
    /// reservoir in `time_s`. The caller sees to it that the reservoir has as much to give.
    pub fn draw_in(&mut self, draws: &[(usize, usize, f64)], time_s: f64) {
        let s = self.species;
        self.outlets.fill(0.0);
        for (_, outlet, dv) in draws {
            self.outlets[*outlet] += dv;
        }
        let nothing = vec![0.0; s];
        self.reservoir.stand(0.5 * time_s);
        self.reservoir.pass(0.0, &nothing, &self.outlets, &mut self.outlet_rows);
        self.reservoir.stand(0.5 * time_s);
        for (node, outlet, dv) in draws.iter().filter(|d| d.2 > 0.0) {
            let Some(chamber) = self.chambers[*node].as_mut().map(Arc::make_mut) else { continue };
            let share = dv / self.outlets[*outlet];
            let drawn = &self.outlet_rows[2 * outlet * s..];
            let row = &mut self.row[..s];
            for (r, x) in row.iter_mut().zip(drawn) {
                *r = share * x;
            }
            chamber.take_in(*dv, time_s, row);
        }
    }

    /// Lets everything stand: pockets trade for `time_s`, and the cross-section of each line mixes to
    /// the degree that `remix` gives for its link.
    pub fn stand(&mut self, time_s: f64, remix: impl Fn(usize) -> f64) {
        self.reservoir.stand(time_s);
        for chamber in self.chambers.iter_mut().flatten().filter(|c| c.changes_at_rest()) {
            Arc::make_mut(chamber).stand(time_s);
        }
        for (way, tube) in self.ways.all.iter().zip(&mut self.tubes) {
            if let Some(tube) = tube {
                Arc::make_mut(tube).stand_each(|place| remix(way.links[place]));
            }
        }
    }

    /// Writes the amounts held by the whole system, each part integrated afresh.
    pub fn held(&self, sum: &mut [f64]) {
        let mut part = vec![0.0; sum.len()];
        self.reservoir.held(sum);
        let tubes = self.tubes.iter().flatten();
        for tube in tubes {
            tube.held(&mut part);
            for (s, p) in sum.iter_mut().zip(&part) {
                *s += p;
            }
        }
        for chamber in self.chambers.iter().flatten() {
            chamber.held(&mut part);
            for (s, p) in sum.iter_mut().zip(&part) {
                *s += p;
            }
        }
    }

    /// The same with lines and hoses by book-keeping over what entered and left them, which costs next to nothing.
    pub fn tallied(&self, sum: &mut [f64]) {
        self.reservoir.held(sum);
        let tubes = self.ways.all.iter().zip(&self.tubes);
        for (way, tube) in tubes.filter_map(|(way, tube)| Some((way, tube.as_deref()?))) {
            for place in 0..way.links.len() {
                for (s, t) in sum.iter_mut().zip(tube.length(place).tally()) {
                    *s += t;
                }
            }
        }
        let mut part = vec![0.0; sum.len()];
        for chamber in self.chambers.iter().flatten() {
            chamber.held(&mut part);
            for (s, p) in sum.iter_mut().zip(&part) {
                *s += p;
            }
        }
    }

    /// Volume of the whole system, m³.
    pub fn volume(&self) -> f64 {
        let tubes: f64 = self.tubes.iter().flatten().map(|t| t.volume()).sum();
        let chambers: f64 = self.chambers.iter().flatten().map(|c| c.volume()).sum();
        self.reservoir.volume() + tubes + chambers
    }
}

/// The lines and hoses of a way.
fn lengths<'a>(
    links: impl Iterator<Item = &'a Link>,
    fillings: impl Iterator<Item = &'a [f64]>,
) -> Vec<Length<'a>> {
    let length = |(l, filling): (&Link, &'a [f64])| {
        let t = l.tube?;
        let (volume, bends, joint) = (t.volume_m3, t.remix, l.joint.unwrap_or(1.0));
        Some(Length { volume, bends, joint, filling })
    };
    links.zip(fillings).filter_map(length).collect()
}
