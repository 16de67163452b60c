//! Several scenarios side by side, each flushed with the far wheel first and with the near wheel first.

use super::StudyError;
use super::difference::Difference;
use super::order::{Rules, reordered};
use super::progress::{Onlooker, Progress};
use super::ranking::{self, Ranked};
use super::scheme::{self, Hang};
use crate::circuit::Scenario;
use crate::job::flush;
use crate::job::options::Options;
use crate::job::record::{Balance, Left, Numerics, Record, Totals, Warning};
use crate::measures::to_ml;
use rayon::prelude::*;
use serde::Serialize;

/// The answer: one entry a scenario, in the order given.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Layouts {
    /// Whether the study was ended early and some layouts were left out.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub partial: bool,
    /// The layouts.
    pub layouts: Vec<Layout>,
    /// How far the layouts differ whose job ran to its end; `None` of fewer than two.
    #[serde(rename = "between_layouts")]
    pub between: Option<Between>,
    /// The layout in which the order changes the new fluid used by the largest share; `None` if it can be
    /// told apart in none.
    pub by_order: Option<ByOrder>,
}

/// One scenario.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Layout {
    /// Name of its file as given.
    pub file: String,
    /// Title as written.
    pub title: String,
    /// What was set over the values of the file, as given.
    // Not in the JSON: the program tells it at the end, with what else the answer comes of.
    #[serde(skip)]
    pub set: Vec<String>,
    /// Fluid that the whole system holds at first, the reservoir included, mL.
    pub capacity_ml: f64,
    /// Number of bleeders.
    pub bleeders: usize,
    /// The bleeder with the largest path volume among those opened (ties: the first in the file).
    pub far_bleeder: String,
    /// Its path volume, from the reservoir's outlet to the bleeder, mL.
    pub far_path_ml: f64,
    /// The procedure with its bleeders in falling order of path volume.
    pub far_first: Run,
    /// The procedure with its bleeders in rising order of path volume.
    pub near_first: Run,
    /// New fluid that near first takes less what far first takes.
    #[serde(rename = "new_fluid_difference")]
    pub fluid: Difference,
    /// Old fluid that near first leaves less what far first leaves.
    #[serde(rename = "old_left_difference")]
    pub old_left: Difference,
    /// Which wheel hangs on which chamber; `None` if bleeders are not named after wheels, or there are not two chambers.
    // Not in the JSON: the scenario says it.
    #[serde(skip)]
    pub hangs: Option<Vec<Hang>>,
}

/// One order of one scenario.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Run {
    /// Sums over the job.
    pub totals: Totals,
    /// What stays behind.
    pub left: Left,
    /// Bleeders in this order.
    pub order: Vec<String>,
    /// Conservation.
    pub balance: Balance,
    /// Accuracy.
    pub numerics: Numerics,
    /// Warnings.
    pub warnings: Vec<Warning>,
}

impl Run {
    /// Whether a warning stops the job (exit status 3). What such a job drained says nothing of how
    /// much the layout takes.
    pub fn stopped(&self) -> bool {
        self.warnings.iter().any(|w| w.stops_the_job())
    }

    /// New fluid brought in, with its error (`None`: not estimated, or of a stopped job), mL.
    fn fluid(&self) -> (f64, Option<f64>) {
        (self.totals.new_fluid_ml, self.numerics.new_fluid_error_ml.filter(|_| !self.stopped()))
    }

    /// Old fluid left, with its error (as above), mL.
    fn old_left(&self) -> (f64, Option<f64>) {
        (self.left.old_ml, self.numerics.old_left_error_ml.filter(|_| !self.stopped()))
    }
}

/// Which layouts lie farthest apart, with the far wheel first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Between {
    /// New fluid used.
    #[serde(rename = "new_fluid")]
    pub fluid: Span,
    /// Old fluid left.
    pub old_left: Span,
}

/// What the order changes in one layout.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct ByOrder {
    /// Its place among the layouts, from 0.
    pub layout: usize,
    /// Change of the new fluid used, as a share of what far first takes, 0 or more.
    pub share: f64,
}

/// Two layouts, by their places among all from 0, and how much more the second has.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Span {
    /// The layout with the least.
    pub least: usize,
    /// The layout with the most.
    pub most: usize,
    /// The most less the least.
    pub difference: Difference,
    /// The difference as a share of the least.
    pub share: f64,
}

impl Layouts {
    /// Whether any job must be stopped or judged a failure (exit status 3).
    pub fn stopped(&self) -> bool {
        self.layouts.iter().any(|l| l.far_first.stopped() || l.near_first.stopped())
    }
}

