//! The flow network of one set of open bleeders.

use super::drawing::{Drawing, STALL_PA, drawn_through};
use crate::circuit::species::Species;
use crate::circuit::{Circuit, RESERVOIR, paths};
use crate::flow::laws::{
    SHARP_EDGED_DISCHARGE, laminar_resistance, orifice_inertial_resistance,
    orifice_viscous_resistance, slit_viscous_resistance,
};
use crate::flow::{Contents, Element, FlowError, Law, Network, Solver};
use crate::fluid::blend::Blend;
use crate::measures::STANDARD_GRAVITY;
use crate::parts::passage::{Passage, bore_of_ring_m};
use crate::transport::system::System;
use std::f64::consts::PI;

/// Reynolds number above which flow in a tube may turn turbulent (textbook value, from memory).
pub(crate) const LAMINAR_TO: f64 = 2_300.0;

/// A line in which fluid flows faster than lanes of a laminar profile describe: its link, the bleeder that was open,
/// and its largest Reynolds number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fast {
    pub link: usize,
    pub bleeder: usize,
    pub reynolds: f64,
}

/// What an element of the network is to the circuit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Role {
    Feed,
    Link(usize),
    Exit(usize),
}

/// Where pressure is lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Lost {
    /// In the supply's feed hose.
    Feed,
    /// In a link of the circuit.
    Link(usize),
    /// In an open bleeder.
    Exit,
}

/// An open bleeder: the circuit's node it sits on, the network's node behind it, and its height over
/// the reservoir, m.
#[derive(Debug, Clone, Copy)]
struct Exit {
    from: usize,
    /// `None`: nothing pushes at this bleeder for now.
    node: Option<usize>,
    rise_m: f64,
}

/// What a network is of, in one setting: the open bleeders, the chambers whose pistons push (`None`: the reservoir
/// or the supply does), and what pumps of modulators draw.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Joined {
    pub chambers: Option<Vec<usize>>,
    pub open: Vec<usize>,
    pub drawings: Vec<Drawing>,
}

/// What flows through a network, and how exactly its flows are followed.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Flowing<'s> {
    pub circuit: &'s Circuit,
    pub blend: &'s Blend,
    pub species: &'s Species,
    /// Share by which pressure and viscosities may change before flows are solved for anew.
    pub drift: f64,
}

/// The network with the given bleeders open and everything dead cut away.
#[derive(Debug, Clone)]
pub(crate) struct Hydraulics {
    pub joined: Joined,
    solver: Solver,
    roles: Vec<Role>,
    feed: Option<Passage>,
    boundary: Vec<Option<f64>>,
    exits: Vec<Exit>,
    /// Nodes of the network where the flow begins.
    sources: Vec<usize>,
    contents: Vec<Contents>,
    /// Old fractions and gauge pressure of the middle of this step, and those that the present flows were solved for;
    /// empty before the first solve.
    mid: Vec<f64>,
    solved_for: Vec<f64>,
    solved_pa: f64,
    /// Old fraction in each element when the last step began, empty before the first.
    olds: Vec<f64>,
    /// Gauge pressure at the ends of the clear hoses, Pa: below zero where a vacuum draws.
    pub at_bleeder_pa: f64,
    /// Flow in each link of the circuit, m³/s.
    pub link_flow: Vec<f64>,
    /// Flow out of each open bleeder, m³/s, in the order given.
    pub exit_flow: Vec<f64>,
    /// Flow out of the reservoir through each of its outlets, m³/s.
    pub outlet_flow: Vec<f64>,
    /// Chambers that a piston sweeps (their nodes in the circuit) and the flow out of each, m³/s.
    pub chamber_flow: Vec<(usize, f64)>,
    /// Flow from the supply into the reservoir, m³/s.
    pub feed_flow: f64,
    /// Largest Reynolds number in a line or hose.
    pub reynolds: f64,
    /// Links moved in laminar lanes though their Reynolds number is beyond [`LAMINAR_TO`], and that.
    pub beyond_laminar: Vec<(usize, f64)>,
    /// Nodes of the network before the pumps that draw.
    before_pumps: Vec<usize>,
    /// The lowest gauge pressure before any of them, Pa.
    pub before_pump_pa: f64,
}

