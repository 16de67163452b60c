//! A vehicle made ready for plans, and what one plan comes to on it.

use super::orders;
use super::targets::{Judge, Targets};
use crate::circuit::Scenario;
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::resume::{Ready, Underway};
use crate::keys::{Place, Quantity};
use crate::measures::{from_ml, to_ml};
use crate::scenario::procedure::{Action, Step, StopRule};
use crate::study::syringe::syringe;

/// A plan on the grid.
#[derive(Debug, Clone, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct Candidate {
    /// Whether the reservoir is emptied by syringe and refilled first.
    pub syringed: bool,
    /// Groups in the order in which they are opened, with the grid steps drained at each bleeder of the
    /// group: as many entries as there are groups, or twice as many for two passes. Zero leaves an opening
    /// of the second pass out.
    pub openings: Vec<(usize, u32)>,
}

impl Candidate {
    /// Whether there is a second pass.
    pub fn second_pass(&self, groups: usize) -> bool {
        self.openings.iter().skip(groups).any(|o| o.1 > 0)
    }

    /// The same with so many steps more at one opening.
    pub fn with(&self, opening: usize, more: i32) -> Self {
        let mut plan = self.clone();
        plan.openings[opening].1 = plan.openings[opening].1.saturating_add_signed(more);
        plan
    }
}

/// A plan that was run.
#[derive(Debug, Clone)]
pub(super) struct Tried {
    pub plan: Candidate,
    pub cost: f64,
    /// By how much it misses each target.
    pub excess: Vec<f64>,
    /// The job before each opening, and at its end.
    trail: Vec<Underway>,
}

impl Tried {
    /// Whether the targets are met.
    pub fn fits(&self) -> bool {
        self.worst() <= 0.0
    }

    /// By how much the target is missed that is missed most.
    pub fn worst(&self) -> f64 {
        worst(&self.excess)
    }

    /// The job at its end.
    pub fn ended(&self) -> &Underway {
        &self.trail[self.plan.openings.len()]
    }
}

/// The most by which a target is missed, of those by which each is.
pub(super) fn worst(excess: &[f64]) -> f64 {
    excess.iter().copied().fold(f64::NEG_INFINITY, f64::max)
}

/// What is to be least.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
#[non_exhaustive]
pub enum Least {
    /// New fluid brought in: it replaces what is drained at the bleeders and what a syringe takes.
    #[default]
    Fluid,
    /// Time in the bay.
    Time,
}

/// A vehicle ready for plans.
#[derive(Debug, Clone)]
pub(super) struct Car {
    pub ready: Ready,
    pub judge: Judge,
    pub groups: Vec<Vec<String>>,
    pub grid_ml: f64,
    pub least: Least,
    /// What the syringe leaves and where it is refilled to, m³.
    pub syringe: Option<(f64, f64)>,
    pub before: Vec<Step>,
    /// Steps after the first pass.
    pub between: Vec<Step>,
}

/// The steps of the procedure that a plan keeps: those before and those after its first opening, openings and
/// the filling of the reservoir by hand left out.
pub(super) fn kept(scenario: &Scenario) -> (Vec<usize>, Vec<usize>) {
    let steps = &scenario.procedure.steps;
    let opens = |s: &Step| matches!(s.action, Action::Open { .. });
    let first = steps.iter().position(opens).unwrap_or(steps.len());
    let stays = |i: &usize| {
        !matches!(
            steps[*i].action,
            Action::Open { .. } | Action::Syringe { .. } | Action::TopUp { .. }
        )
    };
    let (before, after) = (0..first, first..steps.len());
    (before.filter(stays).collect(), after.filter(stays).collect())
}

/// The scenario with none but counted openings, so that it is computed exactly as the plan written for it.
fn counted(scenario: &Scenario) -> Scenario {
    let mut procedure = scenario.procedure.clone();
    for step in &mut procedure.steps {
        if let Action::Open { until, .. } = &mut step.action {
            *until = StopRule { volume: Some(Quantity::known(1e-6)), ..StopRule::default() };
        }
    }
    scenario.with_procedure(procedure)
}

