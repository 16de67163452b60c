//! The procedure from its first step to its last, and the record of it.

use super::bleeder::Place;
use super::error::JobError;
use super::film::{self, Recorder};
use super::limits;
use super::opening;
use super::options::Options;
use super::record::{
    Does, FluidBook, Numerics, Opening, Record, ScenarioName, Totals, WarningKind,
};
use super::state::{Setting, State, at_line};
use super::survey::{never_opened, overturn_s};
use super::watch::Rule;
use super::{
    cautions, modulator, numerics, on_the_road, pushing, shortage, slips, summary, valves,
};
use crate::circuit::Scenario;
use crate::measures::{PSI, to_kpa, to_ml};
use crate::portable;
use crate::scenario::procedure::{Action, Step};
use crate::supply::Supply;
use crate::supply::pressure_bleeder::LEAST_CUSHION;

/// Upper bound of one opening, as a multiple of all the fluid in the system: a procedure that would
/// never end is stopped there.
pub const BOUND_CAPACITIES: f64 = 10.0;

/// Runs a scenario's procedure.
///
/// # Errors
/// [`JobError`] if the scenario cannot be simulated; whatever goes wrong in the job itself (a supply
/// that runs dry, a target not reached) is in the record's warnings.
pub fn flush(scenario: &Scenario, options: &Options) -> Result<Record, JobError> {
    let setting = Setting::new(scenario, options)?;
    if !options.estimate_error {
        return once(setting);
    }
    numerics::with_error_estimate(setting)
}

/// Runs once, without an error estimate.
pub(super) fn once(setting: Setting) -> Result<Record, JobError> {
    let mut state = begin(&setting)?;
    let openings = procedure(&setting, &mut state)?;
    if state.dry {
        shortage::foretell(&setting, &mut state)?;
    }
    record(&setting, state, openings)
}

/// The job before its first step, with what is to be warned of beforehand.
pub(super) fn begin(setting: &Setting) -> Result<State, JobError> {
    let mut state = State::new(setting)?;
    warn_of_pressure(setting, &mut state);
    state.warnings.extend(never_opened(setting));
    state.warnings.extend(slips::warnings(&setting.scenario, &setting.circuit));
    state.warnings.extend(cautions::warnings(setting, &state.supply));
    valves::warn_of_states(setting, &mut state);
    pushing::remark(&mut state);
    Ok(state)
}

/// Goes through all passes and steps; ends early if the supply ran dry.
pub(super) fn procedure(setting: &Setting, state: &mut State) -> Result<Vec<Opening>, JobError> {
    let mut openings = Vec::new();
    for (place, step) in setting.scenario.procedure.in_turn() {
        one_step(setting, state, step, Place { pass: place.0, step: place.1 }, &mut openings)?;
        if state.dry {
            return Ok(openings);
        }
    }
    state.clock_s += setting.tasks().finish.value;
    Ok(openings)
}

/// One step of the procedure; its openings come behind those that are there.
pub(super) fn one_step(
    setting: &Setting,
    state: &mut State,
    step: &Step,
    place: Place,
    openings: &mut Vec<Opening>,
) -> Result<(), JobError> {
    film::mark(setting, state);
    match &step.action {
        Action::Open { bleeders, until } => {
            let bound = BOUND_CAPACITIES * setting.circuit.capacity_m3();
            let rule = Rule::new(until, &setting.scenario.clear_hose, bound);
            let numbers: Vec<usize> =
                bleeders.iter().filter_map(|name| setting.circuit.bleeder(name)).collect();
            openings.extend(opening::run(setting, state, &numbers, rule, place)?);
            film::mark(setting, state);
            state.clock_s += setting.tasks().per_bleeder.value;
        }
        action @ Action::WorkModulator { .. } => {
            openings.extend(modulator::step(setting, state, action, place)?);
        }
        action => other_step(setting, state, action, step.line, place)?,
    }
    film::mark(setting, state);
    limits::look(setting, state, place)
}