/// Viscous resistance of an open bleeder, 1/m³: seat gap, cross hole and axial hole in a row.
pub(crate) fn screw_viscous_resistance(
    gap_m: f64,
    cross_bore_m: f64,
    bore_m: f64,
    length_m: f64,
) -> f64 {
    slit_viscous_resistance(gap_m, PI * bore_m)
        + orifice_viscous_resistance(cross_bore_m, 0.0)
        + orifice_viscous_resistance(bore_m, length_m)
}

fn law(passage: &Passage) -> Law {
    match *passage {
        Passage::Tube { bore_m, length_m, minor_k } => {
            // Drawn or lined tube is smooth: 1.5 µm (handbook value for drawn tubing).
            Law::Tube { bore_m, length_m, minor_k, rise_m: 0.0, roughness_m: 1.5e-6 }
        }
        Passage::Orifice { bore_m, length_m } => {
            Law::Orifice { bore_m, length_m, discharge: SHARP_EDGED_DISCHARGE }
        }
        // Each hole loses its own jet, since what follows is wider. The long one is taken to lose that of a short one, 2.7
        // velocity heads: laminar flow from rest into a tube and out of it loses 2.3, turbulent flow 1.5 (from memory),
        // half a kilopascal less at 3 mL/s. The clear hose is laminar, Re 850 in 5 mm at 10 mL/s of hot fluid, 3 mm²/s,
        // and counts as full of what comes out of the bleeder.
        Passage::Screw { gap_m, cross_bore_m, bore_m, length_m, hose_bore_m, hose_length_m } => {
            let jet = |bore_m| orifice_inertial_resistance(bore_m, SHARP_EDGED_DISCHARGE);
            Law::Row {
                viscous_per_m3: screw_viscous_resistance(gap_m, cross_bore_m, bore_m, length_m)
                    + laminar_resistance(hose_bore_m, hose_length_m),
                inertial_per_m4: jet(bore_of_ring_m(bore_m, gap_m))
                    + jet(cross_bore_m)
                    + jet(bore_m),
            }
        }
        Passage::Check { cracking_pa, bore_m } => Law::Check { cracking_pa, bore_m },
    }
}

impl Hydraulics {
    /// Pushed (or drawn) from the reservoir on, through a feed hose if there is one; or by pistons in chambers of the
    /// master cylinder (their nodes), the ports to the reservoir shut. Open bleeders that none of them reaches have no
    /// flow.
    pub(crate) fn new(
        circuit: &Circuit,
        feed: Option<Passage>,
        joined: Joined,
    ) -> Result<Self, FlowError> {
        let circuit = &*drawn_through(circuit, &joined.drawings);
        let open = &joined.open;
        let ((node_on, link_on), sources) = match &joined.chambers {
            Some(chambers) => {
                (paths::live_from_chambers(circuit, chambers, open), chambers.as_slice())
            }
            None => (paths::live(circuit, open), [RESERVOIR].as_slice()),
        };
        let mut number = vec![usize::MAX; circuit.nodes.len()];
        let mut nodes = Vec::new();
        for (i, n) in circuit.nodes.iter().enumerate().filter(|(i, _)| node_on[*i]) {
            number[i] = nodes.len();
            nodes.push(n.name.clone());
        }
        let (mut elements, mut roles) = (Vec::new(), Vec::new());
        let mut before_pumps = Vec::new();
        for (i, l) in circuit.links.iter().enumerate().filter(|(i, _)| link_on[*i]) {
            let drawn = joined.drawings.iter().find(|d| d.pump == i);
            before_pumps.extend(drawn.map(|_| number[l.from]));
            elements.push(Element {
                from: number[l.from],
                to: number[l.to],
                law: drawn.map_or_else(
                    || law(&l.passage),
                    |d| Law::Pump { delivery_m3_s: d.drawn_m3_s, stall_pa: STALL_PA },
                ),
                name: l.name.clone(),
            });
            roles.push(Role::Link(i));
        }
        let mut exits = Vec::new();
        for (i, &b) in open.iter().enumerate() {
            let bleeder = &circuit.bleeders[b];
            let pushed = number[bleeder.node] != usize::MAX;
            exits.push(Exit {
                from: bleeder.node,
                node: pushed.then_some(nodes.len()),
                rise_m: bleeder.outlet_m - circuit.reservoir.height_m,
            });
            if !pushed {
                continue;
            }
            elements.push(Element {
                from: number[bleeder.node],
                to: nodes.len(),
                law: law(&bleeder.passage),
                name: format!("bleeder {}", bleeder.name),
            });
            roles.push(Role::Exit(i));
            nodes.push(format!("clear hose at {}", bleeder.name));
        }
        let sources = || sources.iter().copied().filter(|n| node_on[*n]);
        let chamber_flow = sources().filter(|n| *n != RESERVOIR).map(|n| (n, 0.0)).collect();
        let mut sources: Vec<usize> = sources().map(|n| number[n]).collect();
        if let Some(hose) = feed {
            elements.push(Element {
                from: nodes.len(),
                to: number[RESERVOIR],
                law: law(&hose),
                name: "feed hose".to_owned(),
            });
            roles.push(Role::Feed);
            sources = vec![nodes.len()];
            nodes.push("supply".to_owned());
        }
        let count = nodes.len();
        let blank = Contents { density_kg_m3: 1.0, nu_m2_s: 1e-6 };
        Ok(Self {
            contents: vec![blank; elements.len()],
            mid: Vec::with_capacity(elements.len()),
            solved_for: Vec::with_capacity(elements.len()),
            solved_pa: 0.0,
            olds: Vec::with_capacity(elements.len()),
            solver: Solver::new(Network { nodes, elements })?,
            roles,
            feed,
            boundary: vec![None; count],
            sources,
            at_bleeder_pa: 0.0,
            chamber_flow,
            link_flow: vec![0.0; circuit.links.len()],
            exit_flow: vec![0.0; exits.len()],
            outlet_flow: vec![0.0; circuit.reservoir.outlets.len()],
            exits,
            feed_flow: 0.0,
            reynolds: 0.0,
            beyond_laminar: Vec::new(),
            before_pumps,
            before_pump_pa: 0.0,
            joined,
        })
    }

