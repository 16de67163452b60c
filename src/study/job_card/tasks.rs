//! What is done, in order, with what came of it.

use crate::circuit::Scenario;
use crate::job::record::{ClosedBy, Opening, Record, WaitedFor};
use crate::keys::quantity::Quantity;
use crate::measures::{to_kpa, to_ml};
use crate::scenario::procedure::{Action, StopRule};
use crate::scenario::tables;
use crate::study::spread::BleederSpread;

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
        /// Drained at these, mL; nothing where none is open.
        drained_ml: f64,
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
    /// The side of the vehicle it is on, where its name begins with its wheel (LF, RF, LR, RR).
    pub side: Option<Side>,
    /// Pass, from 1.
    pub pass: u32,
    /// When to close, as written.
    pub until: StopRule,
    /// What came of it; `None` if the job ended before.
    pub opening: Option<Opening>,
    /// How long a technician waits at it, s: with a pedal the strokes' pauses are part of it, a pause to pump up is not;
    /// `None` if the job ended before.
    pub seconds: Option<f64>,
    /// What must still run clear after it looked clean, mL, where that closed it.
    pub hold_ml: Option<f64>,
    /// For how long it must be looked at, s, where that is what keeps it open.
    pub least_look_s: Option<f64>,
    /// Millilitres to clean in one draw of ten and in nine of ten; only for a bleeder opened once, and `None`
    /// where too many draws never ran clean.
    pub range_ml: Option<(f64, f64)>,
}

/// A side of the vehicle, by who sits there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Where the steering wheel is.
    Driver,
    /// The other.
    Passenger,
}

impl Side {
    fn of(bleeder: &str, scenario: &Scenario) -> Option<Self> {
        scenario.vehicle.spoken().sides.then_some(())?;
        let on_the_left = match bleeder.split_whitespace().next()? {
            "LF" | "LR" => true,
            "RF" | "RR" => false,
            _ => return None,
        };
        let steered_on_the_left = scenario.vehicle.steering == tables::Side::Left;
        Some(if on_the_left == steered_on_the_left { Self::Driver } else { Self::Passenger })
    }
}

/// The tasks of all passes; steps that open nothing are done in the first pass only.
pub(super) fn tasks(scenario: &Scenario, record: &Record, ranges: &[BleederSpread]) -> Vec<Task> {
    let mut tasks = Vec::new();
    let open_reservoir = record.totals.fluid.is_none();
    let mut number = 0;
    let openings_of = |name: &String| {
        let in_turn = scenario.procedure.in_turn();
        in_turn
            .filter(|(_, step)| matches!(&step.action, Action::Open { bleeders, .. } if bleeders.contains(name)))
            .count()
    };
    for pass in 1..=scenario.procedure.tasks.passes.max(1) {
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
                let range =
                    ranges.iter().find(|r| r.bleeder == *bleeder && openings_of(bleeder) == 1);
                let opening = record
                    .openings
                    .iter()
                    .find(|o| o.pass == pass && o.step == i + 1 && o.bleeder == *bleeder)
                    .cloned();
                together.push(BleederTask {
                    number,
                    side: Side::of(bleeder, scenario),
                    bleeder: bleeder.clone(),
                    pass,
                    until: *until,
                    seconds: opening.as_ref().map(|o| match record.totals.strokes {
                        Some(_) => o.closed_s - o.opened_s,
                        None => o.flow_seconds,
                    }),
                    least_look_s: opening
                        .as_ref()
                        .filter(|o| o.waited_for == Some(WaitedFor::LeastLook))
                        .map(|_| scenario.clear_hose.least_look.value),
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
    let more = opening.clean_at_ml.filter(|_| clean).map(|at| opening.drained_ml - at);
    more.filter(|ml| *ml >= 0.5)
}

fn other(action: &Action, record: &Record, number: usize) -> Option<OtherStep> {
    let ml = |q: &Quantity| to_ml(q.value);
    Some(match action {
        Action::Open { .. } => return None,
        Action::Syringe { leave } => OtherStep::Syringe {
            leave_ml: ml(leave),
            out_ml: record.steps.iter().find(|s| s.step == number).map(|s| -s.moved_ml),
        },
        Action::TopUp { to } => OtherStep::TopUp { to_ml: ml(to) },
        Action::Load { volume } => OtherStep::Load { ml: ml(volume) },
        Action::RePump { gauge } => OtherStep::RePump { gauge_kpa: to_kpa(gauge.value) },
        Action::Wait { time, .. } => OtherStep::Wait { seconds: time.value },
        Action::WorkModulator { modulator, time, bleeders, .. } => OtherStep::WorkModulator {
            modulator: modulator.clone(),
            seconds: time.value,
            bleeders: bleeders.clone(),
            drained_ml: (record.openings.iter().filter(|o| o.step == number))
                .map(|o| o.drained_ml)
                .sum(),
        },
        Action::Relieve => OtherStep::Relieve,
        Action::SetLevel { to } => OtherStep::SetLevel { to_ml: ml(to) },
    })
}
