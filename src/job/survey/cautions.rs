//! What can be done as written and had better be looked at again: told by `check` beforehand and by `flush`.
//!
//! Pressure and fluids are judged by what the scenario says, in both alike. How fast and how long fluid flows
//! is judged by the job itself in `flush`; `check`, which simulates nothing, solves for the flow at each opening with
//! all fluid old and all fluid new.

use super::replaced;
use super::slow::{self, NO_FLOW};
use crate::circuit::paths;
use crate::fluid::grade::Grade;
use crate::job::error::JobError;
use crate::job::record::{Warning, WarningKind, at_line, in_both_units, which};
use crate::job::state::{Fast, Job, LAMINAR_TO, Setting};
use crate::keys::bounds::GAUGE;
use crate::measures::{HOUR, PSI, STANDARD_GRAVITY, from_kpa, to_kpa};
use crate::scenario::procedure::{Action, StopRule};
use crate::supply::Supply;
use std::sync::Arc;

/// More water than fluid of a sealed can holds, mass % (from memory: 0.1 to 0.2; the standards' wet test has 3.7).
const MOST_NEW_WATER_PERCENT: f64 = 0.5;
/// A gauge that reads less is read as zero, Pa (an estimate: half a needle).
const SHOWN_PA: f64 = 50.0;
/// Nobody stands beside one bleeder for longer, s (common practice, no source).
const LONG_S: f64 = HOUR;