    /// Makes it what it was when it was put together.
    pub(crate) fn forget(&mut self) {
        self.solver.forget();
        for of_last_step in [&mut self.mid, &mut self.solved_for, &mut self.olds] {
            of_last_step.clear();
        }
        (self.solved_pa, self.at_bleeder_pa) = (0.0, 0.0);
        for flows in [&mut self.link_flow, &mut self.exit_flow, &mut self.outlet_flow] {
            flows.fill(0.0);
        }
        self.chamber_flow.iter_mut().for_each(|c| c.1 = 0.0);
        (self.feed_flow, self.reynolds, self.before_pump_pa) = (0.0, 0.0, 0.0);
        self.beyond_laminar.clear();
    }

    /// Notes the lines in which fluid now flows too fast for laminar lanes, of each the fastest it gets.
    pub(crate) fn note_fast(&self, all: &mut Vec<Fast>, bleeder: usize) {
        for &(link, reynolds) in &self.beyond_laminar {
            match all.iter_mut().find(|f| f.link == link) {
                Some(f) if f.reynolds < reynolds => *f = Fast { link, bleeder, reynolds },
                Some(_) => {}
                None => all.push(Fast { link, bleeder, reynolds }),
            }
        }
    }

    /// Each element with how it resists, the viscosity in it, m²/s, and the pressure that it now costs, Pa.
    pub(crate) fn losses(&self, circuit: &Circuit) -> Vec<(Lost, Passage, f64, f64)> {
        let each = self.roles.iter().zip(&self.contents).filter_map(|(role, contents)| {
            let (lost, passage, q) = match *role {
                Role::Feed => (Lost::Feed, self.feed?, self.feed_flow),
                Role::Link(i) => (Lost::Link(i), circuit.links[i].passage, self.link_flow[i]),
                Role::Exit(i) => {
                    let at = |b: &&crate::circuit::Bleeder| b.node == self.exits[i].from;
                    (Lost::Exit, circuit.bleeders.iter().find(at)?.passage, self.exit_flow[i])
                }
            };
            Some((lost, passage, contents.nu_m2_s, law(&passage).drop_and_slope(q, *contents).0))
        });
        each.collect()
    }

