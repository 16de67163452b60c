//! How much was missing when a supply ran dry.

use crate::job::error::JobError;
use crate::job::record::WarningKind;
use crate::job::record::wording::at_line;
use crate::job::run::procedure::procedure;
use crate::job::state::{Setting, State};
use crate::measures::to_ml;
use crate::supply::Loaded;

/// Runs the job again with an endless supply to say how much was missing.
pub(crate) fn foretell(setting: &Setting, state: &mut State) -> Result<(), JobError> {
    let endless = Setting { endless: true, ..setting.clone() };
    let mut other = State::new(&endless)?;
    procedure(&endless, &mut other)?;
    if state.supply.loaded().is_none() {
        let topped_up = state.supply.topping().is_some_and(|t| t.topped_up);
        let remedy = match topped_up {
            true => "top it up sooner, that is raise `refill_below`".to_owned(),
            // Topped up, but too late, it runs dry all the same and tells nothing.
            false if other.dry => "top it up before that".to_owned(),
            false => format!(
                "top it up before that; the whole job takes {:.0} mL of new fluid poured in",
                to_ml(other.books.by_hand)
            ),
        };
        let divided = setting.circuit.reservoir.compartment_m3 > 0.0;
        let what = if divided { "the reservoir's compartment in use" } else { "the reservoir" };
        state.warn(
            WarningKind::SupplyRanDry,
            format!(
                "{what} runs dry {}, and air would enter the circuit: {remedy}{}",
                state.dry_at,
                at_line(setting.supply_line())
            ),
        );
        return Ok(());
    }
    let dry_at_ml = to_ml(state.books.drained);
    let line = at_line(setting.supply_line());
    let text = match least_load_m3(setting)? {
        Some(needed) => {
            state.least_load_m3 = Some(needed.load);
            format!(
                "the supply ran dry at {dry_at_ml:.0} mL drained, and air would enter the circuit; the whole job takes {:.0} mL, of which {:.0} mL stay out of the dip tube's reach: load at least {:.0} mL{line}",
                to_ml(needed.load),
                to_ml(needed.heel),
                // To the next 50 mL, and 50 mL in hand.
                (to_ml(needed.load) / 50.0).ceil() * 50.0 + 50.0,
            )
        }
        None => format!(
            "the supply ran dry at {dry_at_ml:.0} mL drained, and air would enter the circuit; no load that the vessel takes is enough for this job: split it, load again in between, or shorten what is counted in seconds{line}"
        ),
    };
    state.warn(WarningKind::SupplyRanDry, text);
    Ok(())
}

/// What a job needs of a pressure bleeder, m³.
struct Needed {
    /// To be loaded, what cannot be reached included.
    load: f64,
    /// What cannot be reached.
    heel: f64,
}

/// The least load that lasts for the whole job; `None` if none does that the vessel takes.
///
/// The job is run out of a vessel that never runs dry, behind the air cushion that a load leaves: more
/// fluid is less air and a gauge that falls further, so what the job takes depends on what is loaded, and
/// the load at which both are the same is found by bisection, to half a millilitre.
fn least_load_m3(setting: &Setting) -> Result<Option<Needed>, JobError> {
    let first = endless_run(setting, 0.0)?;
    let found = |load| Some(Needed { load, heel: first.heel });
    let (mut low, mut high) = (0.0, first.room.max(0.0));
    if first.short <= 0.0 {
        return Ok(found(first.loaded + first.short));
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
    Ok(found(first.loaded + high))
}

/// What a job comes to out of a vessel that never runs dry, m³.
struct EndlessRun {
    /// What is lacking of the load.
    short: f64,
    /// Loaded by the scenario, at first and later.
    loaded: f64,
    /// What cannot be reached.
    heel: f64,
    /// What more the vessel takes at first.
    room: f64,
}

fn endless_run(setting: &Setting, more_loaded_m3: f64) -> Result<EndlessRun, JobError> {
    let endless = Setting { endless: true, more_loaded_m3, ..setting.clone() };
    let mut state = State::new(&endless)?;
    let (before, at_first) = (state.supply.loaded().unwrap_or_default(), state.books.loaded);
    procedure(&endless, &mut state)?;
    let loaded = state.books.loaded;
    let left = state.supply.loaded().unwrap_or_default();
    let sent = before.fluid_m3 + (loaded - at_first) - left.fluid_m3;
    let Loaded { heel_m3: heel, room_m3: room, .. } = before;
    Ok(EndlessRun { short: sent + heel - loaded - more_loaded_m3, loaded, heel, room })
}