/// A step that is not an opening.
fn other_step(
    setting: &Setting,
    state: &mut State,
    action: &Action,
    line: usize,
    place: Place,
) -> Result<(), JobError> {
    let number = place.step;
    let level = state.system.reservoir.volume();
    match action {
        // Done by the caller: they make openings.
        Action::Open { .. } | Action::WorkModulator { .. } => {}
        Action::Syringe { leave } => {
            let change = (leave.value - level).min(0.0);
            by_hand(setting, state, change, Does::Syringe, (number, line));
        }
        Action::TopUp { to } => {
            by_hand(setting, state, (to.value - level).max(0.0), Does::TopUp, (number, line));
        }
        Action::SetLevel { to } => {
            by_hand(setting, state, to.value - level, Does::SetLevel, (number, line));
        }
        Action::Load { volume } => {
            if let Supply::PressureBleeder(p) = &mut state.supply {
                let room = p.air_m3() - LEAST_CUSHION * p.shell_m3;
                if volume.value > room && !setting.endless {
                    return Err(JobError::CannotBeDone {
                        what: format!(
                            "step {number} loads {:.0} mL{}, but the vessel has room for {:.0} mL beside its air cushion: load less at a time",
                            to_ml(volume.value),
                            at_line(line),
                            to_ml(room.max(0.0))
                        ),
                    });
                }
                p.load(volume.value);
                state.books.loaded += volume.value;
                state.note_step(number, Does::Load, volume.value);
            } else {
                without_effect(state, "load", line);
            }
        }
        Action::RePump { gauge } => {
            if !matches!(state.supply, Supply::PressureBleeder(_)) {
                without_effect(state, "re_pump", line);
            }
            pushing::pump_to(setting, state, gauge.value, number);
            warn_of_pressure(setting, state);
        }
        Action::Relieve => {
            if let Supply::PressureBleeder(p) = &mut state.supply {
                p.pump_to(0.0);
            } else {
                without_effect(state, "relieve", line);
            }
            state.cap_air = None;
            state.note_step(number, Does::Relieve, 0.0);
        }
        Action::Wait { time, remix } => {
            let degree = |link: usize| match remix {
                Some(r) => r.value,
                None => overturn_s(setting, link)
                    .map_or(0.0, |overturn| 1.0 - portable::exp(-time.value / overturn)),
            };
            limits::before_snapshots(setting, state, place, |link| degree(link) > 0.0)?;
            state.system.stand(time.value, degree);
            state.clock_s += time.value;
            state.note_step(number, Does::Wait, 0.0);
        }
    }
    state.note_supply(setting);
    state.balance(setting);
    Ok(())
}

/// Says that a step has nothing to act on.
fn without_effect(state: &mut State, step: &str, line: usize) {
    state.warn(
        WarningKind::StepWithoutEffect,
        format!(
            "`{step}` acts on a pressure bleeder, and another supply pushes: left out{}",
            at_line(line)
        ),
    );
}

/// Pours new fluid into the reservoir, or takes fluid out with a syringe (`change` below 0, m³), in the `step`-th step
/// on this line of the file.
///
/// Nobody does either through a pressurised cap: the feed valve is shut and the adapter taken off, so that the air
/// under it goes off, and the next opening presses it anew. The valve sits at the adapter (common practice, no source):
/// the feed hose stays full behind it, nothing is spilt, and what has risen in the reservoir stays there. With nothing
/// to pour or to take, nothing is done.
fn by_hand(
    setting: &Setting,
    state: &mut State,
    change: f64,
    does: Does,
    (step, line): (usize, usize),
) {
    if change < 0.0 {
        state.draw(-change);
        state.clock_s += setting.tasks().per_syringe.value;
        state.warn_of_bare_outlets(setting, &at_line(line));
    } else if change > 0.0 {
        state.pour(setting, change);
        state.books.by_hand += change;
        state.clock_s += setting.tasks().per_top_up.value;
    }
    if change != 0.0 {
        state.cap_air = None;
    }
    state.note_step(step, does, change);
}

