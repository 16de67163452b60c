//! Everything that a job card says: one job run, its circuit looked over, and some draws for the ranges.

use super::progress::Nobody;
use super::spread::{self, BleederSpread, SpreadError};
use crate::circuit::{Circuit, reach};
use crate::job::check::{CheckReport, LeakTest};
use crate::job::error::JobError;
use crate::job::options::Options;
use crate::job::record::{ClosedBy, Opening, Record, Warning};
use crate::job::{self, flush};
use crate::scenario::model::Scenario;
use crate::scenario::procedure::{Action, StopRule};
use crate::supply::Supply;
use std::fmt;

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Wishes {
    /// Draws for the ranges, at least [`spread::LEAST_DRAWS`].
    pub draws: usize,
    /// Seed of the draws.
    pub seed: u64,
    /// Supply to push with; `None` takes the one that the procedure names.
    pub supply: Option<String>,
    /// What one bottle of new fluid holds, mL; above zero.
    pub bottle_ml: f64,
}

/// A card that cannot be made.
#[derive(Debug, Clone, PartialEq)]
pub enum CardError {
    /// The job cannot be run.
    Job(JobError),
    /// The draws cannot be made.
    Spread(SpreadError),
    /// A bottle holds nothing.
    Bottle(f64),
}

impl fmt::Display for CardError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Job(why) => why.fmt(f),
            Self::Spread(why) => why.fmt(f),
            Self::Bottle(ml) => write!(f, "a bottle of {ml} mL: name one that holds fluid"),
        }
    }
}

impl std::error::Error for CardError {}

/// The card's figures.
#[derive(Debug, Clone, PartialEq)]
pub struct JobCard {
    /// The job as simulated.
    pub record: Record,
    /// What is done, in order, all passes.
    pub tasks: Vec<Task>,
    /// What is wrong enough that the job must not be done as written.
    pub stops: Vec<Warning>,
    /// What else the technician should know, once each.
    pub notes: Vec<Warning>,
    /// What pushes.
    pub push: Push,
    /// The maker's limit on the gauge pressure, kPa.
    pub gauge_limit_kpa: Option<f64>,
    /// The leak test, with a pressure bleeder only.
    pub leak_test: Option<LeakTest>,
    /// New fluid.
    pub fluid: FluidToOpen,
    /// Time in the bay.
    pub bay: BayTime,
    /// What no bleeder flushes fully.
    pub trapped: Vec<Trapped>,
    /// The part with the largest old fraction among those that bleeders reach, and that fraction.
    pub oldest: Option<(String, f64)>,
    /// Marks of the reservoir, mL: MIN and MAX.
    pub marks_ml: (f64, f64),
    /// Old fraction at or below which the clear hose looks clean, where no opening says otherwise.
    pub threshold: f64,
    /// Length of the clear hose that is watched, mm.
    pub watched_mm: f64,
    /// Draws behind the ranges; `None` if nothing in the scenario is uncertain.
    pub draws: Option<usize>,
    /// Seed.
    pub seed: u64,
}

/// A thing to do.
#[derive(Debug, Clone, PartialEq)]
pub enum Task {
    /// One or several bleeders opened together.
    Open(Vec<BleederTask>),
    /// Any other step.
    Step(OtherStep),
}

/// A step without a bleeder's stop rule.
#[derive(Debug, Clone, PartialEq)]
pub enum OtherStep {
    /// Draw the reservoir down to this, mL.
    Syringe {
        /// Left in the reservoir, mL.
        leave_ml: f64,
        /// Taken out, mL; `None` if the job ended before.
        out_ml: Option<f64>,
    },
    /// Fill the reservoir to this, mL.
    TopUp {
        /// In the reservoir afterwards, mL.
        to_ml: f64,
    },
    /// Load the supply with this much more, mL.
    Load {
        /// Added, mL.
        ml: f64,
    },
    /// Pump to this gauge pressure, kPa.
    RePump {
        /// Gauge afterwards, kPa.
        gauge_kpa: f64,
    },
    /// Wait, s.
    Wait {
        /// How long, s.
        seconds: f64,
    },
    /// Work the hydraulic modulator.
    WorkModulator {
        /// Its name.
        modulator: String,
        /// How long, s.
        seconds: f64,
        /// Bleeders open meanwhile.
        bleeders: Vec<String>,
    },
    /// Let the pressure off.
    Relieve,
    /// Bring the reservoir to this, mL.
    SetLevel {
        /// In the reservoir afterwards, mL.
        to_ml: f64,
    },
}