impl Car {
    /// Makes a vehicle ready. `syringed` is what a syringe does on it.
    pub fn new(
        scenario: &Scenario,
        options: &Options,
        targets: Targets,
        grid_ml: f64,
        least: Least,
    ) -> Result<Self, JobError> {
        let ready = Ready::new(&counted(scenario), options)?;
        let groups = orders::groups(&scenario.procedure);
        let left = ready.begin()?.left();
        let judge = Judge::new(targets, scenario.circuit(), &groups, &left);
        let (before, between) = kept(scenario);
        let steps = |which: Vec<usize>| {
            which.into_iter().map(|i| scenario.procedure.steps[i].clone()).collect()
        };
        Ok(Self {
            ready,
            judge,
            groups,
            grid_ml,
            least,
            syringe: syringe(scenario),
            before: steps(before),
            between: steps(between),
        })
    }

    /// The same with other targets.
    pub fn with(&self, targets: Targets) -> Self {
        Self { judge: self.judge.with(targets), ..self.clone() }
    }

    /// The same with everything but the parts that only this group draws through filled with new fluid.
    pub fn new_but(&self, names: &[String]) -> Self {
        let ready = self.ready.clone().new_but(|part| names.iter().any(|n| n == part));
        Self { ready, ..self.clone() }
    }

    /// Whether something is done between the passes.
    pub fn has_between(&self) -> bool {
        !self.between.is_empty()
    }

    /// A job with everything done that comes before the first opening.
    pub fn begin(&self, syringed: bool) -> Result<Underway, JobError> {
        let mut job = self.ready.begin()?;
        if let (true, Some((leave, level))) = (syringed, self.syringe) {
            self.act(&mut job, Action::Syringe { leave: Quantity::known(leave) })?;
            self.act(&mut job, Action::TopUp { to: Quantity::known(level) })?;
        }
        for step in &self.before {
            job.act(step, 1, 1)?;
        }
        Ok(job)
    }

    fn act(&self, job: &mut Underway, action: Action) -> Result<(), JobError> {
        job.act(&Step { line: Place::Nowhere, action }, 1, 1)
    }

    /// Opens a group until each of its bleeders has drained this many grid steps.
    pub fn open(&self, job: &mut Underway, group: usize, steps: u32) -> Result<(), JobError> {
        let volume = Quantity::known(from_ml(self.volume_ml(steps)));
        let until = StopRule { volume: Some(volume), ..StopRule::default() };
        self.act(job, Action::Open { bleeders: self.groups[group].clone(), until })
    }

    /// Grid steps in mL, without the last digits of a product.
    pub fn volume_ml(&self, steps: u32) -> f64 {
        (1e6 * f64::from(steps) * self.grid_ml).round() / 1e6
    }

    /// Runs a plan.
    pub fn run(&self, plan: &Candidate) -> Result<Underway, JobError> {
        let mut job = self.begin(plan.syringed)?;
        for opening in 0..plan.openings.len() {
            self.go_on(&mut job, plan, opening)?;
        }
        Ok(job)
    }

    /// Does one opening of a plan, and what comes between the passes after the last of the first.
    fn go_on(&self, job: &mut Underway, plan: &Candidate, opening: usize) -> Result<(), JobError> {
        let (group, steps) = plan.openings[opening];
        if steps > 0 {
            self.open(job, group, steps)?;
        }
        if opening + 1 == self.groups.len() {
            for step in &self.between {
                job.act(step, 1, 1)?;
            }
        }
        Ok(())
    }

    /// Runs a plan and judges it. What it has in common with the beginning of one already run is not run again.
    pub fn attempt(&self, plan: &Candidate, like: Option<&Tried>) -> Result<Tried, JobError> {
        let mut trail = Vec::with_capacity(plan.openings.len() + 1);
        match like.filter(|l| l.plan.syringed == plan.syringed) {
            Some(l) => {
                let openings = plan.openings.iter().zip(&l.plan.openings);
                let common = openings.take_while(|(a, b)| a == b).count();
                trail.extend_from_slice(&l.trail[..=common]);
            }
            None => trail.push(self.begin(plan.syringed)?),
        }
        let mut job = trail[trail.len() - 1].clone();
        for opening in trail.len() - 1..plan.openings.len() {
            self.go_on(&mut job, plan, opening)?;
            trail.push(job.clone());
        }
        let (cost, excess) = (self.cost(&job), self.judge.excess(&job.left()));
        Ok(Tried { plan: plan.clone(), cost, excess, trail })
    }