/// A pressure as warnings give it.
pub(super) fn in_both_units(pressure_pa: f64) -> String {
    format!("{:.0} kPa ({:.1} psi)", to_kpa(pressure_pa), pressure_pa / PSI)
}

pub(super) fn warn_of_pressure(setting: &Setting, state: &mut State) {
    let gauge = state.supply.gauge_pa();
    let vehicle = &setting.scenario.vehicle;
    if let Some(limit) = vehicle.gauge_limit.map(|q| q.value)
        && gauge > limit * (1.0 + 1e-9)
    {
        state.warn(
            WarningKind::PressureOverLimit,
            format!(
                "the supply stands at {}, this vehicle's limit is {}{}: lower the gauge pressure; above the limit the reservoir or its seals can fail",
                in_both_units(gauge),
                in_both_units(limit),
                at_line(vehicle.line_of("gauge_limit"))
            ),
        );
    }
}

pub(super) fn record(
    setting: &Setting,
    mut state: State,
    openings: Vec<Opening>,
) -> Result<Record, JobError> {
    state.balance(setting);
    let b = &state.books;
    let reservoir = state.system.reservoir.volume();
    let fluid = match &state.supply {
        Supply::PressureBleeder(p) => {
            let left = p.fluid_m3 - setting.extra_m3();
            let raised = reservoir - b.start_reservoir + b.removed - b.by_hand;
            Some(FluidBook {
                loaded_ml: to_ml(b.loaded),
                bled_ml: to_ml(b.loaded - left - b.hose - raised),
                reservoir_ml: to_ml(raised),
                feed_hose_ml: to_ml(b.hose),
                left_ml: to_ml(left),
                least_load_ml: match state.dry {
                    true => state.least_load_m3.map(to_ml),
                    false => Some(to_ml(b.loaded - left + p.heel_m3)),
                },
            })
        }
        Supply::Gravity(_) | Supply::Vacuum(_) | Supply::Pedal(_) => None,
    };
    let totals = Totals {
        drained_ml: to_ml(b.drained),
        removed_ml: to_ml(b.removed),
        new_fluid_ml: to_ml(b.come_volume),
        flow_seconds: state.flow_s,
        bay_seconds: state.clock_s,
        repumps: state.repumps,
        strokes: matches!(state.supply, Supply::Pedal(_)).then_some(state.strokes),
        fluid,
    };
    let max = setting.circuit.reservoir.max_m3;
    // Half a millilitre is not worth a word.
    if reservoir > max + 0.5e-6 {
        state.warn(
            WarningKind::ReservoirAboveMax,
            format!(
                "the reservoir ends at {:.0} mL, {:.0} mL above MAX: take the excess out with a syringe once the pressure is off",
                to_ml(reservoir),
                to_ml(reservoir - max)
            ),
        );
    } else if reservoir < setting.circuit.reservoir.min_m3 * (1.0 - 1e-9) {
        state.warn(
            WarningKind::ReservoirBelowMin,
            format!("the reservoir ends at {:.0} mL, below MIN: top it up", to_ml(reservoir)),
        );
    }
    let of_flow = cautions::of_job(setting, &state, &openings);
    state.warnings.extend(of_flow);
    let left = summary::left(setting, &state);
    let if_modulator_works = on_the_road::once(setting, &state)?;
    Ok(Record {
        farwheel: env!("CARGO_PKG_VERSION"),
        scenario: ScenarioName {
            title: setting.scenario.title.clone(),
            file: setting.scenario.file.clone(),
        },
        seed: setting.options.seed,
        steps: state.steps,
        totals,
        left,
        if_modulator_works,
        balance: state.books.worst,
        numerics: Numerics::default(),
        warnings: state.warnings,
        supply: setting.described_supply()?.name.clone(),
        supply_curve: state.supply_curve,
        film: state.film.map(Recorder::into_film),
        openings,
    })
}
