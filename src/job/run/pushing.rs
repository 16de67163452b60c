//! What the supply does while bleeders are open: feeding, re-pumping, topping up.

use crate::job::record::wording::at_line;
use crate::job::record::{Does, WarningKind};
use crate::job::state::{Setting, State};
use crate::supply::Supply;

/// What the supply sends into the reservoir while `drained` leaves: that much, less (or more) what
/// the air under the cap gives as the pressure changes. `lasts` is what the outlets in use can give without it,
/// m³.
pub(crate) fn feed(setting: &Setting, state: &mut State, drained: f64, lasts: f64) -> f64 {
    let space = state.air_space(setting);
    let Supply::PressureBleeder(p) = &mut state.supply else { return 0.0 };
    let mut fed = drained;
    if let Some(air) = state.cap_air {
        // A fixed point: the gauge hardly changes in a step, three rounds settle it.
        for _ in 0..3 {
            fed = (drained + space - air / p.absolute_after_pa(fed)).clamp(0.0, 2.0 * drained);
        }
    }
    // As the gauge falls, and as what was in the feed hose comes over, the air under the cap grows. Where it would
    // reach an outlet, go on as if it did not, but say so.
    let least = drained - 0.5 * lasts;
    let reached = fed < least;
    let fed = fed.max(least);
    p.send(fed);
    if reached {
        let line = at_line(setting.supply_line());
        state.warn(
            WarningKind::AirReachesAnOutlet,
            format!(
                "the reservoir holds too little fluid for the air under its cap and out of the feed hose: as fluid leaves, that air reaches an outlet and would enter the circuit; fill the reservoir first, fill the feed hose before it is put on (`feed_hose_holds = \"new fluid\"`), take a shorter one, or keep the gauge up{line}"
            ),
        );
    }
    fed
}

/// What can be drained, m³, before a pressure bleeder is down to its heel: what it can still send, and
/// what the air under the cap gives as the pressure falls meanwhile.
pub(crate) fn drained_until_dry(setting: &Setting, state: &State) -> f64 {
    let Supply::PressureBleeder(p) = &state.supply else { return f64::INFINITY };
    let usable = p.usable_m3();
    match state.cap_air {
        Some(air) => usable - state.air_space(setting) + air / p.absolute_after_pa(usable),
        None => usable,
    }
}

/// Pumps the supply up if it has fallen below its low mark.
pub(crate) fn re_pump(setting: &Setting, state: &mut State) {
    let Supply::PressureBleeder(p) = &state.supply else { return };
    let Some(mark) = p.low_mark_pa else { return };
    if p.gauge_pa() < mark && p.gauge_pa() < p.set_gauge_pa {
        let target = p.set_gauge_pa;
        pump_to(setting, state, target, 0);
    }
}

/// Pumps the supply up and books the time; `step` is 0 where the technician does it of himself.
pub(crate) fn pump_to(setting: &Setting, state: &mut State, gauge_pa: f64, step: usize) {
    if !matches!(state.supply, Supply::PressureBleeder(_)) {
        return;
    }
    // He pumps until the gauge reads it with the valve open, while fluid still rises under the cap.
    for _ in 0..20 {
        if let Supply::PressureBleeder(p) = &mut state.supply {
            p.pump_to(gauge_pa);
        }
        state.settle(setting);
        if (state.supply.gauge_pa() - gauge_pa).abs() < 1.0 {
            break;
        }
    }
    state.repumps += 1;
    state.clock_s += setting.tasks().per_re_pump.value;
    state.note_step(step, Does::RePump, 0.0);
    state.note_supply(setting);
}

/// Tops the reservoir up by hand, where no supply feeds it. Fluid is taken not to run meanwhile, as while a supply is
/// pumped up: whoever pours does not watch the bleeder.
pub(crate) fn top_up(setting: &Setting, state: &mut State) {
    let Some(topping) = state.supply.topping() else { return };
    let Some((_, to)) = setting.circuit.reservoir.refill(topping) else { return };
    let volume = (to - state.system.reservoir.volume()).max(0.0);
    state.pour(setting, volume);
    state.books.by_hand += volume;
    state.clock_s += setting.tasks().per_top_up.value;
    state.note_step(0, Does::TopUp, volume);
    state.note_supply(setting);
}
