//! A class: the job with the far wheel first and with the near wheel first, side by side, every stretch of either on the
//! clock, and [questions](quiz) with answers from jobs that are run for them.

mod orders;
pub mod quiz;
pub mod time_line;

pub use orders::Named;
pub use time_line::{Doing, Stretch};

use super::difference::Difference;
use super::order::{Rules, reordered};
use super::{StudyError, ranking};
use crate::circuit::Scenario;
use crate::circuit::species::NEW_FLUID;
use crate::job::flush_whole;
use crate::job::options::Options;
use crate::job::record::{Opening, Record, WarningKind};
use crate::sorting;
use serde::Serialize;

/// Two orders, or one if there are no two that differ.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Class {
    /// By what the orders are compared.
    pub compared_by: ComparedBy,
    /// Far wheel first, then near wheel first.
    pub orders: Vec<InOrder>,
    /// The second less the first.
    pub apart: Option<Difference>,
    /// Whether that is told apart.
    pub told_apart: bool,
}

/// By what orders are compared.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum ComparedBy {
    /// What runs out of all bleeders, each closed once it looks clean.
    Drained,
    /// The old fluid that stays: millilitres or seconds are counted by position, so that as much runs out either way.
    OldLeft,
}

/// The job in one order.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct InOrder {
    /// What the order is.
    pub named: Vec<Named>,
    /// Bleeders in this order.
    pub order: Vec<String>,
    /// Each opening with what ran out.
    pub openings: Vec<Drained>,
    /// Drained at all bleeders, mL.
    pub drained_ml: f64,
    /// Old fluid left, mL.
    pub old_left_ml: f64,
    /// Time with a bleeder open, s.
    pub flow_seconds: f64,
    /// Time in the bay, s.
    pub bay_seconds: f64,
    /// Every stretch of it.
    pub time_line: Vec<Stretch>,
    /// What stops the job as written, in words; the figures are those of a supply that holds enough.
    pub stops: Vec<String>,
}

/// One opening.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Drained {
    /// The bleeder.
    pub bleeder: String,
    /// Pass, from 1.
    pub pass: u32,
    /// Drained, mL.
    pub drained_ml: f64,
    /// Of it old fluid, mL.
    pub old_ml: f64,
    /// Of that, what lay in the reservoir when the job began, mL.
    pub reservoir_ml: f64,
    /// New fluid that ran out again, mL.
    pub new_ml: f64,
}

impl Drained {
    fn of(o: &Opening) -> Self {
        let origin = |name| origin(o, name);
        let new_ml = origin(NEW_FLUID);
        Self {
            bleeder: o.bleeder.clone(),
            pass: o.pass,
            drained_ml: o.drained_ml,
            old_ml: o.drained_ml - new_ml,
            reservoir_ml: origin("reservoir"),
            new_ml,
        }
    }
}

/// What came from one origin, mL.
fn origin(opening: &Opening, name: &str) -> f64 {
    opening.origins_ml.iter().find(|o| o.0 == name).map_or(0.0, |o| o.1)
}

impl ComparedBy {
    /// How the orders of a procedure are compared.
    pub fn of(rules: Rules) -> Self {
        match rules {
            Rules::ByPlace => Self::OldLeft,
            Rules::WithBleeder => Self::Drained,
        }
    }

    /// What a job comes to by it, mL.
    pub(super) fn figure(self, record: &Record) -> f64 {
        match self {
            Self::Drained => record.totals.drained_ml,
            Self::OldLeft => record.left.old_ml,
        }
    }

    /// The second job less the first.
    pub(super) fn difference(self, first: &Record, second: &Record) -> Difference {
        let known = |r: &Record, error: Option<f64>| error.filter(|_| !r.stopped());
        let error = |r: &Record| match self {
            Self::Drained => r.numerics.drained_error_ml,
            Self::OldLeft => r.numerics.old_left_error_ml,
        };
        let of = |r: &Record| (self.figure(r), known(r, error(r)));
        Difference::new(of(first), of(second))
    }
}

