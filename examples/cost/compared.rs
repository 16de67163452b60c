//! One bleeder flushed by Farwheel and by finite volumes from a general library, against the independent
//! reference of the tests.

use super::mapping;
use super::measure::{best_s, once};
use super::reference::{ReferenceCar, ReferenceStep, Stop};
use super::volumes::{Mesh, Order, open};
use farwheel::job::options::Options;
use farwheel::job::{flush, intake};
use farwheel::scenario::model::Scenario;
use farwheel::scenario::procedure::Action;
use std::time::Duration;

/// Lanes of equal volume for the finite volumes: those that Farwheel takes at a threshold of 0.2 and more,
/// then twice and four times as many.
const LANES: [usize; 3] = [24, 48, 96];
/// A single run of finite volumes may take about so long, s.
const PATIENCE_S: f64 = 20.0;
/// Step of the coarser two of the reference's three runs, mL.
const REFERENCE_STEP_ML: f64 = 0.2;

/// A case: a car of which one bleeder is opened.
struct Case {
    scenario: Scenario,
    car: ReferenceCar,
    path: usize,
    rise: f64,
    threshold: f64,
    exact_ml: f64,
    exact_within_ml: f64,
}

impl Case {
    fn new(text: &str, first: &str) -> Self {
        let mut scenario = intake::read_text(text, "shipped").expect("a shipped scenario reads");
        let of_first = |action: &Action| !matches!(action, Action::Open { bleeders, .. } if *bleeders != [first]);
        scenario.procedure.steps.retain(|s| !of_first(&s.action));
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

    fn volumes(&self, mesh: Mesh, order: Order) -> (f64, f64, usize, usize) {
        let most_ml = 2.0 * self.exact_ml;
        let (took, run) =
            once(|| open(&self.car, self.path, self.rise, self.threshold, most_ml, mesh, order));
        (run.clean_at_ml - self.exact_ml, took.processor_s, run.cells, run.steps)
    }
}

/// Cells along the longest line, from coarse to fine.
const CELLS: [usize; 7] = [8, 16, 32, 64, 128, 256, 512];

/// One way of computing the flush: its name, error (mL), time (s), and how fine it is.
pub struct Row {
    /// Name.
    pub name: &'static str,
    /// Millilitres to clean less the reference's.
    pub error_ml: f64,
    /// Processor time of one run, s.
    pub seconds: f64,
    /// How finely, in words.
    pub how: String,
}

/// The far wheel of a car flushed by eye: Farwheel, and finite volumes refined until their error is within 0.5 % or
/// 0.5 mL, whichever is more (or as fine as patience allows); then the reference's own error, and its figure.
pub fn rows() -> (Vec<Row>, f64, f64) {
    let case = Case::new(include_str!("../../scenarios/compact-hatchback.toml"), "RR");
    let allowed_ml = f64::max(0.5, 0.005 * case.exact_ml);
    let mut rows = Vec::new();
    for (name, options) in [
        (
            "Farwheel, as `flush` runs it once",
            Options { estimate_error: false, ..Options::default() },
        ),
        ("Farwheel, as studies run it", Options::for_sums(0)),
        ("Farwheel, as draws run it", Options::for_draws(0)),
    ] {
        let (error_ml, seconds) = case.farwheel(&options);
        let how = format!("{} steps a path", options.steps_per_path);
        rows.push(Row { name, error_ml, seconds, how });
    }
    for (name, order) in [
        ("finite volumes, first order (upwind, Euler)", Order::First),
        ("finite volumes, second order (MUSCL, Heun)", Order::Second),
    ] {
        rows.push(case.refined(name, order, allowed_ml));
    }
    (rows, case.exact_ml, case.exact_within_ml)
}

impl Case {
    /// The cheapest mesh tried whose error is allowed; else that with the smallest error.
    fn refined(&self, name: &'static str, order: Order, allowed_ml: f64) -> Row {
        let mut best: Option<Row> = None;
        for lanes in LANES {
            for cells in CELLS {
                let (error_ml, seconds, all, steps) = self.volumes(Mesh { lanes, cells }, order);
                let how =
                    format!("{lanes} lanes, {cells} cells a line, {all} in all, {steps} steps");
                let row = Row { name, error_ml, seconds, how };
                let fits = |r: &Row| r.error_ml.abs() <= allowed_ml;
                let better = best.as_ref().is_none_or(|b| match (fits(&row), fits(b)) {
                    (true, true) => row.seconds < b.seconds,
                    (true, false) => true,
                    (false, true) => false,
                    (false, false) => row.error_ml.abs() < b.error_ml.abs(),
                });
                let done = fits(&row) || seconds > PATIENCE_S;
                if better {
                    best = Some(row);
                }
                if done {
                    break;
                }
            }
        }
        best.expect("some mesh was tried")
    }
}
