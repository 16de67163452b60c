//! One bleeder flushed by Farwheel and by finite volumes from a general library, against the independent
//! reference of the tests.

use super::mapping;
use super::measure::{Took, best_s, once};
use super::reference::{ReferenceCar, ReferenceStep, Stop};
use super::volumes::{Mesh, Order, Run, open};
use farwheel::Scenario;
use farwheel::job::flush;
use farwheel::job::options::Options;
use farwheel::keys::{Place, Quantity};
use farwheel::scenario::procedure::{Action, Step};
use farwheel::transport::lanes::Lanes;
use std::time::Duration;

/// Cells along the longest line, one after the other until the error is small enough.
const CELLS: [usize; 12] = [4, 8, 11, 16, 23, 32, 45, 64, 91, 128, 181, 256];
/// What is given up after, s of processor time for one run.
const PATIENCE_S: f64 = 20.0;
/// Step of the coarser two of the reference's three runs, mL.
const REFERENCE_STEP_ML: f64 = 0.2;

/// A case: a car of which one bleeder is opened.
struct Case {
    what: String,
    scenario: Scenario,
    car: ReferenceCar,
    path: usize,
    rise: f64,
    threshold: f64,
    exact_ml: f64,
    exact_within_ml: f64,
}

/// One line of the table.
#[derive(Debug, Clone)]
pub struct Line {
    /// Method and how finely.
    pub method: String,
    /// Error that was asked for, mL.
    pub wanted_ml: Option<f64>,
    /// Error in the millilitres to clean; what was asked for where it was not reached.
    pub error_ml: f64,
    /// Time of one run, s; `None` where patience ended first.
    pub took_s: Option<f64>,
    /// Values brought one step further, all in all: cells times steps times stages.
    pub updates: Option<f64>,
}

/// One case with its lines.
#[derive(Debug, Clone)]
pub struct Compared {
    /// What is flushed.
    pub what: String,
    /// Millilitres to clean by the reference.
    pub exact_ml: f64,
    /// How sure the reference is of them, mL.
    pub within_ml: f64,
    /// Old fraction that counts as clean.
    pub threshold: f64,
    /// Farwheel first.
    pub lines: Vec<Line>,
}

/// The first bleeder of the hatchback, the reservoir as it is and syringed out.
pub fn compare() -> Vec<Compared> {
    [false, true].map(|syringed| Case::new(syringed).compared()).into()
}

impl Case {
    fn new(syringed: bool) -> Self {
        let scenario = super::hatchback();
        let mut procedure = scenario.procedure.clone();
        let first = "RR";
        procedure.steps.retain(|s| match &s.action {
            Action::Open { bleeders, .. } => *bleeders == [first],
            _ => true,
        });
        let mut what = format!("bleeder {first} of the compact hatchback");
        if syringed {
            what.push_str(", reservoir first syringed out to just above its dividing wall");
            let r = &scenario.reservoir;
            let (level, wall) = (r.level.value, r.compartment.map_or(0.0, |q| q.value));
            let below = wall * r.outlets.len().max(2) as f64;
            let leave = Quantity::known(below + 0.02 * (level - below));
            let by_hand = [Action::Syringe { leave }, Action::TopUp { to: Quantity::known(level) }];
            let steps = by_hand.map(|action| Step { line: Place::Nowhere, action });
            procedure.steps.splice(0..0, steps);
        }
        let scenario = scenario.with_procedure(procedure);
        let record = flush(&scenario, &Options::default()).expect("it runs");
        let mapped = mapping::map(&scenario, &record).expect("the reference can express it");
        let open = |s: &ReferenceStep| match *s {
            ReferenceStep::Open { path, stop, rise } => Some((path, stop, rise)),
            ReferenceStep::Reservoir { .. } => None,
        };
        let (path, Stop { threshold, .. }, rise) =
            mapped.steps.iter().find_map(open).expect("one opening");
        let (openings, within) = mapped.car.run_with_error(&mapped.steps, REFERENCE_STEP_ML);
        Self {
            what,
            scenario,
            path,
            rise,
            threshold,
            exact_ml: openings[0].clean_at_ml.expect("it runs clean"),
            exact_within_ml: within.clean_at_ml + mapped.bent_ml,
            car: mapped.car,
        }
    }