    /// Whether nothing pushes at an open bleeder for now, since the pistons that could are at their stops.
    pub(crate) fn idle(&self, exit: usize) -> bool {
        self.exits[exit].node.is_none() && !self.sources.is_empty()
    }

    /// Solves for the flows with the gauge pressure where they begin, that of the middle of the step: at the supply, over
    /// an open reservoir, or in the chambers that pistons sweep. As long as that pressure and every viscosity (by its
    /// logarithm) have changed by no more than the drift, the last flows are kept.
    ///
    /// Fluid is taken as it will be in the middle of the step: changed as in the step before, whose length this one is
    /// `longer` times.
    pub(crate) fn solve(
        &mut self,
        flowing: Flowing<'_>,
        system: &System,
        gauge_pa: f64,
        longer: f64,
    ) -> Result<(), FlowError> {
        let Flowing { circuit, blend, species, drift } = flowing;
        let first = self.olds.is_empty();
        self.olds.resize(self.roles.len(), 0.0);
        self.mid.clear();
        for (role, before) in self.roles.iter().zip(&mut self.olds) {
            let old = match *role {
                Role::Feed => 0.0,
                Role::Link(i) => match system.tube(i) {
                    Some(tube) => species.old(tube.tally()) / tube.volume(),
                    None => species.old(system.leaves(circuit.links[i].from)),
                },
                Role::Exit(i) => species.old(system.leaves(self.exits[i].from)),
            };
            let before = std::mem::replace(before, old);
            let change = if first { 0.0 } else { 0.5 * longer * (old - before) };
            self.mid.push((old + change).clamp(0.0, 1.0));
        }
        if drift > 0.0 {
            let steep = blend.ln_nu_rise();
            let mut pairs = self.mid.iter().zip(&self.solved_for);
            if !self.solved_for.is_empty()
                && (gauge_pa - self.solved_pa).abs() <= drift * self.solved_pa.abs()
                && pairs.all(|(now, then)| (steep * (now - then)).abs() <= drift)
            {
                return Ok(());
            }
            self.solved_for.clone_from(&self.mid);
            self.solved_pa = gauge_pa;
        }
        for (contents, old) in self.contents.iter_mut().zip(&self.mid) {
            contents.nu_m2_s = blend.nu_m2_s(*old);
            contents.density_kg_m3 = blend.density_kg_m3(*old);
        }
        for &source in &self.sources {
            self.boundary[source] = Some(gauge_pa);
        }
        let density = blend.density_kg_m3(1.0);
        for exit in &self.exits {
            if let Some(node) = exit.node {
                let head = density * STANDARD_GRAVITY * exit.rise_m;
                self.boundary[node] = Some(head + self.at_bleeder_pa);
            }
        }
        let solution = self.solver.solve(&self.boundary, &self.contents)?;
        self.reynolds = 0.0;
        self.before_pump_pa = self
            .before_pumps
            .iter()
            .map(|n| solution.pressures_pa[*n])
            .fold(f64::INFINITY, f64::min);
        self.beyond_laminar.clear();
        self.outlet_flow.fill(0.0);
        self.chamber_flow.iter_mut().for_each(|c| c.1 = 0.0);
        for ((role, q), contents) in self.roles.iter().zip(solution.flows_m3_s).zip(&self.contents)
        {
            match *role {
                Role::Feed => self.feed_flow = *q,
                Role::Exit(i) => self.exit_flow[i] = *q,
                Role::Link(i) => {
                    self.link_flow[i] = *q;
                    let l = &circuit.links[i];
                    if let Some(outlet) = l.outlet {
                        self.outlet_flow[outlet] += q;
                    }
                    for (node, out) in &mut self.chamber_flow {
                        if l.from == *node {
                            *out += q;
                        } else if l.to == *node {
                            *out -= q;
                        }
                    }
                    if let (Some(t), Some((bore_m, _))) = (l.tube, l.bore_and_length_m()) {
                        let re = 4.0 * q.abs() / (PI * bore_m * contents.nu_m2_s);
                        self.reynolds = self.reynolds.max(re);
                        if re > LAMINAR_TO && !t.plug {
                            self.beyond_laminar.push((i, re));
                        }
                    }
                }
            }
        }
        Ok(())
    }
}