/// One bleeder opened once.
#[derive(Debug, Clone, PartialEq)]
pub struct BleederTask {
    /// Number in the order, from 1; bleeders opened together share it.
    pub number: usize,
    /// Name.
    pub bleeder: String,
    /// Pass, from 1.
    pub pass: u32,
    /// When to close, as written.
    pub until: StopRule,
    /// What came of it; `None` if the job ended before.
    pub opening: Option<Opening>,
    /// What must still run clear after it looked clean, mL, where that closed it.
    pub hold_ml: Option<f64>,
    /// Millilitres to clean in one draw of ten and in nine of ten; only for a bleeder's first opening, and `None`
    /// where too many draws never ran clean.
    pub range_ml: Option<(f64, f64)>,
}

/// What pushes, and between which marks.
#[derive(Debug, Clone, PartialEq)]
pub enum Push {
    /// A pressure bleeder.
    Pressure {
        /// Gauge to pump to, kPa.
        gauge_kpa: f64,
        /// Gauge at which it is pumped up again, kPa.
        low_kpa: Option<f64>,
        /// Times that it is pumped up in this job.
        repumps: u32,
        /// Loaded, mL.
        loaded_ml: f64,
    },
    /// The head of the reservoir.
    Gravity(TopUps),
    /// Vacuum at the bleeder.
    Vacuum {
        /// Suction, kPa below the atmosphere.
        suction_kpa: f64,
        /// Topping up.
        top_ups: TopUps,
    },
    /// Pedal strokes.
    Pedal {
        /// Pressure the foot holds, kPa.
        pressure_kpa: f64,
        /// Strokes in this job.
        strokes: u32,
        /// Topping up.
        top_ups: TopUps,
    },
}

/// How an open reservoir is kept full.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TopUps {
    /// Below which level to top up and to which, mL; `None`: nobody does.
    pub between_ml: Option<(f64, f64)>,
    /// How often in this job.
    pub times: usize,
}

/// New fluid and its bottles.
#[derive(Debug, Clone, PartialEq)]
pub struct FluidToOpen {
    /// Grade of the new fluid.
    pub grade: String,
    /// Grade of the old fluid.
    pub old_grade: String,
    /// What one bottle holds, mL.
    pub bottle_ml: f64,
    /// What the job as written takes out of bottles, mL: loaded and poured in by hand.
    pub job_ml: f64,
    /// Bottles to open for that.
    pub open: u64,
    /// Further bottles to keep at hand, sealed, so that it is enough in 95 of 100 draws.
    pub at_hand: u64,
}

/// Time in the bay, s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BayTime {
    /// All of it.
    pub all_s: f64,
    /// Set-up before the first opening.
    pub setup_s: f64,
    /// With a bleeder open.
    pub flow_s: f64,
    /// After the last opening.
    pub finish_s: f64,
}

/// Fluid that stays where it is.
#[derive(Debug, Clone, PartialEq)]
pub struct Trapped {
    /// The part.
    pub part: String,
    /// Fluid there, mL.
    pub ml: f64,
    /// True for a pocket that trades fluid slowly, false for what no bleeder reaches.
    pub pocket: bool,
}

impl JobCard {
    /// Whether the job must not be done as written.
    pub fn stopped(&self) -> bool {
        !self.stops.is_empty()
    }
}

/// Runs the job, looks the circuit over and makes the draws.
///
/// # Errors
/// [`CardError`].
pub fn study(scenario: &Scenario, wishes: &Wishes) -> Result<JobCard, CardError> {
    if wishes.bottle_ml.is_nan() || wishes.bottle_ml <= 0.0 {
        return Err(CardError::Bottle(wishes.bottle_ml));
    }
    let options = Options {
        supply: wishes.supply.clone(),
        estimate_error: false,
        seed: wishes.seed,
        ..Options::default()
    };
    let record = flush(scenario, &options).map_err(CardError::Job)?;
    let check = job::check(scenario, &options).map_err(CardError::Job)?;
    let circuit = Circuit::build(scenario).map_err(|e| CardError::Job(e.into()))?;
    let drawn = spread::Wishes {
        draws: wishes.draws,
        seed: wishes.seed,
        supply: wishes.supply.clone(),
        sensitivities: false,
        ..spread::Wishes::default()
    };
    let spread = match spread::study(scenario, &drawn, &Nobody) {
        Ok(spread) => Some(spread),
        Err(SpreadError::NothingUncertain) => None,
        Err(why) => return Err(CardError::Spread(why)),
    };
    let ranges = spread.as_ref().map_or(&[][..], |s| &s.bleeders);
    let push = push(scenario, &record, &circuit)?;
    let needed_ml = spread.as_ref().and_then(|s| s.load_ml_p95);
    let procedure = &scenario.procedure.section;
    let hose = &scenario.clear_hose;
    let trapped = trapped(&circuit);
    let (stops, notes) = warnings(&record, &check);
    Ok(JobCard {
        tasks: tasks(scenario, &record, ranges),
        stops,
        notes,
        fluid: fluid(scenario, &record, &push, needed_ml, wishes.bottle_ml),
        push,
        gauge_limit_kpa: scenario.vehicle.find_si("gauge_limit").map(kpa),
        leak_test: check.leak_test,
        bay: BayTime {
            all_s: record.totals.bay_seconds,
            setup_s: procedure.find_si("setup").unwrap_or(0.0),
            flow_s: record.totals.flow_seconds,
            finish_s: procedure.find_si("finish").unwrap_or(0.0),
        },
        oldest: oldest(&record, &trapped),
        trapped,
        marks_ml: (1e6 * circuit.reservoir.min_m3, 1e6 * circuit.reservoir.max_m3),
        threshold: hose.si("threshold"),
        watched_mm: 1e3 * hose.si("watched"),
        draws: spread.map(|s| s.draws),
        seed: wishes.seed,
        record,
    })
}