/// Runs both orders.
///
/// # Errors
/// [`StudyError`] if the scenario cannot be simulated.
///
/// ```
/// use farwheel::job::options::Options;
/// use farwheel::study::class;
///
/// let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/scenarios/motorcycle-front.toml"));
/// let class = class::side_by_side(&farwheel::read(text, "motorcycle-front.toml")?, &Options::default())?;
/// let far_first = &class.orders[0];
/// let drained: f64 = far_first.openings.iter().map(|o| o.drained_ml).sum();
/// assert!((drained - far_first.drained_ml).abs() < 1e-6);
/// assert_eq!(far_first.time_line.last().map(|s| s.end_s), Some(far_first.bay_seconds));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn side_by_side(scenario: &Scenario, options: &Options) -> Result<Class, StudyError> {
    let options = told_apart(options);
    let rules = Rules::of(&scenario.procedure);
    let compared_by = ComparedBy::of(rules);
    let mut run = Vec::new();
    for (named, order) in far_and_near(scenario)? {
        let job = in_order(scenario, &named, &order, rules)?;
        let record = flush_whole(&job, &options)?;
        run.push((InOrder::of(named, order, &job, &record, &options)?, record));
    }
    let apart = match run.as_slice() {
        [(_, far), (_, near), ..] => Some(compared_by.difference(far, near)),
        _ => None,
    };
    let told_apart = apart.is_some_and(|d| d.told_apart());
    let orders = run.into_iter().map(|(order, _)| order).collect();
    Ok(Class { compared_by, orders, apart, told_apart })
}

/// Errors are estimated and origins told apart, whatever else is asked for.
fn told_apart(options: &Options) -> Options {
    Options { estimate_error: true, origins: true, detail: true, ..options.clone() }
}

/// What an order is, and its bleeders.
type NamedOrder = (Vec<Named>, Vec<String>);

/// Far first and near first, or one order if they come to the same.
pub(super) fn far_and_near(scenario: &Scenario) -> Result<Vec<NamedOrder>, StudyError> {
    let mut chosen = orders::chosen(scenario)?;
    let place = |c: &orders::Chosen| match () {
        () if c.named.contains(&Named::FarFirst) => 0,
        () if c.named.contains(&Named::NearFirst) => 1,
        () => 2,
    };
    sorting::by_key(&mut chosen, place);
    chosen.retain(|c| place(c) < 2);
    Ok(chosen.into_iter().map(|c| (c.named, c.order)).collect())
}

/// The scenario in an order; its own is that of the file.
pub(super) fn in_order(
    scenario: &Scenario,
    named: &[Named],
    order: &[String],
    rules: Rules,
) -> Result<Scenario, StudyError> {
    match named.contains(&Named::Own) {
        true => Ok(scenario.clone()),
        false => Ok(reordered(scenario, order, rules)?),
    }
}

impl InOrder {
    fn of(
        named: Vec<Named>,
        order: Vec<String>,
        job: &Scenario,
        record: &Record,
        options: &Options,
    ) -> Result<Self, StudyError> {
        let dry = record.warnings.iter().any(|w| w.kind == WarningKind::SupplyRanDry);
        let stops = record.warnings.iter().filter(|w| w.stops_the_job());
        let endless = options.endless || dry;
        Ok(Self {
            named,
            order,
            openings: record.openings.iter().map(Drained::of).collect(),
            drained_ml: record.totals.drained_ml,
            old_left_ml: record.left.old_ml,
            flow_seconds: record.totals.flow_seconds,
            bay_seconds: record.totals.bay_seconds,
            time_line: time_line::time_line(job, &Options { endless, ..options.clone() })?,
            stops: stops.map(|w| w.text.clone()).collect(),
        })
    }
}

/// What is far and what near, by the volume of the path, mL.
pub(super) fn path_ml(scenario: &Scenario) -> Vec<(String, f64)> {
    ranking::far_first(scenario).into_iter().map(|r| (r.bleeder, r.path_ml)).collect()
}
