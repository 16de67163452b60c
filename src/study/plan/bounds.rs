//! What no plan can do with less.

use super::car::{Car, Least};
use crate::circuit::Circuit;
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::record::Left;
use crate::job::resume::Underway;
use crate::measures::to_kpa;
use crate::scenario::procedure::Action;

/// Room for what a flow may be faster than at the first gauge, as a share.
const FASTER: f64 = 0.05;

/// What each group takes at least.
#[derive(Debug, Clone)]
pub(super) struct Bounds {
    /// Grid steps.
    pub steps: Vec<u32>,
    /// Cost of an opening beside its steps.
    base: Vec<f64>,
    /// Cost of one step.
    slope: Vec<f64>,
    /// Most steps of an opening that are tried.
    pub most: u32,
}

/// Whether a circuit is one on which parts only get cleaner as more is drained: without loops among what flows,
/// with nothing dirtier nearer to the reservoir, and with nothing done between the openings.
pub(super) fn gets_only_cleaner(circuit: &Circuit, car: &Car) -> bool {
    let (nodes, links) = crate::circuit::reach::reached(circuit);
    // Ways side by side that hold nothing (port and cup of a master cylinder) are one.
    let mut ways: Vec<(usize, usize)> = Vec::new();
    let mut tree = true;
    for (l, _) in circuit.links.iter().zip(&links).filter(|(_, on)| **on) {
        let ends = (l.from.min(l.to), l.from.max(l.to));
        if !ways.contains(&ends) {
            ways.push(ends);
        } else if l.tube.is_some() {
            tree = false;
        }
    }
    tree &= ways.len() + 1 == nodes.iter().filter(|n| **n).count();
    let falls = circuit.bleeders.iter().any(|b| {
        let mut last = circuit.nodes[crate::circuit::RESERVOIR].filling;
        b.path.iter().any(|&l| {
            let link = &circuit.links[l];
            let tube = link.tube.map(|_| link.filling);
            let node = &circuit.nodes[link.to];
            let fillings = [tube, node.chamber.map(|_| node.filling)];
            fillings.into_iter().flatten().any(|f| {
                let dirtier =
                    last.old_fraction > f.old_fraction || last.water_share > f.water_share;
                last = f;
                dirtier
            })
        })
    });
    tree && !falls && !car.has_between()
}

impl Bounds {
    /// Finds them. A group's own parts (those that only it draws through) keep the least old fluid if what comes
    /// in is new from the first drop: so each group is run alone with everything else filled with new fluid.
    pub fn new(
        scenario: &Scenario,
        car: &Car,
        start: &Left,
        most: u32,
        cleaner: bool,
    ) -> Result<Self, JobError> {
        let n = car.groups.len();
        let mut steps = vec![1; n];
        if cleaner {
            steps = least_steps(car, start, most)?;
        }
        let (mut base, mut slope) = (vec![0.0; n], vec![0.0; n]);
        for g in 0..n {
            match car.least {
                Least::Fluid => slope[g] = car.grid_ml * car.groups[g].len() as f64,
                Least::Time => {
                    base[g] = scenario.procedure.tasks.per_bleeder.value;
                    slope[g] = car.grid_ml / fastest_ml_per_s(scenario, car, g)?;
                }
            }
        }
        Ok(Self { steps, base, slope, most })
    }

    /// The least that an opening of this many steps costs.
    pub fn price(&self, group: usize, steps: u32) -> f64 {
        self.base[group] + self.slope[group] * f64::from(steps)
    }

    /// The most steps that cost no more than this; 0 if none does.
    pub fn affordable(&self, group: usize, budget: f64) -> u32 {
        let steps = (budget - self.base[group]) / self.slope[group] + 1e-9;
        (steps.max(0.0).floor() as u32).min(self.most)
    }

    /// The least that groups cost together.
    pub fn least(&self, groups: &[usize]) -> f64 {
        groups.iter().map(|&g| self.price(g, self.steps[g])).sum()
    }
}

fn least_steps(car: &Car, start: &Left, most: u32) -> Result<Vec<u32>, JobError> {
    let n = car.groups.len();
    let volume: f64 = start.parts.iter().map(|p| p.volume_ml).sum();
    let alone: Vec<(Car, Underway)> = (0..n)
        .map(|g| {
            let car = car.new_but(&car.judge.own_names(start, g));
            let job = car.begin(false)?;
            Ok((car, job))
        })
        .collect::<Result<_, JobError>>()?;
    let after = |g: usize, v: u32| -> Result<Left, JobError> {
        let (car, mut job) = (&alone[g].0, alone[g].1.clone());
        car.open(&mut job, g, v)?;
        Ok(job.left())
    };
    let mut floor = Vec::with_capacity(n);
    for g in 0..n {
        floor.push(car.judge.own_old_ml(&after(g, most)?, g));
    }
    let trapped = car.judge.unreached_old_ml(start);
    (0..n)
        .map(|g| {
            let rest = trapped + floor.iter().sum::<f64>() - floor[g];
            let enough = |v: u32| -> Result<bool, JobError> {
                let left = after(g, v)?;
                let old = rest + car.judge.own_old_ml(&left, g);
                // The reservoir may end fuller than it began: room for that.
                let overall = car.judge.targets.old_overall.is_none_or(|t| old <= 1.5 * t * volume);
                Ok(overall && car.judge.own_fit(&left, g))
            };
            let (mut low, mut high) = (0, most);
            while high - low > 1 {
                let middle = low + (high - low) / 2;
                if enough(middle)? { high = middle } else { low = middle }
            }
            Ok(high)
        })
        .collect()
}

/// The fastest that a bleeder of a group flows, mL/s: at the highest gauge, with the fluid that runs faster.
fn fastest_ml_per_s(scenario: &Scenario, car: &Car, group: usize) -> Result<f64, JobError> {
    let mut set: Vec<f64> =
        scenario.supplies.iter().filter_map(|s| Some(s.kind.vessel()?.gauge.value)).collect();
    set.extend(scenario.procedure.steps.iter().filter_map(|s| match &s.action {
        Action::RePump { gauge } => Some(gauge.value),
        _ => None,
    }));
    let highest = to_kpa(set.into_iter().fold(0.0, f64::max));
    let mut slowest = f64::INFINITY;
    for bleeder in &car.groups[group] {
        let mut fastest: f64 = 0.0;
        for all_new in [false, true] {
            let mut alone = car.clone();
            alone.groups[group] = vec![bleeder.clone()];
            alone.grid_ml = 1.0;
            if all_new {
                alone = alone.new_but(&[]);
            }
            let mut job = alone.begin(false)?;
            alone.open(&mut job, group, 1)?;
            for o in job.openings() {
                let gauge = if o.gauge_start_kpa > 0.0 { o.gauge_start_kpa } else { highest };
                let raised = if gauge > 0.0 { (highest / gauge).max(1.0) } else { 1.0 };
                fastest = fastest.max(o.mean_flow_ml_per_s * raised);
            }
        }
        slowest = slowest.min(fastest * (1.0 + FASTER));
    }
    Ok(slowest.max(1e-6))
}