/// Warns of a supply that stands above what the vehicle bears.
pub(crate) fn warn_of_pressure(job: &mut Job) {
    let gauge = job.supply.gauge_pa();
    let vehicle = &job.setting.scenario.vehicle;
    if let Some(limit) = vehicle.gauge_limit.map(|q| q.value)
        && gauge > limit * (1.0 + 1e-9)
    {
        job.warn(
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

/// Says what a gauge below zero is, as it stands when this bleeder is closed.
pub(crate) fn warn_of_no_pressure(job: &mut Job, bleeder: &str) {
    let gauge = job.supply.gauge_pa();
    if job.supply.feed_hose().is_none() || gauge > -SHOWN_PA {
        return;
    }
    let told = |w: &Warning| w.kind == WarningKind::GaugeBelowZero;
    if job.warnings.iter().any(told) {
        return;
    }
    job.warn(
        WarningKind::GaugeBelowZero,
        format!(
            "the gauge stands at {:.1} kPa ({:.1} psi) as {bleeder} is closed: no pressure is left in the vessel, fluid runs by its own weight alone, and the air in the closed vessel thins as fluid leaves it; pump it up first (a step `re_pump`, or `re_pump_below` of the supply)",
            to_kpa(gauge),
            gauge / PSI
        ),
    );
}

/// What the technician should keep in mind with this supply.
pub(crate) fn remark(job: &mut Job) {
    if job.supply.at_bleeder_pa() < 0.0 {
        job.warn(
            WarningKind::AirPastTheThreads,
            "a vacuum also draws air past the bleeder's threads; its bubbles hide the fluid's true colour, so \"looks clean\" is less sure than under pressure: seal the threads with grease or tape, or go by millilitres".to_owned(),
        );
    }
    let pushes = job.supply.feed_hose().is_some() || job.supply.strokes().is_some();
    let hose = &job.setting.scenario.clear_hose;
    if hose.outlet_m() < 0.0 && job.supply.at_bleeder_pa() == 0.0 && !pushes {
        let kpa =
            -to_kpa(hose.outlet_m() * STANDARD_GRAVITY * job.setting.blend.density_kg_m3(1.0));
        let text = format!(
            "a clear hose that ends in fluid {:.2} m below the bleeder draws at it with up to {kpa:.1} kPa, and air comes in past the bleeder's threads: its bubbles hide the fluid's true colour; raise the end to the bleeder or above it (`end_above`), and the bottle with it{}",
            -hose.outlet_m(),
            at_line(hose.line_of("end_above"))
        );
        job.warn(WarningKind::AirPastTheThreads, text);
    }
}

/// Bleeders that the procedure leaves shut.
pub(crate) fn never_opened(setting: &Setting) -> Option<Warning> {
    let opened: Vec<&String> = setting
        .scenario
        .procedure
        .steps
        .iter()
        .filter_map(|step| match &step.action {
            Action::Open { bleeders, .. } | Action::WorkModulator { bleeders, .. } => {
                Some(bleeders)
            }
            _ => None,
        })
        .flatten()
        .collect();
    let shut = setting.circuit.bleeders.iter().map(|b| &b.name).filter(|b| !opened.contains(b));
    let shut: Vec<&str> = shut.map(String::as_str).collect();
    (!shut.is_empty()).then(|| {
        Warning::new(
            WarningKind::NeverOpened,
            format!(
                "the procedure never opens {}: what only that way leads out stays old",
                shut.join(", ")
            ),
        )
    })
}

/// What replaced parts, pressure and fluids give cause for.
pub(crate) fn warnings(setting: &Setting, supply: &dyn Supply) -> Vec<Warning> {
    let found = [
        replaced::warning(setting),
        high_gauge(setting, supply),
        wet_new_fluid(setting),
        lower_grade(setting),
    ];
    found.into_iter().flatten().collect()
}

/// The highest gauge that a pressure bleeder is pumped to, by its own and by steps, Pa.
pub(super) fn highest_gauge_pa(setting: &Setting, supply: &dyn Supply) -> Option<f64> {
    let set = supply.set_gauge()?;
    let steps = setting.scenario.procedure.steps.iter().filter_map(|s| match s.action {
        Action::RePump { gauge } => Some(gauge.value),
        _ => None,
    });
    Some(steps.fold(set.pa, f64::max))
}

fn high_gauge(setting: &Setting, supply: &dyn Supply) -> Option<Warning> {
    let gauge = highest_gauge_pa(setting, supply)?;
    let unlimited = setting.scenario.vehicle.gauge_limit.is_none();
    (unlimited && gauge > GAUGE.usual.1 * (1.0 + 1e-6)).then(|| {
        Warning::new(
            WarningKind::HighPressure,
            format!(
                "the supply is pumped to {}, and no `gauge_limit` of [vehicle] says that the reservoir bears it: shops use 10 to 20 psi; look up the maker's limit and state it{}",
                in_both_units(gauge),
                at_line(setting.supply_line())
            ),
        )
    })
}

fn wet_new_fluid(setting: &Setting) -> Option<Warning> {
    let water = setting.blend.new_fluid().water_percent;
    (water > MOST_NEW_WATER_PERCENT).then(|| {
        Warning::new(
            WarningKind::WetNewFluid,
            format!(
                "the new fluid holds {water:.1} % water and boils at {:.0} °C; out of a sealed can it holds 0.1 to 0.2 %: take fluid from a fresh can, or correct `water` of [new_fluid]{}",
                setting.blend.boiling_c(0.0, water),
                at_line(setting.scenario.new_fluid.line_of("water"))
            ),
        )
    })
}

fn lower_grade(setting: &Setting) -> Option<Warning> {
    let (old, new) = (setting.blend.old_fluid().grade, setting.blend.new_fluid().grade);
    let lower = |of: fn(&Grade) -> Option<f64>| of(new).zip(of(old)).is_some_and(|(n, o)| n < o);
    let limits = |g: &Grade| {
        let at_least = |c: Option<f64>| c.map_or("–".to_owned(), |c| format!("{c:.0}"));
        format!("{} ({} °C dry, {} °C wet)", g.name, at_least(g.dry_min_c), at_least(g.wet_min_c))
    };
    (lower(|g| g.dry_min_c) || lower(|g| g.wet_min_c)).then(|| {
        Warning::new(
            WarningKind::LowerGrade,
            format!(
                "{} is replaced by {}, whose standard asks for a lower boiling point: use the grade that the maker names, or a higher one of the same kind{}",
                limits(old),
                limits(new),
                at_line(setting.scenario.new_fluid.line_of("grade"))
            ),
        )
    })
}

/// What the flow of a job gave cause for.
pub(crate) fn of_job(job: &Job) -> Vec<Warning> {
    let lasted = job.openings.iter().map(|o| (o.bleeder.as_str(), o.flow_seconds));
    let lasted: Vec<_> = lasted.filter(|(_, s)| *s > LONG_S).collect();
    let fast = too_fast(&job.setting, &job.fast);
    let found = [fast, too_long(job, &lasted, "for"), falls_low(job)];
    found.into_iter().flatten().collect()
}

/// A gauge that falls below half of the least that shops work with, though it was pumped to more.
fn falls_low(job: &Job) -> Option<Warning> {
    let low_kpa = to_kpa(0.5 * GAUGE.usual.0);
    job.supply.set_gauge().filter(|set| set.pa >= GAUGE.usual.0)?;
    // Pumped to less on purpose it does not fall.
    let fell = job.openings.iter().filter(|o| o.gauge_start_kpa >= low_kpa);
    let lowest = fell.min_by(|a, b| a.gauge_end_kpa.total_cmp(&b.gauge_end_kpa))?;
    (lowest.gauge_end_kpa < low_kpa).then(|| {
        Warning::new(
            WarningKind::GaugeFallsLow,
            format!(
                "while {} is open the gauge falls to {}, and hardly anything pushes any more: pump up again in time (`re_pump_below`), or take a larger `shell`{}",
                lowest.bleeder,
                in_both_units(from_kpa(lowest.gauge_end_kpa)),
                at_line(job.setting.supply_line())
            ),
        )
    })
}

/// The same before it, from the flow with all fluid old and all fluid new. How long a bleeder stays open is then
/// reckoned as no more than what is counted out takes, or by eye its path's volume, behind the reservoir's for the first.
pub(crate) fn foreseen(job: &Job) -> Result<Vec<Warning>, JobError> {
    let renewed = Setting::clone(&job.setting).filled_with_new();
    let new = Job::new(Arc::new(renewed))?;
    let pumped = highest_gauge_pa(&job.setting, job.supply.as_ref());
    let gauge = pumped.unwrap_or_else(|| job.supply.push_pa());
    let (mut fast, mut lasts) = (Vec::new(), Vec::new());
    let mut before_m3 = job.setting.circuit.reservoir.level_m3;
    for step in &job.setting.scenario.procedure.steps {
        if let Action::Syringe { leave } = &step.action {
            before_m3 = before_m3.min(leave.value);
        }
        let Action::Open { bleeders, until } = &step.action else { continue };
        let open: Vec<usize> =
            bleeders.iter().filter_map(|b| job.setting.circuit.bleeder(b)).collect();
        let Some(&first) = open.first() else { continue };
        let mut largest = vec![0.0_f64; open.len()];
        for system in [&job.system, &new.system] {
            let mut h = job.network(&open)?;
            h.solve(job.setting.flowing(), system, gauge, 0.0)?;
            h.note_fast(&mut fast, first);
            for (most, q) in largest.iter_mut().zip(&h.exit_flow) {
                *most = most.max(*q);
            }
        }
        for ((&b, name), q) in open.iter().zip(bleeders).zip(largest) {
            if q > NO_FLOW {
                let path_m3 = paths::path_volume_m3(&job.setting.circuit, b);
                let volume = least_m3(until, path_m3 + before_m3 / open.len() as f64);
                let seconds = until.time.map_or(volume / q, |t| t.value);
                if seconds > LONG_S {
                    lasts.push((name.as_str(), seconds));
                }
            }
        }
        before_m3 = 0.0;
    }
    let found = [too_fast(&job.setting, &fast), too_long(job, &lasts, "at least")];
    Ok(found.into_iter().flatten().collect())
}

/// What an opening drains at the least, m³; by eye what lies before the bleeder.
fn least_m3(until: &StopRule, before_m3: f64) -> f64 {
    let volume = until.volume.map_or(before_m3, |v| v.value);
    let least = until.at_least.map_or(volume, |v| v.value.max(volume));
    until.at_most.map_or(least, |v| v.value.min(least))
}

fn too_fast(setting: &Setting, fast: &[Fast]) -> Option<Warning> {
    let c = &setting.circuit;
    let fastest = fast.iter().max_by(|a, b| a.reynolds.total_cmp(&b.reynolds))?;
    let mut names: Vec<String> = Vec::new();
    for f in fast {
        let name = &c.links[f.link].name;
        if !names.contains(name) {
            names.push(name.clone());
        }
    }
    let mut lines: Vec<&String> =
        c.links.iter().filter(|l| l.tube.is_some()).map(|l| &l.name).collect();
    lines.dedup();
    Some(Warning::new(
        WarningKind::BeyondLaminarFlow,
        format!(
            "in {} the Reynolds number goes beyond {LAMINAR_TO:.0}, to {:.0} in {} while {} is open: the flow may turn turbulent there, but fluid is still moved in laminar lanes, so the millilitres are less sure (a turbulent line runs clean sooner); lower the gauge, or say `profile = \"plug\"` to see how much hangs on it",
            which(&names, lines.len()),
            fastest.reynolds,
            c.links[fastest.link].name,
            c.bleeders[fastest.bleeder].name,
        ),
    ))
}

fn too_long(job: &Job, lasts: &[(&str, f64)], about: &str) -> Option<Warning> {
    let longest = lasts.iter().max_by(|a, b| a.1.total_cmp(&b.1))?;
    let bleeder = job.setting.circuit.bleeder(longest.0)?;
    Some(Warning::new(
        WarningKind::TakesHours,
        format!(
            "{} stays open {about} {:.1} hours, where nobody waits for more than one: {}",
            longest.0,
            longest.1 / HOUR,
            slow::remedy(job, bleeder)
        ),
    ))
}
