//! What the supply does while bleeders are open: feeding, re-pumping, topping up.

use super::state::{Setting, State};
use crate::supply::Supply;

/// What the supply sends into the reservoir while `drained` leaves: that much, less (or more) what
/// the air under the cap gives as the pressure changes.
pub(super) fn feed(setting: &Setting, state: &mut State, drained: f64) -> f64 {
    let space = state.air_space(setting);
    let Supply::PressureBleeder(p) = &mut state.supply else { return 0.0 };
    let mut fed = drained;
    if let Some(air) = state.cap_air {
        // A fixed point: the gauge hardly changes in a step, three rounds settle it.
        for _ in 0..3 {
            fed = (drained + space - air / p.absolute_after_pa(fed)).clamp(0.0, 2.0 * drained);
        }
        // As the gauge falls the air under the cap grows; it must not reach the outlets.
        fed = fed.max(drained - 0.5 * state.system.reservoir.volume());
    }
    p.send(fed);
    fed
}

/// What can be drained, m³, before a pressure bleeder is down to its heel: what it can still send, and
/// what the air under the cap gives as the pressure falls meanwhile.
pub(super) fn drained_until_dry(setting: &Setting, state: &State) -> f64 {
    let Supply::PressureBleeder(p) = &state.supply else { return f64::INFINITY };
    let usable = p.usable_m3();
    match state.cap_air {
        Some(air) => usable - state.air_space(setting) + air / p.absolute_after_pa(usable),
        None => usable,
    }
}

/// Pumps the supply up if it has fallen below its low mark.
pub(super) fn re_pump(setting: &Setting, state: &mut State) {
    let Supply::PressureBleeder(p) = &state.supply else { return };
    let Some(mark) = p.low_mark_pa else { return };
    if p.gauge_pa() < mark && p.gauge_pa() < p.set_gauge_pa {
        let target = p.set_gauge_pa;
        pump_to(setting, state, target, 0);
    }
}

/// Pumps the supply up and books the time; `step` is 0 where the technician does it of himself.
pub(super) fn pump_to(setting: &Setting, state: &mut State, gauge_pa: f64, step: usize) {
    let took = setting.scenario.procedure.section.find_si("per_re_pump").unwrap_or(0.0);
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
    state.clock_s += took;
    state.note_step(step, "re-pump", 0.0);
    state.note_supply(setting);
}

/// Tops the reservoir up by hand, where gravity pushes.
pub(super) fn top_up(setting: &Setting, state: &mut State) {
    let Supply::Gravity(g) = &state.supply else { return };
    let Some((_, to)) = g.refill(&setting.circuit.reservoir) else { return };
    let volume = (to - state.system.reservoir.volume()).max(0.0);
    state.pour(setting, volume);
    state.books.by_hand += volume;
    state.note_step(0, "top up", volume);
    state.note_supply(setting);
}