fn kpa(pa: f64) -> f64 {
    1e-3 * pa
}

/// The tasks of all passes; steps that open nothing are done in the first pass only.
fn tasks(scenario: &Scenario, record: &Record, ranges: &[BleederSpread]) -> Vec<Task> {
    let mut tasks = Vec::new();
    let open_reservoir = record.totals.fluid.is_none();
    let mut number = 0;
    let mut seen: Vec<&str> = Vec::new();
    for pass in 1..=scenario.procedure.passes.max(1) {
        for (i, step) in scenario.procedure.steps.iter().enumerate() {
            let Action::Open { bleeders, until } = &step.action else {
                if pass == 1 && !(open_reservoir && of_the_vessel(&step.action)) {
                    tasks.extend(other(&step.action, record, i + 1).map(Task::Step));
                }
                continue;
            };
            number += 1;
            let mut together = Vec::new();
            for bleeder in bleeders {
                let first = !seen.contains(&bleeder.as_str());
                if first {
                    seen.push(bleeder);
                }
                let range = ranges.iter().find(|r| first && r.bleeder == *bleeder);
                let opening = record
                    .openings
                    .iter()
                    .find(|o| o.pass == pass && o.step == i + 1 && o.bleeder == *bleeder)
                    .cloned();
                together.push(BleederTask {
                    number,
                    bleeder: bleeder.clone(),
                    pass,
                    until: *until,
                    hold_ml: opening.as_ref().and_then(hold_ml),
                    range_ml: range.and_then(|r| r.clean_at_ml_p10.zip(r.clean_at_ml_p90)),
                    opening,
                });
            }
            tasks.push(Task::Open(together));
        }
    }
    tasks
}

/// What only a pressure bleeder takes; with another supply the job leaves it out.
fn of_the_vessel(action: &Action) -> bool {
    matches!(action, Action::Load { .. } | Action::RePump { .. } | Action::Relieve)
}

fn hold_ml(opening: &Opening) -> Option<f64> {
    let clean = opening.closed_by == ClosedBy::Clean;
    opening.clean_at_ml.filter(|_| clean).map(|at| opening.drained_ml - at)
}

fn other(action: &Action, record: &Record, number: usize) -> Option<OtherStep> {
    let ml = |q: &crate::scenario::quantity::Quantity| 1e6 * q.value;
    Some(match action {
        Action::Open { .. } => return None,
        Action::Syringe { leave } => OtherStep::Syringe {
            leave_ml: ml(leave),
            out_ml: record.steps.iter().find(|s| s.step == number).map(|s| -s.moved_ml),
        },
        Action::TopUp { to } => OtherStep::TopUp { to_ml: ml(to) },
        Action::Load { volume } => OtherStep::Load { ml: ml(volume) },
        Action::RePump { gauge } => OtherStep::RePump { gauge_kpa: kpa(gauge.value) },
        Action::Wait { time, .. } => OtherStep::Wait { seconds: time.value },
        Action::WorkModulator { modulator, time, bleeders, .. } => OtherStep::WorkModulator {
            modulator: modulator.clone(),
            seconds: time.value,
            bleeders: bleeders.clone(),
        },
        Action::Relieve => OtherStep::Relieve,
        Action::SetLevel { to } => OtherStep::SetLevel { to_ml: ml(to) },
    })
}