    /// Error (mL) and time (s) of Farwheel.
    fn farwheel(&self, options: &Options) -> (f64, f64) {
        let run = || flush(&self.scenario, options).expect("it runs");
        let clean_at_ml = run().openings[0].clean_at_ml.expect("it runs clean");
        (clean_at_ml - self.exact_ml, best_s(Duration::from_millis(300), run))
    }

    /// Refines until the error is at most `wanted_ml` and with the next finer mesh too, so that an error that
    /// changes sign does not pass for a small one.
    fn volumes(&self, order: Order, wanted_ml: f64, tried: &mut Vec<(Mesh, Took, Run)>) -> Line {
        let (name, stages) = match order {
            Order::First => ("first order (upwind, Euler)", 1.0),
            Order::Second => ("second order (MUSCL, Heun)", 2.0),
        };
        let lanes = Lanes::count_for_threshold(self.threshold);
        let error_ml = |run: &Run| run.clean_at_ml - self.exact_ml;
        for i in 0..CELLS.len() - 1 {
            for cells in &CELLS[tried.len()..(i + 2).max(tried.len())] {
                let mesh = Mesh { lanes, cells: *cells };
                let (took, run) = once(|| self.run(mesh, order));
                tried.push((mesh, took, run));
            }
            let two = [&tried[i], &tried[i + 1]];
            if two.iter().all(|(_, _, run)| error_ml(run).abs() <= wanted_ml) {
                let (mesh, took, run) = two[0];
                return Line {
                    wanted_ml: Some(wanted_ml),
                    method: format!(
                        "{name}, {} cells along the line, {} in all, {} steps",
                        mesh.cells, run.cells, run.steps
                    ),
                    error_ml: error_ml(run),
                    took_s: Some(self.timed(*mesh, order, took)),
                    updates: Some(stages * (run.cells * run.steps) as f64),
                };
            }
            if two[1].1.processor_s > PATIENCE_S {
                break;
            }
        }
        Line {
            method: format!("{name}: not reached"),
            wanted_ml: Some(wanted_ml),
            error_ml: wanted_ml,
            took_s: None,
            updates: None,
        }
    }

    fn run(&self, mesh: Mesh, order: Order) -> Run {
        let most_ml = 2.0 * self.exact_ml;
        open(&self.car, self.path, self.rise, self.threshold, most_ml, mesh, order)
    }

    /// Time of a run, s: the best of several, but for long ones, which are not repeated.
    fn timed(&self, mesh: Mesh, order: Order, took: &Took) -> f64 {
        if took.wall_s > 3.0 {
            return took.processor_s;
        }
        best_s(Duration::from_millis(500), || self.run(mesh, order))
    }

    fn compared(&self) -> Compared {
        let mut lines = Vec::new();
        for (name, options) in [
            ("Farwheel, one run at its own accuracy", Options::for_sums(0)),
            ("Farwheel, as many draws run it", Options::for_draws(0)),
        ] {
            let (error_ml, s) = self.farwheel(&options);
            lines.push(Line {
                method: name.to_owned(),
                wanted_ml: None,
                error_ml,
                took_s: Some(s),
                updates: None,
            });
        }
        let promise_ml = (5e-3 * self.exact_ml).max(0.5);
        let same_ml = lines[0].error_ml.abs();
        for order in [Order::First, Order::Second] {
            let mut tried = Vec::new();
            for wanted_ml in [promise_ml, 0.5, same_ml] {
                lines.push(self.volumes(order, wanted_ml, &mut tried));
            }
        }
        Compared {
            what: self.what.clone(),
            exact_ml: self.exact_ml,
            within_ml: self.exact_within_ml,
            threshold: self.threshold,
            lines,
        }
    }
}
