//! How much was missing when a supply ran dry.

use crate::job::error::JobError;
use crate::job::record::{WarningKind, at_line};
use crate::job::run::procedure::procedure;
use crate::job::state::{Job, Setting};
use crate::measures::to_ml;
use crate::supply::Loaded;
use std::sync::Arc;

/// Runs the job again with an endless supply to say how much was missing.
pub(crate) fn foretell(job: &mut Job) -> Result<(), JobError> {
    let endless = Setting { endless: true, ..Setting::clone(&job.setting) };
    let mut other = Job::new(Arc::new(endless))?;
    procedure(&mut other)?;
    let Some(Loaded { heel_m3, .. }) = job.supply.loaded() else {
        let topped_up = job.supply.topping().is_some_and(|t| t.topped_up);
        let remedy = match topped_up {
            true => "top it up sooner, that is raise `refill_below`".to_owned(),
            // Topped up, but too late, it runs dry all the same and tells nothing.
            false if other.dry => "top it up before that".to_owned(),
            false => format!(
                "top it up before that; the whole job takes {:.0} mL of new fluid poured in",
                to_ml(other.books.by_hand)
            ),
        };
        let divided = job.setting.circuit.reservoir.compartment_m3 > 0.0;
        let what = if divided { "the reservoir's compartment in use" } else { "the reservoir" };
        job.warn(
            WarningKind::SupplyRanDry,
            format!(
                "{what} runs dry {}, and air would enter the circuit: {remedy}{}",
                job.dry_at,
                at_line(job.setting.supply_line())
            ),
        );
        return Ok(());
    };
    let dry_at_ml = to_ml(job.books.drained);
    let line = at_line(job.setting.supply_line());
    let text = match least_load_m3(&job.setting)? {
        Some(load_m3) => {
            job.least_load_m3 = Some(load_m3);
            format!(
                "the supply ran dry at {dry_at_ml:.0} mL drained, and air would enter the circuit; the whole job takes {:.0} mL, of which {:.0} mL stay out of the dip tube's reach: load at least {:.0} mL{line}",
                to_ml(load_m3),
                to_ml(heel_m3),
                // To the next 50 mL, and 50 mL in hand.
                (to_ml(load_m3) / 50.0).ceil() * 50.0 + 50.0,
            )
        }
        None => format!(
            "the supply ran dry at {dry_at_ml:.0} mL drained, and air would enter the circuit; no load that the vessel takes is enough for this job: split it, load again in between, or shorten what is counted in seconds{line}"
        ),
    };
    job.warn(WarningKind::SupplyRanDry, text);
    Ok(())
}

/// Says that the supply ran dry in a job driven by hand: nobody knows what the whole of it would have taken.
pub(crate) fn by_hand(job: &mut Job) {
    let text = format!(
        "the supply ran dry {}, and air would enter the circuit: load more, or top up sooner{}",
        job.dry_at,
        at_line(job.setting.supply_line())
    );
    job.warn(WarningKind::SupplyRanDry, text);
}

/// The least load that lasts for the whole job; `None` if none does that the vessel takes.
///
/// The job is run out of a vessel that never runs dry, behind the air cushion that a load leaves: more
/// fluid is less air and a gauge that falls further, so what the job takes depends on what is loaded, and
/// the load at which both are the same is found by bisection, to half a millilitre.
fn least_load_m3(setting: &Setting) -> Result<Option<f64>, JobError> {
    let first = endless_run(setting, 0.0)?;
    let (mut low, mut high) = (0.0, first.room.max(0.0));
    if first.short <= 0.0 {
        return Ok(Some(first.loaded + first.short));
    }
    if endless_run(setting, high)?.short > 0.0 {
        return Ok(None);
    }
    // The first guess is close: the air cushion counts for little.
    let mut guess = first.short.min(high);
    while high - low > 0.5e-6 {
        let short = endless_run(setting, guess)?.short;
        if short > 0.0 {
            low = guess
        } else {
            high = guess
        }
        if short.abs() < 0.25e-6 {
            high = guess;
            break;
        }
        let next = guess + short;
        guess = if next > low && next < high { next } else { 0.5 * (low + high) };
    }
    Ok(Some(first.loaded + high))
}

/// What a job comes to out of a vessel that never runs dry, m³.
struct EndlessRun {
    /// What is lacking of the load.
    short: f64,
    /// Loaded by the scenario, at first and later.
    loaded: f64,
    /// What more the vessel takes at first.
    room: f64,
}

fn endless_run(setting: &Setting, more_loaded_m3: f64) -> Result<EndlessRun, JobError> {
    let endless = Setting { endless: true, more_loaded_m3, ..setting.clone() };
    let mut job = Job::new(Arc::new(endless))?;
    let (before, at_first) = (job.supply.loaded().unwrap_or_default(), job.books.loaded);
    procedure(&mut job)?;
    let loaded = job.books.loaded;
    let left = job.supply.loaded().unwrap_or_default();
    let sent = before.fluid_m3 + (loaded - at_first) - left.fluid_m3;
    let short = sent + before.heel_m3 - loaded - more_loaded_m3;
    Ok(EndlessRun { short, loaded, room: before.room_m3 })
}