fn push(scenario: &Scenario, record: &Record, circuit: &Circuit) -> Result<Push, CardError> {
    let described = scenario.supplies.iter().find(|s| s.name == record.supply);
    let supply = described.and_then(Supply::new).ok_or_else(|| {
        CardError::Job(JobError::NotSimulated { what: format!("supply \"{}\"", record.supply) })
    })?;
    let refill = supply.topping().and_then(|t| t.refill(&circuit.reservoir));
    let top_ups = TopUps {
        between_ml: refill.map(|(low, high)| (1e6 * low, 1e6 * high)),
        times: record.steps.iter().filter(|s| s.step == 0 && s.does == "top up").count(),
    };
    Ok(match &supply {
        Supply::PressureBleeder(p) => Push::Pressure {
            gauge_kpa: kpa(p.set_gauge_pa),
            low_kpa: p.low_mark_pa.map(kpa),
            repumps: record.totals.repumps,
            loaded_ml: record.totals.fluid.map_or(0.0, |f| f.loaded_ml),
        },
        Supply::Gravity(_) => Push::Gravity(top_ups),
        Supply::Vacuum(v) => Push::Vacuum { suction_kpa: kpa(v.suction_pa), top_ups },
        Supply::Pedal(p) => Push::Pedal {
            pressure_kpa: kpa(p.pressure_pa),
            strokes: record.totals.strokes.unwrap_or(0),
            top_ups,
        },
    })
}

/// Bottles for what the job takes; opened fluid draws water, so what may be needed besides stays sealed.
fn fluid(
    scenario: &Scenario,
    record: &Record,
    push: &Push,
    needed_ml: Option<f64>,
    bottle_ml: f64,
) -> FluidToOpen {
    let by_hand: f64 = record
        .steps
        .iter()
        .filter(|s| matches!(s.does, "top up" | "set level"))
        .map(|s| s.moved_ml.max(0.0))
        .sum();
    let (job_ml, needed_ml) = match push {
        Push::Pressure { loaded_ml, .. } => (loaded_ml + by_hand, needed_ml.map(|n| n + by_hand)),
        _ => (record.totals.new_fluid_ml, needed_ml),
    };
    let bottles = |ml: f64| (ml / bottle_ml - 1e-6).ceil().max(0.0) as u64;
    let open = bottles(job_ml);
    let grade = |s: &crate::scenario::section::Section| s.text("grade").unwrap_or("").to_owned();
    FluidToOpen {
        grade: grade(&scenario.new_fluid),
        old_grade: grade(&scenario.old_fluid),
        bottle_ml,
        job_ml,
        open,
        at_hand: needed_ml.map_or(0, bottles).saturating_sub(open),
    }
}

fn trapped(circuit: &Circuit) -> Vec<Trapped> {
    let dead = reach::unreached(circuit);
    let pockets = circuit.nodes.iter().filter_map(|n| {
        let c = n.chamber.filter(|c| c.pocket_share > 0.0)?;
        let ml = 1e6 * c.volume_m3 * c.pocket_share;
        (!dead.iter().any(|(name, _)| *name == n.name)).then(|| Trapped {
            part: n.name.clone(),
            ml,
            pocket: true,
        })
    });
    let pockets: Vec<Trapped> = pockets.collect();
    dead.iter()
        .map(|(part, m3)| Trapped { part: part.clone(), ml: 1e6 * m3, pocket: false })
        .chain(pockets)
        .collect()
}

fn oldest(record: &Record, trapped: &[Trapped]) -> Option<(String, f64)> {
    let reached = |name: &str| !trapped.iter().any(|t| !t.pocket && t.part == name);
    record
        .left
        .parts
        .iter()
        .filter(|p| p.volume_ml > 0.0 && reached(&p.part))
        .max_by(|a, b| a.old_fraction.total_cmp(&b.old_fraction))
        .map(|p| (p.part.clone(), p.old_fraction))
}

/// What stops the job, and what else to know; what `check` says of the model alone is left out.
fn warnings(record: &Record, check: &CheckReport) -> (Vec<Warning>, Vec<Warning>) {
    // Each opening tells by itself that it was closed while dirty; trapped fluid has its own place.
    const ELSEWHERE: [&str; 4] =
        ["slow flow", "old and new differ in density", "no bleeder reaches", "closed while dirty"];
    let mut all: Vec<Warning> = Vec::new();
    for w in record.warnings.iter().chain(&check.warnings) {
        if (w.stops_the_job || !ELSEWHERE.contains(&w.kind))
            && !all.iter().any(|have| have.text == w.text)
        {
            all.push(w.clone());
        }
    }
    all.into_iter().partition(|w| w.stops_the_job)
}