    /// Whether a job meets the targets if it ends here.
    pub fn fits(&self, job: &Underway) -> bool {
        worst(&self.judge.excess(&job.left())) <= 0.0
    }

    /// What a syringe takes out, mL.
    pub fn removed_ml(&self, syringed: bool) -> f64 {
        match (syringed, self.syringe) {
            (true, Some((leave, level))) => to_ml(level - leave),
            _ => 0.0,
        }
    }

    /// What leaves the system in a plan: drained at the bleeders and taken by syringe, mL.
    pub fn gone_ml(&self, plan: &Candidate) -> f64 {
        let drained = |&(group, steps): &(usize, u32)| {
            self.groups[group].len() as f64 * self.volume_ml(steps)
        };
        self.removed_ml(plan.syringed) + plan.openings.iter().map(drained).sum::<f64>()
    }

    /// By how much a plan may take less new fluid than what leaves the system, mL: what the reservoir gives. Negative
    /// where it always rises.
    pub fn saved_by_reservoir_ml(&self, syringed: bool) -> Result<f64, JobError> {
        let job = self.begin(syringed)?;
        let sums = job.sums();
        Ok(self.removed_ml(syringed) - sums.new_fluid_ml + job.may_fall_ml())
    }

    /// What a job costs if it ends here: new fluid in mL, or s.
    pub fn cost(&self, job: &Underway) -> f64 {
        let sums = job.sums();
        match self.least {
            Least::Fluid => sums.new_fluid_ml + TIE * sums.drained_ml,
            Least::Time => sums.bay_seconds,
        }
    }
}

/// Of plans that bring in the same new fluid, as they do between one topping up by hand and the next, the one that
/// drains less counts as less: by a millionth of what it drains.
const TIE: f64 = 1e-6;

#[cfg(test)]
mod tests {
    use super::*;

    fn car(text: &str, supply: Option<&str>) -> Car {
        let scenario = crate::read(text, "-").expect("a scenario");
        let options = Options { supply: supply.map(str::to_owned), ..Options::for_sums(0) };
        let targets = Targets { old_overall: Some(0.1), ..Targets::default() };
        Car::new(&scenario, &options, targets, 1.0, Least::Fluid).expect("a car")
    }

    /// What a plan brings in beyond the least that it could by what leaves the system.
    fn beyond_the_least_ml(car: &Car, syringed: bool, steps: &[u32]) -> f64 {
        let plan = Candidate { syringed, openings: (0..).zip(steps.iter().copied()).collect() };
        let new_fluid = car.run(&plan).expect("a job").sums().new_fluid_ml;
        new_fluid - (car.gone_ml(&plan) - car.saved_by_reservoir_ml(syringed).expect("a job"))
    }

    /// From 25 mL down to the mark at 14: 11 mL more than are brought in may leave the system, and just as many do.
    #[test]
    fn the_reservoir_gives_what_stands_above_its_mark() {
        let car = car(include_str!("../../../scenarios/motorcycle-front.toml"), None);
        for syringed in [false, true] {
            assert!((car.saved_by_reservoir_ml(syringed).expect("a job") - 11.0).abs() < 1e-6);
            assert!(beyond_the_least_ml(&car, syringed, &[6, 5]).abs() < 1e-6);
            for steps in [[1, 1], [6, 6], [7, 7], [30, 3], [2, 90]] {
                let beyond = beyond_the_least_ml(&car, syringed, &steps);
                assert!((-1e-6..13.0 + 1e-6).contains(&beyond), "{steps:?}: {beyond}");
            }
        }
    }

    /// No plan brings in less than what leaves the system less what the reservoir may give, whatever pushes.
    #[test]
    fn no_plan_takes_less_new_fluid_than_the_reservoir_lets_it() {
        let text = include_str!("../../../scenarios/compact-hatchback.toml");
        for supply in ["pressure bleeder", "gravity", "vacuum pump", "pedal"] {
            let car = car(text, Some(supply));
            // Between MIN and MAX, and two strokes; under pressure the air lets it move by less.
            for syringed in [false, true] {
                for steps in [[1, 1, 1, 1], [90, 1, 30, 2], [40, 40, 40, 40], [200, 100, 90, 80]] {
                    let beyond = beyond_the_least_ml(&car, syringed, &steps);
                    assert!((-1e-6..120.0).contains(&beyond), "{supply}, {steps:?}: {beyond}");
                }
            }
        }
    }
}