/// Flushes each scenario with the far wheel first and with the near wheel first, side by side on all
/// threads; the answer does not depend on how many there are.
///
/// Far and near go by path volume ([`ranking`]). Each bleeder that the scenario's procedure opens is
/// closed by the procedure's own stop rules, which go with their bleeders when they judge by eye and stay at
/// their places when they count ([`Rules::of`]); bleeders opened together stay together, and other
/// steps keep their places ([`reordered`]). Ended early, the answer holds the layouts that were finished.
///
/// # Errors
/// [`StudyError::All`]: every scenario that cannot be run, in the order given, with its file.
pub fn compare(
    scenarios: &[Scenario],
    options: &Options,
    onlooker: &dyn Onlooker,
) -> Result<Layouts, StudyError> {
    let progress = Progress::new(onlooker, scenarios.len() as u64);
    let done: Vec<Result<Layout, StudyError>> = scenarios
        .par_iter()
        .filter(|_| progress.goes_on())
        .map(|s| {
            let layout = layout(s, options);
            progress.finished(1);
            layout.map_err(|why| why.of(&s.file))
        })
        .collect();
    let (mut layouts, mut errors) = (Vec::new(), Vec::new());
    for one in done {
        match one {
            Ok(layout) => layouts.push(layout),
            Err(why) => errors.push(why),
        }
    }
    if !errors.is_empty() {
        return Err(StudyError::All(errors));
    }
    let (between, by_order) = (between(&layouts), by_order(&layouts));
    let partial = layouts.len() < scenarios.len();
    Ok(Layouts { partial, layouts, between, by_order })
}

fn layout(scenario: &Scenario, options: &Options) -> Result<Layout, StudyError> {
    let circuit = scenario.circuit();
    let far = ranking::far_first(scenario);
    let near = ranking::near_first(scenario);
    let (far_first, near_first) =
        rayon::join(|| run(scenario, &far, options), || run(scenario, &near, options));
    let (far_first, near_first) = (far_first?, near_first?);
    let farthest = far.into_iter().next();
    Ok(Layout {
        file: scenario.file.clone(),
        title: scenario.title.clone(),
        set: scenario.set.clone(),
        capacity_ml: to_ml(circuit.capacity_m3()),
        bleeders: circuit.bleeders.len(),
        far_path_ml: farthest.as_ref().map_or(0.0, |f| f.path_ml),
        far_bleeder: farthest.map_or(String::new(), |f| f.bleeder),
        fluid: Difference::new(far_first.fluid(), near_first.fluid()),
        old_left: Difference::new(far_first.old_left(), near_first.old_left()),
        far_first,
        near_first,
        hangs: scheme::hangs(circuit).filter(|_| scenario.master_cylinder.chambers.len() == 2),
    })
}

fn run(scenario: &Scenario, ranked: &[Ranked], options: &Options) -> Result<Run, StudyError> {
    let order: Vec<String> = ranked.iter().map(|r| r.bleeder.clone()).collect();
    let scenario = reordered(scenario, &order, Rules::of(&scenario.procedure))?;
    let Record { totals, left, balance, numerics, warnings, .. } = flush(&scenario, options)?;
    Ok(Run { totals, left, order, balance, numerics, warnings })
}

fn between(layouts: &[Layout]) -> Option<Between> {
    let finished: Vec<usize> =
        (0..layouts.len()).filter(|&i| !layouts[i].far_first.stopped()).collect();
    if finished.len() < 2 {
        return None;
    }
    let span = |of: fn(&Run) -> (f64, Option<f64>)| {
        let of = |i: usize| of(&layouts[i].far_first);
        let by = |a: &usize, b: &usize| of(*a).0.total_cmp(&of(*b).0);
        let least = finished.iter().copied().min_by(by)?;
        // The first of several equal ones, as above.
        let most = finished.iter().rev().copied().max_by(by)?;
        let difference = Difference::new(of(least), of(most));
        Some(Span { least, most, difference, share: share(difference.ml, of(least).0) })
    };
    Some(Between { fluid: span(Run::fluid)?, old_left: span(Run::old_left)? })
}

fn by_order(layouts: &[Layout]) -> Option<ByOrder> {
    let apart = layouts.iter().enumerate().filter(|(_, l)| l.fluid.told_apart());
    let shares = apart.map(|(layout, l)| ByOrder {
        layout,
        share: share(l.fluid.ml.abs(), l.far_first.totals.new_fluid_ml),
    });
    shares.max_by(|a, b| a.share.total_cmp(&b.share))
}

/// 0 of nothing.
fn share(part: f64, whole: f64) -> f64 {
    if whole > 0.0 { part / whole } else { 0.0 }
}
